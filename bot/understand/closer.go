package understand

import "slices"

// closer is what tells the fish of a name more closely, right behind it: another name in
// brackets or behind "aka", or which one of the kind it is; "" where nothing does.
//
//	strawberry grouper (speckled hind)
//	a rockfish, black one I believe
//	un pargo, el colorado
func (h *hearing) closer(s span) string {
	i := s.to
	if mark(h.tokens, i) == "(" || alsoCalled[word(h.tokens, i)] {
		return h.nameFrom(i + 1)
	}
	if mark(h.tokens, i) == "," {
		i++
	}
	article := definite[word(h.tokens, i)] || word(h.tokens, i) == "a"
	if article {
		i++
	}
	if i >= len(h.tokens) || !h.untagged(i, i+1) && h.figureAt(i) != "B-name" {
		return ""
	}
	kind, name := word(h.tokens, i), h.typed(s.from, s.to)
	switch {
	case kind == "":
		return ""
	case oneOfKind[word(h.tokens, i+1)] && h.knows(kind+" "+name):
		return kind + " " + name
	case article && mark(h.tokens, s.to) == "," && h.endsPiece(i+1) && h.knows(name+" "+kind):
		return name + " " + kind
	}
	return ""
}

// alsoCalled lead from a name to another of the same fish.
var alsoCalled = wordSet("aka alias")

// oneOfKind stand behind the word that tells which one of its kind a fish is.
var oneOfKind = wordSet("one ones kind type variety")

// mostNameWords is how many words a name behind another has at most.
const mostNameWords = 4

// nameFrom is the longest known name that begins at a word and ends a piece of the message, ""
// if none does.
func (h *hearing) nameFrom(from int) string {
	for to := min(from+mostNameWords, len(h.tokens)); to > from; to-- {
		words := h.tokens[from:to]
		if to-from == 1 && plainParts[words[0].text] {
			return ""
		}
		if h.endsPiece(to) && !slices.ContainsFunc(words, func(t token) bool { return t.kind != tokenWord }) && h.knows(h.typed(from, to)) {
			return h.typed(from, to)
		}
	}
	return ""
}

// endsPiece is true where a piece of the message is over before a token.
func (h *hearing) endsPiece(i int) bool {
	return i >= len(h.tokens) || h.tokens[i].kind != tokenWord
}
