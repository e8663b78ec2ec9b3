package season

import (
	"cmp"
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

// waysOfRelease are what the models of time compare.
var waysOfRelease = [...]advisor.Method{advisor.Surface, advisor.Vented, advisor.Recompressed}

// tagLife is a tagged fish that counts; a season holds one for each.
type tagLife struct {
	depthM     float64
	day, days  int32
	method     int8 // its place in waysOfRelease
	seen, when bool // when: the days are known
}

// compare puts the lives whose days are known first, and those that are alike together.
func (l tagLife) compare(o tagLife) int {
	return cmp.Or(
		cmp.Compare(number(o.when), number(l.when)), cmp.Compare(l.day, o.day), cmp.Compare(l.depthM, o.depthM), cmp.Compare(l.method, o.method),
		cmp.Compare(l.days, o.days), cmp.Compare(number(l.seen), number(o.seen)),
	)
}

// held fits both models.
func held(lives []tagLife) (h Held) {
	var methods []advisor.Method
	for i, m := range waysOfRelease {
		if slices.ContainsFunc(lives, func(l tagLife) bool { return int(l.method) == i }) {
			methods = append(methods, m)
		}
	}
	if len(methods) < 2 {
		return h
	}
	// One depth for all says nothing, and would leave no answer.
	d := design{methods, slices.ContainsFunc(lives, func(l tagLife) bool { return l.depthM != lives[0].depthM })}
	slices.SortFunc(lives, tagLife.compare)
	list, dated := d.subjects(lives)
	h.Undated = fishOf(list[dated:])
	h.Logistic = d.weighed(FitWithin(list))
	h.Cox = d.weighed(fitCox(list[:dated]))
	return h
}

// subjects are the lives in order, those that are alike as one; of the first of them, dated,
// the days are known.
func (d design) subjects(lives []tagLife) (list []Subject, dated int) {
	alike := func(i int) bool { return i > 0 && lives[i] == lives[i-1] }
	kinds := 0
	for i := range lives {
		kinds += number(!alike(i))
	}
	list = make([]Subject, 0, kinds)
	shared := map[treated][]float64{}
	for i, l := range lives {
		if alike(i) {
			list[len(list)-1].more++
			continue
		}
		list = append(list, d.subject(l, shared))
		dated += number(l.when)
	}
	return list, dated
}

// treated is how a fish was let go, and from which depth: what its factors are made of.
type treated struct {
	depthM float64
	method int8
}

// design has a factor for each method but the first, and one for depth where it varies.
type design struct {
	methods []advisor.Method
	depth   bool
}

func (d design) size() int { return len(d.methods) - 1 + number(d.depth) }

func (d design) subject(l tagLife, shared map[treated][]float64) Subject {
	as := treated{l.depthM, l.method}
	x := shared[as]
	if x == nil {
		x = make([]float64, d.size())
		if i := slices.Index(d.methods, waysOfRelease[l.method]); i > 0 {
			x[i-1] = 1
		}
		if d.depth {
			x[d.size()-1] = l.depthM / stepM
		}
		shared[as] = x
	}
	return Subject{Factors: x, Stratum: monthOf(l.day), Cluster: int(l.day), Days: max(float64(l.days), 0.5), Seen: l.seen}
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
