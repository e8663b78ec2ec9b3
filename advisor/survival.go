package advisor

import (
	"math"
	"slices"
)

// How the odds are reckoned
//
// A fish from depth z, let go with its hook out, dies of one of five things. Each is
// a hazard Λ, and it lives with the chance e^−ΣΛ, so that none is counted twice:
//
//	hook and handling    Λ = ln(1 + e^h)                 any fish, any depth
//	field                Λ = ln(1 + e^(f + g·ln(z/50)))  later deaths and predators
//	barotrauma           Λ = ln(1 + e^(a + b·ln(z/50)))  once down again
//	not getting down     Λ = −ln(1 − q·F)                at the top, and when vented
//	the needle           Λ = v·z/50                      when vented
//
// with F = logistic(c + d·ln(B/B50)), the chance of failing to submerge, which turns
// on the lift B that the physics gives over the lift B50 of the same fish from 50 m;
// q the chance to be lost then; and venting taking w off the logit of F. a, b and c
// differ between species, which lean on their kin, which lean on all closed-bladder
// fish; c is lower by u for kinds that let their gas out by themselves. h, f, g, d, q, u,
// v and w are one for all. Studies differ in the logit of all that die, and, on top, in
// c: in how many get down.
//
// The gain of sending down is the difference within one draw, so that what both ways
// share (the hook, the depth, the kind, the water) cancels, and what parts them does
// not: how many get down by themselves, how many of the rest are lost, the minute that
// the weight costs, and how far the two groups of any one study differ. It may be nil
// or negative.
//
// Package advisor/fit fitted these to the findings; data/SURVIVAL.md tells to which,
// with which priors, and how well the answers hold on studies that were left out.
//
// Example: a red snapper from 45 m. Once down again about one in five dies of
// barotrauma, one in a hundred of the hook, one in twenty of what follows: 7 in 10 live.
// Let go at the top more than half fail to submerge and nine in ten of those are
// lost, so that fewer than 4 in 10 live.

// Case is one release whose chances are asked for.
type Case struct {
	Species *Species
	// DepthM is the capture depth in metres, WeightKg the fish in kilograms,
	// LiftGf its lift at the surface in gram-force; where weight or lift is 0 the
	// lift is reckoned from the species and the depth.
	DepthM, WeightKg, LiftGf float64
	MinutesOnDeck            *float64
	Hook                     Hook
	Bleeding                 bool
	Behaviour                Behaviour
	Signs                    []Sign
	SurfaceTempC             *float64
	WarmWater, Predators     bool
}

// leastDepthM is the shallowest depth that the curves are asked for.
const leastDepthM = 1

// EstimateSurvival gives the chance to be alive by the way the fish is released:
// the median over all that the findings allow, as a study in the middle of the others
// would find it, with the 80 % range of what any one study of some thirty such fish would
// find. What is not known of the parameters, the species and the study, and the luck of
// so few fish, all widen it.
//
// A fish let go at the top must first get down, so that surface survival is the
// chance to submerge times survival once down; sending down takes that step away
// and venting eases it, at the price of the needle. Fish without trapped gas meet
// only hook, handling and what follows. It costs no fit and allocates nothing.
func EstimateSurvival(c Case) Survival { return Posterior().Estimate(c) }

// Estimate is EstimateSurvival under this model.
func (m *Model) Estimate(c Case) Survival {
	k := m.kind(c.Species)
	s := k.situation(&c)
	var top, vented, down, gain tally
	for i := range k.draws {
		draw := &k.draws[i]
		t, v, d := draw.survival(&s)
		studyTop, studyDown := draw.inStudy(t), draw.inStudy(d)
		top.add(t, draw.counted(studyTop))
		vented.add(v, draw.counted(draw.inStudy(v)))
		down.add(d, draw.counted(studyDown))
		gain.add(d-t, studyDown-studyTop)
	}
	e := Survival{Surface: top.estimate(), Vented: vented.estimate(), Recompressed: down.estimate(), Basis: k.basis.at(c.DepthM)}
	e.Gain = Gain(gain.around(e.Recompressed.P - e.Surface.P)) // so that it is the difference of what is told
	return e
}

// situation is one case with everything reckoned that no draw changes.
type situation struct {
	// lnDepth is ln(depth over 50 m), lnLift ln(lift over that of the same fish from
	// 50 m).
	lnDepth, lnLift     float64
	depthM              float64
	gas                 bool
	floating, predators bool
	hazard, hazardSD    float64 // added, with its standard deviation on the ln scale
	factor, factorSD    float64
	lnFactor            float64 // of factor
	logit, logitSD      float64 // of death
	float, floatSD      float64 // on the logit of failing to submerge
	told                bool
}

// situation reckons the case for one kind of fish.
func (k *kindModel) situation(c *Case) situation {
	depth := max(c.DepthM, leastDepthM)
	s := situation{depthM: depth, gas: k.gas.F > 0, floating: c.Behaviour == Floating, predators: c.Predators}
	if s.gas { // without gas neither barotrauma nor what follows from it grows with depth
		s.lnDepth = math.Log(depth / anchorDepthM)
		s.lnLift = math.Log(max(k.liftRatio(c, depth), leastLiftRatio))
	}
	c.adjust(&s)
	return s
}

// liftRatio is the lift, as told or as reckoned, over that of the same fish from
// 50 m: B(0) = f·m·(E − 1), so that f and m cancel where nothing was told.
func (k *kindModel) liftRatio(c *Case, depthM float64) float64 {
	if c.LiftGf > 0 && c.WeightKg > 0 {
		return c.LiftGf / (1000 * k.gas.F * c.WeightKg * k.growth)
	}
	return (k.gas.Expansion(PressureRatio(depthM)) - 1) / k.growth
}

