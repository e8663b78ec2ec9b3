package understand

import (
	"slices"

	"deepward/bot/understand/learned"
)

// The words beside a depth that make it another one than that of the fish. Facts of the
// trade, no source.
var (
	lineWords   = wordSet("line lines rope string linea cuerda sedal linha fio ligne fil corde")
	bottomWords = wordSet("bottom fondo fundo fond water agua eau sounder sonda sondeur")
	overWords   = wordSet("over sobre sur above")
	smallWords  = wordSet("at of a de del do da du d is es e est era was the el la o le in en em au aux my mi minha ma only just solo so seulement on we have tengo tenho j ai")
)

// catchDepths leaves of the depths that are told those at which fish were caught: no length
// of a line, and of the bottom's and the fish's the fish's. Where only the other one was
// heard as a depth, the one that nothing claims takes its place.
func (h *hearing) catchDepths(figures []span) []span {
	isDepth := func(s span) bool { return s.tag == "depth_m" }
	if !slices.ContainsFunc(figures, isDepth) {
		return figures
	}
	other := func(s span) bool { return isDepth(s) && (h.isLine(s) || h.isBottom(s)) }
	plain := func(s span) bool { return isDepth(s) && !other(s) }
	i := slices.IndexFunc(figures, other)
	if i < 0 {
		return figures
	}
	if !slices.ContainsFunc(figures, plain) {
		free, ok := h.freeDepth(figures)
		switch {
		case ok:
			free.fish = figures[i].fish
			figures = append(figures, free)
		case !h.isLine(figures[i]):
			return figures // all that is known is the bottom
		}
	}
	return slices.DeleteFunc(figures, other)
}

// isLine is true for the length of a line: "my line only reaches 25 m", "30 m of line".
func (h *hearing) isLine(s span) bool {
	const reach = 4
	for i := max(0, s.from-reach); i < s.from; i++ {
		if lineWords[h.tokens[i].text] && h.oneClause(i, s.from) {
			return true
		}
	}
	return lineWords[h.next(s.to)]
}

// isBottom is true for the depth of the water: "bottom 60 m", "over 80 m", "in 110 m of
// water".
func (h *hearing) isBottom(s span) bool {
	before := s.from - 1
	for before >= 0 && smallWords[h.tokens[before].text] {
		before--
	}
	w := word(h.tokens, before)
	return bottomWords[w] || overWords[w] && s.from > 2 || bottomWords[h.next(s.to)]
}

// next is the first word from i on that is no small one.
func (h *hearing) next(i int) string {
	for i < len(h.tokens) && smallWords[h.tokens[i].text] {
		i++
	}
	return word(h.tokens, i)
}

// oneClause is true where no mark or further figure stands between.
func (h *hearing) oneClause(from, to int) bool {
	return !slices.ContainsFunc(h.tokens[from:to], func(t token) bool { return t.kind != tokenWord })
}

// freeDepth is a depth with its unit that nothing claims.
func (h *hearing) freeDepth(figures []span) (span, bool) {
	for _, q := range h.everyQuantity() {
		s := span{tag: "depth_m", from: q.from, to: q.to, sure: 1}
		tags := h.scores.Tags[learned.Figures]
		claimed := slices.ContainsFunc(tags[min(q.from, len(tags)):min(q.to, len(tags))], isTag)
		if q.dim == depth && !claimed && !h.isLine(s) && !h.isBottom(s) {
			return s, true
		}
	}
	return span{}, false
}

// ofWater is true for a word that tells of the water's run and not of the fish: "strong
// current", "corriente fuerte".
func (h *hearing) ofWater(s span) bool {
	for i := max(0, s.from-2); i < min(len(h.tokens), s.to+2); i++ {
		if currentWords[h.tokens[i].text] && h.oneClause(min(i, s.from), max(i, s.to)) {
			return true
		}
	}
	return false
}

var currentWords = wordSet("current currents tide corriente corrientes marea corrente correnteza mare courant courants maree")
