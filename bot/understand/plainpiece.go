package understand

import (
	"strings"

	"deepward/bot/understand/learned"
)

// mostPlain is how many words a piece has at most that the lists know as a whole.
const mostPlain = 4

// plainPieces takes what the word lists know of a whole piece of a message, where the learned
// reader heard nothing in it: "mero 40 m, vivo".
func (h *hearing) plainPieces() {
	if len(h.namesAt()) == 0 {
		return
	}
	for from := 0; from < len(h.tokens); {
		to := h.endOfPiece(from)
		if n := to - from; n > 0 && n <= mostPlain && h.untagged(from, to) {
			if layer, tag := h.listedState(from, to); tag != "" {
				h.tagAs(layer, from, to, tag)
			}
		}
		from = to + 1
	}
}

// listedState is the only state, deed or end that the lists have for words; "" for none or more.
func (h *hearing) listedState(from, to int) (layer learned.Layer, tag string) {
	l := lexicon()
	for _, c := range l.Phrases[h.phrase(from, to)] {
		kind, value, _ := strings.Cut(l.Concepts[c], ":")
		of, ok := layerOf[kind]
		if !ok {
			continue
		}
		if tag != "" {
			return 0, ""
		}
		layer, tag = of, kind+"."+value
	}
	return layer, tag
}

// layerOf is the layer of the learned reader for a kind of concept of the lists.
var layerOf = map[string]learned.Layer{
	"sign": learned.States, "hook": learned.States, "behaviour": learned.States, "method": learned.Deeds, "outcome": learned.Ends,
}

// tagAs tags words in a layer; they are of the fish that was told of last before them.
func (h *hearing) tagAs(layer learned.Layer, from, to int, tag string) {
	tags, whose := h.scores.Tags[layer], h.scores.Tags[learned.Whose]
	if to > len(tags) {
		return
	}
	owner := "0"
	for i := range from {
		if whose[i] != "O" && whose[i] != learned.NoFish {
			owner = whose[i]
		}
	}
	for i := from; i < to; i++ {
		tags[i], h.scores.Chances[layer][i] = "I-"+tag, 1
	}
	tags[from] = "B-" + tag
	h.own(from, to, owner)
}
