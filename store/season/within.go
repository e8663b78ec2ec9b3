package season

import (
	"math"
	"slices"
)

// FitWithin fits logistic regression with a constant of its own for each stratum:
//
//	ln(p/(1 − p)) = constant of the stratum + Σ Coef[i]·factor[i]
//
// as R's glm(seen ~ 0 + factor(stratum) + factors, binomial) does, the constants eliminated
// (McCullagh & Nelder 1989, ch. 4). Strata in which none or all were seen say nothing of
// the factors and are left out.
func FitWithin(list []Subject) Fitted {
	f := newWithin(list)
	if f == nil {
		return Fitted{}
	}
	for range mostSteps {
		information, score, shift := f.equations()
		change, way, ok := step(information, score)
		if !ok {
			return Fitted{}
		}
		for i, d := range change {
			f.coef[i] += d
		}
		for _, s := range names(f.strata) {
			f.strata[s].constant += shift(s, change)
		}
		if endless(f.coef) {
			return Fitted{}
		}
		if way < steadied {
			return f.fitted()
		}
	}
	return Fitted{}
}

type within struct {
	list   []Subject
	coef   []float64
	strata map[int]*stratumFit
	seen   int
	// near is the stratum of the last subject that was asked about: those of one month
	// mostly lie together.
	near    *stratumFit
	nearKey int
}

// of is the stratum of a subject, nil for one that says nothing.
func (f *within) of(s Subject) *stratumFit {
	if f.near == nil || f.nearKey != s.Stratum {
		f.near, f.nearKey = f.strata[s.Stratum], s.Stratum
	}
	return f.near
}

// stratumFit is the constant of a stratum, and what its fish weigh at it.
type stratumFit struct {
	constant     float64
	fish, seen   int
	weight, left float64   // Σ w and Σ (seen − p)
	factors      []float64 // Σ w·factor
}

func newWithin(list []Subject) *within {
	silent := false // some stratum says nothing
	f := &within{list: list, strata: map[int]*stratumFit{}}
	for _, s := range list {
		if f.of(s) == nil {
			f.strata[s.Stratum] = &stratumFit{factors: make([]float64, len(s.Factors))}
		}
		f.of(s).fish += 1 + s.more
		if s.Seen {
			f.of(s).seen += 1 + s.more
		}
	}
	f.near = nil
	for k, s := range f.strata {
		if s.seen == 0 || s.seen == s.fish {
			delete(f.strata, k)
			silent = true
			continue
		}
		s.constant = math.Log(float64(s.seen) / float64(s.fish-s.seen))
		f.seen += s.seen
	}
	if silent {
		f.list = slices.DeleteFunc(slices.Clone(list), func(s Subject) bool { return f.of(s) == nil })
	}
	if len(f.list) == 0 {
		return nil
	}
	f.coef = make([]float64, len(f.list[0].Factors))
	return f
}

// chance is that of a fish to be seen again.
func (f *within) chance(s Subject) float64 {
	return 1 / (1 + math.Exp(-f.of(s).constant-dot(f.coef, s.Factors)))
}

// equations are the information and the score of the factors with the constants
// eliminated; shift is by how much a constant follows a change of the factors.
func (f *within) equations() (information symmetric, score []float64, shift func(stratum int, change []float64) float64) {
	n := len(f.coef)
	information, score = square(n), make([]float64, n)
	for _, s := range f.strata {
		s.weight, s.left = 0, 0
		clear(s.factors)
	}
	for _, one := range f.list {
		p, s, fish := f.chance(one), f.of(one), one.fish()
		w, left := fish*p*(1-p), fish*(seenAs(one)-p)
		s.weight, s.left = s.weight+w, s.left+left
		for i, x := range one.Factors {
			s.factors[i] += w * x
			score[i] += left * x
			for j := i; j < n; j++ {
				information.add(i, j, w*x*one.Factors[j])
			}
		}
	}
	for _, k := range names(f.strata) {
		s := f.strata[k]
		information.addOuter(-1/s.weight, s.factors)
		for i := range score {
			score[i] -= s.factors[i] * s.left / s.weight
		}
	}
	return information, score, func(stratum int, change []float64) float64 {
		s := f.strata[stratum]
		return (s.left - dot(s.factors, change)) / s.weight
	}
}

func seenAs(s Subject) float64 { return float64(number(s.Seen)) }

func (f *within) fitted() Fitted {
	information, _, _ := f.equations()
	sums := clusterSums{}
	centre := make([]float64, len(f.coef))
	for _, one := range f.list {
		s := f.of(one)
		for i := range centre {
			centre[i] = s.factors[i] / s.weight
		}
		sums.add(one.Cluster, one.fish()*(seenAs(one)-f.chance(one)), one.Factors, centre)
	}
	covariance, ok := robust(information, sums)
	return Fitted{f.coef, covariance, fishOf(f.list), f.seen, len(sums), len(f.strata), ok}
}
