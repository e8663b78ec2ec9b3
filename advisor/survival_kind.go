package advisor

import (
	"math"
	"math/rand/v2"
	"sync"
)

// kindModel is the model cut down to one kind of fish: a fixed set of draws of
// its traits, which every answer about it goes through.
//
// The model is not linear: a fish that may or may not get down is saved or lost by
// that step, so that a mean plugged into the curves would flatter the odds. Going
// through whole draws gives means and ranges that are right, keeps every curve
// falling with depth (each draw's does), and keeps a gain from being negative.
type kindModel struct {
	gas Gas
	// growth is E − 1 of a fish from 50 m, to which the lift is referred.
	growth float64
	basis  kindBasis
	draws  [answerDraws]draw
}

// answerDraws is how many sets of traits an answer averages over: enough for a
// range to two digits, few enough to answer in microseconds.
const answerDraws = 64

// The columns of the design: the traits, the study, and what is told of the fish.
const (
	studyColumn = int(NumTraits) + iota
	studyFloatColumn
	sentDownColumn
	luckColumn
	toldHazardColumn
	toldLogitColumn
	toldFloatColumn
	designColumns
)

// designSeed was chosen among three hundred: the ends of its ranges lie closest to those of
// 1500 free draws over eleven kinds and three depths, 0.013 off on average.
const designSeed = 2216

// design is the same set of standard normal numbers for every kind. Each column
// takes one number from each of 64 equally likely slices, in an order of its own
// (a Latin hypercube), and the whole is turned so that variances and correlations
// are exactly those of independent normal numbers.
//
// Sharing it between kinds and depths makes answers comparable: two curves differ
// because the fish do, never because the dice fell otherwise.
var design = sync.OnceValue(func() [answerDraws][designColumns]float64 { return designOf(designSeed) })

// designOf is the design of one seed.
func designOf(seed uint64) [answerDraws][designColumns]float64 {
	var z [answerDraws][designColumns]float64
	// A seed of its own, so that the same question always gets the same answer.
	rng := rand.New(rand.NewPCG(1994, seed))
	for j := range designColumns {
		for i, slice := range rng.Perm(answerDraws) {
			at := (float64(slice) + 0.5) / answerDraws
			z[i][j] = math.Sqrt2 * math.Erfinv(2*at-1)
		}
	}
	whiten(&z)
	return z
}

// whiten turns the design so that its columns have no correlation and a variance of
// one: with z = L·y for the factor L of their covariance, y is what is wanted.
func whiten(z *[answerDraws][designColumns]float64) {
	cov := make([][]float64, designColumns)
	for a := range cov {
		cov[a] = make([]float64, designColumns)
		for b := range cov[a] {
			for i := range z {
				cov[a][b] += z[i][a] * z[i][b] / answerDraws
			}
		}
	}
	l := cholesky(cov)
	for i := range z {
		for a := range l {
			for b := range a {
				z[i][a] -= l[a][b] * z[i][b]
			}
			z[i][a] /= l[a][a]
		}
	}
}

// kindName says which effects belong to a kind. An empty species or kin stands for
// one that nobody studied; its effects then come from the spreads.
type kindName struct {
	species, kin string
	vents        float64
}

// kindModel works out the draws of one kind: the trait means, and the factor of
// their covariance times the design.
func (m *Model) kindModel(name kindName, gas Gas, basis kindBasis) *kindModel {
	means, cov := m.traitsOf(name)
	l := cholesky(cov)
	k := &kindModel{gas: gas, growth: gas.Expansion(PressureRatio(anchorDepthM)) - 1, basis: basis}
	for i, z := range design() {
		t := means
		for a := range t {
			for b := 0; b <= a; b++ {
				t[a] += l[a][b] * z[b]
			}
		}
		d := newDraw(t)
		d.study = math.Exp(z[studyColumn] * m.fitted.Spread.StudyAhead)
		d.float += z[studyFloatColumn] * m.fitted.Spread.StudyFloatAhead
		d.sentDown, d.luck = sentDown(z[sentDownColumn]), z[luckColumn]
		d.toldHazard, d.toldLogit, d.toldFloat = z[toldHazardColumn], z[toldLogitColumn], z[toldFloatColumn]
		k.draws[i] = d
	}
	return k
}

// sentDown is what being sent down multiplies the odds of death by, for standard
// normal z: the minute it takes, and how far the two groups of one study differ.
func sentDown(z float64) float64 {
	m := modifiers().sentDown
	return math.Exp(m.Size + m.SD*z)
}

// traitsOf are the means and the covariance of the traits of a kind. A trait is a sum
// of parameters (all closed-bladder fish, its kin, itself), so that its variance is
// the sum of all their covariances, and traits of one kind are correlated: where
// the cages say that a species is hardy, they say nothing yet of its submerging.
func (m *Model) traitsOf(name kindName) (means Traits, cov [][]float64) {
	var parts [NumTraits][]part
	cov = make([][]float64, NumTraits)
	for t := range NumTraits {
		var free float64
		parts[t], free = m.parts(t, name)
		cov[t] = make([]float64, NumTraits)
		cov[t][t] = free
		for _, p := range parts[t] {
			means[t] += p.share * m.fitted.Means[p.at]
		}
	}
	for a := range NumTraits {
		for b := range NumTraits {
			for _, p := range parts[a] {
				for _, q := range parts[b] {
					cov[a][b] += p.share * q.share * m.cov[p.at][q.at]
				}
			}
		}
	}
	return means, cov
}

// draw is one set of traits made ready for quick answers.
type draw struct {
	// hook is the survival of hook and handling.
	hook float64
	// field and fieldSlope give the logit of dying later or by a predator, baro and
	// slope that of dying of barotrauma, float and lift that of failing to submerge;
	// lost is the chance to be lost then.
	field, fieldSlope, baro, slope, float, lift, lost float64
	// relief is what venting multiplies the odds of submerging by, vent the hazard of
	// the needle at one metre.
	relief, vent float64
	// study is what one study multiplies the odds of death by, sentDown what being
	// sent down does.
	study, sentDown float64
	// luck is standard normal: the chance of few fish.
	luck float64
	// toldHazard, toldLogit and toldFloat are standard normal: how far off the
	// published effect of what was told of the fish is.
	toldHazard, toldLogit, toldFloat float64
}

// newDraw takes the exponentials out of the way of the answers. The slopes are
// kept from falling below nothing: no fish gains from depth.
func newDraw(t Traits) draw {
	return draw{
		hook: logistic(-t[TraitHook]), field: t[TraitField], fieldSlope: max(t[TraitFieldSlope], 0),
		baro: t[TraitBarotrauma], slope: max(t[TraitSlope], 0),
		float: t[TraitFloat], lift: max(t[TraitLift], 0),
		lost: logistic(t[TraitLost]), relief: math.Exp(math.Exp(t[TraitRelief])),
		vent: math.Exp(t[TraitVent]) / anchorDepthM, study: 1, sentDown: 1,
	}
}
