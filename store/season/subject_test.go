package season

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

// Early fish were mostly sent down, late ones mostly let go at the top, and the early ones
// had a year more to be met: within a month the two are alike.
func monthsApart() (list []*catch.Report) {
	lot := func(from int, m advisor.Method, fish, again, after int) {
		for i := range fish {
			name := fmt.Sprint(m, from, i)
			list = append(list, released(from+i%20, m, 45, tag(name)))
			if i < again {
				list = append(list, released(from+i%20+after, "", 45, seen(name)))
			}
		}
	}
	lot(0, advisor.Recompressed, 400, 120, 200)
	lot(0, advisor.Surface, 40, 12, 200)
	lot(330, advisor.Recompressed, 40, 2, 15)
	lot(330, advisor.Surface, 400, 20, 15)
	return list
}

func TestMonthIsNotTakenForTheMethod(t *testing.T) {
	c := find(t, monthsApart()...).Tags.Counted.Comparisons[0]
	assert.Equal(t, More, c.Crude())
	assert.Equal(t, More, c.AtLikeDepth(), "depth alone does not see it")
	assert.Equal(t, CannotTell, c.Verdict())
	assert.InDelta(t, 1, c.MonthDepth.Ratio.Value, 0.02)
	require.NotNil(t, c.Held)
	assert.InDelta(t, 1, c.Held.Ratio, 0.03)
}

func TestManyComparisonsAreCorrected(t *testing.T) {
	list := []Comparison{{P: 0.04}, {P: 0.01}, {P: 0.03}}
	for i := range list {
		list[i].Depth.Ratio.Low, list[i].MonthDepth.Ratio.Low = math.NaN(), math.NaN()
	}
	holm(list)
	// R: p.adjust(c(0.04, 0.01, 0.03), "holm")
	assert.InDeltaSlice(t, []float64{0.06, 0.03, 0.06}, []float64{list[0].HolmP, list[1].HolmP, list[2].HolmP}, 1e-12)
}

func TestFishAreFollowedIntoLaterReports(t *testing.T) {
	log := []*catch.Report{released(0, advisor.Recompressed, 45, tag("A")), released(0, advisor.Surface, 45, tag("B")), released(10, advisor.Surface, 45)}
	later := []*catch.Report{
		released(300, "", 45, seen("A")), released(301, advisor.Surface, 45, tag("C")), released(302, "", 45, seen("elsewhere")),
	}
	f, err := Find(walk(log), Options{Later: walk(later)})
	require.NoError(t, err)
	assert.Equal(t, map[advisor.Method]Share{advisor.Recompressed: {1, 1}, advisor.Surface: {0, 1}}, f.Tags.Counted.Methods)
	assert.Equal(t, []int{3, 3, 1, 2}, []int{f.Reports, f.Released, f.Tags.Followed, f.Tags.Fish}, "nothing else of what came later counts")
	assert.Equal(t, day(302), f.Tags.CutOff, "the watch went on until then")
	assert.Equal(t, day(10), f.Last)
}

// A factor that splits the fish without a remainder has no answer, nor has nobody seen.
func TestModelsKnowWhenThereIsNoAnswer(t *testing.T) {
	var split, unseen []Subject
	for i := range 40 {
		one := Subject{Factors: []float64{float64(i % 2)}, Cluster: i % 5, Days: float64(i + 1), Seen: i%2 == 1}
		split = append(split, one)
		one.Seen = false
		unseen = append(unseen, one)
	}
	for _, list := range [][]Subject{nil, split, unseen} {
		assert.False(t, FitWithin(list).Known)
	}
	for _, list := range [][]Subject{nil, split, unseen} {
		assert.False(t, FitCox(list).Known)
	}
}
