package advisor

import "math"

// Trait numbers one parameter of the ways in which one kind of fish can die.
type Trait int

// The traits, each on the scale on which it was fitted.
const (
	// TraitHook is the logit of dying of hook and handling, at any depth.
	TraitHook Trait = iota
	// TraitBarotrauma is the logit of dying of barotrauma once down again, from 50 m.
	TraitBarotrauma
	// TraitSlope is the rise of that logit for each unit of ln(depth).
	TraitSlope
	// TraitField is the logit of dying later or by a predator, which cages leave out,
	// of a fish from 50 m.
	TraitField
	// TraitFieldSlope is the rise of that logit for each unit of ln(depth): what was
	// hurt more is caught more easily, and from the shallows hardly any die so.
	TraitFieldSlope
	// TraitFloat is the logit of failing to submerge, from 50 m.
	TraitFloat
	// TraitLift is the rise of that logit for each unit of ln(lift).
	TraitLift
	// TraitLost is the logit of dying after failing to submerge.
	TraitLost
	// TraitRelief is ln of what venting takes off the logit of failing to submerge.
	TraitRelief
	// TraitVent is ln of the hazard of the needle for a fish from 50 m; it grows
	// in proportion to depth.
	TraitVent
	// TraitVents is what a kind that lets its gas out by itself adds to the logit of
	// failing to submerge, below 0; a kind that does so in part has part of it.
	TraitVents
	// NumTraits is how many there are.
	NumTraits
)

// Traits are the numbers of the model for one kind of fish.
type Traits [NumTraits]float64

// anchorDepthM is the depth at which the curves are anchored: the middle of what
// was studied.
const anchorDepthM = 50

// leastLiftRatio stands for no lift at all, so that its logarithm is finite.
const leastLiftRatio = 1e-3

// Exposure is what one released fish goes through.
type Exposure struct {
	// DepthM is the capture depth in metres.
	DepthM float64
	// LiftRatio is its lift at the surface over that of the same fish from 50 m: how
	// much gas a kind holds and keeps was never measured on landed fish, so that the
	// level is left to the findings and only the shape is asked of the physics.
	LiftRatio float64
	// Hook, Barotrauma and Field say which hazards were at work: a cage keeps
	// predators out, a trap has no hook.
	Hook, Barotrauma, Field bool
	// Float is the share of such fish that had to get down by themselves: 1 for a
	// release at the top, 0 when sent down.
	Float float64
	// Vented is true when the bladder was pierced.
	Vented bool
	// SeenFloating is true when the fish was seen to fail to submerge.
	SeenFloating bool
	// Predators is true when large predators were about.
	Predators bool
}

// Mortality is the chance in [0, 1] to die of what the fish is exposed to. When
// slopes is not nil it receives the derivative of the hazard for each trait.
func (t *Traits) Mortality(e Exposure, slopes *Traits) float64 {
	return -math.Expm1(-t.Hazard(e, slopes))
}

// Hazard is what the fish is exposed to, all in all: it dies with the chance
//
//	1 − e^(−Λ),   Λ = Λ_hook + Λ_barotrauma + Λ_field + Λ_float + Λ_vent
//
// where each Λ is −ln(1 − m) of one way to die m, so that nothing is counted
// twice. When slopes is not nil it receives dΛ for each trait.
func (t *Traits) Hazard(e Exposure, slopes *Traits) float64 {
	hazard := t.always(e, slopes)
	if e.Float > 0 {
		hazard += t.floating(e, slopes)
	}
	if e.Vented {
		h := math.Exp(t[TraitVent]) * e.DepthM / anchorDepthM
		hazard += h
		note(slopes, TraitVent, h)
	}
	if e.Predators {
		hazard += modifiers().predators.Size
	}
	return hazard
}

// always is the hazard that does not depend on how the fish is released: the floor of
// hook and handling, what the sea adds, and barotrauma, which harms the fish that
// gets down too.
func (t *Traits) always(e Exposure, slopes *Traits) (hazard float64) {
	if e.Hook {
		hazard += softplus(t[TraitHook])
		note(slopes, TraitHook, logistic(t[TraitHook]))
	}
	if e.Field {
		x := math.Log(e.DepthM / anchorDepthM)
		logit := t[TraitField] + t[TraitFieldSlope]*x
		hazard += softplus(logit)
		note(slopes, TraitField, logistic(logit))
		note(slopes, TraitFieldSlope, logistic(logit)*x)
	}
	if e.Barotrauma {
		x := math.Log(e.DepthM / anchorDepthM)
		logit := t[TraitBarotrauma] + t[TraitSlope]*x
		hazard += softplus(logit)
		m := logistic(logit)
		note(slopes, TraitBarotrauma, m)
		note(slopes, TraitSlope, m*x)
	}
	return hazard
}

// floating is the hazard of not getting down: failing to submerge and being lost.
// With predators about, what floats is lost.
func (t *Traits) floating(e Exposure, slopes *Traits) float64 {
	lost, lostSlope := logistic(t[TraitLost]), 0.0
	if e.Predators {
		lost = 1
	} else {
		lostSlope = lost * (1 - lost)
	}
	var inner Traits
	fails := t.Floats(e, &inner)
	loss := min(e.Float*lost*fails, almostAll)
	if slopes != nil {
		for i, d := range inner {
			slopes[i] += e.Float * lost * d / (1 - loss)
		}
		slopes[TraitLost] += e.Float * lostSlope * fails / (1 - loss)
	}
	return -math.Log1p(-loss)
}

// almostAll keeps a hazard finite where nothing is left.
const almostAll = 0.999

// Floats is the chance in [0, 1] that the fish fails to submerge by itself. When
// slopes is not nil it receives the derivative for each trait. A fish that was
// seen floating fails for certain; the needle then helps in the share of cases in
// which it helps any such fish.
func (t *Traits) Floats(e Exposure, slopes *Traits) float64 {
	if e.SeenFloating && !e.Vented {
		return 1
	}
	x := math.Log(max(e.LiftRatio, leastLiftRatio))
	logit := t[TraitFloat] + t[TraitLift]*x
	relief := 0.0
	if e.Vented {
		relief = math.Exp(t[TraitRelief])
	}
	f := logistic(logit - relief)
	d := f * (1 - f)
	if e.SeenFloating {
		before := logistic(logit)
		f /= before
		d = f * (before - f*before) // d ln f, less d ln before, times f
		note(slopes, TraitRelief, -relief*f*(1-f*before))
	} else {
		note(slopes, TraitRelief, -d*relief)
	}
	note(slopes, TraitFloat, d)
	note(slopes, TraitLift, d*x)
	return f
}

// note adds to the slope of one trait, if anybody asked for slopes.
func note(slopes *Traits, i Trait, d float64) {
	if slopes != nil {
		slopes[i] += d
	}
}

// logistic is the share whose logit is x.
func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// softplus is −ln(1 − logistic(x)) = ln(1 + eˣ): the hazard whose share is logistic(x).
func softplus(x float64) float64 {
	if x > 30 { // eˣ swallows the 1, and would overflow later on
		return x
	}
	return math.Log1p(math.Exp(x))
}
