package season

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Stratum is one two-by-two table: of N1 fish of the first kind X1, of N2 of the
// second X2. Strata are depths, months, places.
type Stratum struct{ X1, N1, X2, N2 int }

// usable is false for a table with an empty row: it says nothing of a ratio.
func (s Stratum) usable() bool { return s.N1 > 0 && s.N2 > 0 }

// MantelHaenszel is the ratio of the two proportions over all strata, adjusted
// for what the strata stand for, with the interval of Greenland & Robins (1985).
// skipped counts the strata with an empty row. ratio is NaN when nothing is left.
func MantelHaenszel(strata []Stratum, confidence float64) (ratio, low, high float64, skipped int) {
	var top, bottom, variance float64
	for _, s := range strata {
		if !s.usable() {
			skipped++
			continue
		}
		x1, n1, x2, n2 := float64(s.X1), float64(s.N1), float64(s.X2), float64(s.N2)
		n := n1 + n2
		top += x1 * n2 / n
		bottom += x2 * n1 / n
		variance += ((x1+x2)*n1*n2 - x1*x2*n) / (n * n)
	}
	ratio = top / bottom
	if top == 0 || bottom == 0 {
		return ratio, math.NaN(), math.NaN(), skipped
	}
	spread := z(confidence) * math.Sqrt(variance/(top*bottom))
	return ratio, ratio * math.Exp(-spread), ratio * math.Exp(spread), skipped
}

// Band is the fish of one depth band: X of N were seen again.
type Band struct {
	X, N int
	// Score places the band, for example its middle in metres.
	Score float64
}

// CochranArmitage tests whether a proportion rises or falls with the score
// (Cochran 1954, Armitage 1955): z with its two-sided p, and the least-squares
// slope per unit of score. ok is false when there is nothing to test.
func CochranArmitage(bands []Band) (zScore, p, slope float64, ok bool) {
	var n, x, sum float64
	for _, b := range bands {
		n += float64(b.N)
		x += float64(b.X)
		sum += float64(b.N) * b.Score
	}
	if n == 0 {
		return 0, 1, 0, false
	}
	share, mean := x/n, sum/n
	var cross, square float64
	for _, b := range bands {
		cross += float64(b.X) * (b.Score - mean)
		square += float64(b.N) * (b.Score - mean) * (b.Score - mean)
	}
	if square == 0 || share == 0 || share == 1 {
		return 0, 1, 0, false
	}
	zScore = cross / math.Sqrt(share*(1-share)*square)
	return zScore, 2 * distuv.UnitNormal.CDF(-math.Abs(zScore)), cross / square, true
}
