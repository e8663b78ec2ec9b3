package season

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

// The log ends on day 60: a fish counts if it was let go alive by day 53.
func TestWhichTaggedFishCount(t *testing.T) {
	f := find(t,
		released(0, advisor.Recompressed, 45, tag("never")),
		released(1, advisor.Recompressed, 45, tag("once")), released(20, advisor.Kept, 45, seen("once")),
		released(1, advisor.Recompressed, 45, tag("often")), released(20, advisor.Surface, 45, seen("often")), released(30, advisor.Surface, 45, seen("often")),
		released(2, advisor.Recompressed, 45, tag("same day")), released(2, advisor.Surface, 45, seen("same day")),
		released(53, advisor.Recompressed, 45, tag("just in time")),
		released(54, advisor.Recompressed, 45, tag("too late")), released(60, advisor.Surface, 45, seen("too late")),
		released(3, advisor.Recompressed, 45, tag("dead"), went(advisor.Died)),
		released(3, advisor.Kept, 45, tag("kept")),
		released(3, "", 45, tag("no method")),
		released(3, advisor.Surface, 45, tag("twice")), released(4, advisor.Surface, 45, tag("twice")),
		released(3, advisor.Surface, 45, seen("early")), released(4, advisor.Surface, 45, tag("early")),
		released(3, advisor.Surface, 45, seen("elsewhere")),
		released(3, advisor.Surface, 45, tag("no day"), func(r *catch.Report) { r.DepthM = nil }),
		released(3, "", 45, seen("no day"), func(r *catch.Report) { r.Flags = []string{DayUnknown} }),
	)
	assert.Equal(t, map[advisor.Method]Share{advisor.Recompressed: {2, 5}, advisor.Surface: {1, 3}}, f.Tags.Counted.Methods)
	assert.Equal(t, 12, f.Tags.Fish)
	assert.Equal(t, Share{4, 7}, f.Tags.All.Methods[advisor.Recompressed], "before the rule: the dead, the late and the same day too")
	assert.Equal(t, day(60), f.Tags.CutOff)
	for why, n := range map[Reason]int{
		OutTagSameDay: 1, OutTagTooNew: 1, OutTagDead: 2, OutTagNoMethod: 1,
		OutTagUnknown: 1, OutTagNoDepth: 1, OutRecaptureNoMethod: 1,
	} {
		assert.Equal(t, n, f.left(why), "%s", why)
	}
	assert.Equal(t, map[Fault]int{FaultTwice: 1, FaultBefore: 1}, f.Tags.Faults)
	assert.Equal(t, Spread{N: 3, Least: 6, Lower: 12.5, Middle: 19, Upper: 19, Most: 19, Mean: 44.0 / 3}, f.Tags.Liberty, "first recaptures with a day; the late one too")
}

func TestTheRuleCanBeChosen(t *testing.T) {
	list := []*catch.Report{released(0, advisor.Surface, 45, tag("A")), released(20, advisor.Surface, 45, tag("B")), released(30, advisor.Kept, 45)}
	f, err := Find(walk(list), Options{MinDays: new(15)})
	require.NoError(t, err)
	assert.Equal(t, 1, f.Tags.Counted.Methods[advisor.Surface].N)
	f, err = Find(walk(list), Options{MinDays: new(15), CutOff: day(40)})
	require.NoError(t, err)
	assert.Equal(t, 2, f.Tags.Counted.Methods[advisor.Surface].N)
}

// Rows with a place in them need three fish and two anglers.
func TestFewFishOrOneAnglerLeadToNoMark(t *testing.T) {
	pair := func(i, cells int, by uint64) []*catch.Report {
		number := fmt.Sprint(i)
		return []*catch.Report{
			released(0, advisor.Surface, 45, tag(number), at(-345, 0), who(by)),
			released(20, advisor.Surface, 45, seen(number), at(-345, int16(cells)), who(by)),
		}
	}
	var list []*catch.Report
	for i, fish := range []struct {
		cells int
		by    uint64
	}{{0, 1}, {0, 1}, {0, 2}, {1, 1}, {1, 2}, {3, 1}, {3, 1}, {3, 1}, {9, 1}, {9, 0}, {9, 0}} {
		list = append(list, pair(i, fish.cells, fish.by)...)
	}
	assert.Equal(t, []Move{
		{FromCells: 0, ToCells: 0, Fish: 3},
		{FromCells: 1, ToCells: 1, Hidden: true},
		{FromCells: 2, ToCells: 4, Hidden: true},
		{FromCells: 5, ToCells: -1, Hidden: true},
	}, find(t, list...).Tags.Moves)
}

func TestGrowthLeavesOutWhatCannotBe(t *testing.T) {
	var list []*catch.Report
	for i, grew := range []float64{1, 2, 4, -30} {
		number := fmt.Sprint(i)
		list = append(list, released(0, advisor.Surface, 45, tag(number), cm(50)), released(30+i, advisor.Surface, 45, seen(number), cm(50+grew)))
	}
	g := find(t, list...).Tags.Growth
	assert.Equal(t, Spread{N: 3, Least: 1, Lower: 1.5, Middle: 2, Upper: 3, Most: 4, Mean: 7.0 / 3}, g.Cm)
	assert.Equal(t, Spread{N: 3, Least: 30, Lower: 30.5, Middle: 31, Upper: 31.5, Most: 32, Mean: 31}, g.Days)
}

