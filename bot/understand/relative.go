package understand

import "deepward/bot/understand/learned"

// halvings and doublings are words for half and twice of something.
var (
	halvings  = wordSet("half mitad metade moitie")
	doublings = wordSet("twice double doble dobro")
	// nouns are those of them that need no word behind them: "otro de la mitad".
	nouns = wordSet("mitad metade moitie dobro")
)

// ofAnother follow such a word where it is of another fish: "half that size", "la mitad del otro".
var ofAnother = wordSet("that the size weight of as del de do da du than")

// relativeAt is how many times as big as another fish the word at i says that one is, 0 where it
// says no such thing: "half a kilo", "double hook".
func (h *hearing) relativeAt(i int) float64 {
	w := word(h.tokens, i+1)
	ends := w == "" && nouns[h.tokens[i].text]
	if _, unit := units()[word(h.tokens, i+2)]; unit || !ends && !ofAnother[w] {
		return 0
	}
	switch {
	case halvings[h.tokens[i].text]:
		return 0.5
	case doublings[h.tokens[i].text]:
		return 2
	}
	return 0
}

// isRelative is true for a span that tells a size by that of another fish.
func (h *hearing) isRelative(s span) bool {
	for i := s.from; i < s.to; i++ {
		if h.relativeAt(i) > 0 {
			return true
		}
	}
	return false
}

// relatives notes how big fish are beside the one told before them: "another half that size".
func (h *hearing) relatives(used []int) {
	for i := range min(len(h.tokens), len(h.scores.Tags[learned.Whose])) {
		times := h.relativeAt(i)
		if times == 0 || len(h.groups) == 0 {
			continue
		}
		places := h.placed(i, i+1, used)
		if len(places) == 0 {
			places = []int{len(h.groups) - 1}
		}
		f := &h.groups[places[0]]
		if f.Query.WeightKg == nil && f.Query.LengthCm == nil {
			f.Times = times
		}
	}
}
