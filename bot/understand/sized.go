package understand

import (
	"slices"

	"deepward/bot/understand/learned"
)

// uncounted takes a figure that seems a number of fish for the size of one of several alike, where
// that of the one before was told in the same way: "one about 9 kg, one maybe 4".
func (h *hearing) uncounted() {
	figures := h.scores.Tags[learned.Figures]
	before := ""
	for i, t := range figures {
		switch {
		case measures[t] && t != "B-depth_m":
			before = t
		case before == "" || h.tokens[i].kind != tokenNumber || h.isMeasured(i):
		case t == "B-count" && h.isOneOfSize(i):
			figures[i] = before
		case t == "O" && others[word(h.tokens, i-1)] && h.endsPiece(i+1): // "one 2 lb, the other 5"
			figures[i] = before
		}
	}
}

// eachSize takes as many weights as fish were counted, each alone in its piece and with no word of
// lead or of what was done, for the sizes of these: "2 gag 50 m 2 kg, 4 kg".
func (h *hearing) eachSize() {
	figures := h.scores.Tags[learned.Figures]
	var at []int
	var owners []string
	for i, t := range figures {
		if t == "B-weight_kg" || t == "B-weights_used_oz" || t == "B-aboard_oz" {
			at = append(at, i)
			if w := h.scores.Tags[learned.Whose][i]; !slices.Contains(owners, w) {
				owners = append(owners, w)
			}
		}
	}
	if len(at) > 0 && len(owners) == len(at) && figures[at[0]] == "B-weight_kg" {
		return
	}
	all := h.countBefore(share{0, len(h.tokens)}, len(h.tokens))
	if all < 0 || len(at) < 2 || len(h.namesAt()) != 1 || h.saysLead() || slices.ContainsFunc(h.scores.Tags[learned.Deeds], isTag) {
		return
	}
	if n, ok := readNumberAt(h.tokens, all); !ok || int(n.value) != len(at) {
		return
	}
	figures[all] = "B-count"
	h.apart(share{0, len(h.tokens)}, h.sizeShares(at))
	if h.act == ActReport && !slices.ContainsFunc(h.scores.Tags[learned.Ends], isTag) {
		h.act, h.want = ActQuestion, WantRelease // nothing was done yet
	}
}

// sizeShares are the figures that begin at these words, with what follows each.
func (h *hearing) sizeShares(at []int) (list []share) {
	figures := h.scores.Tags[learned.Figures]
	for k, i := range at {
		to := len(h.tokens)
		if k+1 < len(at) {
			to = at[k+1]
		}
		list = append(list, share{i, to})
		for ; i < to && (i == at[k] || figures[i][0] == 'I'); i++ {
			figures[i] = figures[i][:2] + "weight_kg"
		}
	}
	return list
}

// others are words for the other one.
var others = wordSet("other autre otro otra outro outra")

// isOneOfSize is true behind "one" with a word for "about", or "one of".
func (h *hearing) isOneOfSize(i int) bool {
	near := false
	for i--; nears[word(h.tokens, i)] || ofs[word(h.tokens, i)]; i-- {
		near = true
	}
	return near && ones[word(h.tokens, i)]
}

// sized gives what is said of the big one or the little one to that of the fish of the message
// which is so, where the size of each is told: "one is 9 kg, one 4, the big one floats".
func (h *hearing) sized() {
	sizes := h.sizes()
	if len(sizes) < 2 || len(sizes) != len(h.owning()) {
		return
	}
	for k, p := range h.points {
		if p.which.Size != SizeBig && p.which.Size != SizeSmall {
			continue
		}
		from, to := h.pieceOf(k)
		if !h.tellsOwn(from, to) {
			h.own(from, to, extreme(sizes, p.which.Size))
		}
	}
}

// tellsOwn is true for words in which a fish is named or measured.
func (h *hearing) tellsOwn(from, to int) bool {
	for i := from; i < to; i++ {
		if t := h.figureAt(i); measures[t] || t == "B-name" {
			return true
		}
	}
	return false
}

// sizes is the first size that is told of each fish, by its number; none where they are told in
// different measures.
func (h *hearing) sizes() map[string]float64 {
	figures, whose := h.scores.Tags[learned.Figures], h.scores.Tags[learned.Whose]
	list, tag := map[string]float64{}, ""
	for i, t := range figures {
		if t != "B-weight_kg" && t != "B-length_cm" {
			continue
		}
		x, ok := h.sizeAt(i)
		if !ok || tag != "" && t != tag || whose[i] == learned.AllFish || whose[i] == learned.NoFish || whose[i] == "O" {
			return nil
		}
		if tag = t; list[whose[i]] == 0 {
			list[whose[i]] = x
		}
	}
	return list
}

// sizeAt is the figure at a word, in kilograms or centimetres; one without a unit has that of the
// others of the message.
func (h *hearing) sizeAt(i int) (float64, bool) {
	every := h.everyQuantity()
	if q, ok := covering(every, i); ok {
		return q.high, true
	}
	n, ok := readNumberAt(h.tokens, i)
	for _, q := range every {
		if u, known := units()[h.tokens[q.to-1].text]; known && q.dim == weight {
			return n.value * u.factor, ok
		}
	}
	return n.value, ok
}

// fewTokens is how many words and figures a message has at most that tells a fish in short.
const fewTokens = 7

// sizeBeside takes the only figure that nothing was learned of, in a short question that tells a
// fish and its depth, for its size, of which the unit is open: "gag 25 m 12".
func (h *hearing) sizeBeside(loose []Bare) {
	if h.act != ActQuestion || len(h.groups) != 1 || len(loose) != 1 || len(h.bare) > 0 || len(h.tokens) > fewTokens {
		return
	}
	q := h.groups[0].Query
	last := len(h.tokens) - 1
	if q.DepthM == nil || q.WeightKg != nil || q.LengthCm != nil || h.tokens[last].kind != tokenNumber || h.isMeasured(last) {
		return
	}
	b := loose[0]
	b.Role, b.Other, b.OtherSure = "weight_kg", "length_cm", 1
	h.bare = append(h.bare, b)
}

// extreme is the number of the biggest or the smallest fish.
func extreme(sizes map[string]float64, size Size) (owner string) {
	for o, x := range sizes {
		if owner == "" || size == SizeBig && x > sizes[owner] || size == SizeSmall && x < sizes[owner] || x == sizes[owner] && o < owner {
			owner = o
		}
	}
	return owner
}
