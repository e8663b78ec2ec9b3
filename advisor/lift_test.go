package advisor

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The models of the numerical study of the custom of two sizes (our own; its tables
// are testdata/study_tables.csv), each with its source.
var studyModels = map[string]Gas{
	"full retention": leakless(0.05),
	"snapper cap":    {F: 0.045, Rupture: 2.5},     // Stewart & Hughes 2014
	"mulloway cap":   {F: 0.043, Rupture: 2.75},    // the same
	"cod cap":        {F: 0.050, Rupture: 1 / 0.3}, // 70 % cut: Humborstad & Mangor-Jensen 2013; Harden Jones & Scholes 1985
	"generic D":      genericD,
	"rockfish-like":  {F: 0.060, Rupture: 3, Kept: 0.5}, // f 1983, the rest assumed
}

func TestLiftAndLeadAreThoseOfTheStudysTables(t *testing.T) {
	rows := readTable(t, "testdata/study_tables.csv")
	require.Len(t, rows, 3*42)
	for _, row := range rows {
		kg, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		depth, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(row[4], 64)
		require.NoError(t, err)
		got := LiftOf(studyModels[row[1]], kg, depth).Gf
		if row[0] == "lead_oz" {
			got = LeadNeededOz(got, 1)
		}
		assert.InDelta(t, want, got, 0.51*lastDigit(row[4]), "%v", row)
	}
}

// lastDigit is the worth of the last digit printed.
func lastDigit(printed string) float64 {
	_, decimals, _ := strings.Cut(printed, ".")
	return math.Pow(10, -float64(len(decimals)))
}

// In how many of the study's 42 cells the custom of 20 and 40 oz is what the physics
// asks for with its margin, heavier, too light, or short with both sizes.
func TestCustomAgainstPhysics(t *testing.T) {
	for model, want := range map[string][4]int{
		"snapper cap": {26, 16, 0, 0}, "mulloway cap": {22, 13, 2, 5}, "cod cap": {20, 10, 3, 9},
		"generic D": {21, 10, 2, 9}, "rockfish-like": {16, 7, 3, 16}, "full retention": {17, 6, 2, 17},
	} {
		var got [4]int
		for _, kg := range []float64{0.5, 1, 2, 4, 6, 8, 12} {
			for _, depth := range []float64{10, 20, 30, 45, 60, 90} {
				needed := LeadNeededOz(LiftOf(studyModels[model], kg, depth).Gf, LiftMargin)
				got[customOver(PracticeOz(kg, depth), needed)]++
			}
		}
		assert.Equal(t, want, got, model)
	}
}

// customOver is 0 where the custom is the right size, 1 too heavy, 2 too light, 3
// where even the heavy size is short.
func customOver(customOz, neededOz float64) int {
	size := float64(lightPracticeOz)
	if neededOz > lightPracticeOz {
		size = heavyPracticeOz
	}
	switch {
	case neededOz > heavyPracticeOz:
		return 3
	case customOz > size:
		return 1
	case customOz < size:
		return 2
	}
	return 0
}

// The study's other table: what 20 and 40 oz hold, in kg of fish, margin left out.
func TestLargestFishThatTheSizesHold(t *testing.T) {
	for model, want := range map[string][2]float64{
		"snapper cap": {7.6, 15.3}, "mulloway cap": {6.9, 13.7}, "cod cap": {4.4, 8.8},
	} {
		perKg := LiftOf(studyModels[model], 1, 60).Gf
		assert.InDelta(t, want[0], PullGf(20)/perKg, 0.05, model)
		assert.InDelta(t, want[1], PullGf(40)/perKg, 0.05, model)
	}
	for depth, want := range map[float64][2]float64{30: {3.5, 5.0}, 60: {2.2, 3.7}, 90: {1.6, 2.9}} {
		assert.InDelta(t, want[0], PullGf(20)/LiftOf(studyModels["rockfish-like"], 1, depth).Gf, 0.06)
		assert.InDelta(t, want[1], PullGf(20)/LiftOf(genericD, 1, depth).Gf, 0.06)
	}
}

// Against draws: each of the three figures from a bell with its 80 % range, the two
// sides of their own width. The range of the lift must hold 80 % of them, give or take
// what the quadrature leaves out.
func TestLiftRangeHoldsFourInFive(t *testing.T) {
	const draws, seed = 20000, 1
	rng := rand.New(rand.NewPCG(seed, seed))
	table := gasTable()
	draw := func(low, mid, high float64) float64 {
		const eighty = 1.2816 // standard deviations to either side of 80 %
		z := rng.NormFloat64() / eighty
		if z < 0 {
			return mid + z*(mid-low)
		}
		return mid + z*(high-mid)
	}
	for _, taxon := range slices.Sorted(maps.Keys(table)) { // in one order, for the same draws each time
		g := table[taxon]
		for _, depth := range []float64{15, 30, 45, 90} {
			lift, r, inside := LiftOf(g, 4, depth), PressureRatio(depth), 0
			for range draws {
				e := expansion(r, draw(g.RuptureLow, g.Rupture, g.RuptureHigh), max(0, draw(g.KeptLow, g.Kept, g.KeptHigh)))
				pull := 4000 * draw(g.FLow, g.F, g.FHigh) * (e - 1)
				if lift.LowGf <= pull && pull <= lift.HighGf {
					inside++
				}
			}
			t.Logf("%s from %v m: %.3f", taxon, depth, float64(inside)/draws)
			assert.InDelta(t, 0.80, float64(inside)/draws, 0.05, "%s from %v m", taxon, depth)
		}
	}
}

func TestLiftRangeHoldsItsMiddle(t *testing.T) {
	for taxon, g := range gasTable() {
		for _, depth := range []float64{0, 5, 30, 300} {
			l := LiftOf(g, 3, depth)
			assert.True(t, slices.IsSorted([]float64{0, l.LowGf, l.Gf, l.HighGf}), "%s %v m", taxon, depth)
		}
	}
}

// At the surface it is the lift; at the depth where the fish alone floats no more it is
// nothing; deeper the fish sinks.
func TestLiftFallsToNothingAtTheNeutralDepth(t *testing.T) {
	for taxon, g := range gasTable() {
		l := LiftOf(g, 4, 60)
		assert.InDelta(t, l.Gf, LiftAtDepth(g, 4, 60, 0), 1e-9, taxon)
		assert.InDelta(t, 0, LiftAtDepth(g, 4, 60, l.NeutralDepthM), 1e-9, taxon)
		assert.Negative(t, LiftAtDepth(g, 4, 60, 60), taxon)
	}
}

func TestWhereTheWeightTakesOverPullAndLiftBalance(t *testing.T) {
	m, needed := PushDownDepth(genericD, 12, 90, 40)
	require.True(t, needed)
	assert.InDelta(t, PullGf(40), LiftAtDepth(genericD, 12, 90, m), 1e-9)

	margin, _ := PushDownDepth(genericD, 12, 90, 40/LiftMargin)
	assert.InDelta(t, PullGf(40), LiftMargin*LiftAtDepth(genericD, 12, 90, margin), 1e-9)
	assert.Greater(t, margin, m)

	_, needed = PushDownDepth(genericD, 2, 30, 40)
	assert.False(t, needed)
}
