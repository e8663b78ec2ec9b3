package understand

import (
	"deepward/bot/understand/learned"
)

// unread are the words beside a name or a figure that were not used and that nobody
// knows: what a misreading would hide in.
func (h *hearing) unread() []string {
	figures := h.scores.Tags[learned.Figures]
	var list []string
	for i := range figures {
		if h.isUsed(i) || !h.isStrange(i) || !h.besideSaid(i) {
			continue
		}
		list = append(list, h.typed(i, i+1))
	}
	return list
}

// isUsed is true for a word that has a tag in any layer.
func (h *hearing) isUsed(i int) bool {
	for layer := learned.Figures; layer < learned.Whose; layer++ {
		if i < len(h.scores.Tags[layer]) && h.scores.Tags[layer][i] != "O" {
			return true
		}
	}
	return false
}

// isStrange is true for a word that neither the lists nor the texts know.
func (h *hearing) isStrange(i int) bool {
	t := h.tokens[i]
	const short = 3
	return t.kind == tokenWord && len(t.text) > short && !learned.Trained().Knows(t.text) && lexicon().Phrases[t.text] == nil && !listed().known[t.text]
}

// besideSaid is true next to a name or a figure of a fish.
func (h *hearing) besideSaid(i int) bool {
	figures := h.scores.Tags[learned.Figures]
	return i > 0 && figures[i-1] != "O" || i+1 < len(figures) && figures[i+1] != "O"
}
