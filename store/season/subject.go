package season

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"deepward/advisor"
)

// Subject is one tagged fish in a model of several factors at once.
type Subject struct {
	// Factors are its values, the same number for all; fish that are alike may share them.
	Factors []float64
	// Stratum is the month of its release, Cluster the day: fish of one day are alike in
	// much that nobody told.
	Stratum, Cluster int
	// Days it was out, up to its first recapture or to the end of the watch; above 0.
	Days float64
	// Seen is true when it was seen again after those days.
	Seen bool
	// more fish are the same in all of this.
	more int
}

// fish is how many fish the subject stands for.
func (s Subject) fish() float64 { return float64(1 + s.more) }

// fishOf is how many fish the subjects stand for.
func fishOf(list []Subject) (n int) {
	for _, s := range list {
		n += 1 + s.more
	}
	return n
}

// Fitted is a model of several factors. Covariance is robust: the fish of one cluster
// count as one another's echo (Huber 1967; Lin & Wei 1989, JASA 84:1074, without a
// correction for few clusters, as R's coxph has it).
type Fitted struct {
	Coef       []float64
	Covariance symmetric
	// Fish, Seen, Clusters and Strata went into it.
	Fish, Seen, Clusters, Strata int
	// Known is false when there is no answer.
	Known bool
}

// contrast is Σ weight·coefficient with its standard error.
func (f Fitted) contrast(weights []float64) (value, se float64) {
	return dot(weights, f.Coef), math.Sqrt(dot(weights, f.Covariance.times(weights)))
}

// robust is S⁻¹ (Σ u uᵀ) S⁻¹ over the sums u of each cluster's scores.
func robust(information symmetric, clusters map[int][]float64) (symmetric, bool) {
	inverse, ok := inverted(information)
	if !ok {
		return nil, false
	}
	sum := square(len(information))
	for _, c := range names(clusters) {
		sum.addOuter(1, inverse.times(clusters[c]))
	}
	return sum, true
}

// step solves information · change = score; way is its squared length in standard errors.
func step(information symmetric, score []float64) (change []float64, way float64, ok bool) {
	inverse, ok := inverted(information)
	if !ok {
		return nil, 0, false
	}
	change = inverse.times(score)
	return change, dot(change, score), true
}

// endless is true where a factor splits the fish without a remainder.
func endless(coef []float64) bool {
	return slices.ContainsFunc(coef, func(c float64) bool { return !(math.Abs(c) < mostLogit) })
}

// clusterSums adds scores up by cluster.
type clusterSums map[int][]float64

