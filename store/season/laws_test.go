package season

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"deepward/advisor"
	"deepward/store/catch"
)

func shares(t *rapid.T, name string) Share {
	n := rapid.IntRange(1, 3000).Draw(t, name+" n")
	return Share{rapid.IntRange(0, n).Draw(t, name+" x"), n}
}

func TestIntervalsHoldTheirEstimateAndTurnRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := shares(t, "a"), shares(t, "b")
		for name, interval := range map[string]func(x, n int, c float64) (float64, float64){"Wilson": Wilson, "Clopper-Pearson": ClopperPearson, "Jeffreys": Jeffreys} {
			low, high := interval(a.X, a.N, 0.95)
			assert.True(t, 0 <= low && low <= a.P() && a.P() <= high && high <= 1, "%s of %v: %v to %v", name, a, low, high)
			// What does not count is the complement.
			other, another := interval(a.N-a.X, a.N, 0.95)
			assert.InDelta(t, 1-high, other, 1e-9, name)
			assert.InDelta(t, 1-low, another, 1e-9, name)
		}
		low, high := Newcombe(a, b, 0.95)
		back, forth := Newcombe(b, a, 0.95)
		assert.InDelta(t, low, -forth, 1e-12)
		assert.InDelta(t, high, -back, 1e-12)
		if a.X > 0 && b.X > 0 {
			low, high = Koopman(a, b, 0.95)
			assert.True(t, low <= RiskRatio(a, b) && RiskRatio(a, b) <= high, "%v %v: %v to %v", a, b, low, high)
			back, forth = Koopman(b, a, 0.95)
			assert.InEpsilon(t, 1/low, forth, 1e-7)
			assert.InEpsilon(t, 1/high, back, 1e-7)
		}
	})
}

// Every released fish stands once in each table, or is said to be left out of it.
func TestTablesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Custom(anyReport), 0, 30).Draw(t, "reports")
		f, err := Find(walk(list), Options{})
		assert.NoError(t, err)
		sum := func(rows []Row) (n int) {
			for _, r := range rows {
				n += r.Released
			}
			return n
		}
		assert.Equal(t, f.Released, sum(f.Species))
		assert.Equal(t, f.Released, sum(f.Months))
		assert.Equal(t, f.Released, sum(f.Depths)+f.left(OutDepthTable))
		assert.Equal(t, len(list), f.Reports+f.left(OutUndone))
		assert.Equal(t, f.Reports, f.Released+f.Methods[advisor.Kept].Fish+f.left(OutNoMethod)+f.left(OutRecaptureNoMethod))
		counted := f.left(OutTagDead) + f.left(OutTagNoMethod) + f.left(OutTagTooNew)
		for _, s := range f.Tags.Counted.Methods {
			counted += s.N
		}
		assert.Equal(t, f.Tags.Fish, counted, "every tagged fish counts or is left out")
		assert.Equal(t, f.Methods[advisor.Recompressed].Fish, f.Alive.Fish+f.left(OutNoDepth)+f.left(OutDead))
	})
}

func anyReport(t *rapid.T) *catch.Report {
	r := &catch.Report{
		CaughtAt: day(rapid.IntRange(0, 90).Draw(t, "day")),
		Release:  advisor.Release{Method: rapid.SampledFrom([]advisor.Method{advisor.Recompressed, advisor.Surface, advisor.Vented, advisor.Kept, ""}).Draw(t, "method"), Outcome: rapid.SampledFrom([]advisor.Outcome{advisor.SwamDown, advisor.FloatedOff, advisor.Died, advisor.TakenByOther, advisor.SwamAtSurface, advisor.NotSeen, ""}).Draw(t, "outcome"), Tag: rapid.SampledFrom([]string{"", "A", "B", "C", "D", "E", "F"}).Draw(t, "tag"), Recapture: rapid.Bool().Draw(t, "recapture")},
		Species:  rapid.SampledFrom([]string{snapper, "Epinephelus morio", ""}).Draw(t, "species"),
		Undone:   rapid.IntRange(0, 9).Draw(t, "undone") == 0,
	}
	if rapid.Bool().Draw(t, "depth known") {
		r.DepthM = new(rapid.Float64Range(0, 400).Draw(t, "depth"))
	}
	if rapid.IntRange(0, 9).Draw(t, "dead") == 0 {
		r.Behaviour = advisor.Dead
	}
	return r
}
