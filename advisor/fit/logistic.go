package fit

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// Grouped is a plain table of deaths, for the models that the full one is laid
// beside: Dead of N fish in each row, its covariates X (with a 1 for the
// intercept), and the number of the group it belongs to.
type Grouped struct {
	X       [][]float64
	Dead, N []float64
	Group   []int
	// Prior is the standard deviation of a normal prior on every coefficient, 0 for none:
	// without one a covariate that goes with no deaths at all has no end.
	Prior float64
}

// Logistic is a fitted logistic regression.
type Logistic struct {
	Beta []float64
	Cov  *mat.SymDense
	// SD is the standard deviation between groups, 0 where there are none.
	SD float64
	// LogLik is the log likelihood, with the binomial coefficients left out.
	LogLik float64
}

// FitLogistic fits a grouped binomial logistic regression by Newton's method:
// the model of glm(cbind(dead, n − dead) ~ x, family = binomial) in R.
func FitLogistic(g Grouped) (Logistic, error) {
	beta := make([]float64, len(g.X[0]))
	for range newtonSteps {
		grad, info := g.score(beta, nil)
		var chol mat.Cholesky
		if !chol.Factorize(info) {
			return Logistic{}, ErrNoMode
		}
		var step mat.VecDense
		if err := chol.SolveVecTo(&step, mat.NewVecDense(len(grad), grad)); err != nil {
			return Logistic{}, errors.Join(ErrNoMode, err)
		}
		g.stepUp(beta, &step)
		if mat.Norm(&step, 2) < 1e-12 {
			cov := mat.NewSymDense(len(beta), nil)
			if err := chol.InverseTo(cov); err != nil {
				return Logistic{}, errors.Join(ErrNoMode, err)
			}
			return Logistic{Beta: beta, Cov: cov, LogLik: g.logLik(beta, nil)}, nil
		}
	}
	return Logistic{}, ErrNoMode
}

// stepUp takes the step, halved until the likelihood does not fall: a full one can overshoot
// to where all shares are 0 or 1 and nothing can be told any more.
func (g Grouped) stepUp(beta []float64, step *mat.VecDense) {
	from, next := g.logLik(beta, nil), make([]float64, len(beta))
	for range 30 {
		for i := range beta {
			next[i] = beta[i] + step.AtVec(i)
		}
		if g.logLik(next, nil) >= from-1e-9 {
			break
		}
		step.ScaleVec(0.5, step)
	}
	copy(beta, next)
}

// eta is the linear predictor of a row; effects may be nil.
func (g Grouped) eta(row int, beta, effects []float64) float64 {
	sum := 0.0
	for i, x := range g.X[row] {
		sum += x * beta[i]
	}
	if effects != nil {
		sum += effects[g.Group[row]]
	}
	return sum
}

func (g Grouped) logLik(beta, effects []float64) float64 {
	sum := 0.0
	for i := range g.X {
		eta := g.eta(i, beta, effects)
		sum -= g.Dead[i]*softplus(-eta) + (g.N[i]-g.Dead[i])*softplus(eta)
	}
	for _, b := range beta {
		sum -= b * b * g.precision() / 2
	}
	return sum
}

// precision is that of the prior on the coefficients.
func (g Grouped) precision() float64 {
	if g.Prior == 0 {
		return 0
	}
	return 1 / (g.Prior * g.Prior)
}

// score is the gradient and the information for the coefficients.
func (g Grouped) score(beta, effects []float64) ([]float64, *mat.SymDense) {
	grad, info := make([]float64, len(beta)), mat.NewSymDense(len(beta), nil)
	for i, x := range g.X {
		p := expit(g.eta(i, beta, effects))
		addScaled(grad, g.Dead[i]-g.N[i]*p, x)
		rankOne(info, g.N[i]*p*(1-p), x)
	}
	for i, b := range beta {
		grad[i] -= b * g.precision()
		info.SetSym(i, i, info.At(i, i)+g.precision())
	}
	return grad, info
}

// FitMixed adds a normal effect for each group, integrated out by Laplace's
// approximation: the model of glmer(cbind(dead, n − dead) ~ x + (1 | group),
// family = binomial, nAGQ = 1) of R's lme4.
func FitMixed(g Grouped) (Logistic, error) {
	start, err := FitLogistic(g)
	if err != nil {
		return Logistic{}, err
	}
	deviance := func(x []float64) float64 { return -g.marginal(x[:len(x)-1], math.Exp(x[len(x)-1])) }
	result, err := optimize.Minimize(optimize.Problem{Func: deviance}, append(start.Beta, 0),
		&optimize.Settings{MajorIterations: 4000, Converger: &optimize.FunctionConverge{Absolute: 1e-10, Iterations: 60}},
		&optimize.NelderMead{})
	if err != nil {
		return Logistic{}, errors.Join(ErrNoMode, err)
	}
	n := len(result.X) - 1
	fit := Logistic{Beta: result.X[:n], SD: math.Exp(result.X[n]), LogLik: -result.F}
	fit.Cov = g.curvature(deviance, result.X, n)
	return fit, nil
}

// marginal is the log likelihood with the effects of the groups integrated out.
func (g Grouped) marginal(beta []float64, sd float64) float64 {
	effects := make([]float64, g.groups())
	curve := make([]float64, len(effects))
	for range 50 {
		grad := make([]float64, len(effects))
		clear(curve)
		for i := range g.X {
			p := expit(g.eta(i, beta, effects))
			grad[g.Group[i]] += g.Dead[i] - g.N[i]*p
			curve[g.Group[i]] += g.N[i] * p * (1 - p)
		}
		most := 0.0
		for j := range effects {
			step := (grad[j] - effects[j]/(sd*sd)) / (curve[j] + 1/(sd*sd))
			effects[j] += step
			most = max(most, math.Abs(step))
		}
		if most < 1e-12 {
			break
		}
	}
	value := g.logLik(beta, effects)
	for j, u := range effects {
		value -= u*u/(2*sd*sd) + math.Log(sd) + math.Log(curve[j]+1/(sd*sd))/2
	}
	return value
}

func (g Grouped) groups() int {
	most := 0
	for _, k := range g.Group {
		most = max(most, k+1)
	}
	return most
}

// curvature is the covariance of the coefficients, from second differences of
// the deviance over coefficients and ln of the spread together.
func (g Grouped) curvature(f func([]float64) float64, at []float64, keep int) *mat.SymDense {
	const h = 1e-3
	n := len(at)
	hessian := mat.NewSymDense(n, nil)
	shifted := func(i int, a float64, j int, b float64) float64 {
		x := append([]float64(nil), at...)
		x[i] += a
		x[j] += b
		return f(x)
	}
	for i := range n {
		for j := i; j < n; j++ {
			hessian.SetSym(i, j, (shifted(i, h, j, h)-shifted(i, h, j, -h)-shifted(i, -h, j, h)+shifted(i, -h, j, -h))/(4*h*h))
		}
	}
	var chol mat.Cholesky
	cov, out := mat.NewSymDense(n, nil), mat.NewSymDense(keep, nil)
	if !chol.Factorize(hessian) || chol.InverseTo(cov) != nil {
		return out
	}
	for i := range keep {
		for j := i; j < keep; j++ {
			out.SetSym(i, j, cov.At(i, j))
		}
	}
	return out
}
