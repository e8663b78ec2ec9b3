package advisor

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// Sample draws one complete set of parameters from what the findings allow. All
// fish that are reckoned with one Sample share what is not known — of the model,
// of each species, and of how this fishery differs from the studied ones — so
// that a sum over many fish has an honest range. Use it like this:
//
//	rng := rand.New(rand.NewPCG(1, 2)) // passed in, so that the answer can be had again
//	for range 400 {
//	    s := Posterior().Sample(rng)
//	    for each fish { saved += s.Survival(c, Recompressed) − s.Survival(c, Surface) }
//	}
//
// and take quantiles of the 400 sums; add the luck of each fish (one coin toss
// with its chance) where the range is for a count. The same random source gives
// the same draws.
func (m *Model) Sample(rng *rand.Rand) *Sample {
	// θ = mean + L·z for the factor L of the covariance and standard normal z.
	l := m.chol()
	z := make([]float64, len(l))
	for i := range z {
		z[i] = rng.NormFloat64()
	}
	s := &Sample{model: m, theta: make([]float64, len(l)), fresh: rng.Uint64()}
	for i, row := range l {
		s.theta[i] = m.fitted.Means[i]
		for j, v := range row {
			s.theta[i] += v * z[j]
		}
	}
	s.study = rng.NormFloat64() * m.fitted.Spread.StudyAhead
	s.studyFloat = rng.NormFloat64() * m.fitted.Spread.StudyFloatAhead
	s.sentDown = sentDown(rng.NormFloat64())
	s.toldHazard, s.toldLogit, s.toldFloat = rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
	return s
}

// Sample is one draw of the parameters of a Model. It does not change: use it for
// any number of fish, from any number of goroutines.
type Sample struct {
	model *Model
	theta []float64
	// how this water differs from the studied ones, in deaths and in getting down, and
	// what being sent down multiplies the odds of death by
	study, studyFloat, sentDown float64
	// how far off is what was told of the fish
	toldHazard, toldLogit, toldFloat float64
	fresh                            uint64 // seeds the effects of kin and species that nobody studied
}

// Survival is the chance in [0, 1] that the fish of the case lives after a release
// by that method, under this draw. A fish kept, or any other word, gives 0.
func (s *Sample) Survival(c Case, m Method) float64 {
	k := s.model.kind(c.Species)
	d := newDraw(s.traits(c.Species))
	d.study, d.sentDown = math.Exp(s.study), s.sentDown
	// What was told of a fish is as far off for all fish of the draw: the published
	// effect is one and the same.
	d.toldHazard, d.toldLogit, d.toldFloat = s.toldHazard, s.toldLogit, s.toldFloat
	situation := k.situation(&c)
	top, vented, down := d.survival(&situation)
	switch m {
	case Surface:
		return d.inStudy(top)
	case Vented:
		return d.inStudy(vented)
	case Recompressed:
		return d.inStudy(down)
	}
	return 0
}

// traits are the traits of a species under this draw: those of closed-bladder fish
// at large, with the effects of its kin and its own. The general fish has neither
// name nor kin, and so gets fresh effects, the same ones all through the draw.
func (s *Sample) traits(species *Species) Traits {
	var t Traits
	copy(t[:], s.theta)
	if species == nil {
		species = General()
	}
	if !species.trapsGas() {
		return t
	}
	t[TraitFloat] += s.studyFloat + species.VentsItself()*s.theta[TraitVents]
	name, kin := species.ScientificName, species.Kin().Name
	for _, e := range s.model.fitted.Spread.effects() {
		t[e.trait] += s.effect(KinEffect(kin, e.name), e.kinSpread)
		t[e.trait] += s.effect(SpeciesEffect(name, e.name), e.speciesFree)
	}
	return t
}

// effect is the drawn effect of that name, or one of its own where nobody studied
// it: always the same within one Sample, for it is drawn from a source that the
// name and the Sample seed. A spread of nothing means that there is no such effect.
func (s *Sample) effect(name string, spread float64) float64 {
	if i, ok := s.model.at[name]; ok {
		return s.theta[i]
	}
	if spread == 0 {
		return 0
	}
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(s.fresh, h.Sum64())).NormFloat64() * spread
}
