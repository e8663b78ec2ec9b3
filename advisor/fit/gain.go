package fit

import (
	"math"
	"slices"
	"strings"

	"deepward/advisor"
)

// GainPrediction is what a model says of a published pair before it has seen any of its
// studies.
type GainPrediction struct {
	Pair advisor.Pair
	// Gain is the answer for that kind of fish from the middle of its depths.
	Gain advisor.Gain
}

// Holds says whether the published gain lies inside the 80 % range.
func (g GainPrediction) Holds() bool {
	return g.Gain.Low <= g.Pair.Gain && g.Pair.Gain <= g.Gain.High
}

// gains predicts every published pair that has a figure from a fit that has not
// seen its studies, by the answer itself: the gain that a question about such a fish
// from the middle of those depths would get.
func (l leftOut) gains() (list []GainPrediction, err error) {
	for _, p := range advisor.Pairs() {
		if p.Use == advisor.UseContext {
			continue
		}
		m, err := l.model(p.Studies...)
		if err != nil {
			return nil, err
		}
		list = append(list, GainPrediction{p, gainOf(m, p)})
	}
	return list, nil
}

// leftOut makes the models that would answer had some studies never been made, each once.
type leftOut struct {
	full   *Posterior
	models map[string]*advisor.Model
}

func newLeftOut(full *Posterior) leftOut { return leftOut{full, map[string]*advisor.Model{}} }

func (l leftOut) model(studies ...string) (*advisor.Model, error) {
	key := strings.Join(studies, "; ")
	if m := l.models[key]; m != nil {
		return m, nil
	}
	post, err := l.full.Without(studies...)
	if err != nil {
		return nil, err
	}
	file, err := post.Export()
	if err != nil {
		return nil, err
	}
	l.models[key], err = advisor.ReadModel(file)
	return l.models[key], err
}

// gainOf is the mean answer over the species of a pair.
func gainOf(m *advisor.Model, p advisor.Pair) (g advisor.Gain) {
	n := float64(len(p.Species))
	for _, name := range p.Species {
		e := m.Estimate(advisor.Case{Species: speciesOf(name, p.Kin), DepthM: p.DepthM()}).Gain
		g.P, g.Low, g.High = g.P+e.P/n, g.Low+e.Low/n, g.High+e.High/n
	}
	return g
}

// GainScore sums up how well predictions of the gain held.
type GainScore struct {
	Pairs, Studies int
	// Inside is the share within the 80 % range, MeanError the mean absolute difference
	// from the middle, Interval the mean interval score (lower is better).
	Inside, MeanError, Interval float64
}

// GainScoreOf sums up.
func GainScoreOf(list []GainPrediction) (s GainScore) {
	var studies []string
	for _, g := range list {
		s.Pairs++
		if g.Holds() {
			s.Inside++
		}
		s.MeanError += math.Abs(g.Gain.P - g.Pair.Gain)
		s.Interval += IntervalScore(g.Gain.Low, g.Gain.High, g.Pair.Gain)
		if !slices.Contains(studies, g.Pair.Study) {
			studies = append(studies, g.Pair.Study)
		}
	}
	n := float64(s.Pairs)
	s.Studies = len(studies)
	s.Inside, s.MeanError, s.Interval = s.Inside/n, s.MeanError/n, s.Interval/n
	return s
}

// IntervalScore is the width of an 80 % range and ten times what it was missed by, as
// Gneiting & Raftery 2007 (J Am Stat Assoc 102, eq. 43) score a central interval with
// α = 0.2: (u − l) + 2/α·(l − x)⁺ + 2/α·(x − u)⁺. Lower is better.
func IntervalScore(low, high, x float64) float64 {
	const alpha = 0.2
	return high - low + 2/alpha*(max(low-x, 0)+max(x-high, 0))
}
