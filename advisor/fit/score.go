package fit

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/combin"
)

// draws is how many sets of parameters stand for a posterior: enough that the
// printed figures move by less than their last digit.
const draws = 600

// Widening is what the spread of deaths between studies is multiplied by for a study not
// yet made, FloatWidening that of getting down. A spread at its most likely value leaves
// out how uncertain it is itself, and that of deaths is held small on purpose (see
// studyPrior). With these the 80 % ranges hold on studies left out.
const (
	Widening      = 3.0
	FloatWidening = 1.5
)

// Prediction is what a model says of a row before it has seen it.
type Prediction struct {
	Row Row
	// P is the share that dies, as a study in the middle of the others would find it.
	P float64
	// Shares are what one study may find, sorted, all equally likely.
	Shares []float64
}

// Range is the 80 % range of the share that dies.
func (p Prediction) Range() (low, high float64) {
	return stat.Quantile(0.1, stat.LinInterp, p.Shares, nil), stat.Quantile(0.9, stat.LinInterp, p.Shares, nil)
}

// Observed is the share that died.
func (p Prediction) Observed() float64 { return p.Row.Dead / p.Row.N }

// Holds says whether the observed share lies inside the range as it stands.
func (p Prediction) Holds() bool {
	low, high := p.Range()
	return low <= p.Observed() && p.Observed() <= high
}

// HoldsCounting says whether the observed count lies inside the 80 % range of
// counts: that of the share, and the luck of so few fish on top.
func (p Prediction) HoldsCounting() bool {
	dead, n := p.counts()
	low, high := 0.0, 0.0
	for k := 0; k <= n; k++ {
		d := p.density(k, n)
		switch {
		case k < dead:
			low += d
		case k > dead:
			high += d
		}
	}
	return low < 0.9 && high < 0.9
}

// LogScore is the log of the probability that the prediction gave to the count.
func (p Prediction) LogScore() float64 {
	dead, n := p.counts()
	return math.Log(p.density(dead, n))
}

func (p Prediction) counts() (dead, n int) {
	return int(math.Round(p.Row.Dead)), int(math.Round(p.Row.N))
}

// density is the probability of dead out of n, over the shares that may be.
func (p Prediction) density(dead, n int) float64 {
	ways := combin.LogGeneralizedBinomial(float64(n), float64(dead))
	total := 0.0
	for _, s := range p.Shares {
		s = min(max(s, least), 1-least)
		total += math.Exp(ways + float64(dead)*math.Log(s) + float64(n-dead)*math.Log(1-s))
	}
	return total / float64(len(p.Shares))
}

func expit(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// softplus is ln(1 + eˣ).
func softplus(x float64) float64 {
	if x > 30 {
		return x
	}
	return math.Log1p(math.Exp(x))
}

// Sampler draws parameters from a posterior, always the same ones.
type Sampler struct {
	problem *problem
	thetas  [][]float64
	studies []float64
	floats  []float64
}

// Sampler prepares the draws of a posterior.
func (p *Posterior) Sampler() (*Sampler, error) {
	var chol mat.Cholesky
	if !chol.Factorize(p.Cov) {
		return nil, ErrNoMode
	}
	var lower mat.TriDense
	chol.LTo(&lower)
	rng := rand.New(rand.NewPCG(20, 26))
	s := &Sampler{problem: newProblem(p.Data, p.Spread)}
	z := mat.NewVecDense(len(p.Mean), nil)
	for range draws {
		for i := range p.Mean {
			z.SetVec(i, rng.NormFloat64())
		}
		theta := mat.NewVecDense(len(p.Mean), nil)
		theta.MulVec(&lower, z)
		theta.AddVec(theta, mat.NewVecDense(len(p.Mean), p.Mean))
		s.thetas = append(s.thetas, theta.RawVector().Data)
		s.studies = append(s.studies, rng.NormFloat64()*p.Spread.Study*Widening)
		s.floats = append(s.floats, rng.NormFloat64()*p.Spread.StudyFloat*FloatWidening)
	}
	return s, nil
}

// Predict says what the posterior expects of a row from a study nobody has seen.
func (s *Sampler) Predict(r Row) Prediction {
	p := Prediction{Row: r, Shares: make([]float64, len(s.thetas))}
	for i, theta := range s.thetas {
		p.P += s.problem.mortality(theta, r, 0) / draws
		m := s.problem.mortality(theta, r, s.floats[i])
		if !r.Proxy {
			m = expit(logit(m) + s.studies[i])
		}
		p.Shares[i] = m
	}
	slices.Sort(p.Shares)
	return p
}

// LeaveOneOut predicts every row from a fit that has not seen its study, the
// spreads held.
func LeaveOneOut(full *Posterior) ([]Prediction, error) {
	var out []Prediction
	for _, study := range full.Data.Studies {
		if !slices.ContainsFunc(full.Data.Rows, func(r Row) bool { return r.Study == study }) {
			continue // a study of pairs alone
		}
		post, err := full.Without(study)
		if err != nil {
			return nil, err
		}
		sampler, err := post.Sampler()
		if err != nil {
			return nil, err
		}
		for _, r := range full.Data.Rows {
			if r.Study == study {
				out = append(out, sampler.Predict(r))
			}
		}
	}
	return out, nil
}

// Telling picks the predictions whose outcome a plain range can be held against: a
// share of deaths, not none, among 20 fish or more.
func Telling(list []Prediction) (out []Prediction) {
	for _, p := range list {
		if !p.Row.Proxy && p.Row.N >= 20 && p.Row.Dead > 0 {
			out = append(out, p)
		}
	}
	return out
}

// Score sums up how well predictions held.
type Score struct {
	Rows, Studies int
	// Inside and InsideCounting are the shares of rows in the 80 % range, by the
	// range of the share as it stands and with the luck of few fish.
	Inside, InsideCounting float64
	// LogScore is the mean per row, higher is better; MeanError the mean absolute
	// difference of the observed share from P.
	LogScore, MeanError float64
	// Interval is the mean interval score of the 80 % range, lower is better.
	Interval float64
}

// ScoreOf sums up.
func ScoreOf(list []Prediction) Score {
	var s Score
	var studies []string
	for _, p := range list {
		s.Rows++
		if p.Holds() {
			s.Inside++
		}
		if p.HoldsCounting() {
			s.InsideCounting++
		}
		s.LogScore += p.LogScore()
		s.MeanError += math.Abs(p.P - p.Observed())
		low, high := p.Range()
		s.Interval += IntervalScore(low, high, p.Observed())
		if !slices.Contains(studies, p.Row.Study) {
			studies = append(studies, p.Row.Study)
		}
	}
	n := float64(s.Rows)
	s.Studies = len(studies)
	s.Inside, s.InsideCounting = s.Inside/n, s.InsideCounting/n
	s.LogScore, s.MeanError, s.Interval = s.LogScore/n, s.MeanError/n, s.Interval/n
	return s
}
