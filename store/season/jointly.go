package season

import (
	"cmp"
	"math"
	"slices"

	"deepward/advisor"
)

// Jointly is how the method and the depth go with being seen again when both are
// weighed at once, by logistic regression over the depths as they were told.
type Jointly struct {
	// Fish were let go, by a method and from a depth that were told.
	Fish int
	// Against is the method that the others are set against.
	Against advisor.Method
	// Effects are those of the other methods, then of depth; none when the model
	// cannot be fitted.
	Effects []Effect
}

// Effect is by how much something multiplies the odds of being seen again.
type Effect struct {
	// Method is set against Jointly.Against; "" is 10 m more depth.
	Method advisor.Method
	// Odds ratio with its interval and two-sided p (Wald).
	Odds, Low, High, P float64
}

// stepM is how much more depth an effect is of, in metres.
const stepM = 10

// counts is false for fish that were not let go, or nobody told how.
func (p place) counts() bool { return p.method != "" && p.method != advisor.Kept }

// jointly fits what the methods and the depth do.
func jointly(depths map[place]Share) (j Jointly) {
	fish := map[advisor.Method]int{}
	for p, s := range depths {
		if p.counts() {
			fish[p.method] += s.N
			j.Fish += s.N
		}
	}
	methods := slices.DeleteFunc([]advisor.Method{advisor.Surface, advisor.Vented, advisor.Recompressed}, func(m advisor.Method) bool { return fish[m] == 0 })
	if len(methods) < 2 {
		return j
	}
	j.Against = methods[0]
	fitted := FitLogistic(observed(depths, methods[1:]))
	for i := 1; i < len(fitted.Coef); i++ {
		e := Effect{Odds: math.Exp(fitted.Coef[i]), P: 2 * normalCDF(-math.Abs(fitted.Coef[i]/fitted.SE[i]))}
		e.Low, e.High = aroundLog(e.Odds, fitted.SE[i], confidence)
		if i < len(methods) {
			e.Method = methods[i]
		}
		j.Effects = append(j.Effects, e)
	}
	return j
}

// observed has one factor for each of the methods, and one for depth; the order is
// always the same, so that the sums are.
func observed(depths map[place]Share, methods []advisor.Method) (list []Observation) {
	for p, s := range depths {
		if !p.counts() {
			continue
		}
		o := Observation{s, make([]float64, len(methods)+1)}
		if i := slices.Index(methods, p.method); i >= 0 {
			o.Factors[i] = 1
		}
		o.Factors[len(methods)] = p.depthM / stepM
		list = append(list, o)
	}
	slices.SortFunc(list, func(a, b Observation) int {
		return cmp.Or(slices.Compare(a.Factors, b.Factors), cmp.Compare(a.N, b.N))
	})
	return list
}
