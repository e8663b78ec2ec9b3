package season

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// z is the normal quantile for a two-sided interval of that confidence, as 0.95.
func z(confidence float64) float64 {
	return distuv.UnitNormal.Quantile(1 - (1-confidence)/2)
}

// Wilson is the score interval of a proportion x of n (Wilson 1927; recommended
// for small n by Brown, Cai & DasGupta 2001): centre (x + z²/2)/(n + z²). With
// n = 0 nothing is known: 0 to 1. Exactly 0 at x = 0 and 1 at x = n.
func Wilson(x, n int, confidence float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	q := z(confidence)
	N, p := float64(n), float64(x)/float64(n)
	centre := (p + q*q/(2*N)) / (1 + q*q/N)
	half := q / (1 + q*q/N) * math.Sqrt(p*(1-p)/N+q*q/(4*N*N))
	low, high = max(0, centre-half), min(1, centre+half)
	if x == 0 {
		low = 0
	}
	if x == n {
		high = 1
	}
	return low, high
}

// ClopperPearson is the exact interval of a proportion x of n, from beta quantiles
// (Clopper & Pearson 1934): never too narrow, often too wide.
func ClopperPearson(x, n int, confidence float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	tail := (1 - confidence) / 2
	low, high = 0, 1
	if x > 0 {
		low = mathext.InvRegIncBeta(float64(x), float64(n-x+1), tail)
	}
	if x < n {
		high = mathext.InvRegIncBeta(float64(x+1), float64(n-x), 1-tail)
	}
	return low, high
}

// Koopman is the score interval of the ratio of two proportions, x1 of n1 over x2
// of n2 (Koopman 1984). With x2 = 0 the upper end is +Inf, with x1 = 0 the lower
// is 0, with both 0 nothing is known. n1 and n2 must be above 0.
func Koopman(x1, n1, x2, n2 int, confidence float64) (low, high float64) {
	limit := distuv.ChiSquared{K: 1}.Quantile(confidence)
	low, high = 0, math.Inf(1)
	chi := func(ratio float64) float64 {
		return koopmanChi(float64(x1), float64(n1), float64(x2), float64(n2), ratio)
	}
	best := ratio(x1, n1, x2, n2)
	if x1 > 0 {
		low = bisect(func(r float64) bool { return chi(r) <= limit }, 0, best)
	}
	if x2 > 0 {
		top := math.Max(best, 1)
		for chi(top) <= limit {
			top *= 2
		}
		high = bisect(func(r float64) bool { return chi(r) > limit }, best, top)
	}
	return low, high
}

// ratio is the ratio of the two proportions; a large one stands for x2 = 0.
func ratio(x1, n1, x2, n2 int) float64 {
	if x2 == 0 {
		return 1e9
	}
	return float64(x1) * float64(n2) / (float64(n1) * float64(x2))
}

// koopmanChi is the score statistic for a ratio: the squared distances of both
// proportions from those that the ratio makes likeliest.
func koopmanChi(x1, n1, x2, n2, ratio float64) float64 {
	n := n1 + n2
	a := ratio*(n1+x2) + x1 + n2
	p1 := (a - math.Sqrt(a*a-4*ratio*n*(x1+x2))) / (2 * n)
	p2 := p1 / ratio
	return term(x1, n1, p1) + term(x2, n2, p2)
}

func term(x, n, p float64) float64 {
	d := x - n*p
	if d == 0 {
		return 0
	}
	return d * d / (n * p * (1 - p))
}

// bisect finds where a condition that is false at low and true at high turns.
func bisect(holds func(float64) bool, low, high float64) float64 {
	for range 200 {
		mid := low + (high-low)/2
		if mid == low || mid == high {
			break
		}
		if holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// Newcombe is the interval of the difference of two proportions, x1 of n1 less x2
// of n2, from their Wilson limits (Newcombe 1998, method 10).
func Newcombe(x1, n1, x2, n2 int, confidence float64) (low, high float64) {
	p1, p2 := float64(x1)/float64(n1), float64(x2)/float64(n2)
	l1, u1 := Wilson(x1, n1, confidence)
	l2, u2 := Wilson(x2, n2, confidence)
	d := p1 - p2
	return d - math.Hypot(p1-l1, u2-p2), d + math.Hypot(u1-p1, p2-l2)
}
