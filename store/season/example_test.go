package season_test

import (
	"fmt"
	"math"

	"deepward/store/season"
)

// lungCancer are the smokers and the others of eight Chinese cities, with lung cancer and
// without it (Agresti, An Introduction to Categorical Data Analysis, table 3.3).
var lungCancer = []season.Stratum{
	city(126, 100, 35, 61), city(908, 688, 497, 807), city(913, 747, 336, 598), city(235, 172, 58, 121),
	city(402, 308, 121, 215), city(182, 156, 72, 98), city(60, 99, 11, 43), city(104, 89, 21, 36),
}

func city(a, b, c, d int) season.Stratum {
	return season.Stratum{A: season.Share{X: a, N: a + b}, B: season.Share{X: c, N: c + d}}
}

// Burns & Froeschke 2012, Bull. Mar. Sci. 88:633: of red grouper caught on circle hooks
// 121 of 863 were seen again, 0.14, on J hooks 287 of 3,935, 0.073.
func ExampleShare() {
	circle, j := season.Share{X: 121, N: 863}, season.Share{X: 287, N: 3935}
	fmt.Printf("%.2f %.3f\n", circle.P(), j.P())
	// Output: 0.14 0.073
}

// Newcombe 1998, Stat. Med. 17:857, table I: 0 of 20 and 15 of 148.
func ExampleWilson() {
	low, high := season.Wilson(0, 20, 0.95)
	fmt.Printf("%.4f to %.4f\n", low, high)
	low, high = season.Wilson(15, 148, 0.95)
	fmt.Printf("%.4f to %.4f\n", low, high)
	// Output:
	// 0.0000 to 0.1611
	// 0.0624 to 0.1605
}

// The same table, his method 4.
func ExampleWilsonCorrected() {
	low, high := season.WilsonCorrected(15, 148, 0.95)
	fmt.Printf("%.4f to %.4f\n", low, high)
	// Output: 0.0598 to 0.1644
}

// The same table, exact.
func ExampleClopperPearson() {
	low, high := season.ClopperPearson(1, 29, 0.95)
	fmt.Printf("%.4f to %.4f\n", low, high)
	// Output: 0.0009 to 0.1776
}

// The same table, exact with half the chance of the number seen.
func ExampleMidP() {
	low, high := season.MidP(1, 29, 0.95)
	fmt.Printf("%.4f to %.4f\n", low, high)
	// Output: 0.0017 to 0.1585
}

// Newcombe 1998, Stat. Med. 17:873, table II, method 10: 56 of 70 less 48 of 80.
func ExampleNewcombe() {
	low, high := season.Newcombe(season.Share{X: 56, N: 70}, season.Share{X: 48, N: 80}, 0.95)
	fmt.Printf("%.4f to %.4f\n", low, high)
	// Output: 0.0524 to 0.3339
}

// The example of SciPy's relative_risk: 10 of 75 against 12 of 225.
func ExampleKatz() {
	exposed, control := season.Share{X: 10, N: 75}, season.Share{X: 12, N: 225}
	low, high, _ := season.Katz(exposed, control, 0.95)
	fmt.Printf("%.1f (%.3f to %.3f)\n", season.RiskRatio(exposed, control), low, high)
	// Output: 2.5 (1.126 to 5.550)
}

// Koopman 1984, Biometrics 40:513 (memory): 36 of 40 against 16 of 80.
func ExampleKoopman() {
	low, high := season.Koopman(season.Share{X: 36, N: 40}, season.Share{X: 16, N: 80}, 0.95)
	fmt.Printf("%.2f to %.2f\n", low, high)
	// Output: 2.94 to 7.15
}

// SAS PROC FREQ prints an odds ratio of 2.174 over the eight cities.
func ExampleMantelHaenszelOR() {
	fmt.Printf("%.3f\n", season.MantelHaenszelOR(lungCancer, 0.95).Value)
	// Output: 2.174
}

