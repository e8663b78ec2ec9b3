package season

import "math"

// Share is X of N: the fish that something was seen of, out of those it could have
// been seen of.
type Share struct{ X, N int }

// P is the proportion X/N; NaN when N is 0.
func (s Share) P() float64 { return float64(s.X) / float64(s.N) }

// plus adds one fish.
func (s Share) plus(counts bool) Share {
	if counts {
		s.X++
	}
	return Share{s.X, s.N + 1}
}

// and adds two shares up.
func (s Share) and(o Share) Share { return Share{s.X + o.X, s.N + o.N} }

// RiskRatio is the ratio of two proportions, a over b: +Inf when only b is 0, NaN
// when both are 0 or a group is empty.
func RiskRatio(a, b Share) float64 { return a.P() / b.P() }

// Koopman is the score interval of the ratio of two proportions, a over b (Koopman
// 1984, Biometrics 40:513). With b.X = 0 the upper end is +Inf, with a.X = 0 the
// lower is 0; with both 0, or a group empty, nothing is known: 0 to +Inf.
func Koopman(a, b Share, confidence float64) (low, high float64) {
	low, high = 0, math.Inf(1)
	if a.N == 0 || b.N == 0 {
		return low, high
	}
	limit := z(confidence) * z(confidence) // the quantile of chi-squared with one degree
	outside := func(ratio float64) bool { return koopmanChi(a, b, ratio) > limit }
	if a.X > 0 {
		low = turn(outside, bestRatio(a, b), 0.5)
	}
	if b.X > 0 {
		high = turn(outside, bestRatio(a, b), 2)
	}
	return low, high
}

// bestRatio is a ratio inside the interval: the estimate, kept away from 0 and
// infinity by half a fish.
func bestRatio(a, b Share) float64 {
	top, bottom := max(float64(a.X), 0.5), max(float64(b.X), 0.5)
	return top * float64(b.N) / (float64(a.N) * bottom)
}

// koopmanChi is the score statistic of a ratio ρ: the squared distances of both
// proportions from those that the ratio makes likeliest. The second of these is the
// smaller root of nρp² − (ρ(n1 + x2) + x1 + n2)p + x1 + x2 = 0, here in the form
// that does not cancel.
func koopmanChi(a, b Share, ratio float64) float64 {
	x1, n1, x2, n2 := float64(a.X), float64(a.N), float64(b.X), float64(b.N)
	h := ratio*(n1+x2) + x1 + n2
	root := math.Sqrt(max(0, h*h-4*ratio*(n1+n2)*(x1+x2)))
	p := 2 * (x1 + x2) / (h + root)
	return scoreTerm(x1, n1, ratio*p) + scoreTerm(x2, n2, p)
}

func scoreTerm(x, n, p float64) float64 {
	d := x - n*p
	if d == 0 {
		return 0
	}
	return d * d / (n * p * (1 - p))
}

// turn finds where a condition that does not hold at start begins to hold, going
// away from start by that factor first and then halving the gap.
func turn(holds func(float64) bool, start, factor float64) float64 {
	inside, outside := start, start*factor
	for range 200 {
		if holds(outside) {
			break
		}
		inside, outside = outside, outside*factor
	}
	return halve(holds, inside, outside)
}

// halve narrows the gap between a place where a condition does not hold and one
// where it does, until no number lies between.
func halve(holds func(float64) bool, not, does float64) float64 {
	for range 200 {
		mid := not + (does-not)/2
		if mid == not || mid == does {
			break
		}
		if holds(mid) {
			does = mid
		} else {
			not = mid
		}
	}
	return does
}

// Katz is the log interval of the ratio of two proportions, a over b (Katz et al.
// 1978, Biometrics 34:469), with the standard error of the log ratio: a cross-check
// of Koopman's. All are NaN when either count is 0.
func Katz(a, b Share, confidence float64) (low, high, seLog float64) {
	if a.X == 0 || b.X == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	seLog = math.Sqrt(1/float64(a.X) - 1/float64(a.N) + 1/float64(b.X) - 1/float64(b.N))
	low, high = aroundLog(RiskRatio(a, b), seLog, confidence)
	return low, high, seLog
}

// aroundLog is the interval of a ratio from the standard error of its log.
func aroundLog(ratio, seLog, confidence float64) (low, high float64) {
	spread := z(confidence) * seLog
	return ratio * math.Exp(-spread), ratio * math.Exp(spread)
}

// Newcombe is the interval of the difference of two proportions, a less b, from
// their Wilson limits (Newcombe 1998, Stat. Med. 17:873, method 10). With a group
// empty nothing is known: −1 to 1.
func Newcombe(a, b Share, confidence float64) (low, high float64) {
	if a.N == 0 || b.N == 0 {
		return -1, 1
	}
	l1, u1 := Wilson(a.X, a.N, confidence)
	l2, u2 := Wilson(b.X, b.N, confidence)
	d := a.P() - b.P()
	return d - math.Hypot(a.P()-l1, u2-b.P()), d + math.Hypot(u1-a.P(), b.P()-l2)
}
