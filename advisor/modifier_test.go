package advisor

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryModifierNamesItsSource(t *testing.T) {
	for name, m := range Modifiers() {
		require.NotEmpty(t, m.Source, name)
		require.NotEmpty(t, m.Study, name)
		if m.Kind != "degree" && m.Kind != "seen" && m.Size != 0 {
			require.Positive(t, m.SD, name)
		}
	}
}

func with(change func(*Case)) Survival {
	c := Case{Species: LookUp("Chrysophrys auratus"), DepthM: 8}
	change(&c)
	return EstimateSurvival(c)
}

// Grixti et al. 2010: snapper in a shallow bay, 97 % of shallow-hooked and 48 % of
// deep-hooked alive after three days; the factor is the mean of three species.
func TestGutHookedSnapperLiveAboutHalfAsOften(t *testing.T) {
	ratio := with(func(c *Case) { c.Hook = HookGut }).Surface.P / with(func(*Case) {}).Surface.P
	require.InDelta(t, 0.48/0.97, ratio, 0.10)
}

// Maggs et al. 2024, public analysis notes: hazard of foul-hooked about twice that
// of lip-hooked snapper.
func TestFoulHookedSnapperDieAboutTwiceAsOften(t *testing.T) {
	ratio := (1 - with(func(c *Case) { c.Hook = HookFoul }).Surface.P) / (1 - with(func(*Case) {}).Surface.P)
	require.InDelta(t, 2.0, ratio, 0.3)
}

// Rudershausen et al. 2014: floating black sea bass had 0.16 of the survival of the
// rest, external barotrauma 0.91: let go at the top, 0.18 of that of one sent down.
func TestFloatingFishMostlyDieAtTheTop(t *testing.T) {
	e := EstimateSurvival(Case{Species: LookUp("Centropristis striata"), DepthM: 31, Behaviour: Floating})
	require.InDelta(t, 0.18, e.Surface.P/e.Recompressed.P, 0.10)
}

// Jarvis & Lowe 2008: odds of survival fall to 0.95 for each minute at the surface.
func TestMinutesAtTheSurfaceCost(t *testing.T) {
	d := draw{study: 1}
	s := situation{factor: 1}
	c := Case{MinutesOnDeck: new(12.0)}
	c.adjust(&s)
	odds := func(p float64) float64 { return p / (1 - p) }
	require.InDelta(t, 0.5987, odds(d.told(&s).of(0.7))/odds(0.7), 0.005, "0.95 to the tenth, ten minutes beyond two")
}

func TestWhatIsToldOnlyEverLowersTheOdds(t *testing.T) {
	plain := with(func(*Case) {})
	for name, change := range map[string]func(*Case){
		"gut": func(c *Case) { c.Hook = HookGut }, "gill": func(c *Case) { c.Hook = HookGill }, "foul": func(c *Case) { c.Hook = HookFoul },
		"bleeding": func(c *Case) { c.Bleeding = true }, "ten minutes": func(c *Case) { c.MinutesOnDeck = new(10.0) },
		"28 degrees": func(c *Case) { c.SurfaceTempC = new(28.0) }, "warm": func(c *Case) { c.WarmWater = true },
		"predators": func(c *Case) { c.Predators = true },
	} {
		told := with(change)
		require.Less(t, told.Surface.P, plain.Surface.P, name)
		require.Less(t, told.Recompressed.P, plain.Recompressed.P, name)
	}
}

// How it swims moves what sending down gains, and hardly the odds of one sent down:
// red snapper that did not swim down came back at 0.107 (0.056 to 0.204) of the rate of
// those that did (Patterson et al. 2002).
func TestHowItSwimsMovesTheGain(t *testing.T) {
	at := func(b Behaviour) Survival {
		return EstimateSurvival(Case{Species: LookUp("Lutjanus campechanus"), DepthM: 27, Behaviour: b})
	}
	strong, plain, weak, floating := at(Strong), at(""), at(Weak), at(Floating)
	ratio := floating.Surface.P / strong.Surface.P
	require.True(t, 0.056 <= ratio && ratio <= 0.204, "%.3f", ratio)
	require.InDelta(t, 0, strong.Gain.P, 0.03)
	require.Less(t, plain.Gain.P, weak.Gain.P)
	require.Less(t, weak.Gain.P, floating.Gain.P)
	require.Equal(t, strong.Recompressed, floating.Recompressed)
}

// Outward signs by kind: pearl perch 0.63 to 0.69 of 0.93 alive (Campbell et al. 2014), no
// effect in Australasian snapper (Butcher et al. 2012); no sign takes nothing off.
func TestSignsCountByKind(t *testing.T) {
	at := func(name string, signs ...Sign) float64 {
		return EstimateSurvival(Case{Species: LookUp(name), DepthM: 40, Signs: signs}).Recompressed.P
	}
	require.InDelta(t, 0.66/0.93, at("Glaucosoma scapulare", EvertedStomach)/at("Glaucosoma scapulare"), 0.06)
	require.Equal(t, at("Chrysophrys auratus"), at("Chrysophrys auratus", EvertedStomach, BulgingEyes))
	require.Less(t, at("Lutjanus campechanus", BulgingEyes), at("Lutjanus campechanus"))
	require.Equal(t, at("Lutjanus campechanus"), at("Lutjanus campechanus", SkinBubbles, BloatedBelly, ProlapsedIntestine))
}

func TestWhatChangesNothing(t *testing.T) {
	plain := with(func(*Case) {})
	require.Equal(t, plain, with(func(c *Case) { c.Hook = HookLip }))
	require.Equal(t, plain, with(func(c *Case) { c.MinutesOnDeck = new(1.0) }), "under two minutes is as good as it gets")
}

// Each thing that moves the odds says which study it is from.
func TestWhatMovesTheOddsNamesItsStudy(t *testing.T) {
	a := Advise(Query{Species: "Lutjanus campechanus", Capture: Capture{DepthM: new(45.0), Behaviour: Floating, Hook: HookGut, Bleeding: true, MinutesOnDeck: new(6.0), Signs: []Sign{BulgingEyes}}, Count: 1, WarmWater: true, Predators: true})
	for _, code := range []NoteCode{OddsFloating, OddsDeepHook, OddsBleeding, OddsMinutes, OddsWarm, OddsPredators, OddsSigns} {
		i := slices.IndexFunc(a.Reasons, func(n Note) bool { return n.Code == code })
		require.GreaterOrEqual(t, i, 0, code)
		require.NotEmpty(t, a.Reasons[i].Words[0], code)
	}
}
