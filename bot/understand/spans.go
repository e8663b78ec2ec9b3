package understand

import (
	"strconv"

	"deepward/bot/understand/learned"
)

// span is a run of words with one tag.
type span struct {
	tag      string
	from, to int
	// fish are the places of the fish it is said of: one, or all of them when nil.
	fish []int
	// sure is the least chance of its tags.
	sure float32
}

// spans are the runs of a layer, in order.
func (h *hearing) spans(layer learned.Layer) []span {
	tags := h.scores.Tags[layer]
	var list []span
	for i := 0; i < len(tags); i++ {
		if tags[i] == "O" {
			continue
		}
		s := span{tag: tags[i][2:], from: i, to: i + 1, sure: h.scores.Chances[layer][i]}
		for s.to < len(tags) && tags[s.to] == "I-"+s.tag {
			s.sure = min(s.sure, h.scores.Chances[layer][s.to])
			s.to++
		}
		s.fish = h.whose(s.from, s.to)
		list = append(list, s)
		i = s.to - 1
	}
	return h.ofJoint(h.ofUnnamed(list))
}

// whose is the fish that most words of a run are said of; nil for all of them.
func (h *hearing) whose(from, to int) []int {
	votes := map[string]int{}
	best := learned.NoFish
	for _, w := range h.scores.Tags[learned.Whose][from:to] {
		if w == "O" {
			continue
		}
		if votes[w]++; votes[w] > votes[best] {
			best = w
		}
	}
	switch best {
	case learned.AllFish:
		return nil
	case learned.NoFish:
		return []int{0}
	}
	n, err := strconv.Atoi(best)
	if err != nil {
		return []int{0}
	}
	return []int{n}
}
