package understand

import (
	"slices"
	"strings"
	"unicode"

	"deepward/advisor"
)

// Reader understands messages. It holds nothing but tables that are read once
// and never change, so one serves every chat at the same time.
type Reader struct{}

// NewReader returns a reader. It does no work: the tables are read when the
// first message needs them.
func NewReader() *Reader { return &Reader{} }

// Understand reads one message by the lists alone.
func (r *Reader) Understand(text string, s Setting) Meaning {
	m := Meaning{Text: text, Kind: Other, Query: blankQuery(), Missing: []string{}}
	folded := strings.TrimSpace(fold(text))
	if folded == "" {
		return m
	}
	if verb, lead, skip, ok := readCommand(folded); ok {
		switch verb {
		case "log":
			folded = "log " + afterWords(folded, skip)
		case "ask":
			folded = afterWords(folded, skip)
		default:
			m.Kind, m.Verb, m.Rest = Command, verb, strings.TrimSpace(lead+" "+afterWords(text, skip))
			return m
		}
	}
	p := newParsing(folded, s)
	p.read(&m)
	if m.Kind != Report {
		return m
	}
	if parts := p.apart(); len(parts) > 0 {
		m.together(parts, s)
	} else {
		m.oneByOne(p.outcomesOfOne())
	}
	return m
}

// Verb is the command that a message is, "" for anything else. It reads no more of it.
func (r *Reader) Verb(text string) string {
	folded := strings.TrimSpace(fold(text))
	if folded == "" {
		return ""
	}
	verb, _, _, _ := readCommand(folded)
	return verb
}

// Outcome is how a fish went off by words that say nothing else, in answer to that
// question: "floated", "flotó"; "" for other words.
func (r *Reader) Outcome(text string) advisor.Outcome {
	p := newParsing(strings.TrimSpace(fold(text)), Setting{})
	p.readDone()
	if p.leftover() > 0 {
		return ""
	}
	return p.done.Outcome
}

// Day is the day that is told by words that say nothing else: "it was 12 Nov", "ayer";
// nil for other words.
func (r *Reader) Day(text string) *Day {
	p := newParsing(strings.TrimSpace(fold(text)), Setting{})
	if p.leftover() > 0 || len(p.names) > 0 || len(p.found) > 0 || len(p.bare) > 0 {
		return nil
	}
	return p.dayOf(segment{to: len(p.tokens), name: -1})
}

// Tag is the tag number in words that hold nothing else: "tag AAD000123"; "" for
// other words.
func (r *Reader) Tag(text string) string {
	p := newParsing(strings.TrimSpace(fold(text)), Setting{})
	if p.leftover() > 0 {
		return ""
	}
	return p.done.Tag
}

// afterWords is what follows so many words of a text, as it was typed: names and
// notes keep their capitals.
func afterWords(text string, n int) string {
	text = strings.TrimSpace(text)
	for range n {
		i := strings.IndexFunc(text, unicode.IsSpace)
		if i < 0 {
			return ""
		}
		text = strings.TrimSpace(text[i:])
	}
	return text
}

// blankQuery is a question that says nothing; its lists are empty, not absent.
func blankQuery() advisor.Query {
	return advisor.Query{Candidates: []string{}, Signs: []advisor.Sign{}, Count: 1}
}

// parsing is one message being read.
type parsing struct {
	text    string
	tokens  []token
	setting Setting

	found []quantity
	bare  []quantity
	names []nameHit
	// outside is the name of a fish that no catalogue has, "" if there is none.
	outside string
	hits    []hit
	counts  map[int]int // name → how many, by index in names
	done    Done
	days    []saidDay
	// tagsAt are the tokens at which tag numbers begin.
	tagsAt []int
}

// newParsing reads the pieces: tags and times first, since they hold numbers,
// then quantities, then names, then phrases over what is left.
func newParsing(folded string, s Setting) *parsing {
	p := &parsing{text: folded, tokens: scan(folded), setting: s, counts: map[int]int{}}
	if s.Language == "pt" {
		renameIn(p.tokens)
	}
	p.findTag()
	p.findDays()
	p.setAsideNumbers()
	p.found, p.bare = findQuantities(p.text, p.tokens)
	takeLead(p.tokens, p.found)
	p.outside = takeOutside(p.tokens)
	p.names = findNames(p.tokens, s.Region, p.outside == "" && p.aboutFish())
	inLanguage(p.names, s.Language)
	p.hits = findPhrases(p.tokens)
	p.findRelativeDays()
	p.countFish()
	p.settleDinner()
	return p
}

