package advisor

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// depthsM are the capture depths at which relations are looked at, in metres.
var depthsM = []float64{1, 5, 8, 12, 16, 20, 25, 30, 40, 50, 65, 80, 100, 130, 180, 300}

func survivalAt(t *testing.T, name string, depthM float64) Survival {
	t.Helper()
	s := LookUp(name)
	require.NotNil(t, s, name)
	kg, _ := s.TypicalUndersized()
	return EstimateSurvival(Case{Species: s, DepthM: depthM, WeightKg: kg, LiftGf: LiftOf(s.Gas(), kg, depthM).Gf})
}

// everyKind runs over the catalogue and the general fish.
func everyKind(t *testing.T, check func(t *testing.T, s *Species)) {
	t.Helper()
	for _, s := range append(Catalogue(), General()) {
		t.Run(s.EnglishName+" "+s.ScientificName, func(t *testing.T) { check(t, s) })
	}
}

func estimates(s Survival) map[Method]Estimate {
	return map[Method]Estimate{Surface: s.Surface, Vented: s.Vented, Recompressed: s.Recompressed}
}

func TestMortalityNeverFallsWithDepth(t *testing.T) {
	everyKind(t, func(t *testing.T, s *Species) {
		last := estimates(EstimateSurvival(Case{Species: s, DepthM: depthsM[0]}))
		for _, depth := range depthsM[1:] {
			now := estimates(EstimateSurvival(Case{Species: s, DepthM: depth}))
			for m, e := range now {
				require.LessOrEqual(t, e.P, last[m].P+1e-12, "%s at %v m", m, depth)
				require.LessOrEqual(t, e.Low, last[m].Low+1e-12, "%s at %v m, low end", m, depth)
				require.LessOrEqual(t, e.High, last[m].High+1e-12, "%s at %v m, high end", m, depth)
			}
			last = now
		}
	})
}

// A weight costs a fish a minute, no more; where it would get down by itself that is
// all the difference, and the range holds nought.
func TestSendingDownCostsAMinuteAtMost(t *testing.T) {
	everyKind(t, func(t *testing.T, s *Species) {
		for _, depth := range depthsM {
			e := EstimateSurvival(Case{Species: s, DepthM: depth})
			require.InDelta(t, e.Recompressed.P-e.Surface.P, e.Gain.P, 1e-9)
			require.GreaterOrEqual(t, e.Gain.P, -0.04, "%v m", depth) // 3 points, and what the medians of two ways differ by
			require.True(t, e.Gain.Low <= e.Gain.P && e.Gain.P <= e.Gain.High, "%v m: %+v", depth, e.Gain)
			if strong := EstimateSurvival(Case{Species: s, DepthM: depth, Behaviour: Strong}); s.trapsGas() && depth < 20 {
				require.Less(t, strong.Gain.Low, 0.0, "%v m: %+v", depth, strong.Gain)
				require.Greater(t, strong.Gain.High, 0.0, "%v m: %+v", depth, strong.Gain)
			}
		}
	})
}

func TestRangesHoldTheirMiddleAndStayWithinZeroAndOne(t *testing.T) {
	everyKind(t, func(t *testing.T, s *Species) {
		for _, depth := range depthsM {
			for m, e := range estimates(EstimateSurvival(Case{Species: s, DepthM: depth})) {
				require.True(t, 0 <= e.Low && e.Low <= e.P && e.P <= e.High && e.High <= 1, "%s at %v m: %+v", m, depth, e)
			}
		}
	})
}

func TestWithoutTrappedGasOnlyHookAndHandlingCount(t *testing.T) {
	for _, s := range Catalogue() {
		if s.trapsGas() {
			continue
		}
		shallow, deep := EstimateSurvival(Case{Species: s, DepthM: 10}), EstimateSurvival(Case{Species: s, DepthM: 200})
		require.Equal(t, shallow.Surface, deep.Surface, s.EnglishName)
		require.Equal(t, deep.Surface, deep.Recompressed, s.EnglishName)
		require.Equal(t, Gain{}, deep.Gain, s.EnglishName)
		require.Less(t, deep.Vented.P, deep.Surface.P, "a needle into a fish without trapped gas can only harm")
		// Flatfish, lingcod and the like: a tenth or so dies (common practice, no source).
		require.InDelta(t, 0.88, shallow.Surface.P, 0.07, s.EnglishName)
	}
}

