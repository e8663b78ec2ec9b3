package advisor

import "math"

// The drag of a fish pulled down head first by the lip: coefficient on frontal
// area, frontal area k·m^(2/3) of a deep-bodied snapper, and the added mass of a
// slender body (physics of streamlined bodies; Cd 0.2 to 0.8, k from 0.0042 for
// cod to 0.0062 for snapper, both derived from published body proportions).
const (
	fishDrag       = 0.40
	frontalPerKg23 = 0.0062 // m² per kg^(2/3)
	addedMassShare = 0.08
	sinkerDrag     = 0.47 // sphere
	descentSteps   = 64
)

// The band around the time to the bottom: −25 % and +40 %, from the spread over
// drag coefficients 0.2 to 0.8 and reel friction 1 to 3 N. A fish that planes
// broadside takes up to 2.7 times as long.
const (
	fastShare = 0.75
	slowShare = 1.40
)

// Descent is the way down with a release weight.
type Descent struct {
	// S is the time in seconds, LowS and HighS its band.
	S, LowS, HighS float64
	// FromM is where the weight takes over, 0 when it does from the top.
	FromM float64
}

// DescentOf integrates the way of a fish down to its capture depth under lead of
// that many ounces:
//
//	(m + M + added) dv/dt = g·(W − B(z)) − ½ρ·v²·(Cd·A + Cd_s·A_s)
//
// in the depth z, with u = v²: du/dz = 2·(pull − drag·u)/mass, which is linear in
// u over a step and is stepped exactly. ok is false when the weight never takes
// over before the capture depth.
func DescentOf(g Gas, massKg, depthM, leadOz float64) (d Descent, ok bool) {
	from := 0.0
	if push, needed := PushDownDepth(g, massKg, depthM, leadOz); needed {
		from = push + 1 // a metre below the balance, so that it does sink
	}
	if from >= depthM {
		return Descent{}, false
	}
	s := newSinking(g, massKg, depthM, leadOz)
	t := s.time(from, depthM)
	return Descent{S: t, LowS: fastShare * t, HighS: slowShare * t, FromM: from}, true
}

// sinking holds what does not change on the way down.
type sinking struct {
	liftN, expansion float64 // f·m·g, and E
	pullN            float64 // weight of the lead in water
	dragK            float64 // ½ρ·ΣCd·A, in N per (m/s)²
	mass             float64 // kg, added mass included
}

func newSinking(g Gas, massKg, depthM, leadOz float64) sinking {
	lead := leadOz * GramsPerOunce / 1000
	radius := math.Cbrt(3 * lead / LeadDensity / (4 * math.Pi))
	area := fishDrag*frontalPerKg23*math.Pow(massKg, 2.0/3) + sinkerDrag*math.Pi*radius*radius
	return sinking{
		liftN: g.F * massKg * Gravity, expansion: g.Expansion(PressureRatio(depthM)),
		pullN: PullGf(leadOz) / 1000 * Gravity,
		dragK: 0.5 * SeaWaterDensity * area,
		mass:  massKg*(1+addedMassShare) + lead,
	}
}

// net is the downward force in newtons at a depth, drag left out.
func (s sinking) net(z float64) float64 {
	return s.pullN - s.liftN*(s.expansion/PressureRatio(z)-1)
}

// time steps from one depth to another. Over a step the net pull is taken at its
// middle; u then relaxes exponentially towards net/dragK, and the time is the
// step over the mean of the speeds at its ends. Steps are finer near the start,
// where the fish gathers way: z grows with the square of the step number.
func (s sinking) time(from, to float64) float64 {
	t, u, z := 0.0, 0.0, from
	rate := 2 * s.dragK / s.mass
	for i := 1; i <= descentSteps; i++ {
		share := float64(i) / descentSteps
		next := from + (to-from)*share*share
		dz := next - z
		was := u
		u = s.step(u, rate, z, dz)
		t += dz / ((math.Sqrt(was) + math.Sqrt(u)) / 2)
		z = next
	}
	return t
}

// step carries the squared speed u over a step of dz from depth z.
func (s sinking) step(u, rate, z, dz float64) float64 {
	limit := max(0, s.net(z+dz/2)) / s.dragK
	return limit + (u-limit)*math.Exp(-rate*dz)
}
