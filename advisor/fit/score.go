package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// Prediction is what a model says of a row before it has seen it: a normal
// distribution of the logit of the share that dies.
type Prediction struct {
	Row    Row
	Logit  float64
	Spread float64
}

// z80 is the standard normal quantile of the upper end of an 80 % range.
const z80 = 1.2815515655446004

// P is the middle of the prediction, in [0, 1].
func (p Prediction) P() float64 { return expit(p.Logit) }

// Range is the 80 % range of the share that dies.
func (p Prediction) Range() (low, high float64) {
	return expit(p.Logit - z80*p.Spread), expit(p.Logit + z80*p.Spread)
}

// Holds says whether the observed share lies inside the range as it stands.
func (p Prediction) Holds() bool {
	low, high := p.Range()
	share := p.Row.Dead / p.Row.N
	return low <= share && share <= high
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

// scoreNodes is enough that halving it moves no printed figure.
const scoreNodes = 64

// density is the probability of dead out of n, over the spread of the logit.
func (p Prediction) density(dead, n int) float64 {
	binomial := combin.LogGeneralizedBinomial(float64(n), float64(dead))
	total := 0.0
	for i := range scoreNodes {
		z := distuv.UnitNormal.Quantile((float64(i) + 0.5) / scoreNodes)
		x := p.Logit + z*p.Spread
		total += math.Exp(binomial - float64(dead)*softplus(-x) - float64(n-dead)*softplus(x))
	}
	return total / scoreNodes
}

func expit(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func softplus(x float64) float64 {
	if x > 30 {
		return x
	}
	return math.Log1p(math.Exp(x))
}

// Predict says what the posterior expects of a row from a study nobody has seen.
func (p *Posterior) Predict(r Row) Prediction {
	pr := newProblem(p.Data, p.Spread)
	slopes := make([]float64, pr.layout.size)
	logit := pr.logitMortality(p.Mean, r, slopes)
	x := mat.NewVecDense(len(slopes), slopes)
	spread := mat.Inner(x, p.Cov, x) + p.Spread.Study*p.Spread.Study
	return Prediction{Row: r, Logit: logit, Spread: math.Sqrt(spread)}
}

// LeaveOneOut predicts every row from a fit that has not seen its study, the
// spreads held.
func LeaveOneOut(d *Data, s Spread) ([]Prediction, error) {
	var out []Prediction
	for _, study := range d.Studies {
		post, err := FitGiven(d.Without(study), s)
		if err != nil {
			return nil, err
		}
		for _, r := range d.Rows {
			if r.Study == study {
				out = append(out, post.Predict(r))
			}
		}
	}
	return out, nil
}

// Score sums up how well predictions held.
type Score struct {
	Rows, Studies int
	// Inside and InsideCounting are the shares of rows in the 80 % range, by the
	// range of the share as it stands and with the luck of few fish.
	Inside, InsideCounting float64
	// LogScore is the mean per row, higher is better; MeanError the mean absolute
	// difference of shares.
	LogScore, MeanError float64
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
		s.MeanError += math.Abs(p.P() - p.Row.Dead/p.Row.N)
		if !slices.Contains(studies, p.Row.Study) {
			studies = append(studies, p.Row.Study)
		}
	}
	n := float64(s.Rows)
	s.Studies = len(studies)
	s.Inside, s.InsideCounting = s.Inside/n, s.InsideCounting/n
	s.LogScore, s.MeanError = s.LogScore/n, s.MeanError/n
	return s
}