// SAS PROC FREQ prints a ratio of 1.519 for the same cities.
func ExampleMantelHaenszelRR() {
	fmt.Printf("%.3f\n", season.MantelHaenszelRR(lungCancer, 0.95).Value)
	// Output: 1.519
}

// SAS PROC FREQ prints X² = 280.138 for the same cities.
func ExampleCMH() {
	x2, _ := season.CMH(lungCancer, false)
	fmt.Printf("%.3f\n", x2)
	// Output: 280.138
}

// SAS PROC FREQ prints X² = 5.200 with 7 degrees, p = 0.636: the cities agree.
func ExampleBreslowDay() {
	e := season.BreslowDay(lungCancer)
	fmt.Printf("%.3f with %d, p %.3f\n", e.X2, e.Degrees, e.P)
	// Output: 5.200 with 7, p 0.636
}

// Fisher's lady tasting tea: 3 of 4 cups right, p = 0.486 (memory).
func ExampleFisher() {
	fmt.Printf("%.3f\n", season.Fisher(season.Share{X: 3, N: 4}, season.Share{X: 1, N: 4}))
	// Output: 0.486
}

// Agresti, table 2.6: malformations by the mother's drinking, X² = 12.1, p = 0.02.
func ExamplePearson() {
	x2, p := season.Pearson(season.Share{X: 48, N: 17114}, season.Share{X: 38, N: 14502}, season.Share{X: 5, N: 793}, season.Share{X: 1, N: 127}, season.Share{X: 1, N: 38})
	fmt.Printf("%.1f %.2f\n", x2, p)
	// Output: 12.1 0.02
}

// The same mothers by drinks a day: Mantel's M² = 6.57 (Agresti; memory).
func ExampleCochranArmitage() {
	var bands []season.Band
	for i, mothers := range []int{17114, 14502, 793, 127, 38} {
		x, drinks := []int{48, 38, 5, 1, 1}[i], []float64{0, 0.5, 1.5, 4, 7}[i]
		bands = append(bands, season.Band{Share: season.Share{X: x, N: mothers}, Score: drinks})
	}
	fmt.Printf("%.2f\n", season.CochranArmitage(bands).M2)
	// Output: 6.57
}

// Agresti's snorers with heart disease: logit = −3.87 + 0.397·score (memory).
func ExampleFitLogistic() {
	var men []season.Observation
	for i, n := range []int{1379, 638, 213, 254} {
		x, score := []int{24, 35, 21, 30}[i], []float64{0, 2, 4, 5}[i]
		men = append(men, season.Observation{Share: season.Share{X: x, N: n}, Factors: []float64{score}})
	}
	l := season.FitLogistic(men)
	fmt.Printf("%.2f %.3f\n", l.Coef[0], l.Coef[1])
	// Output: -3.87 0.397
}

// Freireich et al. 1963, the weeks of remission that Cox took for an example in 1972: the
// rate of relapse without the drug is 4.82 times that with it, ln 1.57, by Efron's way for
// ties (R 4.2.2, coxph: 1.5721 and 4.8169).
func ExampleFitCox() {
	drug := []float64{6, 6, 6, 7, 10, 13, 16, 22, 23}
	inRemission := []float64{6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35}
	control := []float64{1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23}
	var children []season.Subject
	add := func(weeks []float64, control float64, relapsed bool) {
		for _, w := range weeks {
			children = append(children, season.Subject{Factors: []float64{control}, Cluster: len(children), Days: w, Seen: relapsed})
		}
	}
	add(drug, 0, true)
	add(inRemission, 0, false)
	add(control, 1, true)
	f := season.FitCox(children)
	fmt.Printf("%.2f, ×%.2f, %d of %d\n", f.Coef[0], math.Exp(f.Coef[0]), f.Seen, f.Fish)
	// Output: 1.57, ×4.82, 30 of 42
}
