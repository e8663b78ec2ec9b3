package understand

import (
	"strings"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// fated are the words that tell a fish from others by how it went with it, which the learned
// reader did not take for news: "the one that died", "la que flotó", "the dead one".
func (h *hearing) fated() (list []pointer) {
	for i := 0; i < len(h.tokens); i++ {
		from, ok := h.beginsFated(i)
		if !ok {
			continue
		}
		for to := min(i+mostFateWords, len(h.tokens)); to > i; to-- {
			which, ok := fateOf(h.phrase(i, to))
			if !ok || !h.untold(from, to) {
				continue
			}
			if w := word(h.tokens, to); w == "one" || w == "fish" {
				to++
			} else if from == i-1 && isTag(h.figureAt(to)) {
				break // "the dead gag" has its name
			}
			list = append(list, pointer{from, to, which})
			i = to - 1
			break
		}
	}
	return list
}

// mostFateWords is how many words tell how it went with a fish at most.
const mostFateWords = 4

// beginsFated is where such words begin, with those that lead to what happened at i.
func (h *hearing) beginsFated(i int) (from int, ok bool) {
	before := word(h.tokens, i-1)
	if whoWords[before] {
		head := word(h.tokens, i-2)
		return i - 2, head == "one" || head == "fish" || definite[head] || heads[head]
	}
	return i - 1, definite[before] && !ones[before]
}

// whoWords lead from a fish to what happened to it, heads are words for one that is told by that.
var (
	whoWords = wordSet("that which who que qui")
	heads    = wordSet("celui celle aquel aquella aquele aquela ceux celles")
)

// fateOf is how it went with a fish by the word lists.
func fateOf(phrase string) (w Which, ok bool) {
	l := lexicon()
	for _, c := range l.Phrases[phrase] {
		switch kind, value, _ := strings.Cut(l.Concepts[c], ":"); {
		case kind == "outcome":
			return Which{End: advisor.Outcome(value)}, true
		case kind == "behaviour" && advisor.Behaviour(value) == advisor.Dead:
			w, ok = Which{End: advisor.Died}, true
		case kind == "behaviour" && advisor.Behaviour(value) == advisor.Floating:
			w, ok = Which{End: advisor.FloatedOff}, true
		case kind == "method" && advisor.Method(value) == advisor.Kept:
			w, ok = Which{Kept: true}, true
		}
	}
	return w, ok
}

// figureAt is the tag of a figure or a name there, "O" for none.
func (h *hearing) figureAt(i int) string {
	if figures := h.scores.Tags[learned.Figures]; i < len(figures) {
		return figures[i]
	}
	return "O"
}
