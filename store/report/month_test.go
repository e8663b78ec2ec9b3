package report_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
	"deepward/store/catch"
)

// monthMixed is a log in which the month decides who is seen again and the depth nothing:
// early fish were let go at the top and are out for long, late ones were sent down, and
// within a month one in so many of either is seen.
func monthMixed() (list []*catch.Report) {
	tag := 0
	add := func(method advisor.Method, month time.Month, fish, oneIn int) {
		for i := range fish {
			tag++
			at := time.Date(2026, month, 1+i%28, 9, 0, 0, 0, time.UTC)
			depth := float64(25 + 10*(i%3))
			r := &catch.Report{CaughtAt: at, Species: "Lutjanus campechanus", Capture: advisor.Capture{DepthM: &depth}, Release: advisor.Release{Method: method, Tag: fmt.Sprint("SK", tag)}, Who: uint64(1 + i%5)}
			list = append(list, r)
			if i%oneIn == 0 {
				later := *r
				later.CaughtAt, later.Recapture = at.AddDate(0, 1, 0), true
				list = append(list, &later)
			}
		}
	}
	add(advisor.Surface, time.March, 600, 4)
	add(advisor.Recompressed, time.March, 60, 4)
	add(advisor.Surface, time.August, 60, 20)
	add(advisor.Recompressed, time.August, 600, 20)
	return list
}

// What goes within months is not laid to depth.
func TestGapThatComesFromTheMonthIsNotLaidToDepth(t *testing.T) {
	_, page := built(t, monthMixed())
	assert.Contains(t, page, "Among fish let go in the same month the difference goes: it may come from how long they were out.")
	assert.Contains(t, page, "That gap goes among fish let go in the same month, or too few fish are left to say.")
	assert.NotContains(t, page, "when depth is taken into account")
	assert.NotContains(t, page, "depth is mixed up with the way of release")
}
