package advisor

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryModifierNamesItsSource(t *testing.T) {
	for name, m := range Modifiers() {
		require.NotEmpty(t, m.Source, name)
		require.Positive(t, m.Size, name)
		if m.Kind != "degree" {
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
	require.InDelta(t, 1.8, ratio, 0.3)
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
	require.InDelta(t, 0.5987, odds(d.told(&s, 0.7))/odds(0.7), 0.005, "0.95 to the tenth, ten minutes beyond two")
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

// A modifier without published numbers is words, not a factor.
func TestSignsAndStrengthMoveNothing(t *testing.T) {
	plain := with(func(*Case) {})
	require.Equal(t, plain, with(func(c *Case) { c.Signs = Signs[:] }))
	require.Equal(t, plain, with(func(c *Case) { c.Behaviour = Strong }))
	require.Equal(t, plain, with(func(c *Case) { c.Behaviour = Weak }))
	require.Equal(t, plain, with(func(c *Case) { c.Hook = HookLip }))
	require.Equal(t, plain, with(func(c *Case) { c.MinutesOnDeck = new(1.0) }), "under two minutes is as good as it gets")
}
