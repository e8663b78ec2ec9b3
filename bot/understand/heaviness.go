package understand

import (
	"math"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// weightIn is the weight of a fish: "3 kg", "kilo doscientos", "2 kilos 8", "3 pound 4".
func (h *hearing) weightIn(s span) (float64, bool) {
	for _, q := range h.in(s) {
		switch q.dim {
		case weight:
			more, _ := h.smaller(s, q.to)
			return q.high + more, true
		case ounces:
			return q.high * kgPerOunce, true
		}
	}
	if h.isCounted(s) {
		return 0, false // "two hunderdish pounds" is not one pound
	}
	for i := s.from; i < s.to; i++ { // a kilo that nobody counted
		if u, ok := units()[h.near[i].text]; ok && u.dim == weight && len(h.tokens[i].text) > 1 {
			if i > 0 && halves[h.tokens[i-1].text] {
				return u.factor / 2, true
			}
			half := withHalf(h.tokens, number{value: 1, next: i + 1})
			more, _ := h.smaller(s, half.next)
			return half.value*u.factor + more, true
		}
	}
	return 0, false
}

// isCounted is true for a figure in which a number of more than one, that no unit was read behind,
// stands before the unit.
func (h *hearing) isCounted(s span) bool {
	for i := s.from; i < s.to; i++ {
		if n, ok := readNumberAt(h.near, i); ok && n.value > 1 {
			return true
		}
		if _, unit := units()[h.near[i].text]; unit {
			return false
		}
	}
	return false
}

// smaller is what stands behind a unit of weight, in kilograms: grams, tenths or hundredths
// of a kilo, ounces of a pound; next is the token after it. It counts only where the span
// says that it belongs to the weight.
func (h *hearing) smaller(s span, at int) (kg float64, next int) {
	unit, known := units()[h.near[at-1].text]
	next = at
	if !known {
		return 0, next
	}
	if w := word(h.tokens, at); w == "y" || w == "e" || w == "et" || w == "and" || w == "con" || w == "com" {
		at++
	}
	if at >= s.to || ones[h.tokens[at].text] { // "4 kg e um de 2" are two
		return 0, next
	}
	n, ok := readNumberAt(h.near, at)
	if q, found := h.quantityAt(at); found && q.to-q.from > 1 || !ok || n.value <= 0 { // one with a unit of its own is another
		return 0, next
	}
	if kg = partOf(unit.factor, n.value); kg > 0 {
		next = max(at+1, n.next)
	}
	return kg, next
}

// partOf is what a bare figure behind a unit of so many kilograms adds to it, 0 where it
// adds nothing.
func partOf(unit, x float64) float64 {
	switch {
	case unit == 1 && x >= 100 && x < 1000:
		return x / 1000
	case unit == 1 && x >= 10 && x < 100:
		return x / 100
	case unit == 1 && x >= 1 && x < 10 && x == float64(int(x)):
		return x / 10
	case math.Abs(unit-advisor.KgPerPound) < 0.01 && x < 16:
		return x * kgPerOunce
	case x < 1:
		return x * unit
	}
	return 0
}

// usedInDeeds takes a figure with an article in the words for sending a fish down, that nothing
// claims, for the weight that was used: "the scamp took the 5".
func (h *hearing) usedInDeeds() {
	figures, deeds := h.scores.Tags[learned.Figures], h.scores.Tags[learned.Deeds]
	for i := 1; i < min(len(h.tokens), len(figures)); i++ {
		if figures[i] == "B-weights_used_oz" && figures[i-1] == figures[i] && h.isMeasured(i) {
			figures[i] = "I-weights_used_oz" // "two 3 lb weights" are counted
		}
		article := oneWeight[h.tokens[i-1].text]
		if figures[i] == "O" && article && h.tokens[i].kind == tokenNumber && deeds[i] == "I-method."+string(advisor.Recompressed) && !h.isMeasured(i) {
			figures[i] = "B-weights_used_oz"
		}
	}
}

// oneWeight are words before the figure of one weight: "with the 5", "com o de 2".
var oneWeight = wordSet("the el la o a le de")

// isMeasured is true for a figure with a unit.
func (h *hearing) isMeasured(i int) bool {
	_, ok := covering(h.everyQuantity(), i)
	return ok
}

// ouncesIn are the release weights of a span in ounces; a number without a unit is one,
// as people say "the 20".
func (h *hearing) ouncesIn(s span) []float64 {
	return h.pieces(s, func(x float64, in dimension) float64 {
		if in == weight {
			return x / kgPerOunce
		}
		return x
	}, true)
}

// gramsIn are other sinkers and heavy things, in grams.
func (h *hearing) gramsIn(s span) []float64 {
	return h.pieces(s, func(x float64, in dimension) float64 {
		if in == weight {
			return x * 1000
		}
		return x * advisor.GramsPerOunce
	}, false)
}

// heaviest is the most that a release weight told without a unit is believed to weigh, in
// ounces.
const heaviest = 160

// mostPieces is how many pieces of lead are believed at once.
const mostPieces = 6

// pieces reads weights one after another, each as often as it is counted: "two 8 oz". A
// number without a unit counts as it is where bare is true, else it is left out. value makes
// one of ounces or kilograms.
func (h *hearing) pieces(s span, value func(x float64, in dimension) float64, bare bool) []float64 {
	var list []float64
	times := h.countedBefore(s)
	const exact = 1e4 // 3 lb are 48 oz
	add := func(x float64) {
		for range times {
			list = append(list, math.Round(x*exact)/exact)
		}
		times = 1
	}
	lent := h.lentWeight(s)
	for i := s.from; i < s.to; {
		if u, ok := units()[h.near[i].text]; ok && bare && u.dim == weight && !h.isQuantity(i) && len(h.tokens[i].text) > 2 {
			more, next := h.smaller(s, i+1)
			add(value(u.factor+more, weight)) // "una de kilo"
			i = next
			continue
		}
		if q, ok := h.quantityAt(i); ok {
			i = q.to
			switch q.dim {
			case ounces:
				add(value(q.high, ounces))
			case weight:
				more, next := h.smaller(s, q.to)
				add(value(q.high+more, weight))
				i = next
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
		case n.value <= mostPieces && n.value == float64(int(n.value)) && h.weightFollows(i, s.to, bare):
			times = int(n.value)
		case n.value <= mostPieces && isWeightWord(word(h.tokens, i)): // "2 pesas, una de 3 libras"
			if w := word(h.tokens, i+1); w == "de" || w == "of" {
				times = int(n.value)
			}
		case bare && lent != 0 && n.value <= mostLent:
			add(value(n.value*lent, weight))
		case !bare && n.value >= leastSinker && n.value <= mostGrams:
			add(n.value)
		case bare && n.value >= leastGrams && n.value <= mostGrams:
			add(value(n.value*gram, weight))
		case bare && n.value <= heaviest:
			add(n.value)
		}
	}
	return list
}

// countedBefore is how many weights are counted right before them: 2 of "two 3 lb weights", else 1.
func (h *hearing) countedBefore(s span) int {
	at, figures := s.from, h.scores.Tags[learned.Figures]
	if at == 0 || at > len(figures) || figures[at-1] != "O" {
		return 1
	}
	n, ok := readNumberAt(h.tokens, at-1)
	if !ok || n.next != at || n.value < 1 || n.value > mostPieces || n.value != float64(int(n.value)) {
		return 1
	}
	return int(n.value)
}

func (h *hearing) isQuantity(i int) bool { _, ok := h.quantityAt(i); return ok }

// mostLent is the greatest figure that is lent pounds or kilograms: a bare 16 or 20 is told in
// ounces, as release weights are sold. Common practice, no source.
const mostLent = 8

// A release weight told without a unit by a figure in these bounds is told in grams: "un plomb
// de 300". In ounces it would weigh over 10 lb. Common practice, no source.
const (
	leastGrams, mostGrams = 200, 5000
	// leastSinker is so for another sinker: "un plomo de 80".
	leastSinker = 60
	gram        = 0.001
)

// isWeightWord is true for a word for release weights.
func isWeightWord(w string) bool {
	return slices.ContainsFunc(weightWords, func(lead string) bool { return strings.HasPrefix(w, lead) })
}

// lentWeight is the factor to kilograms of the pounds or kilograms in which the other weights
// that are aboard, or were used, are told, for those without a unit: "a 2, a 4, a 6 lb"; 0 for
// none, or several.
func (h *hearing) lentWeight(s span) float64 {
	factor := 0.0
	tags := h.scores.Tags[learned.Figures]
	for _, q := range h.everyQuantity() {
		u, ok := units()[h.tokens[q.to-1].text]
		inside := q.from >= s.from && q.to <= s.to
		if !ok || !inside && (q.from >= len(tags) || !strings.HasSuffix(tags[q.from], s.tag)) {
			continue
		}
		if u.factor == gram {
			continue // such figures are told by themselves
		}
		if u.dim != weight || factor != 0 && factor != u.factor {
			return 0
		}
		factor = u.factor
	}
	return factor
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
func (h *hearing) quantityAt(i int) (quantity, bool) { return covering(h.found, i) }

// covering is the quantity of a list that begins at or covers a token.
func covering(list []quantity, i int) (quantity, bool) {
	for _, q := range list {
		if q.from <= i && i < q.to {
			return q, true
		}
	}
	return quantity{}, false
}