// quantile(c(1, 2, 4, 9)) and mean of the same, R 4.2.2.
func TestQuartersAreThoseOfR(t *testing.T) {
	assert.Equal(t, Spread{4, 1, 1.75, 3, 5.25, 9, 4}, spreadOf([]float64{9, 1, 4, 2}))
	assert.Equal(t, Spread{}, spreadOf(nil))
}

// The strata are the made-up ones of testdata/stats_checks.csv ("confounded by
// depth"): compared plainly sent down seems 1.28 times as often seen again, within
// depth bands 1.88 times (R 4.2.2 and metafor 3.8.1).
func TestDepthIsNotTakenForTheMethod(t *testing.T) {
	b := breakdown{
		{snapper, 0, 0, advisor.Recompressed}: {6, 40}, {snapper, 0, 0, advisor.Surface}: {12, 160},
		{snapper, 1, 0, advisor.Recompressed}: {10, 100}, {snapper, 1, 0, advisor.Surface}: {9, 150},
		{snapper, 2, 0, advisor.Recompressed}: {9, 180}, {snapper, 2, 0, advisor.Surface}: {1, 50},
		{snapper, 3, 0, advisor.Recompressed}: {1, 9}, {snapper, noBand, 0, advisor.Surface}: {0, 10},
	}
	delete(b, cell{snapper, noBand, 0, advisor.Surface})
	delete(b, cell{snapper, 3, 0, advisor.Recompressed})
	c, ok := b.compare(advisor.Recompressed, advisor.Surface)
	require.True(t, ok)
	assert.InDelta(t, 1.27840909091, c.Ratio, 1e-11)
	assert.Equal(t, CannotTell, c.Crude())
	assert.InDelta(t, 1.88, c.Depth.Ratio.Value, 0.005)
	assert.Equal(t, More, c.Verdict())
	assert.Equal(t, c.Depth.Ratio, c.SpeciesDepth.Ratio, "one species only")

	b[cell{snapper, 3, 0, advisor.Recompressed}] = Share{1, 9}
	c, _ = b.compare(advisor.Recompressed, advisor.Surface)
	assert.Equal(t, 1, c.Depth.Skipped, "nothing to compare those nine with")
	assert.Equal(t, 680, c.Depth.Fish)
}

func TestFewFishAreNoVerdict(t *testing.T) {
	b := breakdown{{snapper, 2, 0, advisor.Recompressed}: {4, 4}, {snapper, 2, 0, advisor.Surface}: {0, 40}}
	c, ok := b.compare(advisor.Recompressed, advisor.Surface)
	require.True(t, ok)
	assert.Equal(t, TooFew, c.Verdict())
	_, ok = b.compare(advisor.Recompressed, advisor.Vented)
	assert.False(t, ok)
}

func TestAFewDeepFishMakeNoTrend(t *testing.T) {
	b := breakdown{
		{snapper, 1, 0, advisor.Surface}: {3, 60}, {snapper, 2, 0, advisor.Surface}: {4, 80}, {snapper, 3, 0, advisor.Surface}: {3, 60},
		{snapper, 8, 0, advisor.Surface}: {2, 3},
	}
	trend := b.trend("")
	assert.Less(t, trend.P, 0.05)
	assert.False(t, trend.Steady(), "it hangs on three fish")
	b = breakdown{{snapper, 1, 0, advisor.Surface}: {30, 100}, {snapper, 2, 0, advisor.Surface}: {20, 100}, {snapper, 3, 0, advisor.Surface}: {10, 100}}
	assert.True(t, b.trend("").Steady())
}

func TestFishOfNoKnownDayAreInTheRatesAndInNoMonth(t *testing.T) {
	day := time.Date(2016, 7, 1, 0, 0, 0, 0, time.UTC)
	var log []*catch.Report
	for i := range 20 {
		tag := fmt.Sprintf("X%d", i)
		log = append(log, &catch.Report{Release: advisor.Release{Tag: tag, Method: advisor.Vented}, CaughtAt: day, DateOnly: true, Flags: []string{DateFilled}})
		if i < 5 {
			log = append(log, &catch.Report{Release: advisor.Release{Tag: tag, Recapture: true}, CaughtAt: day.Add(time.Second), DateOnly: true, Flags: []string{DayUnknown}})
		}
	}
	f, err := Find(catch.Listed(log), Options{})
	require.NoError(t, err)
	assert.Equal(t, Share{5, 20}, f.Tags.Counted.Methods[advisor.Vented], "as the table has it")
	assert.Empty(t, f.Months)
	assert.False(t, f.Dated)
	assert.Zero(t, f.Tags.Liberty.N, "no days at large are known")
	assert.Contains(t, f.LeftOut, Left{OutMonthTable, 20})
	assert.Contains(t, f.LeftOut, Left{OutTagNoDay, 20})
}
