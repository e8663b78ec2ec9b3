package understand

import "deepward/advisor"

// weightIn is the weight of a fish: "3 kg", "kilo doscientos", "2 kilos 8", "3 pound 4".
func (h *hearing) weightIn(s span) (float64, bool) {
	for _, q := range h.in(s) {
		switch q.dim {
		case weight:
			return q.high + h.smaller(s, q.to, q.high), true
		case ounces:
			return q.high * kgPerOunce, true
		}
	}
	for i := s.from; i < s.to; i++ { // a kilo that nobody counted
		if u, ok := units()[h.near[i].text]; ok && u.dim == weight && len(h.tokens[i].text) > 1 {
			if i > 0 && halves[h.tokens[i-1].text] {
				return u.factor / 2, true
			}
			half := withHalf(h.tokens, number{value: 1, next: i + 1})
			return half.value*u.factor + h.smaller(s, half.next, u.factor), true
		}
	}
	return 0, false
}

// smaller is what stands behind a unit of weight: grams, tenths or hundredths of a kilo,
// ounces of a pound. It counts only where the span says that it belongs to the weight.
func (h *hearing) smaller(s span, at int, whole float64) float64 {
	unit, known := units()[h.near[at-1].text]
	if !known {
		return 0
	}
	if w := word(h.tokens, at); w == "y" || w == "e" || w == "et" || w == "and" || w == "con" || w == "com" {
		at++
	}
	if at >= s.to {
		return 0
	}
	n, ok := readNumberAt(h.near, at)
	if _, whole := h.quantityAt(at); whole || !ok || n.value <= 0 {
		return 0
	}
	const pound = 0.45359237
	switch {
	case unit.factor == 1 && n.value >= 100 && n.value < 1000:
		return n.value / 1000
	case unit.factor == 1 && n.value >= 10 && n.value < 100:
		return n.value / 100
	case unit.factor == 1 && n.value >= 1 && n.value < 10 && n.value == float64(int(n.value)):
		return n.value / 10
	case close(unit.factor, pound) && n.value < 16:
		return n.value * kgPerOunce
	case n.value < 1:
		return n.value * unit.factor
	}
	return 0
}

// ouncesIn are the release weights of a span in ounces; a number without a unit is one,
// as people say "the 20".
func (h *hearing) ouncesIn(s span) []float64 {
	return h.pieces(s, func(q quantity) (float64, bool) {
		switch q.dim {
		case ounces:
			return q.high, true
		case weight:
			return (q.high + h.smaller(s, q.to, q.high)) / kgPerOunce, true
		}
		return 0, false
	}, 1)
}

// gramsIn are other sinkers and heavy things, in grams.
func (h *hearing) gramsIn(s span) []float64 {
	return h.pieces(s, func(q quantity) (float64, bool) {
		switch q.dim {
		case ounces:
			return q.high * advisor.GramsPerOunce, true
		case weight:
			return (q.high + h.smaller(s, q.to, q.high)) * 1000, true
		}
		return 0, false
	}, 0)
}

// heaviest is the most that a release weight told without a unit is believed to weigh, in
// ounces.
const heaviest = 160

// mostPieces is how many pieces of lead are believed at once.
const mostPieces = 6

// pieces reads weights one after another, each as often as it is counted: "two 8 oz". A
// number without a unit counts as bare times itself, 0 leaves it out.
func (h *hearing) pieces(s span, value func(quantity) (float64, bool), bare float64) []float64 {
	var list []float64
	times := 1
	add := func(x float64) {
		for range times {
			list = append(list, x)
		}
		times = 1
	}
	for i := s.from; i < s.to; {
		if q, ok := h.quantityAt(i); ok {
			if x, ok := value(q); ok {
				add(x)
			}
			i = q.to
			if q.dim == weight && h.smaller(s, q.to, q.high) > 0 {
				i++
			}
			continue
		}
		n, ok := readNumberAt(h.near, i)
		if !ok || n.value <= 0 {
			i++
			continue
		}
		i = max(i+1, n.next)
		switch {
		case n.value < 2 && n.raw == "": // an article: "un peso de 16"
		case n.value <= mostPieces && n.value == float64(int(n.value)) && h.weightFollows(i, s.to, bare > 0):
			times = int(n.value)
		case bare > 0 && n.value <= heaviest:
			add(n.value * bare)
		}
	}
	return list
}

// weightFollows is true where another figure comes right next: what stood before it
// counts it.
func (h *hearing) weightFollows(i, to int, bare bool) bool {
	for i < to && (h.tokens[i].text == "x" || h.tokens[i].text == "of" || h.tokens[i].text == "de" || h.tokens[i].text == "×") {
		i++
	}
	if i >= to {
		return false
	}
	_, ok := h.quantityAt(i)
	return ok || bare && h.tokens[i].kind == tokenNumber
}

// quantityAt is the quantity that begins at or covers a token.
func (h *hearing) quantityAt(i int) (quantity, bool) {
	for _, q := range h.found {
		if q.from <= i && i < q.to {
			return q, true
		}
	}
	return quantity{}, false
}
