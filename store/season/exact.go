package season

import "math"

// noLikelier is how much likelier than the seen table another may be and still count
// as no likelier: rounding must not decide. The same as in R's fisher.test.
const noLikelier = 1 + 1e-7

// Fisher is the exact two-sided p of two proportions being the same: the sum of all
// tables with these margins that are no likelier than the one seen (Fisher 1922, J.
// R. Stat. Soc. 85:87; the two-sided sum as in R's fisher.test). It is 1 when a
// group is empty.
func Fisher(a, b Share) float64 {
	all, hits := a.N+b.N, a.X+b.X
	limit := lnTable(a.X, a.N, hits, all) + math.Log(noLikelier)
	var p float64
	for x := max(0, hits-b.N); x <= min(hits, a.N); x++ {
		if ln := lnTable(x, a.N, hits, all); ln <= limit {
			p += math.Exp(ln)
		}
	}
	return min(1, p)
}

// Pearson is the chi-squared test of the proportions of all groups being the same,
// without correction (Pearson 1900, Phil. Mag. 50:157), as R's chisq.test(correct =
// FALSE): X² with one degree of freedom less than there are groups, and its p. Both
// are NaN when a group is empty, or all or none counted.
func Pearson(groups ...Share) (x2, p float64) {
	var all Share
	for _, g := range groups {
		all = all.and(g)
	}
	for _, g := range groups {
		off := float64(g.X) - float64(g.N)*all.P()
		x2 += off * off / (float64(g.N) * all.P() * (1 - all.P()))
	}
	return x2, chiUpper(x2, len(groups)-1)
}

// lnTable is the log of the hypergeometric chance that x of the n fish of one group
// are among the hits of them all.
func lnTable(x, n, hits, all int) float64 {
	return lnChoose(hits, x) + lnChoose(all-hits, n-x) - lnChoose(all, n)
}

func lnChoose(n, k int) float64 {
	return lnFactorial(n) - lnFactorial(k) - lnFactorial(n-k)
}

func lnFactorial(n int) float64 {
	ln, _ := math.Lgamma(float64(n) + 1)
	return ln
}
