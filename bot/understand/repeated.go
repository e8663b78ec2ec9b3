package understand

import (
	"slices"

	"deepward/bot/understand/learned"
)

// repeated gives what follows a name that the message told before to the fish of that name, or
// what stands before "on" it: "gag and a scamp from 52 m, the scamp's stomach is out", "eyes
// out on the scamp". Where as many names as were counted
// follow, the count is of no one fish: "two on deck, gag and a scamp".
func (h *hearing) repeated(names []int) {
	figures, whose := h.scores.Tags[learned.Figures], h.scores.Tags[learned.Whose]
	if len(names) < 2 || whose[names[0]] == whose[names[1]] {
		return
	}
	h.dropSum(names)
	for i := names[1] + 1; i < len(figures); i++ {
		k := h.toldBefore(names, i)
		if k < 0 || whose[names[k]] == "O" || figures[i] == "I-name" {
			continue
		}
		if h.isTheOther(i) {
			if whose[i] == whose[names[k]] {
				h.ownFrom(i, h.freshOwner())
				h.renumber()
			}
			continue
		}
		if before := h.pieceBefore(i); h.isOn(pointer{from: i}) && h.tellsSoFar(before, i) { // not "al gallo le asoma"
			h.own(before, i, whose[names[k]])
			continue
		}
		h.ownFrom(i, whose[names[k]])
	}
}

// toldBefore is which of the names that stand before i the word there calls: that name, or the
// only one that it is part of; -1 for none.
func (h *hearing) toldBefore(names []int, i int) int {
	called, part := singularWord(h.tokens[i].text), -1
	if len(h.nameWords(i)) > 1 && h.figureAt(i) == "B-name" {
		called = "" // a name of its own: a red grouper behind a red snapper
	}
	for k, at := range names {
		words := h.nameWords(at)
		if at+len(words) > i {
			break
		}
		switch {
		case h.sameWords(i, words):
			return k
		case len(called) < shortestPart || !isPartOf(called, words) || !h.mayCall(i):
		case part >= 0 && !h.sameWords(names[part], words):
			return -1
		case part < 0:
			part = k
		}
	}
	return part
}

// shortestPart is how many letters a word has at least that calls a fish told just before:
// "a red emperor and a nannygai, nannygai 5 kilos, red 8".
const shortestPart = 3

// isTheOther is true for a name with a word for the other one before it: "the other quillback".
func (h *hearing) isTheOther(i int) bool {
	return slices.ContainsFunc(h.points, func(p pointer) bool { return p.to == i && p.which.Other })
}

// mayCall is true for a word that tells nothing else of a fish.
func (h *hearing) mayCall(i int) bool { return h.untold(i, i+1) && h.free(i, i+1) }

// nameWords are the words of a name that begins there; none where they do not fit what is left.
func (h *hearing) nameWords(at int) (list []string) {
	figures := h.scores.Tags[learned.Figures]
	for i := at; i < len(figures) && (i == at || figures[i] == "I-name"); i++ {
		list = append(list, h.tokens[i].text)
	}
	return list
}

// ownFrom gives what is told from a name on to a fish, up to the next name, or the next words
// that tell which fish is meant: but for figures that are said of all of them, and what is said
// of none.
func (h *hearing) ownFrom(at int, owner string) {
	figures, whose := h.scores.Tags[learned.Figures], h.scores.Tags[learned.Whose]
	for i := at; i < len(whose); i++ {
		pointed := slices.ContainsFunc(h.points, func(p pointer) bool { return p.from == i })
		if i > at && (figures[i] == "B-name" || pointed) {
			return
		}
		if whose[i] != learned.NoFish && (whose[i] != learned.AllFish || !isTag(figures[i])) {
			whose[i] = owner
		}
	}
}

// dropSum takes away a count before the first name that is that of the names.
func (h *hearing) dropSum(names []int) {
	figures := h.scores.Tags[learned.Figures]
	for i := range names[0] {
		if figures[i] != "B-count" || names[0]-i <= besides {
			continue
		}
		if n, ok := readNumberAt(h.tokens, i); ok && int(n.value) == len(names) {
			figures[i] = "O"
		}
	}
}
