package advisor

import (
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No action flips twice with depth: what is sent down from somewhere is sent down from
// anywhere deeper, and the gain lies within its range.
func TestActionTurnsOnceWithDepth(t *testing.T) {
	every, from := 5, rand.IntN(5) // other fish each time; all of them in the full sweep
	if os.Getenv("DEEPWARD_SWEEP") == "full" {
		every, from = 1, 0
	}
	for i, s := range Catalogue() {
		if i%every != from {
			continue
		}
		for _, b := range []Behaviour{"", Strong, Weak, Floating} {
			for _, practice := range []string{"", "fwc", "safmc", "odfw", "pirsa", "adfg"} {
				turnsOnce(t, Query{Species: s.ScientificName, Capture: Capture{WeightKg: new(2.0), Behaviour: b}, Practice: practice, Count: 1})
			}
		}
	}
}

func turnsOnce(t *testing.T, q Query) {
	t.Helper()
	down := false
	for depth := 2.0; depth <= 120; depth += 2 {
		q.DepthM = &depth
		a := Advise(q)
		if down {
			require.Equal(t, ActRecompress, a.Action, "%s %s %s %v m", q.Species, q.Behaviour, q.Practice, depth)
		}
		down = a.Action == ActRecompress
		if g := a.Gain; g != nil {
			require.True(t, g.Low <= g.P && g.P <= g.High, "%s %s %v m: %+v", q.Species, q.Behaviour, depth, *g)
			require.InDelta(t, a.Survival.Recompressed.P-a.Survival.Surface.P, g.P, 1e-9)
		}
	}
}

// What came back up goes down with more than it came up with, where there is more aboard.
func TestWhatCameBackGetsMoreLead(t *testing.T) {
	q := Query{Species: "Lutjanus campechanus", Capture: Capture{DepthM: new(45.0), WeightKg: new(3.0)}, Count: 1}
	require.Equal(t, []float64{40}, Advise(q).ReleaseWeightsOz)
	q.CameBack = true
	require.Equal(t, []float64{40, 20}, Advise(q).ReleaseWeightsOz)
	q.WeightsAboardOz = []float64{40}
	again := Advise(q)
	require.Equal(t, []float64{40}, again.ReleaseWeightsOz)
	require.False(t, hasCode(again.Reasons, ReasonTooLight))
}

// The decision, case by case. Depths at which signs begin (10 m) and are to be
// expected (20 m): NSW, South Australia, Butcher et al. 2012; the rest is common
// practice, no source.
func TestDecision(t *testing.T) {
	depth := func(m float64) *float64 { return &m }
	for name, c := range map[string]struct {
		q      Query
		action Action
		reason NoteCode
	}{
		"no bladder, deep":          {Query{Species: "Ophiodon elongatus", Capture: Capture{DepthM: depth(80), Signs: []Sign{BloatedBelly}}}, ActSurface, ReasonNoBladder},
		"reduced bladder":           {Query{Species: "Acanthocybium solandri", Capture: Capture{DepthM: depth(60)}}, ActSurface, ReasonNoBladder},
		"open bladder":              {Query{Species: "Oncorhynchus tshawytscha", Capture: Capture{DepthM: depth(60)}}, ActSurface, ReasonOpenBladder},
		"no bladder needs no depth": {Query{Species: "Ophiodon elongatus"}, ActSurface, ReasonNoBladder},
		"very shallow":              {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(6)}}, ActSurface, ReasonShallow},
		"shallow and strong":        {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(15), Behaviour: Strong}, NoSigns: true}, ActSurface, ReasonShallowStrong},
		"strong, signs not told":    {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(15), Behaviour: Strong}}, ActSurface, ReasonStrong},
		"shallow, not known":        {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(15)}}, ActRecompress, ReasonLook},
		"no signs, swims how?":      {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(15)}, NoSigns: true}, ActRecompress, ReasonLook},
		"no signs, but weak":        {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(15), Behaviour: Weak}, NoSigns: true}, ActRecompress, ReasonWeak},
		"strong, clean, from 21 m":  {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(21), Behaviour: Strong}, NoSigns: true}, ActRecompress, ReasonDeep},
		"shallow but floating":      {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(6), Behaviour: Floating}}, ActRecompress, ReasonFloating},
		"shallow with signs":        {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(8), Behaviour: Strong, Signs: []Sign{BulgingEyes}}}, ActRecompress, ReasonSigns},
		"weak":                      {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(12), Behaviour: Weak}}, ActRecompress, ReasonWeak},
		"deep and strong":           {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(40), Behaviour: Strong}}, ActRecompress, ReasonDeep},
		"unknown fish":              {Query{SpeciesName: "wibblefish", Capture: Capture{DepthM: depth(40)}}, ActRecompress, ReasonDeep},
		"vents itself":              {Query{Species: "Glaucosoma scapulare", Capture: Capture{DepthM: depth(60)}}, ActSurface, ReasonVentsItself},
		"vents itself, yet floats":  {Query{Species: "Seriola dumerili", Capture: Capture{DepthM: depth(40), Behaviour: Floating}}, ActRecompress, ReasonFloating},
		"one of two vents":          {Query{Species: "Gadus morhua", Capture: Capture{DepthM: depth(40)}, Ambiguous: true, Candidates: []string{"Gadus morhua", "Parapercis colias", "Epinephelus morio"}}, ActRecompress, ReasonDeep},
		"never touched":             {Query{Species: "Synanceia verrucosa", Capture: Capture{DepthM: depth(40), Behaviour: Floating}}, ActSurface, ReasonNeverTouch},
		"strong from just 20 m":     {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(20), Behaviour: Strong}, NoSigns: true}, ActSurface, ReasonShallowStrong},
		"every fish from 10 m":      {Query{Species: "Chrysophrys auratus", Capture: Capture{DepthM: depth(12), Behaviour: Strong}, Practice: "pirsa"}, ActRecompress, ReasonPractice},
		"every fish from just 10 m": {Query{Species: "Chrysophrys auratus", Capture: Capture{DepthM: depth(10), Behaviour: Strong}, NoSigns: true, Practice: "pirsa"}, ActRecompress, ReasonPractice},
		"looked at, no sign":        {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(40)}, NoSigns: true, Practice: "fwc"}, ActSurface, ReasonNoSigns},
		"not looked at":             {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(40)}, Practice: "fwc"}, ActRecompress, ReasonLook},
		"signs first at any depth":  {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(40), Behaviour: Strong}, Practice: "fwc"}, ActSurface, ReasonPractice},
		"agency, yet weak":          {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(40), Behaviour: Weak}, Practice: "fwc"}, ActRecompress, ReasonWeak},
		"rockfish of that agency":   {Query{Species: "Sebastes ruberrimus", Capture: Capture{DepthM: depth(6), Behaviour: Strong}, Practice: "adfg"}, ActRecompress, ReasonPractice},
		"not its fish":              {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(6), Behaviour: Strong}, Practice: "adfg"}, ActSurface, ReasonShallow},
		"no depth":                  {Query{Species: "Mycteroperca microlepis"}, ActNone, ReasonNeedDepth},
		"no depth but floating":     {Query{Species: "Mycteroperca microlepis", Capture: Capture{Behaviour: Floating}}, ActRecompress, ReasonNoDepth},
		"dead":                      {Query{Species: "Mycteroperca microlepis", Capture: Capture{DepthM: depth(40), Behaviour: Dead}}, ActNone, ReasonDead},
	} {
		a := Advise(c.q)
		assert.Equal(t, c.action, a.Action, name)
		assert.True(t, hasCode(a.Reasons, c.reason), "%s: %v", name, a.Reasons)
		assert.True(t, hasCode(a.Cautions, CautionRules), "%s: local rules always", name)
		if a.Action != ActRecompress {
			assert.Nil(t, a.ReleaseWeightOz, name)
		}
	}
}

