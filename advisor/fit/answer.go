package fit

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/combin"

	"deepward/advisor"
)

// Answered is a finding beside what a question about such a fish would have been answered
// by a model that has not seen its study: hook, barotrauma and field together, for a
// question does not say that a cage kept the predators out.
type Answered struct {
	Finding advisor.Finding
	DepthM  float64
	// Alive is the answer, Saw the share alive that was found.
	Alive advisor.Estimate
	Saw   float64
}

// Holds says whether the share found lies inside the 80 % range, strictly.
func (a Answered) Holds() bool { return a.Alive.Low <= a.Saw && a.Saw <= a.Alive.High }

// leastFish is the number of fish from which a share is worth laying beside an answer.
const leastFish = 5

// seen answers for the same findings by a model that has seen them all: no model of this
// form comes closer to studies that it has not seen.
func (l leftOut) seen() ([]Answered, error) {
	return l.answered(func(string) (*advisor.Model, error) { return l.model() })
}

// answers answers for every finding of deaths of leastFish or more.
func (l leftOut) answers() ([]Answered, error) {
	return l.answered(func(study string) (*advisor.Model, error) { return l.model(study) })
}

func (l leftOut) answered(by func(study string) (*advisor.Model, error)) (list []Answered, err error) {
	for _, f := range advisor.Findings() {
		if f.Use != advisor.UseFit || f.Fit.Proxy || f.Weight() < leastFish {
			continue
		}
		m, err := by(f.Study)
		if err != nil {
			return nil, err
		}
		depth := math.Sqrt(max(f.Fit.DepthMinM, 5) * f.Fit.DepthMaxM)
		list = append(list, Answered{f, depth, answerOf(m, f, depth), 1 - f.Fit.Mortality})
	}
	return list, nil
}

// answerOf is the mean answer over the species of a finding, for its way of release; a
// cage at depth, and ways that were pooled, are laid beside fish sent down.
func answerOf(m *advisor.Model, f advisor.Finding, depthM float64) (e advisor.Estimate) {
	n := float64(len(f.Species))
	for _, name := range f.Species {
		s := m.Estimate(advisor.Case{Species: speciesOf(name, f.Kin), DepthM: depthM})
		way := s.Recompressed
		switch advisor.Method(f.Method) {
		case advisor.Surface:
			way = s.Surface
		case advisor.Vented:
			way = s.Vented
		}
		e.P, e.Low, e.High = e.P+way.P/n, e.Low+way.Low/n, e.High+way.High/n
	}
	return e
}

// speciesOf is the catalogue's entry, or one of the kin for a fish that no angler asks
// about.
func speciesOf(name, kin string) *advisor.Species {
	if s := advisor.LookUp(name); s != nil {
		return s
	}
	return &advisor.Species{ScientificName: name, Family: advisor.FamilyOf(kin), Bladder: advisor.BladderClosed}
}

// AnswerScore sums up how well answers held.
type AnswerScore struct {
	Rows int
	// Luck is the mean error that chance alone makes with so few fish, were each answer the
	// true share of its study.
	Luck float64
	// Inside is the share within the range, Near that within two points of it; MeanError
	// is absolute, Bias above 0 where more lived than answered; Interval the mean score.
	Inside, Near, MeanError, Bias, Interval float64
	// StudyBias is the bias where each study counts once, however many findings it has.
	StudyBias float64
}

// AnswerScoreOf sums up those that pass.
func AnswerScoreOf(list []Answered, pass func(Answered) bool) (s AnswerScore) {
	const slack = 0.02
	byStudy := map[string][]float64{}
	for _, a := range list {
		if !pass(a) {
			continue
		}
		s.Rows++
		s.Inside += float64(one(a.Holds()))
		s.Near += float64(one(a.Alive.Low-slack <= a.Saw && a.Saw <= a.Alive.High+slack))
		s.MeanError += math.Abs(a.Alive.P - a.Saw)
		s.Luck += luck(a)
		s.Bias += a.Saw - a.Alive.P
		byStudy[a.Finding.Study] = append(byStudy[a.Finding.Study], a.Saw-a.Alive.P)
		s.Interval += IntervalScore(a.Alive.Low, a.Alive.High, a.Saw)
	}
	n := math.Max(1, float64(s.Rows))
	s.Luck /= n
	for _, study := range slices.Sorted(maps.Keys(byStudy)) { // in order: sums must not wander
		s.StudyBias += stat.Mean(byStudy[study], nil) / float64(len(byStudy))
	}
	s.Inside, s.Near, s.MeanError, s.Bias, s.Interval = s.Inside/n, s.Near/n, s.MeanError/n, s.Bias/n, s.Interval/n
	return s
}

// luck is the mean distance of the share found among the fish of a finding from the true
// one, by the binomial. That is not known: the share found stands in, with one fish more on
// either side, so that none of few is not taken for never.
func luck(a Answered) (mean float64) {
	n := int(math.Round(a.Finding.Weight()))
	p := (a.Saw*float64(n) + 1) / float64(n+2)
	for k := 0; k <= n; k++ {
		ways := combin.LogGeneralizedBinomial(float64(n), float64(k))
		mean += math.Exp(ways+float64(k)*math.Log(p)+float64(n-k)*math.Log(1-p)) * math.Abs(float64(k)/float64(n)-p)
	}
	return mean
}
