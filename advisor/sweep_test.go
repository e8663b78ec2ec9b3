package advisor

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The sweep asks about every fish of the catalogue and every 23rd of the gazetteer, from
// every depth, in every size and state, with what is aboard of several boats, and holds each
// answer to what must be true of all of them. All expectations are of the contract, none is
// a figure.
var (
	sweepDepthsM = []float64{4, 9, 10, 15, 20, 21, 30, 45, 60, 90, 150, 250}
	sweepSizesKg = []float64{0, 0.3, 3, 14} // 0: not told
	sweepStates  = []Query{
		{}, {Capture: Capture{Behaviour: Strong}}, {Capture: Capture{Behaviour: Strong}, NoSigns: true}, {NoSigns: true, Practice: "safmc"},
		{Capture: Capture{Behaviour: Weak}}, {Capture: Capture{Behaviour: Floating}}, {Capture: Capture{Behaviour: Dead}},
		{Capture: Capture{Signs: []Sign{EvertedStomach}}}, {Capture: Capture{Signs: []Sign{BloatedBelly}, Behaviour: Strong}}, {Capture: Capture{Hook: HookGut, Bleeding: true}},
	}
	sweepBoats = []Query{
		{}, {WeightsAboardOz: []float64{10}}, {LeadAboardOz: []float64{8, 8}, NoWeight: true}, {NoWeight: true},
		{WeightsAboardOz: []float64{16, 24, 60}, LeadAboardOz: []float64{5, 5, 5, 5}},
	}
)

func TestSweep(t *testing.T) {
	var names []string
	for _, s := range Catalogue() {
		names = append(names, s.ScientificName)
	}
	for i, taxon := range taxa(t) {
		if i%23 == 0 {
			names = append(names, taxon)
		}
	}
	require.Greater(t, len(names), 143+200)
	for i, name := range names {
		for j, state := range sweepStates {
			kg, boat := sweepSizesKg[(i+j)%len(sweepSizesKg)], sweepBoats[(i+2*j)%len(sweepBoats)]
			sweepDepths(t, name, kg, state, boat)
		}
	}
}

// sweepDepths asks about one fish from ever deeper: the action turns once at most.
func sweepDepths(t *testing.T, name string, kg float64, state, boat Query) {
	var turned bool
	for i, depth := range sweepDepthsM {
		q := state
		q.Species, q.Count, q.DepthM = name, 1, &depth
		q.WeightsAboardOz, q.LeadAboardOz, q.NoWeight = boat.WeightsAboardOz, boat.LeadAboardOz, boat.NoWeight
		if kg > 0 {
			q.WeightKg = &kg
		}
		a := Advise(q)
		require.False(t, turned && a.Action != ActRecompress, "%s: sent down from shallower than %v m", name, depth)
		turned = i > 0 && turned || a.Action == ActRecompress
		holds(t, q, a)
	}
}

// holds checks one answer.
func holds(t *testing.T, q Query, a Advice) {
	t.Helper()
	on := func(ok bool, what string) { require.True(t, ok, "%s: %+v: %+v", what, q, a) }
	if a.Survival != nil {
		for _, e := range []Estimate{a.Survival.Surface, a.Survival.Vented, a.Survival.Recompressed} {
			on(0 <= e.Low && e.Low <= e.P && e.P <= e.High && e.High <= 1, "a chance outside its range")
		}
		on(a.Gain == nil || a.Gain.Low <= a.Gain.P && a.Gain.P <= a.Gain.High, "a gain outside its range")
		on(a.Gain == nil || math.Abs(a.Survival.Recompressed.P-a.Survival.Surface.P-a.Gain.P) < 1e-9, "a gain that is not the difference")
	}
	on(a.Species.trapsGas() || a.Action != ActRecompress && a.Gain == nil && a.LiftGf == nil, "a weight where there is no gas")
	on((a.ReleaseWeightOz != nil) == (len(a.ReleaseWeightsOz) > 0), "one weight and a list")
	if a.Action != ActRecompress {
		on(len(a.ReleaseWeightsOz) == 0 && a.PushDownDepthM == nil && a.DescentS == nil, "a weight for what goes at the top")
		return
	}
	on(*a.ReleaseDepthM <= *q.DepthM && *a.EnoughDepthM <= *q.DepthM, "freed below where it was")
	on(a.PushDownDepthM == nil || *a.PushDownDepthM <= min(*q.DepthM/2, MostPushM), "a push that cannot be done")
	on(a.LiftRangeGf[0] <= *a.LiftGf && *a.LiftGf <= a.LiftRangeGf[1], "a lift outside its range")
	on(a.LiftRangeGf[1] <= 1000*a.WeightKg/3+1e-9, "a lift beyond anything seen")
	weights := sum(a.ReleaseWeightsOz)
	says := hasCode(a.Reasons, ReasonPushDown) || hasCode(a.Reasons, ReasonThinMargin) || hasCode(a.Reasons, ReasonTooLight) || hasCode(a.Reasons, ReasonNoWeight)
	on(weights >= *a.NeededOz || says, "too light in silence")
	on(PullGf(weights) >= a.LiftRangeGf[1] || a.MayHang || hasCode(a.Reasons, ReasonTooLight) || hasCode(a.Reasons, ReasonNoWeight), "lighter than the upper lift in silence")
	aboard := append(append([]float64{}, a.AboardOz...), q.LeadAboardOz...)
	for _, oz := range a.ReleaseWeightsOz {
		i := indexOf(aboard, oz)
		on(i >= 0, "a weight that is not aboard")
		aboard = append(aboard[:i], aboard[i+1:]...)
	}
}

func indexOf(list []float64, x float64) int {
	for i, y := range list {
		if x == y {
			return i
		}
	}
	return -1
}
