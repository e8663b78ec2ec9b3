package understand

import (
	"slices"

	"deepward/bot/understand/learned"
)

// shortestThing is how many letters a word for a thing that serves as a weight has at least, and
// besideThing how many words it stands from the figure at most.
const (
	shortestThing = 4
	besideThing   = 5
)

// things are the words beside the weights of a message that no piece of it claims: what serves
// as a weight, "a milk crate with 12 lb in it", and is called by that later: "the crate is more
// like 15".
func (h *hearing) things() (list []string) {
	for _, s := range h.spans(learned.Figures) {
		if s.tag != "weights_used_oz" && s.tag != "aboard_oz" && s.tag != "aboard_lead_g" {
			continue
		}
		from, to := max(h.pieceBefore(s.from), s.from-besideThing), s.to
		for to < min(len(h.tokens), s.to+besideThing) && !h.isBreak(to) {
			to++
		}
		for i := from; i < to; i++ {
			if w := h.tokens[i].text; h.isThing(i, s) && !slices.Contains(list, w) {
				list = append(list, w)
			}
		}
	}
	return list
}

// isThing is true for a word in or beside a weight that may be what serves as one: no word for
// weights themselves, for a unit or a number, and none that something else of the fish is told by.
func (h *hearing) isThing(i int, s span) bool {
	w, figures := h.tokens[i].text, h.scores.Tags[learned.Figures]
	if h.tokens[i].kind != tokenWord || len(w) < shortestThing || isNumberWord(w) || isWeightWord(w) || leadWords[w] || weightNouns[w] || definite[w] || withs[w] {
		return false
	}
	_, unit := units()[w]
	if _, fish := whichPhrases()[w]; unit || fish {
		return false
	}
	if i < len(figures) && figures[i] != "O" && (i < s.from || i >= s.to) {
		return false
	}
	for _, layer := range []learned.Layer{learned.States, learned.Ends} {
		if tags := h.scores.Tags[layer]; i < len(tags) && isTag(tags[i]) {
			return false
		}
	}
	return true
}

// namesThing is which of some things a message speaks of, with an article or a word such as
// "that" before it, or as its first word; "" for none.
func (h *hearing) namesThing(things []string) string {
	for i, t := range h.tokens {
		before := word(h.tokens, i-1)
		if slices.Contains(things, singularWord(t.text)) || slices.Contains(things, t.text) {
			if i == 0 || definite[before] || thats[before] {
				return singularWord(t.text)
			}
		}
	}
	return ""
}

// thats point at a thing.
var thats = wordSet("that this my his her our your ese esa este esta mi su esse essa meu minha dele seu sua o a cette ce mon son notre")
