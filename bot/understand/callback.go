package understand

import (
	"slices"
	"strconv"
	"strings"

	"deepward/bot/understand/learned"
)

// callBack takes words that call a fish that is talked of by its name, or by the chief word of
// it, for that name where the learned reader did not: "gag's belly is tight, scamp's eyes pop".
func (h *hearing) callBack() {
	h.callByPart()
	if len(h.setting.Talked) < 2 {
		return // there is no other to tell it from
	}
	figures := h.scores.Tags[learned.Figures]
	for i := 0; i < min(len(h.tokens), len(figures)); i++ {
		name, n := h.calledAt(i)
		if n == 0 || !h.untagged(i, i+n) && !h.unlead(i, i+n) {
			continue
		}
		h.tag(i, i+n, "name")
		h.call(i, name)
		h.ownedLikeNext(i, i+n)
		i += n - 1
	}
}

// call takes the word at i for one that calls a fish of that name.
func (h *hearing) call(i int, name string) {
	if h.called == nil {
		h.called = map[int]string{}
	}
	h.called[i] = name
}

// callByPart takes a name of one word that is the first or the last of a longer one that is
// talked of for that: "paru" is the paru ofe just told, whatever else is called so.
func (h *hearing) callByPart() {
	figures := h.scores.Tags[learned.Figures]
	for i := range figures {
		alone := figures[i] == "B-name" && (i+1 == len(figures) || figures[i+1] != "I-name")
		if name, n := h.calledAt(i); alone && n == 1 && len(wordsOf(name)) > 1 {
			h.call(i, name)
		}
	}
}

// shortestCall is how many letters a word has at least that calls a fish by part of its name.
const shortestCall = 4

// calledAt is the name of a fish that is talked of which the words at i are, or of which they
// are the first or the last word and no other fish's, and how many words these are.
func (h *hearing) calledAt(i int) (name string, n int) {
	called := singularWord(word(h.tokens, i))
	for _, talked := range h.setting.Talked {
		words := wordsOf(talked)
		if h.sameWords(i, words) {
			return talked, len(words)
		}
		if len(called) >= shortestCall && isPartOf(called, words) && !everyday(called) {
			if n > 0 {
				return "", 0 // it is said of two
			}
			name, n = talked, 1
		}
	}
	return name, n
}

// isPartOf is true for a word that calls a fish by part of its name: the first or the last word
// of several, or either end of the last one: "bass" of seabass, "tile" of a blueline tilefish.
func isPartOf(called string, words []string) bool {
	if len(words) == 0 || called == "" {
		return false
	}
	first, last := singularWord(words[0]), singularWord(words[len(words)-1])
	if len(words) > 1 && (first == called || last == called) {
		return true
	}
	return len(called) >= shortestCall && len(last) > len(called)+1 && (strings.HasPrefix(last, called) || strings.HasSuffix(last, called))
}

// sameWords is true where the words at i are these, in the plural or not.
func (h *hearing) sameWords(i int, words []string) bool {
	if len(words) == 0 || i+len(words) > len(h.tokens) {
		return false
	}
	for k, w := range words {
		if singularWord(h.tokens[i+k].text) != singularWord(w) {
			return false
		}
	}
	return true
}

// untagged is true for words that were read and of which nothing is tagged.
func (h *hearing) untagged(from, to int) bool { return h.clearFrom(learned.Figures, from, to) }

// untold is true for words that were read and of which no state, deed or end is tagged.
func (h *hearing) untold(from, to int) bool { return h.clearFrom(learned.States, from, to) }

// clearFrom is true for words that were read and of which nothing is tagged from a layer on.
func (h *hearing) clearFrom(first learned.Layer, from, to int) bool {
	for layer := first; layer <= learned.Ends; layer++ {
		tags := h.scores.Tags[layer]
		if to > len(tags) || slices.ContainsFunc(tags[from:to], isTag) {
			return false
		}
	}
	return true
}

// unlead takes words off the head of what is told behind them, where that goes on without them:
// "tera | went by himself" calls a fish first. False where they are no such head.
func (h *hearing) unlead(from, to int) bool {
	if isTag(h.figureAt(from)) {
		return false
	}
	led := false
	for layer := learned.States; layer <= learned.Ends; layer++ {
		tags := h.scores.Tags[layer]
		switch {
		case to >= len(tags):
			return false
		case tags[from] == "O":
		case tags[from][0] != 'B' || tags[to] != "I"+tags[from][1:]:
			return false
		default:
			tags[to], led = tags[from], true
			for i := from; i < to; i++ {
				tags[i] = "O"
			}
		}
	}
	return led
}

// ownedLikeNext gives a name to the fish that what follows it is said of.
func (h *hearing) ownedLikeNext(from, to int) {
	whose, figures := h.scores.Tags[learned.Whose], h.scores.Tags[learned.Figures]
	owner := strconv.Itoa(0)
	for i := to; i < len(whose) && figures[i] != "B-name"; i++ {
		if whose[i] != "O" && whose[i] != learned.NoFish && whose[i] != learned.AllFish {
			owner = whose[i]
			break
		}
	}
	h.own(from, to, owner)
}
