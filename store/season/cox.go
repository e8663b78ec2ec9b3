package season

import (
	"cmp"
	"math"
	"slices"
)

// FitCox fits the proportional hazards model within strata, each with a course of its own:
// the rate of being seen again is the stratum's times exp(Σ Coef[i]·factor[i]) (Cox 1972,
// JRSS B 34:187), with Efron's way for ties (1977, JASA 72:557), as R's
// coxph(Surv(days, seen) ~ factors + strata(stratum), cluster = cluster) does. Fish that
// were not seen by the end of the watch are censored.
func FitCox(list []Subject) Fitted { return fitCox(slices.Clone(list)) }

// fitCox leaves the list in another order.
func fitCox(list []Subject) Fitted {
	c := newCox(list)
	if c == nil {
		return Fitted{}
	}
	for range mostSteps {
		information, score := c.equations(nil)
		change, way, ok := step(information, score)
		if !ok {
			return Fitted{}
		}
		for i, d := range change {
			c.coef[i] += d
		}
		if endless(c.coef) {
			return Fitted{}
		}
		if way < steadied {
			return c.fitted()
		}
	}
	return Fitted{}
}

type cox struct {
	list   []Subject // by stratum, the longest out first
	coef   []float64
	strata int
	seen   int
}

func newCox(list []Subject) *cox {
	c := &cox{list: list}
	slices.SortStableFunc(c.list, func(a, b Subject) int {
		return cmp.Or(cmp.Compare(a.Stratum, b.Stratum), cmp.Compare(b.Days, a.Days))
	})
	for i, s := range c.list {
		if s.Seen {
			c.seen += 1 + s.more
		}
		if i == 0 || s.Stratum != c.list[i-1].Stratum {
			c.strata++
		}
	}
	if c.seen == 0 {
		return nil
	}
	c.coef = make([]float64, len(list[0].Factors))
	return c
}

// risk sums the fish still out: Σ r, Σ r·factor and Σ r·factor·factorᵀ, with r their
// relative rates.
type risk struct {
	all    float64
	first  []float64
	second symmetric
}

func newRisk(n int) *risk { return &risk{first: make([]float64, n), second: square(n)} }

func (r *risk) clear() {
	r.all = 0
	clear(r.first)
	for _, row := range r.second {
		clear(row)
	}
}

func (r *risk) add(rate float64, x []float64) {
	r.all += rate
	for i := range x {
		r.first[i] += rate * x[i]
		for j := i; j < len(x); j++ {
			r.second.add(i, j, rate*x[i]*x[j])
		}
	}
}

// moment is a day on which fish of a stratum were seen: what it adds to the rate of those
// still out, and to that of those seen on it.
type moment struct {
	from, to       int // its fish in the list
	hazard, seenBy float64
	pull, seenPull []float64 // the same times the mean of the factors
	mean           []float64
}

// equations are information and score; each moment is handed to note, the latest of a
// stratum first.
func (c *cox) equations(note func(moment)) (information symmetric, score []float64) {
	n := len(c.coef)
	information, score = square(n), make([]float64, n)
	out, tied := newRisk(n), newRisk(n)
	for from := 0; from < len(c.list); {
		if from == 0 || c.list[from].Stratum != c.list[from-1].Stratum {
			out.clear()
		}
		tied.clear()
		to, deaths := from, 0
		for ; to < len(c.list) && c.list[to].Stratum == c.list[from].Stratum && c.list[to].Days == c.list[from].Days; to++ {
			s := c.list[to]
			rate := s.fish() * math.Exp(dot(c.coef, s.Factors))
			out.add(rate, s.Factors)
			if s.Seen {
				tied.add(rate, s.Factors)
				deaths += 1 + s.more
				for i, x := range s.Factors {
					score[i] += s.fish() * x
				}
			}
		}
		m := tie(out, tied, deaths, information, score)
		m.from, m.to = from, to
		if note != nil {
			note(m)
		}
		from = to
	}
	return information, score
}

// tie takes in the fish of one moment by Efron's steps.
func tie(out, tied *risk, deaths int, information symmetric, score []float64) moment {
	n := len(score)
	m := moment{pull: make([]float64, n), seenPull: make([]float64, n), mean: make([]float64, n)}
	for k := range deaths {
		part := float64(k) / float64(deaths)
		all := out.all - part*tied.all
		m.hazard += 1 / all
		m.seenBy += (1 - part) / all
		for i := range n {
			mean := (out.first[i] - part*tied.first[i]) / all
			score[i] -= mean
			m.mean[i] += mean / float64(deaths)
			m.pull[i] += mean / all
			m.seenPull[i] += (1 - part) * mean / all
			for j := i; j < n; j++ {
				other := (out.first[j] - part*tied.first[j]) / all
				information.add(i, j, (out.second[i][j]-part*tied.second[i][j])/all-mean*other)
			}
		}
	}
	return m
}

// fitted reads the answer off, with the score residuals of Therneau & Grambsch (2000,
// Modeling Survival Data, ch. 4 and 7) summed by cluster.
func (c *cox) fitted() Fitted {
	var moments []moment
	information, _ := c.equations(func(m moment) { moments = append(moments, m) })
	sums := clusterSums{}
	n := len(c.coef)
	none, hazard, pull := make([]float64, n), 0.0, make([]float64, n)
	for k := len(moments) - 1; k >= 0; k-- {
		m := moments[k]
		if k == len(moments)-1 || c.list[m.from].Stratum != c.list[moments[k+1].from].Stratum {
			hazard = 0
			clear(pull)
		}
		for _, s := range c.list[m.from:m.to] {
			c.residual(s, m, hazard, pull, sums, none)
		}
		hazard += m.hazard
		for i := range pull {
			pull[i] += m.pull[i]
		}
	}
	covariance, ok := robust(information, sums)
	return Fitted{c.coef, covariance, fishOf(c.list), c.seen, len(sums), c.strata, ok}
}

// residual adds the score of one subject, out since before the moment m.
func (c *cox) residual(s Subject, m moment, hazard float64, pull []float64, sums clusterSums, none []float64) {
	rate := s.fish() * math.Exp(dot(c.coef, s.Factors))
	own, ownPull := m.hazard, m.pull
	if s.Seen {
		own, ownPull = m.seenBy, m.seenPull
		sums.add(s.Cluster, s.fish(), s.Factors, m.mean)
	}
	sums.add(s.Cluster, -rate*(hazard+own), s.Factors, none)
	sums.add(s.Cluster, rate, pull, none)
	sums.add(s.Cluster, rate, ownPull, none)
}
