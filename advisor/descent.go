package advisor

import "math"

// What holds back a fish that is pulled down head first by the lip.
const (
	// fishDrag is the drag coefficient on frontal area. Streamlined bodies have
	// 0.16 to 0.50 (from wetted-area figures of bluegill, zebrafish and sailfish);
	// a limp, bloated fish is worse. 0.2 to 0.8 is the range.
	fishDrag = 0.40
	// frontalPerKg23 is the frontal area in m² of a deep-bodied snapper of 1 kg;
	// that of a cod is 0.0042 (Clay & Horne 1994). It grows with mass to the 2/3.
	frontalPerKg23 = 0.0062
	// addedMassShare is the water that moves along, as a share of the fish: a spheroid
	// four times as long as thick (memory). From 0 to 0.5 it moves the time by 1 %.
	addedMassShare = 0.08
	// sinkerDrag is that of a sphere; tables give 0.45 to 0.5, 0.47 is memory.
	sinkerDrag = 0.47
)

// The band around the time to the bottom: −25 % and +40 %, from drag coefficients
// of 0.2 to 0.8 and 1 to 3 N of friction in the reel. The drag of thin line (2 %) and
// the bloat of the fish (1 %) are well within it. A fish that planes broadside takes
// up to 2.7 times as long; a live one that swims is outside the model.
const (
	fastShare = 0.75
	slowShare = 1.40
)

// belowBalanceM is how far below the depth where the weight takes over the way is
// reckoned from: at the balance itself nothing pulls, and the fish would hang there.
const belowBalanceM = 1

// Descent is the way down with a release weight.
type Descent struct {
	// S is the time in seconds, LowS and HighS its band.
	S, LowS, HighS float64
	// FromM is the depth in metres from which the time counts: 0 where the weight
	// pulls harder than the gas from the top, else just below PushDownDepth.
	FromM float64
}

// DescentOf integrates the way of a fish down to some depth in metres, at most that of its
// capture, under lead of that many ounces:
//
//	(m + M + added) dv/dt = g·(W − B(z)) − ½ρ·v²·(Cd·A + Cd_s·A_s)
//
// from rest, with W the weight of the lead in water and B(z) the lift (LiftAtDepth).
// The gas is frozen: even a cod takes up no more than a few per cent of it in three
// minutes (Harden Jones & Scholes 1985). ok is false when the weight takes over
// nowhere above that depth.
func DescentOf(g Gas, massKg, captureDepthM, toM, leadOz float64) (d Descent, ok bool) {
	from := 0.0
	if push, needed := PushDownDepth(g, massKg, captureDepthM, leadOz); needed {
		from = push + belowBalanceM
	}
	if from >= toM {
		return Descent{}, false
	}
	t, _ := newSinking(g, massKg, captureDepthM, leadOz).fall(from, toM)
	return Descent{S: t, LowS: fastShare * t, HighS: slowShare * t, FromM: from}, true
}

// sinking is a fish on a weight: what does not change on the way down.
type sinking struct {
	liftN     float64 // f·m·g
	expansion float64 // E
	pullN     float64 // weight of the lead in water
	dragK     float64 // ½ρ·ΣCd·A, in N per (m/s)²
	mass      float64 // in kg, added mass included
}

func newSinking(g Gas, massKg, captureM, leadOz float64) sinking {
	lead := leadOz * GramsPerOunce / 1000
	radius := math.Cbrt(3 * lead / LeadDensity / (4 * math.Pi))
	area := fishDrag*frontalPerKg23*math.Pow(massKg, 2.0/3) + sinkerDrag*math.Pi*radius*radius
	return sinking{
		liftN: g.F * massKg * Gravity, expansion: g.Expansion(PressureRatio(captureM)),
		pullN: PullGf(leadOz) / 1000 * Gravity,
		dragK: 0.5 * SeaWaterDensity * area,
		mass:  massKg*(1+addedMassShare) + lead,
	}
}

// net is the downward force in newtons at a depth, drag left out.
func (s sinking) net(z float64) float64 {
	return s.pullN - s.liftN*(s.expansion/PressureRatio(z)-1)
}

// descentSteps, an even number, keeps the time within some 1e-6 of itself with 170
// times as many steps, from 0.2 kg to 20 kg and down to 300 m.
const descentSteps = 48

// fall is the time in seconds from rest at one depth to another, and the speed in
// m/s there. The net force must pull down all the way.
//
// In depth, with u = v², the equation of motion is linear, du/dz = 2·(net − K·u)/mass,
// and so the drag is solved exactly over a step, however stiff it is; the net force
// is taken as the parabola through its ends and its middle. The depths are those of
// a body that gathers way evenly, z = from + span·x² with x in equal steps: then the
// time, ∫ dz/v = ∫ 2·span·x/v dx, has a smooth integrand down to v = 0, for Simpson's rule.
func (s sinking) fall(from, to float64) (seconds, speed float64) {
	span, rate := to-from, 2*s.dragK/s.mass
	z, u, force := from, 0.0, 2*s.net(from)/s.mass
	total := 2 * span / math.Sqrt(force*span)
	for i := 1; i <= descentSteps; i++ {
		x := float64(i) / descentSteps
		next := from + span*x*x
		dz := next - z
		middle, end := 2*s.net(z+dz/2)/s.mass, 2*s.net(next)/s.mass
		i0, i1, i2 := decayMoments(rate * dz)
		u = u*math.Exp(-rate*dz) + dz*(force*(i0-3*i1+2*i2)+middle*4*(i1-i2)+end*(2*i2-i1))
		total += simpsonWeight(i) * 2 * span * x / math.Sqrt(u)
		z, force = next, end
	}
	return total / (3 * descentSteps), math.Sqrt(u)
}

// decayMoments are ∫ τⁿ·exp(−y·(1−τ)) dτ over 0 to 1 for n = 0, 1, 2: by parts, or
// for small y, where that cancels, by their series.
func decayMoments(y float64) (i0, i1, i2 float64) {
	if y < 0.05 {
		return 1 - y/2*(1-y/3*(1-y/4*(1-y/5))),
			1.0/2 - y/6*(1-y/4*(1-y/5*(1-y/6))),
			1.0/3 - y/12*(1-y/5*(1-y/6*(1-y/7)))
	}
	i0 = -math.Expm1(-y) / y
	i1 = (1 - i0) / y
	return i0, i1, (1 - 2*i1) / y
}

// simpsonWeight is the weight of the i-th of the even number of steps, after the 0-th.
func simpsonWeight(i int) float64 {
	switch {
	case i == descentSteps:
		return 1
	case i%2 == 1:
		return 4
	default:
		return 2
	}
}
