package season

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

func TestHistoryOfATag(t *testing.T) {
	put := func(n int, c ...func(*catch.Report)) *catch.Report {
		return released(n, advisor.Surface, 30, append(c, tag("T"))...)
	}
	again := func(n int, c ...func(*catch.Report)) *catch.Report {
		return released(n, advisor.Surface, 30, append(c, seen("T"))...)
	}
	grouper := func(r *catch.Report) { r.Species = "Epinephelus morio" }
	for name, c := range map[string]struct {
		reports   []*catch.Report
		days      []int
		faults    []Fault
		noRelease bool
	}{
		"never seen again":            {reports: []*catch.Report{put(0)}},
		"seen twice":                  {reports: []*catch.Report{put(0), again(9), again(40)}, days: []int{9, 40}},
		"told in the wrong order":     {reports: []*catch.Report{again(9), put(0)}, days: []int{9}},
		"put in twice":                {reports: []*catch.Report{put(0), put(5)}, faults: []Fault{FaultTwice}},
		"released again when seen":    {reports: []*catch.Report{put(0), again(9), put(9)}, days: []int{9, 9}},
		"seen before it was put in":   {reports: []*catch.Report{again(0), put(5)}, faults: []Fault{FaultBefore}},
		"release not in the log":      {reports: []*catch.Report{again(5)}, noRelease: true},
		"another kind of fish":        {reports: []*catch.Report{put(0), again(9, grouper)}, days: []int{9}, faults: []Fault{FaultSpecies}},
		"shrunk by measuring error":   {reports: []*catch.Report{put(0, cm(60)), again(9, cm(57.1))}, days: []int{9}},
		"shrunk by more":              {reports: []*catch.Report{put(0, cm(60)), again(9, cm(56.9))}, days: []int{9}, faults: []Fault{FaultShrank}},
		"a small fish, shrunk by 2.1": {reports: []*catch.Report{put(0, cm(20)), again(9, cm(17.9))}, days: []int{9}, faults: []Fault{FaultShrank}},
	} {
		t.Run(name, func(t *testing.T) {
			h := HistoryOf(c.reports)
			var days []int
			for _, s := range h.Sightings {
				days = append(days, s.Days)
			}
			assert.Equal(t, c.days, days)
			assert.Equal(t, c.faults, h.Faults)
			assert.Equal(t, c.noRelease, h.First == nil)
		})
	}
}

func TestDaysAreThoseOfTheCalendar(t *testing.T) {
	evening := released(0, advisor.Surface, 30, tag("T"))
	evening.CaughtAt = evening.CaughtAt.Add(7 * 60 * 60e9)
	morning := released(2, advisor.Surface, 30, seen("T"))
	morning.CaughtAt = morning.CaughtAt.Add(-5 * 60 * 60e9)
	assert.Equal(t, 2, HistoryOf([]*catch.Report{evening, morning}).Sightings[0].Days)
}

func TestGrowthNeedsOneWayOfMeasuring(t *testing.T) {
	first := released(0, advisor.Surface, 30, tag("T"), cm(40))
	again := released(9, advisor.Surface, 30, seen("T"), cm(41.5))
	require.NotNil(t, HistoryOf([]*catch.Report{first, again}).Sightings[0].GrewCm)
	assert.InDelta(t, 1.5, *HistoryOf([]*catch.Report{first, again}).Sightings[0].GrewCm, 1e-9)
	again.LengthType = advisor.TotalLength
	assert.Nil(t, HistoryOf([]*catch.Report{first, again}).Sightings[0].GrewCm)
}

// The cells' centres lie 0.2 degree of latitude apart: 22.239 km on the sphere.
func TestMovesAreToldInCells(t *testing.T) {
	move := func(from, to func(*catch.Report)) Sighting {
		return HistoryOf([]*catch.Report{released(0, advisor.Surface, 30, tag("T"), from), released(9, advisor.Surface, 30, seen("T"), to)}).Sightings[0]
	}
	s := move(at(-345, 0), at(-343, 1))
	assert.Equal(t, 2, *s.Cells)
	assert.InDelta(t, 24055, *s.MovedM, 100)
	assert.InDelta(t, 2*7.22e3, s.PlusMinusM, 30, "two cells at 34 degrees, each about 7.2 km from centre to corner")
	s = move(at(-345, 0), at(-345, 0))
	assert.True(t, s.SameCell)
	assert.Nil(t, s.MovedM)
	s = move(at(175, -1800), at(175, 1799))
	assert.Equal(t, 1, *s.Cells, "neighbours over the antimeridian")
	assert.Less(t, *s.MovedM, 11000.0)
}
