package advisor

import "math"

// Case is one release whose chances are asked for.
type Case struct {
	Species *Species
	// DepthM is the capture depth in metres, WeightKg the fish in kilograms,
	// LiftGf its lift at the surface in gram-force (0 without trapped gas).
	DepthM, WeightKg, LiftGf float64
	MinutesOnDeck            *float64
	Hook                     Hook
	Bleeding                 bool
	Behaviour                Behaviour
	Signs                    []Sign
	SurfaceTempC             *float64
	WarmWater, Predators     bool
}

// EstimateSurvival gives a first, simple estimate: a logistic curve in depth with
// the slope of the rockfish cages (β about 3 on ln depth) for the fish once down,
// and a chance to get down that falls from near 1 at 20 m to near 0 at 80 m.
func EstimateSurvival(c Case) Survival {
	once := logistic(2.6 - 3*math.Log(math.Max(c.DepthM, 5)/50))
	down := logistic(3 - 4*math.Log(math.Max(c.DepthM, 5)/25))
	if c.Species == nil || c.Species.Bladder != BladderClosed {
		once, down = 0.93, 1
	}
	e := func(p float64) Estimate { return Estimate{p, max(0, p-0.2), min(1, p+0.15)} }
	return Survival{
		Surface: e(once * down), Vented: e(once * math.Sqrt(down)), Recompressed: e(once),
		Benefit: Estimate{once * (1 - down), max(0, once*(1-down)-0.2), min(1, once*(1-down)+0.2)},
		Basis:   Basis{Level: "general"},
	}
}
