package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"deepward/advisor"
)

const traits = int(advisor.NumTraits)

// Spread are the standard deviations of the effects that are pooled.
type Spread struct {
	// KinBarotrauma, SpeciesBarotrauma and SpeciesSlope: how kin and species differ
	// in barotrauma, on the logit at 50 m and on its slope.
	KinBarotrauma, SpeciesBarotrauma, SpeciesSlope float64
	// KinFloat and SpeciesFloat: how they differ in failing to submerge.
	KinFloat, SpeciesFloat float64
	// Study: how studies differ, on the logit of all that died. StudyFloat: how they
	// differ in how many got down, on that logit.
	Study, StudyFloat float64
}

// layout says where each effect stands in the parameter vector: the traits of
// the closed-bladder fish first, then kin, species and studies.
type layout struct {
	kinBaro, kinFloat, spBaro, spSlope, spFloat, study, studyFloat, size int
}

func (d *Data) layout() layout {
	var l layout
	at := traits
	take := func(n int) int { at += n; return at - n }
	l.kinBaro, l.kinFloat = take(len(d.Kin)), take(len(d.Kin))
	l.spBaro, l.spSlope, l.spFloat = take(len(d.Species)), take(len(d.Species)), take(len(d.Species))
	l.study, l.studyFloat = take(len(d.Studies)), take(len(d.Studies))
	l.size = at
	return l
}

// problem is one penalised likelihood, the spreads given.
type problem struct {
	data   *Data
	layout layout
	prior  []Normal
	spread Spread
}

// Normal is a normal distribution.
type Normal struct{ Mean, SD float64 }

func newProblem(d *Data, s Spread) *problem {
	p := &problem{data: d, layout: d.layout(), spread: s}
	p.prior = make([]Normal, p.layout.size)
	for i, pr := range Priors() {
		p.prior[i] = Normal{pr.Mean, pr.SD}
	}
	fill := func(from, n int, sd float64) {
		for i := from; i < from+n; i++ {
			p.prior[i].SD = sd
		}
	}
	l := p.layout
	fill(l.kinBaro, len(d.Kin), s.KinBarotrauma)
	fill(l.kinFloat, len(d.Kin), s.KinFloat)
	fill(l.spBaro, len(d.Species), s.SpeciesBarotrauma)
	fill(l.spSlope, len(d.Species), s.SpeciesSlope)
	fill(l.spFloat, len(d.Species), s.SpeciesFloat)
	fill(l.study, len(d.Studies), s.Study)
	fill(l.studyFloat, len(d.Studies), s.StudyFloat)
	return p
}

// nobody is the study that has not been made: in the middle of the others.
const nobody = -1

// traits adds up what the parameters say of one kind of fish in one study.
func (p *problem) traits(theta []float64, k kind, study int) advisor.Traits {
	var t advisor.Traits
	copy(t[:], theta[:traits])
	l := p.layout
	t[advisor.TraitBarotrauma] += theta[l.kinBaro+k.kin] + theta[l.spBaro+k.species]
	t[advisor.TraitSlope] += theta[l.spSlope+k.species]
	t[advisor.TraitFloat] += theta[l.kinFloat+k.kin] + theta[l.spFloat+k.species] + k.vents*theta[advisor.TraitVents]
	if study != nobody {
		t[advisor.TraitFloat] += theta[l.studyFloat+study]
	}
	return t
}

// spreadSlopes sends the slope of each trait to every parameter it is the sum of.
func (p *problem) spreadSlopes(into []float64, k kind, study int, slopes advisor.Traits, scale float64) {
	l := p.layout
	for i, s := range slopes {
		into[i] += s * scale
	}
	b, s, f := slopes[advisor.TraitBarotrauma]*scale, slopes[advisor.TraitSlope]*scale, slopes[advisor.TraitFloat]*scale
	into[l.kinBaro+k.kin] += b
	into[l.spBaro+k.species] += b
	into[l.spSlope+k.species] += s
	into[l.kinFloat+k.kin] += f
	into[l.spFloat+k.species] += f
	into[advisor.TraitVents] += k.vents * f
	if study != nobody {
		into[l.studyFloat+study] += f
	}
}

