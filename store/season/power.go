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

// Power is the chance that n1 and n2 fish show a difference between the proportions
// p1 and p2 at 5 % (two-sided), by the normal approximation with the variance pooled
// where there is no difference (Fleiss, Levin & Paik 2003, ch. 4, without their
// correction); with n1 = n2 it is R's power.prop.test. n1 and n2 must be above 0.
func Power(p1 float64, n1 int, p2 float64, n2 int) float64 {
	m1, m2 := float64(n1), float64(n2)
	mean := (p1*m1 + p2*m2) / (m1 + m2)
	none := math.Sqrt(mean * (1 - mean) * (1/m1 + 1/m2))
	some := math.Sqrt(p1*(1-p1)/m1 + p2*(1-p2)/m2)
	return normalCDF((math.Abs(p1-p2) - z(1-falseAlarm)*none) / some)
}

// Detectable is the smallest ratio above 1 that groups of n1 and n2 fish could show
// with 80 % power, when the proportion of the second group is p: 2 means that the
// first would have to be at least twice the second. It is +Inf when not even a
// proportion of 1 would show, and NaN when p is not in (0, 1) or a group is empty.
func Detectable(p float64, n1, n2 int) float64 {
	if !(p > 0 && p < 1) || n1 == 0 || n2 == 0 {
		return math.NaN()
	}
	shows := func(q float64) bool { return Power(q, n1, p, n2) >= enoughPower }
	if !shows(1) {
		return math.Inf(1)
	}
	return halve(shows, p, 1) / p
}
