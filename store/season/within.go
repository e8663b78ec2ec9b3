package season

import "math"

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
	list   []stratumSubject
	coef   []float64
	strata map[int]*stratumFit
	seen   int
}

// stratumSubject is a subject with its stratum at hand.
type stratumSubject struct {
	Subject
	of *stratumFit
}

// stratumFit is the constant of a stratum, and what its fish weigh at it.
type stratumFit struct {
	constant     float64
	fish, seen   int
	weight, left float64   // Σ w and Σ (seen − p)
	factors      []float64 // Σ w·factor
}

func newWithin(list []Subject) *within {
	f := &within{strata: map[int]*stratumFit{}}
	for _, s := range list {
		if f.strata[s.Stratum] == nil {
			f.strata[s.Stratum] = &stratumFit{factors: make([]float64, len(s.Factors))}
		}
		f.strata[s.Stratum].fish += 1 + s.more
		if s.Seen {
			f.strata[s.Stratum].seen += 1 + s.more
		}
	}
	for k, s := range f.strata {
		if s.seen == 0 || s.seen == s.fish {
			delete(f.strata, k)
			continue
		}
		s.constant = math.Log(float64(s.seen) / float64(s.fish-s.seen))
		f.seen += s.seen
	}
	for _, s := range list {
		if of := f.strata[s.Stratum]; of != nil {
			f.list = append(f.list, stratumSubject{s, of})
		}
	}
	if len(f.list) == 0 {
		return nil
	}
	f.coef = make([]float64, len(f.list[0].Factors))
	return f
}

// chance is that of a fish to be seen again.
func (f *within) chance(s stratumSubject) float64 {
	return 1 / (1 + math.Exp(-s.of.constant-dot(f.coef, s.Factors)))
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
		p, s, fish := f.chance(one), one.of, one.fish()
		w, left := fish*p*(1-p), fish*(seenAs(one.Subject)-p)
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
	centre, fish := make([]float64, len(f.coef)), 0
	for _, one := range f.list {
		for i := range centre {
			centre[i] = one.of.factors[i] / one.of.weight
		}
		sums.add(one.Cluster, one.fish()*(seenAs(one.Subject)-f.chance(one)), one.Factors, centre)
		fish += 1 + one.more
	}
	covariance, ok := robust(information, sums)
	return Fitted{f.coef, covariance, fish, f.seen, len(sums), len(f.strata), ok}
}
