package advisor

import "slices"

// LiftMargin is the share by which the lead is chosen heavier than the lift
// asks for: a fifth, common practice, no source. With it the custom of two sizes
// holds for snapper at every size and depth tried (TestCustomAgainstPhysics).
const LiftMargin = 1.2

// The custom of two sizes; common practice, no source: the light one to that depth in metres
// and that weight of fish in kilograms, which stands for "above 6 to 8 kg".
const (
	PracticeDepthM  = 30
	PracticeKg      = 7
	lightPracticeOz = 20
	heavyPracticeOz = 40
)

// DefaultWeightsOz are the release weights taken to be aboard when none are told.
func DefaultWeightsOz() []float64 { return []float64{lightPracticeOz, heavyPracticeOz} }

// PullGf is the downward pull in gram-force of that many ounces of lead in sea
// water: mass times 1 − ρw/ρlead.
func PullGf(leadOz float64) float64 {
	return leadOz * GramsPerOunce * (1 - SeaWaterDensity/LeadDensity)
}

// LeadNeededOz is the lead in ounces that holds a lift in gram-force, with a margin.
func LeadNeededOz(liftGf, margin float64) float64 {
	return margin * liftGf / (1 - SeaWaterDensity/LeadDensity) / GramsPerOunce
}

// PracticeOz is the release weight in ounces that common practice names: 20 to
// about 30 m, 40 deeper, and 40 for a fish above 6 to 8 kg at any depth (no source).
func PracticeOz(massKg, depthM float64) float64 {
	if depthM > PracticeDepthM || massKg > PracticeKg {
		return heavyPracticeOz
	}
	return lightPracticeOz
}

// Choice is the weights to use, from those aboard.
type Choice struct {
	// Oz are the weights, heaviest first; empty only where nothing is aboard.
	Oz []float64
	// Enough is true when they carry what the physics asks for.
	Enough bool
	// BelowPractice is true when they are lighter than common practice names.
	BelowPractice bool
}

// ChooseWeights picks the smallest single weight aboard that satisfies both the
// physics and common practice; else the single one nearest to practice that satisfies
// the physics, for a second beside it would only be custom; else the pair with the
// smallest sum that satisfies both, or the physics alone; else the two heaviest. Each
// item aboard is used once, so two of 40 are listed twice. aboard must not be empty.
func ChooseWeights(aboardOz []float64, neededOz, practiceOz float64) Choice {
	aboard := slices.Sorted(slices.Values(aboardOz))
	if single, ok := lightest(aboard, max(neededOz, practiceOz)); ok {
		return choice(single, neededOz, practiceOz)
	}
	if heaviest := aboard[len(aboard)-1]; heaviest >= neededOz {
		return choice([]float64{heaviest}, neededOz, practiceOz)
	}
	for _, oz := range [...]float64{max(neededOz, practiceOz), neededOz} {
		if pair, ok := lightestPair(aboard, oz); ok {
			return choice(pair, neededOz, practiceOz)
		}
	}
	return choice(aboard[max(0, len(aboard)-2):], neededOz, practiceOz)
}

func choice(oz []float64, neededOz, practiceOz float64) Choice {
	oz = slices.Clone(oz)
	slices.Sort(oz)
	slices.Reverse(oz)
	return Choice{Oz: oz, Enough: sum(oz) >= neededOz, BelowPractice: sum(oz) < practiceOz}
}

// lightest finds the smallest single weight of at least that many ounces.
func lightest(sorted []float64, oz float64) ([]float64, bool) {
	for _, w := range sorted {
		if w >= oz {
			return []float64{w}, true
		}
	}
	return nil, false
}

// lightestPair finds the pair with the smallest sum of at least that many ounces.
func lightestPair(sorted []float64, oz float64) ([]float64, bool) {
	var best []float64
	for i, a := range sorted {
		for _, b := range sorted[i+1:] {
			if a+b >= oz && (best == nil || a+b < sum(best)) {
				best = []float64{a, b}
			}
		}
	}
	return best, best != nil
}

// mostLead is how many pieces of lead are hung on one fish at most; more tangle (common
// practice, no source).
const mostLead = 6

// mostPieces is among how many pieces of lead, the heaviest, the lightest set is looked for:
// all sets of six of 24 are tried in a millisecond, of 80 in seconds.
const mostPieces = 24

// ChooseLead picks from sinkers and other heavy things, which may be hung on together: what
// ChooseWeights picks where that carries the physics, else the fewest pieces that do and of
// those the lightest among the two dozen heaviest pieces, else the heaviest there are. pieces
// must not be empty.
func ChooseLead(piecesOz []float64, neededOz, practiceOz float64) Choice {
	if c := ChooseWeights(piecesOz, neededOz, practiceOz); c.Enough {
		return c
	}
	pieces := slices.Sorted(slices.Values(piecesOz))
	pieces = pieces[max(0, len(pieces)-mostPieces):]
	for n := 3; n <= min(mostLead, len(pieces)); n++ {
		if set := lightestOf(pieces, n, neededOz); set != nil {
			return choice(set, neededOz, practiceOz)
		}
	}
	return choice(pieces[max(0, len(pieces)-mostLead):], neededOz, practiceOz)
}

// lightestOf finds the lightest n of the sorted pieces that reach that many ounces.
func lightestOf(sorted []float64, n int, oz float64) (best []float64) {
	var pick func(set []float64, from int)
	pick = func(set []float64, from int) {
		if len(set) == n {
			if total := sum(set); total >= oz && (best == nil || total < sum(best)) {
				best = slices.Clone(set)
			}
			return
		}
		for i := from; i < len(sorted); i++ {
			pick(append(set, sorted[i]), i+1)
		}
	}
	pick(make([]float64, 0, n), 0)
	return best
}
