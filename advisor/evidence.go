package advisor

import (
	"cmp"
	"math"
	"slices"
)

// The levels of evidence, by the names used in data: studies of the species itself,
// of its kin, or of bottom fish at large.
const (
	LevelSpecies = "species"
	LevelGroup   = "group"
	LevelGeneral = "general"
)

// Evidence is what the published findings say that stands behind an estimate.
type Evidence struct {
	// Species is the fish that was asked for, Kin the families it is taken with.
	Species *Species
	Kin     Kin
	// Basis counts the studies and fish at the level that was used.
	Basis Basis
	// SpeciesSeen are the scientific names of the fish studied at that level.
	SpeciesSeen []string
	// SeenMinM and SeenMaxM are the depths that were studied at that level, in metres.
	SeenMinM, SeenMaxM float64
	// Findings are those the estimate rests on, most fish first; Beside are the
	// others that name this species and are not pooled, and why stands in their Use.
	Findings, Beside []Finding
	// NoBenefit are the findings of this species that looked for a gain from
	// sending down, or from venting, and found none.
	NoBenefit []Finding
}

// EvidenceFor gathers the evidence behind the estimates for a species; nil stands
// for the general fish.
func EvidenceFor(s *Species) Evidence {
	if s == nil {
		s = General()
	}
	level, findings := standing(s)
	ev := Evidence{Species: s, Kin: s.Kin(), Findings: findings}
	ev.Basis = basisOf(s).Basis
	ev.SeenMinM, ev.SeenMaxM = depthsOf(findings)
	for _, f := range findings {
		for _, name := range f.Species {
			if !slices.Contains(ev.SpeciesSeen, name) {
				ev.SpeciesSeen = append(ev.SpeciesSeen, name)
			}
		}
	}
	for _, f := range Findings() {
		switch {
		case !f.names(s):
		case f.ShowsNoBenefit():
			ev.NoBenefit = append(ev.NoBenefit, f)
		case f.Use != UseFit || level != LevelSpecies:
			ev.Beside = append(ev.Beside, f)
		}
	}
	return ev
}

// standing finds the level at which fish like this one were studied, and the
// findings there. What counts is death: failing to submerge alone is not enough, so
// that Atlantic cod, of which only diving is in the table, stand on other fish.
// Findings of no benefit gave no share and are told apart. Fish without trapped gas
// stand on all: hook and handling were fitted to all.
func standing(s *Species) (level string, list []Finding) {
	kin := s.Kin().Name
	own := func(f Finding) bool { return f.names(s) && !f.ShowsNoBenefit() }
	group := func(f Finding) bool { return kin != "" && f.Kin == kin && !f.ShowsNoBenefit() }
	switch {
	case s.trapsGas() && slices.ContainsFunc(Findings(), func(f Finding) bool { return own(f) && f.tellsDeaths() }):
		return LevelSpecies, findingsOf(own)
	case s.trapsGas() && slices.ContainsFunc(Findings(), func(f Finding) bool { return group(f) && f.tellsDeaths() }):
		return LevelGroup, findingsOf(group)
	}
	return LevelGeneral, findingsOf(func(f Finding) bool { return !f.ShowsNoBenefit() })
}

// findingsOf lists the fitted findings that pass, most fish first; among equals the
// order of the table stays.
func findingsOf(pass func(Finding) bool) []Finding {
	var list []Finding
	for _, f := range Findings() {
		if f.Use == UseFit && pass(f) {
			list = append(list, f)
		}
	}
	slices.SortStableFunc(list, func(a, b Finding) int { return cmp.Compare(b.FishOrAssumed(), a.FishOrAssumed()) })
	return list
}

// names is true when the finding is about this species, alone or among others.
func (f Finding) names(s *Species) bool {
	return s.ScientificName != "" && slices.Contains(f.Species, s.ScientificName)
}

// tellsDeaths is true for a finding that the fit takes as a share that died.
func (f Finding) tellsDeaths() bool { return f.Use == UseFit && !f.Fit.Proxy }

// ShowsNoBenefit is true for a finding that compared ways of release, found no
// difference, and gave no share.
func (f Finding) ShowsNoBenefit() bool { return f.Use == UseFit && f.Mortality == nil }

// FishOrAssumed is the number of fish, or what the fit assumed where the work did
// not say.
func (f Finding) FishOrAssumed() int {
	if f.Fish > 0 {
		return f.Fish
	}
	return int(math.Round(f.Fit.Fish))
}

// depthsOf is the span of capture depths of some findings, in metres.
func depthsOf(list []Finding) (low, high float64) {
	for i, f := range list {
		if i == 0 {
			low = f.Fit.DepthMinM
		}
		low, high = min(low, f.Fit.DepthMinM), max(high, f.Fit.DepthMaxM)
	}
	return low, high
}

// kindBasis is a Basis with the depth in metres down to which it holds. Shallower
// than anything studied is no matter: there the curves are flat.
type kindBasis struct {
	Basis
	maxM float64
}

// at is the basis for one depth. Its Sources are shared: do not change them.
func (b *kindBasis) at(depthM float64) Basis {
	out := b.Basis
	out.DeeperThanSeen = depthM > b.maxM
	return out
}

// basisOf counts the studies behind the estimates for a species. Fish whose number a
// work did not tell are counted as the fit counts them, which is few.
func basisOf(s *Species) kindBasis {
	level, list := standing(s)
	b := kindBasis{Basis: Basis{Level: level}}
	_, b.maxM = depthsOf(list)
	if !s.trapsGas() {
		b.maxM = math.Inf(1) // hook and handling do not ask for the depth
	}
	for _, f := range list {
		b.Fish += f.FishOrAssumed()
		if !slices.Contains(b.Sources, f.Study) {
			b.Sources = append(b.Sources, f.Study)
		}
	}
	b.Studies = len(b.Sources)
	b.NoBenefitShown = slices.ContainsFunc(Findings(), func(f Finding) bool { return f.names(s) && f.ShowsNoBenefit() })
	return b
}
