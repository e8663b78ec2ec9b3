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
// about as unlikely as each of them, not the worst corner of all three.
func LiftOf(g Gas, massKg, depthM float64) Lift {
	r := PressureRatio(depthM)
	pull := func(f, rupture, kept float64) float64 {
		return 1000 * f * massKg * (expansion(r, rupture, kept) - 1)
	}
	mid := pull(g.F, g.Rupture, g.Kept)
	down := math.Hypot(math.Hypot(mid-pull(g.FLow, g.Rupture, g.Kept), mid-pull(g.F, g.RuptureLow, g.Kept)), mid-pull(g.F, g.Rupture, g.KeptLow))
	up := math.Hypot(math.Hypot(mid-pull(g.FHigh, g.Rupture, g.Kept), mid-pull(g.F, g.RuptureHigh, g.Kept)), mid-pull(g.F, g.Rupture, g.KeptHigh))
	e := g.Expansion(r)
	return Lift{Gf: mid, LowGf: max(0, mid-down), HighGf: mid + up, Expansion: e, NeutralDepthM: scaleHeight * (e - 1)}
}

// LiftAtDepth is the pull in gram-force at some depth on the way back,
// B(z) = f·m·(E/R(z) − 1); below the neutral depth it is negative.
func LiftAtDepth(g Gas, massKg, captureM, atM float64) float64 {
	e := g.Expansion(PressureRatio(captureM))
	return 1000 * g.F * massKg * (e/PressureRatio(atM) - 1)
}

// PushDownDepth is how deep, in metres, a fish must be pushed before a lead
// weight of that many ounces pulls harder than the gas:
// H·(E/(1 + W/(f·m)) − 1), W the weight of the lead in water. needed is false
// when it does so from the top.
func PushDownDepth(g Gas, massKg, captureM, weightOz float64) (m float64, needed bool) {
	e := g.Expansion(PressureRatio(captureM))
	z := scaleHeight * (e/(1+PullGf(weightOz)/(1000*g.F*massKg)) - 1)
	return max(0, z), z > 0
}
