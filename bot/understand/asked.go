package understand

import (
	"deepward/bot/understand/learned"
)

// surelyFishWeight is the chance below which ounces in a question are no weight of a fish.
const surelyFishWeight = 0.6

// askedOunces takes ounces in a question about a fish, that nothing claims, or that hardly are
// the fish's, for a release weight that is asked about: "is a 24 oz enough for a 15 lb red".
func (h *hearing) askedOunces(figures []span) []span {
	if h.act != ActQuestion || len(h.namesAt()) == 0 {
		return figures
	}
	tags := h.scores.Tags[learned.Figures]
	for _, q := range h.everyQuantity() {
		if q.dim != ounces || q.from >= len(tags) || q.high < leastAsked || isTackle(h.tokens, q) || h.isTackleBefore(q) || h.isPoundsBefore(q) {
			continue
		}
		switch at := h.spanAt(figures, q); {
		case at >= 0 && figures[at].tag == "weight_kg" && figures[at].sure < surelyFishWeight && h.want == WantWeights:
			figures[at].tag, figures[at].fish = "aboard_oz", nil
		case at < 0 && tags[q.from] == "O":
			figures = append(figures, span{tag: "aboard_oz", from: q.from, to: q.to, sure: 1})
		}
	}
	return figures
}

// leastAsked is the least release weight in ounces that is asked about: lures are lighter.
const leastAsked = 6

// spanAt is the place of the span that a quantity stands in, -1 for none.
func (h *hearing) spanAt(figures []span, q quantity) int {
	for k, s := range figures {
		if q.from < s.to && q.to > s.from {
			return k
		}
	}
	return -1
}

// isTackleBefore is true for the weight of a lure named before it: "my jig is 8 oz".
func (h *hearing) isTackleBefore(q quantity) bool {
	const reach = 3
	for i := max(0, q.from-reach); i < q.from; i++ {
		if tackleWords[h.tokens[i].text] {
			return true
		}
	}
	return false
}

// isPoundsBefore is true for ounces behind pounds: "3 lb 4 oz" is one weight.
func (h *hearing) isPoundsBefore(q quantity) bool {
	u, ok := units()[word(h.tokens, q.from-1)]
	return ok && u.dim == weight
}
