package season

import (
	"iter"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

const snapper = "Lutjanus campechanus"

// day is noon of a day counted from the start of an invented season.
func day(n int) time.Time {
	return time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC).AddDate(0, 0, n)
}

// released is an invented fish, changed as the test needs it.
func released(n int, m advisor.Method, depthM float64, change ...func(*catch.Report)) *catch.Report {
	r := &catch.Report{
		CaughtAt: day(n), Species: snapper, SpeciesSure: true, Who: 1,
		Capture: advisor.Capture{DepthM: &depthM}, Release: advisor.Release{Method: m, Outcome: advisor.SwamDown},
	}
	for _, c := range change {
		c(r)
	}
	return r
}

func tag(s string) func(*catch.Report) { return func(r *catch.Report) { r.Tag = s } }
func seen(s string) func(*catch.Report) {
	return func(r *catch.Report) { r.Tag, r.Recapture = s, true }
}
func who(n uint64) func(*catch.Report) { return func(r *catch.Report) { r.Who = n } }
func cm(x float64) func(*catch.Report) {
	return func(r *catch.Report) { r.LengthCm, r.LengthType = &x, advisor.ForkLength }
}
func at(lat, lon int16) func(*catch.Report) {
	return func(r *catch.Report) { r.Cell = &catch.Cell{Lat: lat, Lon: lon} }
}
func went(o advisor.Outcome) func(*catch.Report) { return func(r *catch.Report) { r.Outcome = o } }

// walk yields the reports as the store does: in one value that is used again.
func walk(list []*catch.Report) iter.Seq2[*catch.Report, error] {
	return func(yield func(*catch.Report, error) bool) {
		var r catch.Report
		for _, next := range list {
			r = *next
			if !yield(&r, nil) {
				return
			}
		}
	}
}

func find(t *testing.T, list ...*catch.Report) Findings {
	t.Helper()
	f, err := Find(walk(list), Options{Seed: 1})
	require.NoError(t, err)
	return f
}

// left is how many fish were left out for a reason.
func (f Findings) left(why Reason) int {
	for _, l := range f.LeftOut {
		if l.Why == why {
			return l.Fish
		}
	}
	return 0
}
