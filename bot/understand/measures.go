package understand

import "deepward/advisor"

// Measures are the figures with a unit of a text that tells nothing but them, such as
// "80 m 10 kg": the deepest depth, the greatest weight and length. What cannot be is left
// out.
func Measures(text string) advisor.Query {
	q := blankQuery()
	folded := fold(text)
	found, _ := findQuantities(folded, scan(folded))
	for _, m := range found {
		if m.negative {
			continue
		}
		switch m.dim {
		case depth:
			greatest(&q.DepthM, m.high)
		case weight:
			greatest(&q.WeightKg, m.high)
		case length:
			greatest(&q.LengthCm, m.high)
		}
	}
	checkFish(&q)
	return q
}

func greatest(of **float64, x float64) {
	if *of == nil || x > **of {
		*of = &x
	}
}
