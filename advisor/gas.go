package advisor

import (
	_ "embed"
	"strings"
	"sync"
)

// Gas is what is known of the bladder gas of one kind of fish. Each figure has a
// low and a high end, about an 80 % range. Most of them were measured on few fish
// or on none: Source says of each where it comes from and begins with ASSUMED where
// it is a judgement.
type Gas struct {
	// Kind names the kind of fish, as the pocket card and the kit group them.
	Kind string
	// F is the volume of the gas over that of the body, at the capture depth.
	F, FLow, FHigh float64
	// Rupture is the expansion at which the bladder bursts or leaks.
	Rupture, RuptureLow, RuptureHigh float64
	// Kept is the share of the further expansion that stays in the fish, in the
	// belly or the turned-out stomach. No study has measured it.
	Kept, KeptLow, KeptHigh float64
	// Most bounds the lift of the fish at the surface, as a share of its weight, and
	// MostHigh the upper end of its range; 0 where nothing bounds them.
	Most, MostHigh float64
	// Source tells where the three figures come from, in their order.
	Source string
}

// What gas a fish can hold was measured by nobody, so that the reckoning is bounded by
// what was ever used: the heaviest rule of an agency, a pound for five, carries 18 % of the
// weight of the fish (FWC 2022), "over 3 lb" for a large yelloweye 12 to 15 % (Theberge &
// Parker, Oregon Sea Grant). A third is beyond anything seen.
const (
	mostLift     = 0.20
	mostLiftHigh = 1.0 / 3
)

//go:embed data/gas.csv
var gasCSV string

// gasTable maps a species, a genus or a family to its gas; "" is the general fish.
var gasTable = sync.OnceValue(func() map[string]Gas {
	table := map[string]Gas{}
	mustReadRows("gas", gasCSV, func(r *tableRow) { table[r.text("taxon")] = r.gas() })
	return table
})

func (r *tableRow) gas() Gas {
	return Gas{
		Kind: r.text("kind"),
		F:    r.number("f"), FLow: r.number("f_low"), FHigh: r.number("f_high"),
		Rupture: r.number("rupture"), RuptureLow: r.number("rupture_low"), RuptureHigh: r.number("rupture_high"),
		Kept: r.number("kept"), KeptLow: r.number("kept_low"), KeptHigh: r.number("kept_high"),
		Source: "size of the bladder: " + r.text("f_source") +
			"; rupture: " + r.text("rupture_source") + "; gas kept: " + r.text("kept_source"),
	}
}

// Gas returns what is known of the gas of the species itself, else of its genus,
// else of its family, else of the general closed-bladder fish.
func (s *Species) Gas() Gas {
	genus, _, _ := strings.Cut(s.ScientificName, " ")
	for _, taxon := range [...]string{s.ScientificName, genus, s.Family} {
		if g, ok := gasTable()[taxon]; ok && taxon != "" {
			return g.bounded()
		}
	}
	return gasTable()[""].bounded()
}

func (g Gas) bounded() Gas {
	g.Most, g.MostHigh = mostLift, mostLiftHigh
	return g
}

// Expansion is E, the gas in the fish at the surface over the gas at capture, for a
// pressure ratio R of at least 1. Boyle's law holds, the wall hardly resists (Harden
// Jones 1951), until the bladder bursts; then a share s of what is added stays:
//
//	E = R                    up to the rupture ratio E_rup
//	E = E_rup + s·(R − E_rup)   beyond it, and at most 1 + Most/f
func (g Gas) Expansion(ratio float64) float64 {
	e := expansion(ratio, g.Rupture, g.Kept)
	if g.Most > 0 {
		e = min(e, 1+g.Most/g.F)
	}
	return e
}

func expansion(ratio, rupture, kept float64) float64 {
	if ratio <= rupture {
		return ratio
	}
	return rupture + kept*(ratio-rupture)
}
