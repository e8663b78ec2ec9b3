package report_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/demo"
	"deepward/store/report"
	"deepward/store/season"
)

func walk(list []*store.Report) func(func(*store.Report, error) bool) {
	return func(yield func(*store.Report, error) bool) {
		for _, r := range list {
			if !yield(r, nil) {
				return
			}
		}
	}
}

func written(t *testing.T, list []*store.Report) (season.Findings, string) {
	t.Helper()
	f, err := season.Find(walk(list), 1)
	require.NoError(t, err)
	var page strings.Builder
	require.NoError(t, report.Write(&page, f, report.Heading{Club: "Skerrow <Point>", MadeAt: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)}))
	return f, page.String()
}

func TestPageHoldsWhatTheLogHolds(t *testing.T) {
	list := demo.Reports(600, 7, 5)
	f, page := written(t, list)
	released, down, tagged := 0, 0, 0
	for _, r := range list {
		if r.Method != advisor.Kept {
			released++
		}
		if r.Method == advisor.Recompressed {
			down++
		}
		if r.Tag != "" && !r.Recapture {
			tagged++
		}
	}
	assert.Equal(t, released, f.Released)
	assert.Equal(t, down, f.Methods[advisor.Recompressed].Fish)
	sum := func(rows []season.Row) (n int) {
		for _, r := range rows {
			n += r.Fish
		}
		return n
	}
	assert.Equal(t, released, sum(f.Species))
	assert.Equal(t, released, sum(f.Months))
	assert.Equal(t, released, sum(f.Depths))
	counted := 0
	for _, s := range f.Recaptured.Methods {
		counted += s.N
	}
	assert.Equal(t, tagged, counted+f.LeftOut[season.OutTagTooNew]+f.LeftOut[season.OutTagTwice]+f.LeftOut[season.OutTagDead], "every tagged fish is counted or said to be left out")
	assert.LessOrEqual(t, f.Alive.Low, f.Alive.P)
	assert.LessOrEqual(t, f.Alive.P, f.Alive.High)
	assert.Less(t, f.Alive.High, float64(down))
	assert.Contains(t, page, "Skerrow &lt;Point&gt;")
	assert.Contains(t, page, "What you cannot conclude")
}

func TestPageLoadsNothingFromOutside(t *testing.T) {
	_, page := written(t, demo.Reports(100, 7, 5))
	assert.NotRegexp(t, regexp.MustCompile(`(?i)(src=|href=|url\(|@import|<script)`), page)
}

func TestSameSeedSameRange(t *testing.T) {
	a, _ := written(t, demo.Reports(100, 7, 5))
	b, _ := written(t, demo.Reports(100, 7, 5))
	assert.Equal(t, a.Alive, b.Alive)
}

func TestEmptyLogIsAPageToo(t *testing.T) {
	_, page := written(t, nil)
	assert.Contains(t, page, "No released fish")
	assert.NotContains(t, page, "NaN")
}
