package advisor

import (
	"cmp"
	"math"
	"slices"
	"sync"
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
	// Findings are shared: do not change them.
	Findings, Beside []Finding
	// Pairs are the comparisons of sending this species down with letting it go at the
	// top; one that ShowsNoGain found no difference.
	Pairs []Pair
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
		case f.Use != UseFit || level != LevelSpecies:
			ev.Beside = append(ev.Beside, f)
		}
	}
	for _, p := range Pairs() {
		if p.names(s) {
			ev.Pairs = append(ev.Pairs, p)
		}
	}
	return ev
}

// standing finds the level at which fish like this one were studied, and the
// findings there. What counts is death: failing to submerge alone is not enough, so
// that Atlantic cod, of which only diving is in the table, stand on other fish.
// Comparisons that gave no share are pairs, and told apart. Fish without trapped gas
// stand on all: hook and handling were fitted to all.
func standing(s *Species) (level string, list []Finding) {
	kin := s.Kin().Name
	own := func(f Finding) bool { return f.names(s) }
	group := func(f Finding) bool { return kin != "" && f.Kin == kin }
	switch {
	case s.trapsGas() && slices.ContainsFunc(Findings(), func(f Finding) bool { return own(f) && f.tellsDeaths() }):
		return LevelSpecies, findingsOf(own)
	case s.trapsGas() && slices.ContainsFunc(Findings(), func(f Finding) bool { return group(f) && f.tellsDeaths() }):
		return LevelGroup, findingsOf(group)
	}
	return LevelGeneral, fitted()
}

// fitted are the findings that the fit takes, most fish first; among equals the order of
// the table stays.
var fitted = sync.OnceValue(func() (list []Finding) {
	for _, f := range Findings() {
		if f.Use == UseFit {
			list = append(list, f)
		}
	}
	slices.SortStableFunc(list, func(a, b Finding) int { return cmp.Compare(b.Weight(), a.Weight()) })
	return list
})

// findingsOf lists the fitted findings that pass, in that order.
func findingsOf(pass func(Finding) bool) (list []Finding) {
	for _, f := range fitted() {
		if pass(f) {
			list = append(list, f)
		}
	}
	return list
}

// names is true when the finding is about this species, alone or among others.
func (f Finding) names(s *Species) bool {
	return s.ScientificName != "" && slices.Contains(f.Species, s.ScientificName)
}

// tellsDeaths is true for a finding that the fit takes as a share that died.
func (f Finding) tellsDeaths() bool { return f.Use == UseFit && !f.Fit.Proxy }

// mostFish is the number of fish for which one finding may count: beyond it the
// differences between studies rule, not the count.
const mostFish = 200

// Weight is the number of fish for which the fit counts a finding.
func (f Finding) Weight() float64 { return min(f.Fit.Fish, mostFish) }

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

// basisOf counts the studies behind the estimates for a species, and the fish as the
// fit weighs them: no finding for more than 200, few where a work told no number.
// Those that were only seen to get down or not are counted apart.
func basisOf(s *Species) kindBasis {
	level, list := standing(s)
	b := kindBasis{Basis: Basis{Level: level}}
	_, b.maxM = depthsOf(list)
	if !s.trapsGas() {
		b.maxM = math.Inf(1) // hook and handling do not ask for the depth
	}
	fish, dives := 0.0, 0.0
	for _, f := range list {
		if f.Fit.Proxy {
			dives += f.Weight()
		} else {
			fish += f.Weight()
		}
		if !slices.Contains(b.Sources, f.Study) {
			b.Sources = append(b.Sources, f.Study)
		}
	}
	b.Fish, b.Dives = int(math.Round(fish)), int(math.Round(dives))
	b.Studies = len(b.Sources)
	b.NoGainShown = slices.ContainsFunc(Pairs(), func(p Pair) bool { return p.names(s) && p.ShowsNoGain() })
	return b
}
