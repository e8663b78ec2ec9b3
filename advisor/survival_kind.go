package advisor

import (
	"math"
	"math/rand/v2"
	"sync"
)

// kindModel is the model cut down to one kind of fish: a fixed set of draws of
// its traits, which every answer about it goes through.
type kindModel struct {
	gas    Gas
	growth float64 // E − 1 of a fish from 50 m
	basis  kindBasis
	draws  [answerDraws]draw
}

// answerDraws is how many sets of traits an answer averages over: enough for a
// range to two digits, few enough to answer in microseconds.
const answerDraws = 64

// The columns of the design: the traits, the study, and what is told of the fish.
const (
	studyColumn = int(NumTraits) + iota
	toldHazardColumn
	toldLogitColumn
	designColumns
)

// designSeed was chosen among thirty: its ranges lie closest to those of 4000 free
// draws over eleven kinds and five depths, 0.01 off on average.
const designSeed = 2007

// design is the same set of standard normal numbers for every kind. Each column
// takes one number from each of 64 equally likely slices, in an order of its own
// (a Latin hypercube), and the whole is turned so that variances and correlations
// are exactly those of independent normal numbers.
var design = sync.OnceValue(func() [answerDraws][designColumns]float64 {
	var z [answerDraws][designColumns]float64
	rng := rand.New(rand.NewPCG(1994, designSeed))
	for j := range designColumns {
		for i, slice := range rng.Perm(answerDraws) {
			at := (float64(slice) + 0.5) / answerDraws
			z[i][j] = math.Sqrt2 * math.Erfinv(2*at-1)
		}
	}
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
		for a := range l { // solve L·y = z
			for b := range a {
				z[i][a] -= l[a][b] * z[i][b]
			}
			z[i][a] /= l[a][a]
		}
	}
	return z
})

// kindModel works out the draws of one kind: the trait means, and the factor of
// their covariance times the design.
func (m *Model) kindModel(species, kin string, gas Gas, basis kindBasis) *kindModel {
	means, cov := m.traitsOf(species, kin)
	l := cholesky(cov)
	k := &kindModel{gas: gas, growth: gas.Expansion(PressureRatio(anchorDepthM)) - 1, basis: basis}
	for i, z := range design() {
		t := means
		for a := range t {
			for b := 0; b <= a; b++ {
				t[a] += l[a][b] * z[b]
			}
		}
		k.draws[i] = newDraw(t, z[studyColumn]*m.fitted.Spread.StudyAhead)
		k.draws[i].toldHazard, k.draws[i].toldLogit = z[toldHazardColumn], z[toldLogitColumn]
		k.draws[i].dives = basis.NoBenefitShown && i%2 == 0
	}
	return k
}

// traitsOf are the means and the covariance of the traits of a kind.
func (m *Model) traitsOf(species, kin string) (means Traits, cov [][]float64) {
	var parts [NumTraits][]int
	cov = make([][]float64, NumTraits)
	for t := range NumTraits {
		var free float64
		parts[t], free = m.parts(t, species, kin)
		cov[t] = make([]float64, NumTraits)
		cov[t][t] = free
		for _, i := range parts[t] {
			means[t] += m.fitted.Means[i]
		}
	}
	for a := range NumTraits {
		for b := range NumTraits {
			for _, i := range parts[a] {
				for _, j := range parts[b] {
					cov[a][b] += m.cov[i][j]
				}
			}
		}
	}
	return means, cov
}

// draw is one set of traits made ready for quick answers.
type draw struct {
	hookField   float64 // survival of hook, handling and field
	baro, slope float64
	float, lift float64
	lost        float64
	relief      float64 // what venting multiplies the odds of submerging by
	vent        float64 // hazard of the needle at one metre
	study       float64 // what the study multiplies the odds of death by
	toldHazard  float64 // standard normal: how far off what was told is
	toldLogit   float64
	dives       bool // takes the studies at their word: such fish get down by themselves
}

func newDraw(t Traits, study float64) draw {
	return draw{
		hookField: logistic(-t[TraitHook]) * logistic(-t[TraitField]),
		baro:      t[TraitBarotrauma], slope: max(t[TraitSlope], 0), // no fish gains from depth
		float: t[TraitFloat], lift: max(t[TraitLift], 0),
		lost: logistic(t[TraitLost]), relief: math.Exp(math.Exp(t[TraitRelief])),
		vent: math.Exp(t[TraitVent]) / anchorDepthM, study: math.Exp(study),
	}
}
