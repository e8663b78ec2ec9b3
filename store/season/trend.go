package season

import "math"

// Band is the fish of one depth band: X of N, at a score such as the band's middle.
type Band struct {
	Share
	Score float64
}

// Trend is whether a proportion rises or falls with a score.
type Trend struct {
	// Z is above 0 when it rises; P is two-sided. Slope is the rise per unit of
	// score by weighted least squares.
	Z, P, Slope float64
	// M2 is Mantel's statistic, (N − 1)·r², beside the square of Z, which has N.
	M2 float64
	// Known is false when there is nothing to test: fish of one score only, or all
	// or none that count.
	Known bool
}

// CochranArmitage tests for a trend (Cochran 1954, Biometrics 10:417; Armitage 1955,
// Biometrics 11:375) with the binomial variance, as R's prop.trend.test does: z² is
// its X². Mantel's M² (1963, JASA 58:690) has N − 1 for N.
func CochranArmitage(bands []Band) Trend {
	var all Share
	var sum float64
	for _, b := range bands {
		all = all.and(b.Share)
		sum += float64(b.N) * b.Score
	}
	n, p := float64(all.N), all.P()
	mean := sum / n
	var cross, square float64
	for _, b := range bands {
		cross += float64(b.X) * (b.Score - mean)
		square += float64(b.N) * (b.Score - mean) * (b.Score - mean)
	}
	if all.N == 0 || square == 0 || all.X == 0 || all.X == all.N {
		return Trend{P: 1}
	}
	zScore := cross / math.Sqrt(p*(1-p)*square)
	return Trend{
		Z: zScore, P: 2 * normalCDF(-math.Abs(zScore)), Slope: cross / square,
		M2: zScore * zScore * (n - 1) / n, Known: true,
	}
}