// Two to three times better survival from deep water for the species that suffer
// most: common practice, no source.
func TestDeepSufferersLiveAtLeastTwiceAsOftenSentDown(t *testing.T) {
	for _, c := range []struct {
		name   string
		depthM float64
	}{{"Lutjanus campechanus", 50}, {"Sebastes ruberrimus", 50}, {"Sebastes pinniger", 50}, {"Mycteroperca microlepis", 60}} {
		e := survivalAt(t, c.name, c.depthM)
		require.GreaterOrEqual(t, e.Recompressed.P, 2*e.Surface.P, c.name)
	}
}

// Bohaboy et al. 2020 (triggerfish, 30 to 60 m) and Boyle et al. 2022 (amberjack,
// 29 to 64 m) found no benefit of sending down; venting is no better than the top
// for such fish. At the deep end of so few triggerfish a gain is not excluded.
func TestNoBenefitIsShownForAmberjackAndTriggerfish(t *testing.T) {
	for _, name := range []string{"Seriola dumerili", "Balistes capriscus"} {
		for _, depth := range []float64{30, 45} {
			e := survivalAt(t, name, depth)
			require.True(t, e.Basis.NoGainShown)
			require.LessOrEqual(t, e.Gain.Low, 0.0, "%s at %v m", name, depth)
			require.Less(t, e.Gain.P, 0.12, "%s at %v m", name, depth)
			require.Less(t, e.Vented.P, e.Surface.P+0.08, name)
		}
	}
	require.False(t, survivalAt(t, "Lutjanus campechanus", 45).Basis.NoGainShown)
}

// Wilde 2009: venting slightly helpful shallow, increasingly harmful deep; against
// it Drumhiller et al. 2014 and the black sea bass tag studies, where it helps.
func TestVentingIsNoBetterShallowAndFallsBehindSendingDownWithDepth(t *testing.T) {
	shallow, middle, deep := survivalAt(t, "Lutjanus campechanus", 12), survivalAt(t, "Lutjanus campechanus", 45), survivalAt(t, "Lutjanus campechanus", 90)
	require.Less(t, shallow.Vented.P, shallow.Surface.P+0.02)
	require.Greater(t, middle.Vented.P, middle.Surface.P)
	behind := func(s Survival) float64 { return s.Recompressed.P - s.Vented.P }
	require.Less(t, behind(shallow), behind(middle))
	require.Less(t, behind(middle), behind(deep))
}

func TestWiderForASpeciesNobodyStudied(t *testing.T) {
	studied, unknown := survivalAt(t, "Sebastes ruberrimus", 60), EstimateSurvival(Case{Species: nil, DepthM: 60})
	width := func(e Estimate) float64 { return e.High - e.Low }
	require.Less(t, width(studied.Recompressed), width(unknown.Recompressed))
	require.Less(t, width(studied.Surface), width(unknown.Surface))
}

func TestBasisCountsWhatStandsBehindAndFlagsDepth(t *testing.T) {
	snapper := survivalAt(t, "Lutjanus campechanus", 45).Basis
	require.Equal(t, LevelSpecies, snapper.Level)
	require.Equal(t, 8, snapper.Studies)
	require.Contains(t, snapper.Sources, "Bohaboy et al. 2020")
	require.False(t, snapper.DeeperThanSeen)
	require.True(t, survivalAt(t, "Lutjanus campechanus", 90).Basis.DeeperThanSeen, "red snapper were studied to 85 m")
	require.Equal(t, LevelGroup, survivalAt(t, "Rhomboplites aurorubens", 40).Basis.Level, "kin of the red snapper")
	require.Equal(t, LevelGeneral, survivalAt(t, "Gadus morhua", 40).Basis.Level, "only diving was watched in cod")
	require.Equal(t, LevelGeneral, EstimateSurvival(Case{DepthM: 40}).Basis.Level)
}

func TestToldLiftIsTheReckonedLift(t *testing.T) {
	s := LookUp("Lutjanus campechanus")
	told := EstimateSurvival(Case{Species: s, DepthM: 45, WeightKg: 3, LiftGf: LiftOf(s.Gas(), 3, 45).Gf})
	left := EstimateSurvival(Case{Species: s, DepthM: 45})
	require.InDelta(t, left.Surface.P, told.Surface.P, 1e-9)
}

func TestAnswersAllocateNothing(t *testing.T) {
	c := Case{Species: LookUp("Lutjanus campechanus"), DepthM: 45, MinutesOnDeck: new(6.0), Hook: HookGut, WarmWater: true}
	EstimateSurvival(c)
	require.Zero(t, testing.AllocsPerRun(100, func() { EstimateSurvival(c) }))
}