func TestCautionsFitTheFish(t *testing.T) {
	for name, c := range map[string]struct {
		q    Query
		want NoteCode
	}{
		"deep hook":       {Query{Capture: Capture{Hook: HookGut}}, CautionCutLine},
		"stomach shows":   {Query{Capture: Capture{Signs: []Sign{EvertedStomach}}}, CautionStomach},
		"gut shows":       {Query{Capture: Capture{Signs: []Sign{ProlapsedIntestine}}}, CautionIntestine},
		"torn gills":      {Query{Capture: Capture{Hook: HookGill}}, CautionGills},
		"long on deck":    {Query{Capture: Capture{MinutesOnDeck: new(9.0)}}, CautionHurry},
		"hunters":         {Query{Predators: true}, CautionPredators},
		"big fish":        {Query{Capture: Capture{WeightKg: new(14.0)}}, CautionTwoPeople},
		"venting is last": {Query{}, CautionVentLast},
	} {
		c.q.Species, c.q.DepthM, c.q.Count = "Mycteroperca microlepis", new(45.0), 1
		assert.True(t, hasCode(Advise(c.q).Cautions, c.want), name)
	}
}

// For the same fish, deeper never means less lift, less lead, or a lighter weight.
func TestDeeperNeverNeedsLess(t *testing.T) {
	for _, s := range Catalogue() {
		if !s.trapsGas() || s.VentsItself() == 1 {
			continue
		}
		last := Advice{LiftGf: new(0.0), NeededOz: new(0.0)}
		for depth := 20.0; depth <= 200; depth += 10 {
			a := Advise(Query{Species: s.ScientificName, Capture: Capture{DepthM: &depth, WeightKg: new(2.0)}, Count: 1})
			require.NotNil(t, a.NeededOz, s.ScientificName)
			assert.GreaterOrEqual(t, *a.LiftGf, *last.LiftGf, s.ScientificName)
			assert.GreaterOrEqual(t, *a.NeededOz, *last.NeededOz, s.ScientificName)
			assert.LessOrEqual(t, a.LiftRangeGf[0], *a.LiftGf)
			assert.GreaterOrEqual(t, a.LiftRangeGf[1], *a.LiftGf)
			last = a
		}
	}
}

// Nobody has related the total length of a blue cod to its fork length, in which its
// relation is: the answer must say that the one was taken for the other.
func TestLengthThatCannotBeConvertedIsSaidSo(t *testing.T) {
	q := Query{Species: "Parapercis colias", Capture: Capture{DepthM: new(40.0), LengthCm: new(45.0), LengthType: TotalLength}, Count: 1}
	assert.Contains(t, Advise(q).Assumed, Note{Code: AssumedLengthType, Words: []string{"FL"}})
	q.LengthType = ForkLength
	for _, n := range Advise(q).Assumed {
		assert.NotEqual(t, AssumedLengthType, n.Code)
	}
}
