package season

import "math"

// The usual bar for a comparison: one false alarm in twenty, and four in five real
// differences found.
const (
	falseAlarm  = 0.05
	enoughPower = 0.80
)

// FishNeeded is how many fish each of two groups must have to tell the proportions
// p1 and p2 apart at 5 % (two-sided) with 80 % power, by the normal approximation of
// R's power.prop.test. It is not rounded; +Inf when the two are the same, which no
// number of fish tells apart, and NaN when one is not in [0, 1].
func FishNeeded(p1, p2 float64) float64 {
	if !(p1 >= 0 && p1 <= 1 && p2 >= 0 && p2 <= 1) {
		return math.NaN()
	}
	mean := (p1 + p2) / 2
	a := z(1-falseAlarm) * math.Sqrt(2*mean*(1-mean))
	b := z(2*enoughPower-1) * math.Sqrt(p1*(1-p1)+p2*(1-p2))
	if p1 == p2 {
		return math.Inf(1)
	}
	return math.Pow((a+b)/(p1-p2), 2)
}
