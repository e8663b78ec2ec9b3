package advisor

import "math"

// Lift is the upward pull of the swollen gas on a fish at the surface.
type Lift struct {
	// Gf is the pull in gram-force, LowGf and HighGf its range.
	Gf, LowGf, HighGf float64
	// Expansion is the gas at the surface over the gas at capture.
	Expansion float64
	// NeutralDepthM is where the fish alone floats no more, H(E − 1), in metres.
	NeutralDepthM float64
}

// LiftOf reckons the lift of a fish of that weight in kilograms brought up from
// that depth in metres: B(0) = f·m·(E − 1), Archimedes and Boyle, with the fish
// taken as neutral where it was caught.
//
// The range moves f, the rupture ratio and the kept share one at a time to their
// low and high ends and adds the three deviations in quadrature, so that it is
// about as unlikely as each of them (80 %), not the worst corner of all three. What is
// not known of the weight of the fish is not in it.
func LiftOf(g Gas, massKg, depthM float64) Lift {
	r := PressureRatio(depthM)
	pull := func(f, rupture, kept float64) float64 {
		return 1000 * f * massKg * (expansion(r, rupture, kept) - 1)
	}
	mid := pull(g.F, g.Rupture, g.Kept)
	off := func(f, rupture, kept float64) float64 { // how far one end of each moves it
		return math.Hypot(mid-pull(f, g.Rupture, g.Kept),
			math.Hypot(mid-pull(g.F, rupture, g.Kept), mid-pull(g.F, g.Rupture, kept)))
	}
	e := g.Expansion(r)
	l := Lift{
		Gf:            mid,
		LowGf:         max(0, mid-off(g.FLow, g.RuptureLow, g.KeptLow)),
		HighGf:        mid + off(g.FHigh, g.RuptureHigh, g.KeptHigh),
		Expansion:     e,
		NeutralDepthM: scaleHeight * (e - 1),
	}
	return l.within(1000*massKg*g.Most, 1000*massKg*g.MostHigh)
}

// within bounds a lift, unless there is no bound.
func (l Lift) within(most, mostHigh float64) Lift {
	if most > 0 {
		l.Gf, l.HighGf = min(l.Gf, most), min(l.HighGf, mostHigh)
		l.LowGf = min(l.LowGf, l.Gf)
	}
	return l
}

// LiftAtDepth is the pull in gram-force at some depth on the way back,
// B(z) = f·m·(E/R(z) − 1); below the neutral depth it is negative.
func LiftAtDepth(g Gas, massKg, captureDepthM, atDepthM float64) float64 {
	e := g.Expansion(PressureRatio(captureDepthM))
	return 1000 * g.F * massKg * (e/PressureRatio(atDepthM) - 1)
}

// PushDownDepth is how deep, in metres, a fish must be pushed before a lead
// weight of that many ounces pulls harder than the gas:
// H·(E/(1 + W/(f·m)) − 1), W the weight of the lead in water. needed is false
// when it does so from the top.
//
// There is no margin in it: it is where pull and lift balance by the middle estimate.
// A push that falls short shows at once, the fish drags the weight up, and is put
// right by pushing deeper. The depth with the margin of the weights in hand is that
// for weightOz/LiftMargin.
func PushDownDepth(g Gas, massKg, captureDepthM, weightOz float64) (m float64, needed bool) {
	e := g.Expansion(PressureRatio(captureDepthM))
	z := scaleHeight * (e/(1+PullGf(weightOz)/(1000*g.F*massKg)) - 1)
	return max(0, z), z > 0
}
