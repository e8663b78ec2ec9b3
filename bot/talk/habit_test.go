package talk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/understand"
)

func TestHabitIsKnownAfterAFewMessagesAndChanges(t *testing.T) {
	var h Habits
	tell := func(factor float64, times int) Units {
		for range times {
			h = h.After(understand.UnitFactors{Depth: factor})
		}
		return h.Units()
	}
	assert.Zero(t, tell(fathoms, 2).Depth, "two say nothing yet")
	assert.Equal(t, fathoms, tell(fathoms, 1).Depth)
	assert.Equal(t, []string{"fathoms"}, h.Units().Names())
	assert.Equal(t, fathoms, tell(0, 9).Depth, "messages without a depth change nothing")
	tell(fathoms, 90)
	assert.Equal(t, fathoms, tell(1, 1).Depth, "one slip changes nothing")
	tell(1, 4)
	assert.Equal(t, 1.0, tell(1, 3).Depth, "who changes over is followed")
	assert.Zero(t, h.Units().Weight)
}

// bareDepth is a question about a named fish with a figure that nothing claims.
func bareDepth(x float64) understand.Reading {
	kg := 3.0
	f := understand.Fish{Name: "gag"}
	f.Query.Species, f.Query.SpeciesName, f.Query.WeightKg, f.Query.Count = "Mycteroperca microlepis", "gag", &kg, 1
	return understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Fish: []understand.Fish{f}, Loose: []understand.Bare{{Value: x}}}
}

// A bare depth is taken in the unit of habit and said to be; what the person set, or told
// in this talk, goes before it; without a habit it is asked.
func TestBareDepthIsTakenByHabit(t *testing.T) {
	at := time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	habit := Units{Depth: fathoms}
	m, _ := Next(State{}, bareDepth(25), Now{At: at, Habit: habit})
	require.Len(t, m.Fish, 1)
	assert.InDelta(t, 25*fathoms, *m.Fish[0].Query.DepthM, 1e-9)
	assert.Equal(t, []Lent{{Field: "depth_m", Value: 25, Unit: "fathoms", Habit: true}}, m.Assumed)

	m, _ = Next(State{At: at.Add(-time.Hour), Units: Units{Depth: feet}}, bareDepth(25), Now{At: at, Habit: habit})
	assert.Equal(t, []Lent{{Field: "depth_m", Value: 25, Unit: "feet"}}, m.Assumed, "told in this talk")
	m, _ = Next(State{At: at.Add(-24 * time.Hour), Units: Units{Depth: feet}}, bareDepth(25), Now{At: at, Habit: habit})
	assert.Equal(t, "fathoms", m.Assumed[0].Unit, "another day's slip is no habit")
	m, _ = Next(State{}, bareDepth(25), Now{At: at, Habit: habit, Units: Metric})
	assert.Equal(t, []Lent{{Field: "depth_m", Value: 25, Unit: "metres"}}, m.Assumed, "set")

	_, s := Next(State{}, bareDepth(25), Now{At: at})
	assert.Equal(t, AskUnit, s.Asked.What)
	_, s = Next(State{}, bareDepth(900), Now{At: at, Habit: habit})
	assert.Equal(t, AskUnit, s.Asked.What, "no fish here comes from 1,600 m")
}
