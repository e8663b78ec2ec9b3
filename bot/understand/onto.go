package understand

import (
	"strconv"

	"deepward/bot/understand/learned"
)

// lowered is a weight that a message says went on a fish without a name.
type lowered struct {
	from, to int // the figure with its unit
	pointer  pointer
}

// ontoEach takes figures of which each is said to be on another fish for the weights that took
// them down: "3 lb on the big one, 2 on the other".
func (h *hearing) ontoEach() {
	list := h.loweredOn()
	if len(list) < 2 || len(h.namesAt()) > 0 || h.act == ActQuestion {
		return
	}
	figures := h.scores.Tags[learned.Figures]
	for k, l := range list {
		h.tag(l.from, l.to, "weights_used_oz")
		if l.to < len(figures) && figures[l.to] == "I-weight_kg" {
			figures[l.to] = "O"
		}
		h.own(l.from, l.pointer.to, strconv.Itoa(k))
	}
}

// loweredOn are the figures that stand right before "on" and words that point at one fish.
func (h *hearing) loweredOn() (list []lowered) {
	for _, p := range h.points {
		if p.which.Each || p.which.Rest || !h.isOn(p) {
			continue
		}
		at := p.from - 1
		if definite[word(h.tokens, at)] {
			at--
		}
		if from := h.figureBefore(at); from >= 0 {
			list = append(list, lowered{from, at, p})
		}
	}
	return list
}

// figureBefore is where the figure, with its unit or not, begins that ends at a place; -1 for
// none.
func (h *hearing) figureBefore(to int) int {
	for _, q := range h.everyQuantity() {
		if q.to == to && (q.dim == weight || q.dim == ounces) {
			return q.from
		}
	}
	if n, ok := readNumberAt(h.tokens, max(0, to-1)); to > 0 && ok && n.next == to {
		return to - 1
	}
	return -1
}