// least keeps a probability away from 0 and 1, where its logit is not finite.
const least = 1e-6

// logitMortality is the logit of the share that the model has die in a row, what the
// study finds beyond the others left out, with its slopes on every parameter unless
// slopes is nil.
func (p *problem) logitMortality(theta []float64, r Row, slopes []float64) float64 {
	clear(slopes)
	m := p.share(theta, r, r.study, slopes)
	for i := range slopes {
		slopes[i] /= m * (1 - m)
	}
	return logit(m)
}

// share is the share that the model has die, or fail to submerge, over the cells of a
// row; slopes are added to when they are not nil.
func (p *problem) share(theta []float64, r Row, study int, slopes []float64) float64 {
	m := 0.0
	for _, c := range r.cells {
		k := p.data.kinds[c.kind]
		t := p.traits(theta, k, study)
		var s *advisor.Traits
		if slopes != nil {
			s = new(advisor.Traits)
		}
		dead, scale := 0.0, c.share
		if r.Proxy {
			dead = t.Floats(c.exposure, s)
		} else {
			dead = t.Mortality(c.exposure, s)
			scale *= 1 - dead
		}
		m += c.share * dead
		if slopes != nil {
			p.spreadSlopes(slopes, k, study, *s, scale)
		}
	}
	return min(max(m, least), 1-least)
}

// mortality is the share that the model has die in a row of a study not yet made,
// which lies off the others by floats in how many get down. No fish gains from depth.
func (p *problem) mortality(theta []float64, r Row, floats float64) float64 {
	m := 0.0
	for _, c := range r.cells {
		t := p.traits(theta, p.data.kinds[c.kind], nobody)
		t[advisor.TraitSlope], t[advisor.TraitFieldSlope] = max(t[advisor.TraitSlope], 0), max(t[advisor.TraitFieldSlope], 0)
		t[advisor.TraitFloat] += floats
		if r.Proxy {
			m += c.share * t.Floats(c.exposure, nil)
		} else {
			m += c.share * t.Mortality(c.exposure, nil)
		}
	}
	return min(max(m, least), 1-least)
}

func logit(p float64) float64 { return math.Log(p / (1 - p)) }

// evaluate is the log posterior density up to a constant; grad and info (the
// expected information) are filled when they are not nil.
func (p *problem) evaluate(theta, grad []float64, info *mat.SymDense) float64 {
	var slopes []float64
	value := 0.0
	if grad != nil {
		slopes = make([]float64, p.layout.size)
		clear(grad)
		info.Zero()
	}
	for _, r := range p.data.Rows {
		st := p.layout.study + r.study
		z := p.logitMortality(theta, r, slopes)
		if !r.Proxy { // how many get down has an effect of its own
			z += theta[st]
			if slopes != nil {
				slopes[st] = 1
			}
		}
		q := 1 / (1 + math.Exp(-z))
		q = min(max(q, least), 1-least)
		value += r.Dead*math.Log(q) + (r.N-r.Dead)*math.Log(1-q)
		if grad != nil {
			addScaled(grad, r.Dead-r.N*q, slopes)
			rankOne(info, r.N*q*(1-q), slopes)
		}
	}
	for _, pair := range p.data.Pairs {
		value += p.pair(theta, pair, slopes, grad, info)
	}
	for i, pr := range p.prior {
		u := (theta[i] - pr.Mean) / pr.SD
		value -= u*u/2 + math.Log(pr.SD)
		if grad != nil {
			grad[i] -= u / pr.SD
			info.SetSym(i, i, info.At(i, i)+1/(pr.SD*pr.SD))
		}
	}
	return value
}

func addScaled(into []float64, a float64, x []float64) {
	for i, v := range x {
		into[i] += a * v
	}
}

// rankOne adds a·x·xᵀ; x is mostly zero.
func rankOne(into *mat.SymDense, a float64, x []float64) {
	var at [128]int
	set := at[:0]
	for i, v := range x {
		if v != 0 {
			set = append(set, i)
		}
	}
	for n, i := range set {
		for _, j := range set[n:] {
			into.SetSym(i, j, into.At(i, j)+a*x[i]*x[j])
		}
	}
}
