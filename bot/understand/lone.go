package understand

import "slices"

// LoneUnit is a unit that a message tells without a figure: "feet", in answer to what was
// asked.
type LoneUnit struct {
	// Field is the figure it measures: depth_m, weight_kg or length_cm; "" for none.
	Field string
	// Factor makes metres, kilograms or centimetres of a figure.
	Factor float64
}

// longestLone is how many words a message that tells a lone unit may begin with before it.
const longestLone = 3

// loneUnit finds the unit that is told without a figure among the first words.
func (h *hearing) loneUnit() LoneUnit {
	fields := map[dimension]string{depth: "depth_m", weight: "weight_kg", length: "length_cm"}
	for i := range h.tokens[:min(longestLone, len(h.tokens))] {
		t := h.tokens[i]
		if t.kind == tokenNumber || i > 0 && h.tokens[i-1].kind == tokenNumber {
			return LoneUnit{}
		}
		u, ok := units()[t.text]
		if ok && fields[u.dim] != "" && t.kind == tokenWord && (len(t.text) > 2 || len(h.tokens) == 1 || slices.Contains([]string{"ft", "m", "lb", "kg", "cm"}, t.text)) && t.text != "in" {
			return LoneUnit{fields[u.dim], u.factor}
		}
	}
	return LoneUnit{}
}

// loose are the figures without a unit that no tag claims.
func (h *hearing) loose() (list []Bare) {
	for i, t := range h.tokens {
		if t.kind != tokenNumber || h.isUsed(i) || t.text == "" || h.isMeasured(i) {
			continue
		}
		if n, ok := readNumberAt(h.tokens, i); ok && n.value > 0 {
			list = append(list, Bare{Value: n.value, Words: h.typed(i, i+1)})
		}
	}
	return list
}
