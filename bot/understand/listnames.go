package understand

import "deepward/bot/understand/learned"

// wholeNames joins names side by side that are one known name: "gallo | san pedro".
func (h *hearing) wholeNames() {
	figures := h.scores.Tags[learned.Figures]
	for _, at := range h.namesAt() {
		next := at + len(h.nameWords(at))
		if next < len(figures) && figures[next] == "B-name" && figures[at] == "B-name" && h.knows(h.typed(at, next+len(h.nameWords(next)))) {
			figures[next] = "I-name"
		}
	}
}

// listOn takes a known name that goes on a list of names for one, where the learned reader
// did not: "gallo, escórpora y cabracho".
func (h *hearing) listOn() {
	for _, at := range h.namesAt() {
		for next, n := h.joinedName(at + len(h.nameWords(at))); n > 0; next, n = h.joinedName(next + n) {
			h.tag(next, next+n, "name")
			h.own(next, next+n, h.freshOwner())
		}
	}
}

// joinedName is where a name begins that a comma or a word for "and" joins to the words before,
// and how many words it has, 0 for none.
func (h *hearing) joinedName(i int) (at, n int) {
	if mark(h.tokens, i) != "," && !ands[word(h.tokens, i)] {
		return i, 0
	}
	for i++; definite[word(h.tokens, i)] || ones[word(h.tokens, i)]; i++ {
	}
	for n := min(mostNameWords, len(h.tokens)-i); n > 0; n-- {
		if h.isPlainName(i, i+n) && (h.endsPiece(i+n) || ands[word(h.tokens, i+n)]) {
			return i, n
		}
	}
	return i, 0
}

// isPlainName is true for words of which nothing was learned, that are a known name and nothing
// else.
func (h *hearing) isPlainName(from, to int) bool {
	for i := from; i < to; i++ {
		if h.tokens[i].kind != tokenWord || to-from == 1 && (len(h.tokens[i].text) < shortestCall || everyday(h.tokens[i].text)) {
			return false
		}
	}
	return h.untagged(from, to) && h.knows(h.typed(from, to))
}
