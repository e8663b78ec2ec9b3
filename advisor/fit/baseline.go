package fit

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Baseline chooses a simple model to which the full one must be better.
type Baseline int

// The baselines; both let studies differ.
const (
	// OneForAll: one mortality for all fish.
	OneForAll Baseline = iota
	// DepthOnly: a logistic curve in ln(depth), all kinds and ways of release alike.
	DepthOnly
	// DepthAndMethod: the same, moved by an amount for fish let go at the top and by
	// another for vented ones.
	DepthAndMethod
)

func (b Baseline) covariates(r Row) []float64 {
	switch b {
	case OneForAll:
		return []float64{1}
	case DepthOnly:
		return []float64{1, math.Log(r.DepthM / anchorM)}
	}
	return []float64{1, math.Log(r.DepthM / anchorM), r.cells[0].exposure.Float, float64(one(r.cells[0].exposure.Vented))}
}

// coefficientPrior is a weak prior on the coefficients of the baselines, on the logit
// scale: with one study left out, no vented fish is left that died.
const coefficientPrior = 5

// BaselineWidening is that of the baselines, whose spread between studies is not held
// small: their log scores are best with it (tried: 1, 1.15, 1.3, 1.7, 2.5).
const BaselineWidening = 1.3

// LeaveOneOutBaseline predicts every row from a baseline that has not seen its study.
func LeaveOneOutBaseline(rows []Row, b Baseline) ([]Prediction, error) {
	var studies []string
	for _, r := range rows {
		index(&studies, r.Study)
	}
	var out []Prediction
	for _, study := range studies {
		g := Grouped{Prior: coefficientPrior}
		var names []string
		for _, r := range rows {
			if r.Study != study {
				g.X, g.Dead, g.N = append(g.X, b.covariates(r)), append(g.Dead, r.Dead), append(g.N, r.N)
				g.Group = append(g.Group, index(&names, r.Study))
			}
		}
		fit, err := FitMixed(g)
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			if r.Study == study {
				out = append(out, fit.predict(r, b.covariates(r)))
			}
		}
	}
	return out, nil
}

// predict says what a fitted baseline expects of a row from a new study.
func (l Logistic) predict(r Row, x []float64) Prediction {
	at := mat.NewVecDense(len(x), x)
	middle := mat.Dot(at, mat.NewVecDense(len(l.Beta), l.Beta))
	unsure := math.Sqrt(mat.Inner(at, l.Cov, at))
	rng := rand.New(rand.NewPCG(20, 26))
	p := Prediction{Row: r, Shares: make([]float64, draws)}
	for i := range p.Shares {
		logit := middle + unsure*rng.NormFloat64()
		p.P += expit(logit) / draws
		p.Shares[i] = expit(logit + l.SD*BaselineWidening*rng.NormFloat64())
	}
	slices.Sort(p.Shares)
	return p
}