func FuzzSurvivalIsAlwaysAShare(f *testing.F) {
	f.Add(30.0, 2.0, 5.0, 24.0, uint8(3), true)
	f.Add(1000.0, 300.0, 600.0, 40.0, uint8(7), false)
	f.Fuzz(func(t *testing.T, depth, kg, minutes, warm float64, pick uint8, bleeding bool) {
		if !(depth > 0 && depth <= 1000 && kg > 0 && kg <= 300 && minutes >= 0 && minutes < 1e6 && math.Abs(warm) < 100) {
			return // never asked: the query refuses it
		}
		hooks := []Hook{"", HookLip, HookMouth, HookGut, HookGill, HookFoul}
		behaviours := []Behaviour{"", Strong, Weak, Floating}
		s := Catalogue()[int(pick)%len(Catalogue())]
		e := EstimateSurvival(Case{Species: s, DepthM: depth, WeightKg: kg, LiftGf: LiftOf(s.Gas(), kg, depth).Gf,
			MinutesOnDeck: &minutes, SurfaceTempC: &warm, Hook: hooks[int(pick)%6], Behaviour: behaviours[int(pick)%4],
			Bleeding: bleeding, Predators: pick%2 == 0})
		for m, x := range estimates(e) {
			if !(0 <= x.Low && x.Low <= x.P && x.P <= x.High && x.High <= 1) {
				t.Fatalf("%s: %+v", m, x)
			}
		}
	})
}

func BenchmarkEstimateSurvival(b *testing.B) {
	s := LookUp("Lutjanus campechanus")
	b.ReportAllocs()
	for b.Loop() {
		EstimateSurvival(Case{Species: s, DepthM: 45, WeightKg: 3, LiftGf: 300})
	}
}

// The quick answer multiplies survivals under 64 draws; Traits.Hazard, to which the
// model was fitted, adds hazards. They must be one and the same reckoning.
func TestQuickAnswerIsTheFittedHazard(t *testing.T) {
	m := Posterior()
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		s := m.Sample(rng)
		for _, c := range []Case{
			{Species: LookUp("Lutjanus campechanus"), DepthM: 45}, {Species: LookUp("Sebastes melanops"), DepthM: 12, Behaviour: Floating},
			{Species: LookUp("Gadus morhua"), DepthM: 120, Predators: true}, {Species: LookUp("Paralichthys dentatus"), DepthM: 60},
		} {
			for _, method := range []Method{Surface, Vented, Recompressed} {
				want := byHazard(s, c, method)
				require.InDelta(t, want, s.Survival(c, method), 1e-9, fmt.Sprint(c.Species.EnglishName, " ", method))
			}
		}
	}
}

// byHazard is the survival under a Sample by way of Traits.Hazard.
func byHazard(s *Sample, c Case, m Method) float64 {
	t := s.traits(c.Species)
	t[TraitSlope], t[TraitLift], t[TraitFieldSlope] = max(t[TraitSlope], 0), max(t[TraitLift], 0), max(t[TraitFieldSlope], 0)
	k := s.model.kind(c.Species)
	e := Exposure{DepthM: c.DepthM, Hook: true, Field: true, Vented: m == Vented, SeenFloating: c.Behaviour == Floating}
	if k.gas.F == 0 {
		e.DepthM = anchorDepthM // what does not swell is no worse from deeper
	} else {
		e.Barotrauma, e.LiftRatio = true, k.liftRatio(&c, c.DepthM)
		if m != Recompressed {
			e.Float = 1
		}
	}
	e.Predators = c.Predators
	if e.Vented && k.gas.F == 0 { // the needle goes by the true depth all the same
		e.Vented = false
	}
	hazard := t.Hazard(e, nil)
	p := modifiers().predators
	if c.Predators {
		hazard -= p.Size
	}
	if m == Vented && k.gas.F == 0 {
		hazard += math.Exp(t[TraitVent]) * c.DepthM / anchorDepthM
	}
	if m == Recompressed && k.gas.F > 0 {
		hazard = math.Log1p(math.Expm1(hazard) * s.sentDown)
	}
	if c.Predators { // both ways take the size of the modifier; the draw varies it
		hazard += p.Size * math.Exp(p.SD*s.toldHazard)
	}
	return 1 / (1 + math.Expm1(hazard)*math.Exp(s.study))
}