// survival is the chance to live under one draw, in the middle study: let go at
// the top, vented, and sent down. It is the reckoning of Traits.Hazard, with survivals multiplied
// instead of hazards added.
func (d *draw) survival(s *situation) (top, vented, down float64) {
	down = d.hook * logistic(-(d.field + d.fieldSlope*s.lnDepth))
	needle := math.Exp(-d.vent * s.depthM) // harm in proportion to depth (Wilde 2009: worse deep)
	top, vented = down, down*needle
	if s.gas {
		down *= logistic(-(d.baro + d.slope*s.lnDepth))
		fails, failsVented := d.fails(s)
		lost := d.lost
		if s.predators { // what floats among them is eaten (Bohaboy et al. 2020)
			lost = 1
		}
		top = down * (1 - min(lost*fails, almostAll))
		vented = down * needle * (1 - min(lost*failsVented, almostAll))
		down /= down + (1-down)*d.sentDown
	}
	if s.told {
		told := d.told(s)
		return told.of(top), told.of(vented), told.of(down)
	}
	return top, vented, down
}

// fails is the chance of failing to submerge, plain and vented. A fish that was seen
// to float fails; the needle then helps in the share of cases in which it helps any
// such fish.
func (d *draw) fails(s *situation) (plain, vented float64) {
	odds := math.Exp(d.float + d.lift*s.lnLift + s.float + s.floatSD*d.toldFloat)
	plain, vented = odds/(1+odds), odds/(d.relief+odds)
	if s.floating {
		return 1, vented / plain
	}
	return plain, vented
}

// inStudy moves the odds of death by what one study finds beyond the others: other
// water, other hands, another way of counting.
func (d *draw) inStudy(survival float64) float64 {
	dead := (1 - survival) * d.study
	return survival / (survival + dead)
}

// studyFish is how many fish a study counts: the middle finding of the table has some
// thirty.
const studyFish = 30

// counted is the share that a study finds that counts so many fish: chance moves it by
// √(s(1 − s)/n), and where less than half a fish is left to die or live it finds none.
func (d *draw) counted(survival float64) float64 {
	x := survival + d.luck*math.Sqrt(survival*(1-survival)/studyFish)
	switch {
	case x > 1-0.5/studyFish:
		return 1
	case x < 0.5/studyFish:
		return 0
	}
	return x
}

// told is what was told of a fish, under one draw: what it multiplies the survival by,
// the power that it raises it to, and what it multiplies the odds of death by.
type told struct{ survival, power, odds float64 }

// told takes in what was told of this fish. How far off each published effect may be is
// the same for all ways of release in one draw.
func (d *draw) told(s *situation) told {
	t := told{1, 1, 1}
	if s.hazard > 0 {
		t.survival = math.Exp(-s.hazard * math.Exp(s.hazardSD*d.toldHazard))
	}
	if s.factor != 1 {
		t.power = math.Exp(s.lnFactor + s.factorSD*d.toldHazard)
	}
	if s.logit != 0 {
		t.odds = math.Exp(s.logit + s.logitSD*d.toldLogit)
	}
	return t
}

// of is the survival of this fish: added hazards first, then a factor on the whole
// hazard, then a shift of the logit.
func (t told) of(survival float64) float64 {
	survival *= t.survival
	if t.power != 1 {
		survival = math.Pow(survival, t.power)
	}
	if t.odds == 1 {
		return survival
	}
	dead := (1 - survival) * t.odds
	return survival / (survival + dead)
}

// tally keeps some chances in the middle study, and the outermost tenths of what studies
// would find of them.
type tally struct {
	middles   [answerDraws]float64
	low, high [tail]float64
	n, seen   int
}

// tail is how many of the draws lie outside one end of an 80 % range, and one
// more to draw the line between.
const tail = answerDraws/10 + 1

// add takes in the chance in the middle study, and what one study would find.
func (t *tally) add(middle, x float64) {
	t.middles[t.seen] = middle
	t.seen++
	if t.n < tail {
		t.low[t.n], t.high[t.n] = x, -x
		for i := t.n; i > 0; i-- {
			order(&t.low, i)
			order(&t.high, i)
		}
		t.n++
		return
	}
	insert(&t.low, x)
	insert(&t.high, -x)
}

// order swaps a pair that stands the wrong way round.
func order(list *[tail]float64, i int) {
	if list[i] < list[i-1] {
		list[i], list[i-1] = list[i-1], list[i]
	}
}

// insert keeps the smallest, in order. Few numbers come so far out that they must
// be put in, which makes this cheaper than sorting all.
func insert(list *[tail]float64, x float64) {
	if x >= list[tail-1] {
		return
	}
	list[tail-1] = x
	for i := tail - 1; i > 0 && list[i] < list[i-1]; i-- {
		order(list, i)
	}
}

// estimate is the median with its 80 % range: a mean would lean to even odds for a kind of
// which little is known, because the unlikely ends lie all on one side. A tenth of 64 draws
// is 6.4: the end lies between the sixth and the seventh from outside. Where nearly all die
// or live the median can lie beyond the range; then the range is stretched to hold it.
func (t *tally) estimate() Estimate {
	slices.Sort(t.middles[:])
	return t.around((t.middles[answerDraws/2-1] + t.middles[answerDraws/2]) / 2)
}

// around is a middle with the 80 % range, stretched to hold it.
func (t *tally) around(middle float64) Estimate {
	const share = answerDraws*0.1 + 0.5 - (tail - 1)
	end := func(list *[tail]float64) float64 { return list[tail-2] + share*(list[tail-1]-list[tail-2]) }
	return Estimate{P: middle, Low: min(middle, end(&t.low)), High: max(middle, -end(&t.high))}
}
