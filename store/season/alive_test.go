package season

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

// someFish are invented fish that were sent down, with all that moves the odds.
func someFish(n int) (list []*catch.Report) {
	rng := rand.New(rand.NewPCG(3, 4))
	species := []string{snapper, "Epinephelus morio", "Sebastes ruberrimus", "", "Mycteroperca microlepis"}
	for range n {
		r := released(0, advisor.Recompressed, 15+100*rng.Float64())
		r.Species = species[rng.IntN(len(species))]
		r.MinutesOnDeck = new(8 * rng.Float64())
		r.SurfaceTempC = new(18 + 12*rng.Float64())
		r.Bleeding, r.Predators = rng.IntN(10) == 0, rng.IntN(20) == 0
		r.Hook = []advisor.Hook{advisor.HookLip, advisor.HookGut, advisor.HookGill, advisor.HookFoul, ""}[rng.IntN(5)]
		r.Behaviour = []advisor.Behaviour{"", "", "", advisor.Strong, advisor.Weak, advisor.Floating}[rng.IntN(6)]
		if rng.IntN(8) == 0 {
			r.Signs = []advisor.Sign{advisor.BulgingEyes}
		}
		list = append(list, r)
	}
	return list
}

func benefit(r *catch.Report) advisor.Survival {
	return advisor.EstimateSurvival(advisor.Case{
		Species: advisor.LookUp(r.Species), DepthM: *r.DepthM, MinutesOnDeck: r.MinutesOnDeck, SurfaceTempC: r.SurfaceTempC,
		Bleeding: r.Bleeding, Predators: r.Predators, Hook: r.Hook, Behaviour: r.Behaviour, Signs: r.Signs,
	})
}

// The sum over classes agrees with the survival model asked for each fish alone.
func TestClassesStandForTheirFish(t *testing.T) {
	list := someFish(600)
	var gain, top, down float64
	for _, r := range list {
		s := benefit(r)
		gain, top, down = gain+s.Gain.P, top+s.Surface.P, down+s.Recompressed.P
	}
	a := find(t, list...).Alive
	assert.Equal(t, 600, a.Fish)
	assert.InEpsilon(t, gain, a.More, 0.15) // the middle of the draws lies below their mean
	// Odds of one fish are told at the median of the draws, shares of many at their mean.
	assert.InDelta(t, top/600, a.TopShare, 0.08)
	assert.InDelta(t, down/600, a.DownShare, 0.08)
	t.Logf("fish by fish %.1f, simulated %.1f (%.0f to %.0f)", gain, a.More, a.Low, a.High)
}

// What is not known is the same for all fish of a draw: with a hundred times the fish
// the range does not get ten times narrower, as it would if errors cancelled.
func TestErrorsDoNotCancelOverManyFish(t *testing.T) {
	width := func(n int) float64 {
		var list []*catch.Report
		for range n {
			list = append(list, released(0, advisor.Recompressed, 45))
		}
		a := find(t, list...).Alive
		assert.Less(t, a.Low, a.More)
		assert.Less(t, a.More, a.High)
		return (a.High - a.Low) / float64(n)
	}
	assert.Greater(t, width(5000), 0.7*width(50))
}

func TestSameSeedSameRange(t *testing.T) {
	list := someFish(200)
	f := func(seed uint64) Alive {
		f, err := Find(walk(list), Options{Seed: seed})
		assert.NoError(t, err)
		return f.Alive
	}
	assert.Equal(t, f(7), f(7))
	assert.NotEqual(t, f(7), f(8))
}

func TestNobodyIsSavedThatNeededNoSaving(t *testing.T) {
	none := func(r *catch.Report) { r.Species = "Scomberomorus cavalla" }
	assert.Equal(t, advisor.BladderNone, advisor.LookUp("Scomberomorus cavalla").Bladder)
	f := find(t,
		released(0, advisor.Recompressed, 45, none),
		released(0, advisor.Recompressed, 45, func(r *catch.Report) { r.Behaviour = advisor.Dead }),
		released(0, advisor.Recompressed, 45, func(r *catch.Report) { r.DepthM = nil }),
		released(0, advisor.Surface, 45),
	)
	assert.Equal(t, 1, f.Alive.Fish)
	assert.Zero(t, f.Alive.High)
	assert.Equal(t, 1, f.left(OutDead))
	assert.Equal(t, 1, f.left(OutNoDepth))
}

// Classes leave size out because the survival model does.
func TestSizeDoesNotMoveTheOdds(t *testing.T) {
	for _, depth := range []float64{15, 45, 110} {
		var odds []string
		for _, kg := range []float64{0.4, 3, 12} {
			s := advisor.LookUp(snapper)
			c := advisor.Case{Species: s, DepthM: depth, WeightKg: kg, LiftGf: advisor.LiftOf(s.Gas(), kg, depth).Gf}
			odds = append(odds, fmt.Sprintf("%.9f", advisor.EstimateSurvival(c).Gain.P))
		}
		assert.Equal(t, odds[0], odds[1])
		assert.Equal(t, odds[0], odds[2])
	}
}

// A million reports, no two alike, cost a pass and a simulation over classes.
func BenchmarkFind(b *testing.B) {
	list := someFish(20000)
	for i, r := range list {
		r.CaughtAt, r.Method = day(i/100), advisor.Methods[i%3]
		if i%5 == 0 {
			r.Tag = fmt.Sprint(i)
		}
	}
	for b.Loop() {
		if _, err := Find(walk(list), Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(list)*b.N)/b.Elapsed().Seconds(), "reports/s")
}

// The mean and the variance of many draws are those of the law, in both of its ways.
func TestBinomialDrawsFollowTheirLaw(t *testing.T) {
	const draws = 20000
	rng := rand.New(rand.NewPCG(7, 9))
	for _, c := range []struct{ n, p float64 }{{1, 0.3}, {9, 0.5}, {40, 0.07}, {200, 0.93}, {5000, 0.2}, {12, 0}, {12, 1}} {
		var sum, squares float64
		for range draws {
			x := binomial(c.n, c.p, rng)
			require.True(t, x >= 0 && x <= c.n && x == math.Trunc(x), "%v of %v", x, c)
			sum += x
			squares += x * x
		}
		mean, variance := c.n*c.p, c.n*c.p*(1-c.p)
		assert.InDelta(t, mean, sum/draws, 4*math.Sqrt(variance/draws)+1e-9, "%v", c)
		assert.InDelta(t, variance, squares/draws-sum*sum/draws/draws, 0.05*variance+1e-6, "%v", c)
	}
}
