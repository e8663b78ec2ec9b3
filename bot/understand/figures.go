package understand

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// figure takes the value of a tagged run of words.
func (h *hearing) figure(s span) {
	h.found = h.quantities(s)
	switch s.tag {
	case "name":
		h.name(s)
	case "count":
		if n, ok := h.countIn(s); ok {
			h.each(s, func(f *Fish) { f.Query.Count, f.Counted = n, true })
		}
	case "depth_m":
		h.depth(s)
	case "weight_kg":
		h.measure(s, h.weightIn, func(f *Fish, x float64) { f.Query.WeightKg = &x })
	case "length_cm":
		h.length(s)
	case "minutes_on_deck":
		h.measure(s, h.minutesIn, func(f *Fish, x float64) { f.Query.MinutesOnDeck = &x })
	case "release_depth_m":
		h.measure(s, h.depthIn, func(f *Fish, x float64) { f.Done.ReleaseDepthM = &x })
	case "weights_used_oz":
		used := h.ouncesIn(s)
		h.each(s, func(f *Fish) { f.Done.WeightsOz = append(f.Done.WeightsOz, used...) })
	case "aboard_oz":
		h.aboard.ReleaseOz = append(h.aboard.ReleaseOz, h.ouncesIn(s)...)
	case "aboard_lead_g":
		h.aboard.LeadG = append(h.aboard.LeadG, h.gramsIn(s)...)
	case "tag":
		if tag := h.tagIn(s); tag != "" {
			h.each(s, func(f *Fish) { f.Done.Tag = tag })
		}
	case "day":
		h.day = h.dayIn(s)
	}
}

// measure sets a figure of each fish, or keeps a bare number for an answer.
func (h *hearing) measure(s span, read func(span) (float64, bool), set func(*Fish, float64)) {
	if x, ok := read(s); ok {
		h.each(s, func(f *Fish) { set(f, x) })
		return
	}
	h.keepBare(s)
}

// keepBare remembers a figure without a unit with the role that the words give it.
func (h *hearing) keepBare(s span) {
	for i := s.from; i < s.to; i++ {
		if n, ok := readNumberAt(h.tokens, i); ok && n.value > 0 {
			h.bare = append(h.bare, Bare{Value: n.value, Role: s.tag, Words: h.typed(i, min(n.next, len(h.tokens)))})
			return
		}
	}
}

// quantities are those that stand in a span, with the unit right behind it: what stands
// elsewhere does not reach into it.
func (h *hearing) quantities(s span) []quantity {
	end := s.to
	if _, ok := units()[word(h.tokens, end)]; ok && !h.isUsed(end) {
		end++
	}
	tokens := slices.Clone(h.tokens)
	use(tokens, 0, s.from)
	use(tokens, end, len(tokens))
	found, _ := findQuantities(h.folded.text, tokens)
	return found
}

// in are the quantities with a unit that a span touches.
func (h *hearing) in(s span) []quantity {
	var list []quantity
	for _, q := range h.found {
		if q.from < s.to && q.to > s.from && !q.negative {
			list = append(list, q)
		}
	}
	return list
}

func (h *hearing) depth(s span) {
	for _, q := range h.in(s) {
		if q.dim != depth {
			continue
		}
		h.each(s, func(f *Fish) {
			high := q.high
			f.Query.DepthM, f.Query.DepthRangeM = &high, nil
			if q.ranged {
				f.Query.DepthRangeM = []float64{q.low, q.high}
			}
		})
		return
	}
	h.keepBare(s)
}

func (h *hearing) depthIn(s span) (float64, bool) {
	for _, q := range h.in(s) {
		if q.dim == depth {
			return q.high, true
		}
	}
	return 0, false
}

func (h *hearing) minutesIn(s span) (float64, bool) {
	for _, q := range h.in(s) {
		if q.dim == minutes {
			return q.high, true
		}
	}
	return 0, false
}

// length takes a length in any unit of length: of metres and feet too, since the words
// say that it is the fish.
func (h *hearing) length(s span) {
	for _, q := range h.in(s) {
		cm := q.high
		switch {
		case q.dim == depth:
			cm *= cmPerMetre
		case q.dim != length:
			continue
		}
		kind := h.lengthType(s)
		h.each(s, func(f *Fish) { f.Query.LengthCm, f.Query.LengthType = &cm, kind })
		return
	}
	h.keepBare(s)
}

const cmPerMetre = 100

// lengthType is how a length was measured, by the words in it and right around it.
func (h *hearing) lengthType(s span) advisor.LengthType {
	from, to := max(0, s.from-2), min(len(h.tokens), s.to+2)
	for i := from; i < to; i++ {
		for n := min(2, to-i); n > 0; n-- {
			for _, c := range lexicon().Phrases[h.phrase(i, i+n)] {
				if kind, ok := strings.CutPrefix(lexicon().Concepts[c], "length:"); ok {
					return advisor.LengthType(kind)
				}
			}
		}
	}
	return ""
}

// phrase are the folded words from to to, joined by blanks.
func (h *hearing) phrase(from, to int) string {
	words := make([]string, 0, to-from)
	for _, t := range h.tokens[from:to] {
		words = append(words, t.text)
	}
	return strings.Join(words, " ")
}

// countIn is a number of fish: "3", "two", "a couple", "both".
func (h *hearing) countIn(s span) (int, bool) {
	for i := s.from; i < s.to; i++ {
		if n, ok := readNumberAt(h.tokens, i); ok && n.value >= 1 {
			return int(n.value), true
		}
		if n, ok := countWords[h.tokens[i].text]; ok {
			return n, true
		}
	}
	return 0, false
}

// countWords are words for a number of fish that are no numbers elsewhere.
var countWords = map[string]int{
	"a": 1, "an": 1, "another": 1, "un": 1, "una": 1, "uno": 1, "une": 1, "um": 1, "uma": 1, "otro": 1, "otra": 1, "outro": 1, "outra": 1,
	"both": 2, "pair": 2, "couple": 2, "ambos": 2, "ambas": 2, "par": 2, "pareja": 2, "paire": 2, "tous les deux": 2, "twins": 2, "twin": 2, "double": 2, "doubles": 2, "doblete": 2, "doble": 2, "dupla": 2,
	"casal": 2, "trio": 3, "triple": 3, "dozen": 12, "docena": 12, "duzia": 12, "douzaine": 12,
}

// tagIn is the number on a tag, as it stands there without blanks.
func (h *hearing) tagIn(s span) string {
	first := -1
	for i := s.from; i < s.to && first < 0; i++ {
		switch {
		case h.tokens[i].kind == tokenNumber:
			first = i
		case h.tokens[i].kind == tokenWord && i+1 < s.to && len(h.tokens[i].text) <= 4 && !saysTag(h.tokens[i].text) && !tagLead[h.tokens[i].text] &&
			(h.tokens[i+1].kind == tokenNumber || mark(h.tokens, i+1) == "-"):
			first = i
		}
	}
	if first < 0 {
		return ""
	}
	return strings.ToUpper(strings.ReplaceAll(h.typed(first, s.to), " ", ""))
}

// tagLead are short words before the number of a tag.
var tagLead = wordSet("no num nr n number la el the le o a is was it es era")

// dayIn reads when it was; words that no calendar knows are kept as they are.
func (h *hearing) dayIn(s span) *Day {
	words := h.phrase(s.from, s.to)
	if d := (&Reader{}).Day(words); d != nil {
		return d
	}
	return &Day{Words: words}
}