// renameIn writes the Portuguese word "no", in the, in the way that is no denial in
// another language.
func renameIn(tokens []token) {
	for i := range tokens {
		if tokens[i].kind == tokenWord && tokens[i].text == "no" {
			tokens[i].text = "em"
		}
	}
}

// aboutFish is true when a depth or a size says that the message is about a
// fish, or when it is so short that it can be little else.
func (p *parsing) aboutFish() bool {
	words := 0
	for _, t := range p.tokens {
		if t.kind == tokenWord && !t.used {
			words++
		}
	}
	return words <= 2 || slices.ContainsFunc(p.found, func(q quantity) bool {
		return q.dim == depth || q.dim == weight || q.dim == length
	})
}

// has reports whether a concept was said and not denied.
func (p *parsing) has(concept string) bool {
	return slices.ContainsFunc(p.hits, func(h hit) bool { return h.concept == concept && !h.negated })
}

// hasAny is the same for all concepts that begin with a prefix.
func (p *parsing) hasAny(prefix string) bool {
	return slices.ContainsFunc(p.hits, func(h hit) bool { return strings.HasPrefix(h.concept, prefix) && !h.negated })
}

// begins reports whether the message begins with a concept.
func (p *parsing) begins(concept string) bool {
	return slices.ContainsFunc(p.hits, func(h hit) bool { return h.concept == concept && h.from == 0 })
}

// value is what follows a prefix among the concepts said, the last one said.
func (p *parsing) value(prefix string, from, to int) string {
	v := ""
	for _, h := range p.hits {
		if h.from >= from && h.from < to && !h.negated && strings.HasPrefix(h.concept, prefix) {
			v = strings.TrimPrefix(h.concept, prefix)
		}
	}
	return v
}

// read fills the meaning from the pieces.
func (p *parsing) read(m *Meaning) {
	segments := p.segments()
	var fish []advisor.Query
	for _, s := range segments {
		fish = append(fish, p.fish(s, m)...)
	}
	shareDepth(fish)
	fish = p.oddOneOut(fish)
	m.Query, m.More = fish[0], fish[1:]
	if len(p.names) > 0 {
		m.Named = p.names[0].words
	}
	p.readDone()
	p.done.Day = p.dayOf(segments[0])
	m.Done = p.done
	m.Kind = p.kind(m)
	p.placeOunces(m)
	if m.Kind == Other {
		*m = Meaning{Text: m.Text, Kind: Other, Query: blankQuery(), Missing: []string{}}
		return
	}
	p.nameUnknown(m)
	m.Correction = p.putsRight()
	m.FollowUp = len(p.names) == 0 && m.Query.SpeciesName == "" || p.isCorrection()
	p.bareNumbers(m)
	check(m)
	m.Missing = Missing(m.Query)
}

// shareDepth gives the depth of one fish to those of the same message that have none.
func shareDepth(fish []advisor.Query) {
	for i := range fish {
		if fish[i].DepthM != nil || len(fish) == 1 {
			continue
		}
		for j := range fish {
			if fish[j].DepthM != nil {
				fish[i].DepthM, fish[i].DepthRangeM = fish[j].DepthM, fish[j].DepthRangeM
				if j < i {
					continue // the nearest one before, else the first after
				}
				break
			}
		}
	}
}

// Missing lists what would sharpen the answer to a question: the depth before all
// else, since without it nothing can be said. The list is empty, never nil.
func Missing(q advisor.Query) []string {
	list := []string{}
	if q.DepthM == nil {
		list = append(list, MissingDepth)
	} else if q.WeightKg == nil && q.LengthCm == nil {
		list = append(list, MissingSize)
	}
	if q.Species == "" {
		list = append(list, MissingSpecies)
	}
	return list
}

// isCorrection is true for words that put another fish in place of the last.
func (p *parsing) isCorrection() bool {
	return len(p.names) == 1 && len(p.found) == 0 && (p.putsRight() || word(p.tokens, 0) == "i") && p.leftover() == 0
}

// putsRight is true for a message that begins with a no or a word of correction.
func (p *parsing) putsRight() bool {
	switch word(p.tokens, 0) {
	case "no", "nao", "non":
		return true
	}
	return p.begins("correction")
}