func (c clusterSums) add(cluster int, times float64, x, less []float64) {
	sum := c[cluster]
	if sum == nil {
		sum = make([]float64, len(x))
		c[cluster] = sum
	}
	for i := range x {
		sum[i] += times * (x[i] - less[i])
	}
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// Weighed is what a model says of each way of release against each other, and of depth,
// within the months of release.
type Weighed struct {
	// Fish that were let go, Seen of them again, on so many Days, in so many Months.
	Fish, Seen, Days, Months int
	Effects                  []PairEffect
}

// PairEffect is by how much A multiplies the odds or the rate of being seen again, against
// B; both are "" for 10 m more depth. Range and p (Wald) are robust: days are clusters.
type PairEffect struct {
	A, B                advisor.Method
	Ratio, Low, High, P float64
}

// Held holds the time of release and the time out: logistic regression on being seen
// again, and Cox's model on the days at liberty, each with the way of release and the
// depth at once and each within months of release.
type Held struct {
	Logistic, Cox Weighed
	// Undated were seen again on a day that nobody told: they are not in Cox's model.
	Undated int
}

// tagLife is a tagged fish that counts.
type tagLife struct {
	method     advisor.Method
	depthM     float64
	day        int32
	days       float64
	seen, when bool // when: the days are known
}

// compare puts lives in order: whatever order they were counted in, their sums are the same.
func (l tagLife) compare(o tagLife) int {
	return cmp.Or(
		cmp.Compare(l.day, o.day), cmp.Compare(l.depthM, o.depthM), cmp.Compare(l.method, o.method), cmp.Compare(l.days, o.days),
		cmp.Compare(number(l.seen), number(o.seen)), cmp.Compare(number(l.when), number(o.when)),
	)
}

// held fits both models to so many fish of each life.
func held(lives map[tagLife]int) (h Held) {
	var methods []advisor.Method
	for _, m := range []advisor.Method{advisor.Surface, advisor.Vented, advisor.Recompressed} {
		if anyOf(lives, func(l tagLife) bool { return l.method == m }) {
			methods = append(methods, m)
		}
	}
	if len(methods) < 2 {
		return h
	}
	ordered := slices.SortedFunc(maps.Keys(lives), tagLife.compare)
	// One depth for all says nothing, and would leave no answer.
	d := design{methods, anyOf(lives, func(l tagLife) bool { return l.depthM != ordered[0].depthM })}
	all, dated := make([]Subject, 0, len(ordered)), make([]Subject, 0, len(ordered))
	shared := map[place][]float64{}
	for _, l := range ordered {
		s := d.subject(l, shared)
		s.more = lives[l] - 1
		all = append(all, s)
		if l.when {
			dated = append(dated, s)
		} else {
			h.Undated += lives[l]
		}
	}
	h.Logistic = d.weighed(FitWithin(all))
	h.Cox = d.weighed(FitCox(dated))
	return h
}

func anyOf(lives map[tagLife]int, is func(tagLife) bool) bool {
	for l := range lives {
		if is(l) {
			return true
		}
	}
	return false
}

// design has a factor for each method but the first, and one for depth where it varies.
type design struct {
	methods []advisor.Method
	depth   bool
}

func (d design) size() int { return len(d.methods) - 1 + number(d.depth) }

func (d design) subject(l tagLife, shared map[place][]float64) Subject {
	p := place{l.method, l.depthM}
	x := shared[p]
	if x == nil {
		x = make([]float64, d.size())
		if i := slices.Index(d.methods, l.method); i > 0 {
			x[i-1] = 1
		}
		if d.depth {
			x[d.size()-1] = l.depthM / stepM
		}
		shared[p] = x
	}
	return Subject{Factors: x, Stratum: monthOf(l.day), Cluster: int(l.day), Days: max(l.days, 0.5), Seen: l.seen}
}

// monthOf counts the months of the calendar.
func monthOf(day int32) int {
	t := time.Unix(int64(day)*24*60*60, 0).UTC()
	return t.Year()*12 + int(t.Month()) - 1
}

// weighed reads the effects off a model.
func (d design) weighed(f Fitted) Weighed {
	w := Weighed{Fish: f.Fish, Seen: f.Seen, Days: f.Clusters, Months: f.Strata}
	if !f.Known {
		return w
	}
	for _, p := range methodPairs {
		a, b := slices.Index(d.methods, p[0]), slices.Index(d.methods, p[1])
		if a < 0 || b < 0 {
			continue
		}
		weights := make([]float64, d.size())
		if a > 0 {
			weights[a-1]++
		}
		if b > 0 {
			weights[b-1]--
		}
		w.Effects = append(w.Effects, f.effect(p[0], p[1], weights))
	}
	if d.depth {
		deeper := make([]float64, d.size())
		deeper[d.size()-1] = 1
		w.Effects = append(w.Effects, f.effect("", "", deeper))
	}
	return w
}

func (f Fitted) effect(a, b advisor.Method, weights []float64) PairEffect {
	value, se := f.contrast(weights)
	e := PairEffect{A: a, B: b, Ratio: math.Exp(value), P: 2 * normalCDF(-math.Abs(value/se))}
	e.Low, e.High = aroundLog(e.Ratio, se, confidence)
	return e
}

// of is the effect of a pair, false where there is none.
func (w Weighed) of(a, b advisor.Method) (PairEffect, bool) {
	i := slices.IndexFunc(w.Effects, func(e PairEffect) bool { return e.A == a && e.B == b })
	if i < 0 {
		return PairEffect{}, false
	}
	return w.Effects[i], true
}
