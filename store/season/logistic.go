package season

import (
	"math"
	"slices"
)

// Observation is fish alike in all factors: X of N, and the value of each factor.
type Observation struct {
	Share
	Factors []float64
}

// Logistic is a fitted model of how a proportion goes with several factors at once:
//
//	ln(p/(1 − p)) = Coef[0] + Σ Coef[i]·factor[i−1]
type Logistic struct {
	// Coef are the coefficients, the constant first, SE their standard errors.
	Coef, SE []float64
	// Deviance is what is left of NullDeviance, that of the constant alone; LogLik
	// has the binomial coefficients.
	Deviance, NullDeviance, LogLik float64
	// Known is false when there is no answer: a factor splits what counted from what
	// did not without a remainder, or follows from the others.
	Known bool
}

// Limits of the fit: it stops after a step whose squared length, in standard errors,
// is below steadied, or after mostSteps. Odds beyond exp(mostLogit) are taken for odds
// without end; a condition of the equations above worstCondition for factors that
// follow from each other.
const (
	steadied       = 1e-16
	mostSteps      = 50
	mostLogit      = 15
	worstCondition = 1e12
)

// FitLogistic fits by iterated weighted least squares (McCullagh & Nelder 1989,
// Generalized Linear Models, 2nd ed., ch. 4), as R's glm with family binomial does.
// Every observation must have the same number of factors; those of no fish are
// passed over.
func FitLogistic(list []Observation) Logistic {
	f := newFit(list)
	if f == nil {
		return Logistic{}
	}
	for range mostSteps {
		way, ok := f.step()
		switch {
		case !ok:
			return Logistic{}
		case way < steadied:
			return f.fitted()
		}
	}
	return Logistic{}
}

// fit is a model on its way.
type fit struct {
	list []Observation
	all  Share
	coef []float64
}

// newFit starts from the constant alone; nil when there is nothing to fit.
func newFit(list []Observation) *fit {
	f := &fit{}
	for _, o := range list {
		if o.N > 0 {
			f.list, f.all = append(f.list, o), f.all.and(o.Share)
		}
	}
	if f.all.X == 0 || f.all.X == f.all.N {
		return nil
	}
	f.coef = make([]float64, 1+len(f.list[0].Factors))
	f.coef[0] = math.Log(float64(f.all.X) / float64(f.all.N-f.all.X))
	return f
}

// at is the logit of an observation.
func (f *fit) at(o Observation) float64 {
	eta := f.coef[0]
	for i, x := range o.Factors {
		eta += f.coef[i+1] * x
	}
	return eta
}

// equations are the information and the score at the coefficients.
func (f *fit) equations() (information symmetric, score []float64) {
	n := len(f.coef)
	information, score = square(n), make([]float64, n)
	for _, o := range f.list {
		p := 1 / (1 + math.Exp(-f.at(o)))
		row := append([]float64{1}, o.Factors...)
		for i := range row {
			score[i] += (float64(o.X) - float64(o.N)*p) * row[i]
		}
		information.addOuter(float64(o.N)*p*(1-p), row)
	}
	return information, score
}

// step goes on by one and tells how far that was, squared and in standard errors; ok
// is false when there is no way on.
func (f *fit) step() (way float64, ok bool) {
	change, way, ok := step(f.equations())
	if !ok {
		return 0, false
	}
	for i, d := range change {
		f.coef[i] += d
	}
	endless := slices.ContainsFunc(f.list, func(o Observation) bool { return !(math.Abs(f.at(o)) < mostLogit) })
	return way, !endless
}

// deviance is twice what the logarithm of the likelihood is short of a model with
// one proportion for each observation.
func (f *fit) deviance() (d float64) {
	for _, o := range f.list {
		d += devianceOf(o.Share, 1/(1+math.Exp(-f.at(o))))
	}
	return d
}

// devianceOf is the deviance of a share from a proportion.
func devianceOf(s Share, p float64) float64 {
	x, n := float64(s.X), float64(s.N)
	return 2 * (xLogRatio(x, n*p) + xLogRatio(n-x, n*(1-p)))
}

// xLogRatio is x·ln(x/y), 0 at x = 0.
func xLogRatio(x, y float64) float64 {
	if x == 0 {
		return 0
	}
	return x * math.Log(x/y)
}

// fitted reads the answer off.
func (f *fit) fitted() Logistic {
	l := Logistic{Coef: f.coef, Deviance: f.deviance(), Known: true}
	information, _ := f.equations()
	inverse, ok := inverted(information)
	if !ok {
		return Logistic{}
	}
	for i := range f.coef {
		l.SE = append(l.SE, math.Sqrt(inverse[i][i]))
	}
	for _, o := range f.list {
		p := 1 / (1 + math.Exp(-f.at(o)))
		x, n := float64(o.X), float64(o.N)
		l.NullDeviance += devianceOf(o.Share, f.all.P())
		l.LogLik += lnChoose(o.N, o.X) + x*math.Log(p) + (n-x)*math.Log1p(-p)
	}
	return l
}
