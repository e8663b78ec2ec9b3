package season

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// z is the normal quantile for a two-sided interval of that confidence, as 0.95.
func z(confidence float64) float64 {
	return mathext.NormalQuantile(1 - (1-confidence)/2)
}

func normalCDF(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// Wilson is the score interval of a proportion, x of n (Wilson 1927, JASA 22:209;
// recommended for small n by Brown, Cai & DasGupta 2001, Stat. Sci. 16:101):
//
//	centre (x + z²/2)/(n + z²), half width z·√(x(n − x)/n + z²/4)/(n + z²)
//
// It is exactly 0 below at x = 0 and 1 above at x = n. With n = 0 nothing is known:
// 0 to 1. The same as R's prop.test(correct = FALSE).
func Wilson(x, n int, confidence float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	q := z(confidence)
	k, m := float64(x), float64(n)
	centre := (k + q*q/2) / (m + q*q)
	half := q * math.Sqrt(k*(m-k)/m+q*q/4) / (m + q*q)
	return atEnds(x, n, centre-half, centre+half)
}

// atEnds puts the ends of an interval where they must be when none or all counted.
func atEnds(x, n int, low, high float64) (float64, float64) {
	if x == 0 {
		low = 0
	}
	if x == n {
		high = 1
	}
	return low, high
}

// WilsonCorrected is Wilson's interval with the correction for continuity, wider than
// his own (Newcombe 1998, Stat. Med. 17:857, method 4), the one that R's prop.test
// gives unless told otherwise. With n = 0 it is 0 to 1.
func WilsonCorrected(x, n int, confidence float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	// No correction moves the share past one half.
	correction := min(0.5, math.Abs(float64(x)-float64(n)/2))
	q, m := z(confidence), float64(n)
	end := func(count, side float64) float64 {
		p := count / m
		return (p + q*q/(2*m) + side*q*math.Sqrt(p*(1-p)/m+q*q/(4*m*m))) / (1 + q*q/m)
	}
	low, high = 0, 1
	if below := float64(x) - correction; below > 0 {
		low = end(below, -1)
	}
	if above := float64(x) + correction; above < m {
		high = end(above, 1)
	}
	return low, high
}

// MidP is Clopper and Pearson's interval with the chance of just the number seen
// counted by half (Lancaster 1961, JASA 56:223; Berry & Armitage 1995, The
// Statistician 44:417): narrower, and rarely too narrow. With n = 0 it is 0 to 1.
func MidP(x, n int, confidence float64) (low, high float64) {
	low, high = 0, 1
	tail := (1 - confidence) / 2
	if x > 0 {
		low = halve(func(p float64) bool { return (atLeast(x, n, p)+atLeast(x+1, n, p))/2 > tail }, 0, 1)
	}
	if x < n {
		high = halve(func(p float64) bool { return (atLeast(x, n, p)+atLeast(x+1, n, p))/2 > 1-tail }, 0, 1)
	}
	return low, high
}

// atLeast is the chance of x or more of n with the proportion p.
func atLeast(x, n int, p float64) float64 {
	switch {
	case x <= 0:
		return 1
	case x > n:
		return 0
	}
	return mathext.RegIncBeta(float64(x), float64(n-x+1), p)
}

// ClopperPearson is the exact interval of a proportion, x of n, from beta quantiles
// (Clopper & Pearson 1934, Biometrika 26:404): never too narrow, often too wide.
// With n = 0 it is 0 to 1. The same as R's binom.test.
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

// Jeffreys is the middle of the beta distribution that x of n leaves when little was
// known before, Beta(x + ½, n − x + ½) (Brown, Cai & DasGupta 2001, who recommend it
// beside Wilson for small n): 0 below at x = 0, 1 above at x = n. With n = 0 it is
// 0 to 1.
func Jeffreys(x, n int, confidence float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	tail := (1 - confidence) / 2
	a, b := float64(x)+0.5, float64(n-x)+0.5
	return atEnds(x, n, mathext.InvRegIncBeta(a, b, tail), mathext.InvRegIncBeta(a, b, 1-tail))
}

// AgrestiCoull is the plain interval about Wilson's centre, x of n (Agresti & Coull
// 1998, Am. Stat. 52:119): for larger n. Its ends are not clipped, so that they may
// lie outside [0, 1]. With n = 0 it is 0 to 1.
func AgrestiCoull(x, n int, confidence float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	q := z(confidence)
	m := float64(n) + q*q
	p := (float64(x) + q*q/2) / m
	half := q * math.Sqrt(p*(1-p)/m)
	return p - half, p + half
}
