package season

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Stratum is one two-by-two table: the fish of two groups that are alike in what the
// stratum stands for, a depth band say.
type Stratum struct{ A, B Share }

// Usable is false for a table with an empty row: it compares nothing.
func (s Stratum) Usable() bool { return s.A.N > 0 && s.B.N > 0 }

// cells are the counts as numbers, and all fish of the table.
func (s Stratum) cells() (x1, n1, x2, n2, n float64) {
	return float64(s.A.X), float64(s.A.N), float64(s.B.X), float64(s.B.N), float64(s.A.N + s.B.N)
}

// Pooled is one estimate over all strata with its interval. What cannot be reckoned
// is NaN.
type Pooled struct {
	Value, Low, High float64
	// SE is the standard error, of the log for a ratio.
	SE float64
}

// MantelHaenszelRR is the ratio of two proportions, A over B, with each stratum
// compared within itself (Mantel & Haenszel 1959, JNCI 22:719), and the interval of
// Greenland & Robins (1985, Biometrics 41:55). Strata with an empty row do not count.
func MantelHaenszelRR(strata []Stratum, confidence float64) Pooled {
	var top, bottom, variance float64
	for _, s := range strata {
		if !s.Usable() {
			continue
		}
		x1, n1, x2, n2, n := s.cells()
		top += x1 * n2 / n
		bottom += x2 * n1 / n
		variance += ((x1+x2)*n1*n2 - x1*x2*n) / (n * n)
	}
	return pooledRatio(top/bottom, math.Sqrt(variance/(top*bottom)), confidence)
}

// pooledRatio has no interval where the ratio is 0 or infinite.
func pooledRatio(ratio, seLog, confidence float64) Pooled {
	if !(ratio > 0) || math.IsInf(ratio, 1) {
		nan := math.NaN()
		return Pooled{ratio, nan, nan, nan}
	}
	low, high := aroundLog(ratio, seLog, confidence)
	return Pooled{ratio, low, high, seLog}
}

// MantelHaenszelOR is the odds ratio over all strata (Mantel & Haenszel 1959) with
// the interval of Robins, Breslow & Greenland (1986, Biometrics 42:311), as R's
// mantelhaen.test gives it.
func MantelHaenszelOR(strata []Stratum, confidence float64) Pooled {
	var r, s, pr, mixed, qs float64
	for _, t := range strata {
		if !t.Usable() {
			continue
		}
		a, n1, c, n2, n := t.cells()
		b, d := n1-a, n2-c
		p, q, ri, si := (a+d)/n, (b+c)/n, a*d/n, b*c/n
		r, s = r+ri, s+si
		pr, mixed, qs = pr+p*ri, mixed+p*si+q*ri, qs+q*si
	}
	return pooledRatio(r/s, math.Sqrt(pr/(2*r*r)+mixed/(2*r*s)+qs/(2*s*s)), confidence)
}

// MantelHaenszelRD is the difference of two proportions, A less B, over all strata,
// with the standard error of Sato (1989, Biometrics 45:1323).
func MantelHaenszelRD(strata []Stratum, confidence float64) Pooled {
	var top, weight, p, q float64
	for _, s := range strata {
		if !s.Usable() {
			continue
		}
		x1, n1, x2, n2, n := s.cells()
		top += (x1*n2 - x2*n1) / n
		weight += n1 * n2 / n
		p += (n1*n1*x2 - n2*n2*x1 + n1*n2*(n2-n1)/2) / (n * n)
		q += (x1*(n2-x2) + x2*(n1-x1)) / (2 * n)
	}
	d := top / weight
	se := math.Sqrt((d*p + q) / (weight * weight))
	return Pooled{d, d - z(confidence)*se, d + z(confidence)*se, se}
}

// CMH is the Cochran-Mantel-Haenszel test of no difference in any stratum: X² with
// one degree of freedom and its p, with the continuity correction or without it
// (R's mantelhaen.test corrects unless told not to). Both are NaN when no stratum
// says anything.
func CMH(strata []Stratum, corrected bool) (x2, p float64) {
	var off, variance float64
	for _, s := range strata {
		if !s.Usable() {
			continue
		}
		a, n1, b, n2, n := s.cells()
		hits := a + b
		off += a - n1*hits/n
		variance += n1 * n2 * hits * (n - hits) / (n * n * (n - 1))
	}
	off = math.Abs(off)
	if corrected {
		off = max(0, off-0.5)
	}
	x2 = off * off / variance
	return x2, chiUpper(x2, 1)
}

// chiUpper is the chance of a chi-squared value at least as large.
func chiUpper(x2 float64, degrees int) float64 {
	if math.IsNaN(x2) {
		return x2
	}
	return mathext.GammaIncRegComp(float64(degrees)/2, x2/2)
}

// Evenness is whether the strata agree on one odds ratio.
type Evenness struct {
	// X2 is Breslow & Day's statistic, Tarone the same with his correction, each
	// with its p; NaN when fewer than two strata say anything.
	X2, P, Tarone, TaroneP float64
	// Degrees of freedom: the strata that say anything, less one.
	Degrees int
}

// BreslowDay tests whether the odds ratio is the same in all strata (Breslow & Day
// 1980, IARC 32, p. 142), with Tarone's correction (1985, Biometrika 72:91). A small
// p says that one adjusted figure hides a difference between the strata.
func BreslowDay(strata []Stratum) Evenness {
	ratio := MantelHaenszelOR(strata, 0.95).Value
	var x2, off, variance float64
	degrees := -1
	for _, s := range strata {
		a, n1, b, n2, n := s.cells()
		hits := a + b
		if !s.Usable() || hits == 0 || hits == n {
			continue
		}
		degrees++
		fit := fittedCell(ratio, n1, n2, hits)
		v := 1 / (1/fit + 1/(hits-fit) + 1/(n1-fit) + 1/(n2-hits+fit))
		x2 += (a - fit) * (a - fit) / v
		off += a - fit
		variance += v
	}
	if degrees < 1 || !(ratio > 0) || math.IsInf(ratio, 1) {
		nan := math.NaN()
		return Evenness{nan, nan, nan, nan, max(0, degrees)}
	}
	tarone := x2 - off*off/variance
	return Evenness{x2, chiUpper(x2, degrees), tarone, chiUpper(tarone, degrees), degrees}
}

// fittedCell is the count of the first group that has the odds ratio ψ given the
// margins: the root of (ψ − 1)a² − (ψ(n1 + hits) + n2 − hits)a + ψ·n1·hits = 0 that
// lies within them, in the form that does not cancel at ψ = 1.
func fittedCell(ratio, n1, n2, hits float64) float64 {
	h := ratio*(n1+hits) + n2 - hits
	return 2 * ratio * n1 * hits / (h + math.Sqrt(h*h-4*(ratio-1)*ratio*n1*hits))
}
