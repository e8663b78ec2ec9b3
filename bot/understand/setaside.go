package understand

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// findTag reads a tag number: letters and digits without a blank, "AAD000123",
// or whatever stands after the word tag.
func (p *parsing) findTag() {
	for i := 0; i+1 < len(p.tokens); i++ {
		a, b := p.tokens[i], p.tokens[i+1]
		letters := a.kind == tokenWord && len(a.text) >= 1 && len(a.text) <= 4
		if letters && b.kind == tokenNumber && a.touches(b) && len(b.text) >= 4 && strings.Trim(b.text, "0123456789") == "" {
			p.setTag(i, i+2)
			return
		}
	}
	for i := range p.tokens {
		if saysTag(word(p.tokens, i)) {
			p.tagAfter(i + 1)
		}
	}
}

// saysTag is true for the word tag in any language.
func saysTag(word string) bool {
	return slices.ContainsFunc(book().byFirst[word], func(ph phrase) bool {
		return len(ph.words) == 1 && slices.Contains(ph.concepts, "tag")
	})
}

// tagAfter reads the number after the word tag.
func (p *parsing) tagAfter(i int) {
	for i < len(p.tokens) && (mark(p.tokens, i) == "#" || mark(p.tokens, i) == ":" || mark(p.tokens, i) == "." || mark(p.tokens, i) == "=" || word(p.tokens, i) == "no" || word(p.tokens, i) == "number" || word(p.tokens, i) == "it") {
		i++
	}
	from := i
	if w := word(p.tokens, i); w != "" && len(w) <= 4 {
		i++
		if mark(p.tokens, i) == "-" {
			i++
		}
	}
	if i < len(p.tokens) && p.tokens[i].kind == tokenNumber && strings.Trim(p.tokens[i].text, "0123456789") == "" {
		if _, _, hasUnit := readUnit(p.tokens, number{next: i + 1}); !hasUnit {
			p.setTag(from, i+1)
		}
	}
}

func (p *parsing) setTag(from, to int) {
	use(p.tokens, from, to)
	p.tagsAt = append(p.tagsAt, from)
	var b strings.Builder
	for _, t := range p.tokens[from:to] {
		if t.kind != tokenMark {
			b.WriteString(t.text)
		}
	}
	p.done.Tag = strings.ToUpper(b.String())
}

// setAsideNumbers takes out what is no figure of a fish: times of day, dates,
// positions, long numbers.
func (p *parsing) setAsideNumbers() {
	for i := range p.tokens {
		t := p.tokens[i]
		if t.kind != tokenNumber || t.used {
			continue
		}
		colon := mark(p.tokens, i+1) == ":" && i+2 < len(p.tokens) && p.tokens[i+2].kind == tokenNumber && p.tokens[i+1].touches(p.tokens[i+2]) && t.touches(p.tokens[i+1])
		clock := word(p.tokens, i+1) == "am" || word(p.tokens, i+1) == "pm" || word(p.tokens, i+1) == "oclock"
		point := strings.IndexAny(t.text, ".")
		position := point >= 0 && len(t.text)-point > 4
		long := len(t.text) >= 7 && strings.Trim(t.text, "0123456789") == ""
		switch {
		case p.isClock(i):
			use(p.tokens, i, i+1)
		case colon || p.isDate(i):
			use(p.tokens, i, min(i+3, len(p.tokens)))
		case clock:
			use(p.tokens, i, i+2)
		case position || long && !p.hasUnitAfter(i):
			use(p.tokens, i, i+1)
		}
	}
}

func (p *parsing) hasUnitAfter(i int) bool {
	_, _, ok := readUnit(p.tokens, number{next: i + 1})
	return ok
}

// isDate is true for three numbers joined by dashes, points or slashes.
func (p *parsing) isDate(i int) bool {
	if i+4 >= len(p.tokens) {
		return false
	}
	a, b := mark(p.tokens, i+1), mark(p.tokens, i+3)
	return a == b && (a == "-" || a == "/") && p.tokens[i+2].kind == tokenNumber && p.tokens[i+4].kind == tokenNumber && !p.hasUnitAfter(i+4)
}

// headsLine is true for the first token of a line of notes, also where the line is read
// by itself, as a report.
func (p *parsing) headsLine(i int) bool {
	return i == 0 || mark(p.tokens, i-1) == "\n" || i == 1 && word(p.tokens, 0) == "log"
}

// isClock is true for the "0710" that heads a line of notes: a time of day, no count.
func (p *parsing) isClock(i int) bool {
	text := p.tokens[i].text
	if !p.headsLine(i) || len(text) != 4 || strings.Trim(text, "0123456789") != "" || p.hasUnitAfter(i) {
		return false
	}
	return text[:2] < "24" && text[2:] < "60"
}

// bareNumbers names each number that has no unit: it is not used.
func (p *parsing) bareNumbers(m *Meaning) {
	if len(p.bare) == 0 {
		return
	}
	field := "depth_m"
	switch {
	case m.Query.DepthM != nil && m.Query.WeightKg == nil && m.Query.LengthCm == nil:
		field = "weight_kg"
	case m.Query.DepthM != nil:
		return // the figures that matter are there
	}
	for _, b := range p.bare[:min(2, len(p.bare))] {
		m.Problems = append(m.Problems, Problem{field, advisor.Note{Code: NoUnit, Words: []string{b.raw}}})
	}
}

// nameUnknown keeps the name that nobody knows: the words before the first
// figure that mean nothing else.
func (p *parsing) nameUnknown(m *Meaning) {
	if len(p.names) > 0 {
		return
	}
	if p.outside != "" {
		m.Query.SpeciesName, m.Named = p.outside, p.outside
		return
	}
	words := p.unknownWords()
	if len(words) == 0 || len(words) > 3 || slices.ContainsFunc(words, func(w string) bool { return len(w) < 3 }) {
		return
	}
	m.Query.SpeciesName = strings.Join(words, " ")
	m.Named = m.Query.SpeciesName
}

// unknownWords are the words that may name a fish that nobody knows: of those that mean
// nothing else, the ones beside a figure, else the first.
func (p *parsing) unknownWords() []string {
	var first, words []string
	from := 0
	for i := 0; i <= len(p.tokens); i++ {
		if i < len(p.tokens) && p.isFree(i) {
			if len(words) == 0 {
				from = i
			}
			words = append(words, p.tokens[i].text)
			continue
		}
		if i < len(p.tokens) && p.tokens[i].text == "-" && len(words) > 0 && joined(p.tokens, i) {
			continue // "saint-pierre"
		}
		if len(words) > 0 && p.besideFigure(from, i) {
			return words
		}
		if first == nil {
			first = words
		}
		words = nil
	}
	return first
}

// isFree is true for a word that means nothing by itself.
func (p *parsing) isFree(i int) bool {
	t, b := p.tokens[i], book()
	return t.kind == tokenWord && !t.used && !b.filler[t.text] && !p.inHit(i) && !isNumberWord(t.text) &&
		!b.chat[t.text] && !b.scene[t.text] && !b.negates[t.text]
}

// besideFigure is true for words right before or behind a quantity.
func (p *parsing) besideFigure(from, to int) bool {
	return slices.ContainsFunc(p.found, func(q quantity) bool { return q.from == to || q.to == from })
}
