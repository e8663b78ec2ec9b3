package advisor

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The custom of two sizes; common practice, no source.
func TestCommonPracticeSizes(t *testing.T) {
	for _, name := range []string{"", "Lutjanus campechanus", "Sebastes ruberrimus", "Epinephelus morio", "Chrysophrys auratus"} {
		for _, c := range []struct{ kg, depth, oz float64 }{{4, 45, 40}, {9, 25, 40}, {2, 20, 20}} {
			a := Advise(Query{Species: name, Capture: Capture{DepthM: &c.depth, WeightKg: &c.kg}, Count: 1})
			assert.Equal(t, ActRecompress, a.Action)
			assert.Equal(t, c.oz, *a.ReleaseWeightOz, "%s %v", name, c)
			if *a.NeededOz > c.oz {
				assert.True(t, hasCode(a.Reasons, ReasonPhysicsMore), "%s %v: says where physics disagrees", name, c)
				assert.True(t, len(a.ReleaseWeightsOz) == 2 || a.PushDownDepthM != nil, "%s %v: says what to do", name, c)
			}
		}
	}
}

func hasCode(notes []Note, code NoteCode) bool {
	for _, n := range notes {
		if n.Code == code {
			return true
		}
	}
	return false
}

func TestPracticeTurnsBeyondThirtyMetresAndSevenKilograms(t *testing.T) {
	for _, c := range []struct{ kg, depthM, oz float64 }{
		{2, 30, 20}, {2, 30.1, 40}, {7, 30, 20}, {7.1, 10, 40}, {0.5, 100, 40},
	} {
		assert.Equal(t, c.oz, PracticeOz(c.kg, c.depthM), "%v", c)
	}
}

func TestLeadNeededPullsAsHardAsTheLiftWithItsMargin(t *testing.T) {
	assert.InDelta(t, 1.2*700, PullGf(LeadNeededOz(700, LiftMargin)), 1e-9)
}

func TestChooseWeights(t *testing.T) {
	for name, c := range map[string]struct {
		aboard           []float64
		needed, practice float64
		want             []float64
		enough, below    bool
	}{
		"light fish":           {[]float64{20, 40}, 7, 20, []float64{20}, true, false},
		"custom wants more":    {[]float64{20, 40}, 7, 40, []float64{40}, true, false},
		"physics wants two":    {[]float64{20, 40}, 48, 40, []float64{40, 20}, true, false},
		"nothing is enough":    {[]float64{20, 40}, 90, 40, []float64{40, 20}, false, false},
		"only a light one":     {[]float64{20}, 15, 40, []float64{20}, true, true},
		"only one, too light":  {[]float64{20}, 25, 40, []float64{20}, false, true},
		"smallest that does":   {[]float64{60, 48, 20, 40}, 44, 40, []float64{48}, true, false},
		"two small for custom": {[]float64{20, 20}, 25, 40, []float64{20, 20}, true, false},
		"two of a kind":        {[]float64{40, 40}, 75, 40, []float64{40, 40}, true, false},
		"lightest pair":        {[]float64{8, 12, 16, 20}, 30, 20, []float64{20, 12}, true, false},
		"one is enough":        {[]float64{16, 24}, 14, 40, []float64{24}, true, true},
		"two below custom":     {[]float64{8, 12}, 15, 40, []float64{12, 8}, true, true},
		"one too heavy by far": {[]float64{160}, 5, 20, []float64{160}, true, false},
	} {
		got := ChooseWeights(c.aboard, c.needed, c.practice)
		assert.Equal(t, Choice{Oz: c.want, Enough: c.enough, BelowPractice: c.below}, got, name)
	}
}

func TestChoosingLeavesTheListAboardAlone(t *testing.T) {
	aboard := []float64{40, 20, 60}
	ChooseWeights(aboard, 90, 40)
	assert.Equal(t, []float64{40, 20, 60}, aboard)
}

func BenchmarkAdvise(b *testing.B) {
	q := Query{Species: "Lutjanus campechanus", Capture: Capture{DepthM: new(45.0), WeightKg: new(3.0)}, Count: 1}
	b.ReportAllocs()
	for b.Loop() {
		Advise(q)
	}
}

// A list of hundreds of sinkers is answered as soon as one of a few.
func TestManyPiecesOfLeadAreChosenFromAtOnce(t *testing.T) {
	c := ChooseLead(slices.Repeat([]float64{10}, 500), 50, 40)
	assert.Equal(t, slices.Repeat([]float64{10}, 5), c.Oz)
	assert.True(t, c.Enough)
	c = ChooseLead(slices.Repeat([]float64{10}, 500), 100, 40)
	assert.Len(t, c.Oz, mostLead)
	assert.False(t, c.Enough)
}
