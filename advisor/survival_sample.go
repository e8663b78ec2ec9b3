package advisor

import (
	"math"
	"math/rand/v2"
)

// Model is the fitted survival model: what the evidence says of its parameters
// and how sure it is of them. It is read only and safe to share.
//
// First estimate: until the fitted model takes its place, a Model is the simple
// curve of EstimateSurvival with its range.
type Model struct{}

// Posterior returns the survival model that is built in.
func Posterior() *Model { return &Model{} }

// Sample draws one complete set of parameters. All fish that are reckoned with
// one Sample share what is not known, so that a sum over many fish has an honest
// range: draw a few hundred Samples, sum the fish under each, take quantiles.
// The same random source gives the same draws.
func (m *Model) Sample(rng *rand.Rand) *Sample { return &Sample{z: rng.NormFloat64()} }

// Sample is one draw of the parameters of a Model. It does not change and may be
// used for any number of fish.
type Sample struct{ z float64 }

// Survival is the chance in [0, 1] that the fish of the case lives after a release
// by that method, under this draw of the parameters. A Kept fish is dead: 0.
func (s *Sample) Survival(c Case, m Method) float64 {
	e := EstimateSurvival(c)
	switch m {
	case Surface:
		return s.of(e.Surface)
	case Vented:
		return s.of(e.Vented)
	case Recompressed:
		return s.of(e.Recompressed)
	}
	return 0
}

// of moves an estimate by the shared draw, on the logit scale.
func (s *Sample) of(e Estimate) float64 {
	const z80 = 1.2816
	spread := (logit(e.High) - logit(e.Low)) / (2 * z80)
	return logistic(logit(e.P) + s.z*spread)
}

func logit(p float64) float64 {
	p = min(max(p, 1e-6), 1-1e-6)
	return math.Log(p / (1 - p))
}
