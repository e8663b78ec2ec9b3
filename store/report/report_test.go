package report_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"image/png"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
	"deepward/store/demo"
	"deepward/store/report"
)

func built(t *testing.T, list []*catch.Report) (*report.Report, string) {
	t.Helper()
	r, err := report.Build(catch.Listed(list), report.Options{Club: "Skerrow <Point>", MadeAt: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)})
	require.NoError(t, err)
	var page strings.Builder
	require.NoError(t, r.WriteHTML(&page))
	return r, page.String()
}

// A phone of 360 pixels shows every chart whole, at about its own size: nothing has to be
// scrolled sideways, and no letter is under 7 points.
func TestChartsArePhoneWide(t *testing.T) {
	for _, language := range advisor.Languages {
		r, err := report.Build(catch.Listed(demo.Reports(600, 7, 5)), report.Options{Language: language, MadeAt: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)})
		require.NoError(t, err)
		var page strings.Builder
		require.NoError(t, r.WriteHTML(&page))
		charts := regexp.MustCompile(`<svg [^>]*viewBox="0 0 (\d+)`).FindAllStringSubmatch(page.String(), -1)
		require.Greater(t, len(charts), 3)
		for _, chart := range charts {
			assert.Equal(t, "330", chart[1])
		}
		assert.NotRegexp(t, `svg \{[^}]*min-width`, page.String())
		assert.NotRegexp(t, `font-size:[1-6](\.\d+)?px`, page.String())
	}
}

func TestPageHoldsWhatTheLogHolds(t *testing.T) {
	list := demo.Reports(600, 7, 5)
	r, page := built(t, list)
	f := r.Findings
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
	for name, rows := range map[string]int{"species": len(f.Species), "months": len(f.Months), "depths": len(f.Depths)} {
		assert.NotZero(t, rows, name)
	}
	sum := 0
	for _, row := range f.Months {
		sum += row.Released
	}
	assert.Equal(t, released, sum)
	assert.LessOrEqual(t, f.Alive.Low, f.Alive.More)
	assert.LessOrEqual(t, f.Alive.More, f.Alive.High)
	assert.Less(t, f.Alive.High, float64(down))
	assert.Positive(t, tagged)
	assert.Contains(t, page, "Skerrow &lt;Point&gt;")
	assert.Contains(t, page, "What this page cannot tell you")
}

// Whatever the log, the page stands: no figure that is none, nothing loaded from
// outside, and words for each picture.
func TestPageStandsForAnyLog(t *testing.T) {
	all := demo.Reports(400, 7, 5)
	only := func(keep func(*catch.Report) bool) (list []*catch.Report) {
		for _, r := range all {
			if keep(r) {
				list = append(list, r)
			}
		}
		return list
	}
	plain := func(change func(*catch.Report)) (list []*catch.Report) {
		for _, r := range all {
			c := *r
			change(&c)
			list = append(list, &c)
		}
		return list
	}
	for name, list := range map[string][]*catch.Report{
		"no fish": nil, "one fish": all[:1], "a season": all,
		"one method":                        only(func(r *catch.Report) bool { return r.Method == advisor.Recompressed }),
		"all kept":                          only(func(r *catch.Report) bool { return r.Method == advisor.Kept }),
		"nobody seen":                       only(func(r *catch.Report) bool { return !r.Recapture }),
		"no tags":                           plain(func(r *catch.Report) { r.Tag = "" }),
		"no depths":                         plain(func(r *catch.Report) { r.DepthM = nil }),
		"all undone":                        plain(func(r *catch.Report) { r.Undone = true }),
		"no method":                         plain(func(r *catch.Report) { r.Method = "" }),
		"no method but one, all recaptured": again(all, advisor.Surface),
		"two methods, all recaptured":       again(all, advisor.Surface, advisor.Recompressed),
		"cells of nothing":                  cells(),
		"no species":                        plain(func(r *catch.Report) { r.Species = "" }),
	} {
		t.Run(name, func(t *testing.T) {
			r, page := built(t, list)
			text := regexp.MustCompile(`(?s)<style>.*?</style>|<script type="application/json".*?</script>|<[^>]*>`).ReplaceAllString(page, " ")
			assert.NotRegexp(t, `NaN|\bInf\b|%!|<nil>|-0\s`, text)
			assert.NotRegexp(t, regexp.MustCompile(`(?i)(src=|href=|url\(|@import)`), page)
			assert.Equal(t, strings.Count(page, "<svg"), strings.Count(page, "<desc>"))
			assert.NotContains(t, page, "<desc></desc>")
			assertWellFormed(t, page)
			var sheet strings.Builder
			require.NoError(t, r.WriteJSON(&sheet))
			assert.True(t, json.Valid([]byte(sheet.String())))
		})
	}
}

// again are tagged fish of those methods, all seen again a month later.
func again(all []*catch.Report, methods ...advisor.Method) (list []*catch.Report) {
	for i, r := range all[:60] {
		c := *r
		c.Tag, c.Recapture, c.Method, c.Outcome, c.Behaviour = fmt.Sprint("T", i), false, methods[i%len(methods)], advisor.SwamDown, ""
		later := c
		later.Recapture, later.CaughtAt = true, c.CaughtAt.AddDate(0, 1, 0)
		list = append(list, &c, &later)
	}
	return list
}

// cells are tagged fish in strata where one way of release has none, or none seen
// again.
func cells() (list []*catch.Report) {
	at := time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC)
	for i, f := range []struct {
		method      advisor.Method
		depthM      float64
		fish, again int
	}{
		{advisor.Surface, 15, 9, 0}, {advisor.Recompressed, 15, 9, 3}, {advisor.Surface, 35, 5, 0}, {advisor.Recompressed, 45, 4, 4},
		{advisor.Surface, 70, 9, 0}, {advisor.Recompressed, 70, 9, 0}, {advisor.Vented, 200, 1, 1},
	} {
		for k := range f.fish {
			tag := fmt.Sprint("C", i, "-", k)
			list = append(list, &catch.Report{CaughtAt: at, Capture: advisor.Capture{DepthM: &f.depthM}, Release: advisor.Release{Method: f.method, Tag: tag}, Species: "Lutjanus campechanus"})
			if k < f.again {
				list = append(list, &catch.Report{CaughtAt: at.AddDate(0, 2, k), Release: advisor.Release{Tag: tag, Recapture: true}})
			}
		}
	}
	return list
}

// assertWellFormed reads each picture in the page as XML.
func assertWellFormed(t *testing.T, page string) {
	for _, svg := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1) {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if !assert.NoError(t, err) {
				return
			}
		}
	}
}

func TestChartIsAPictureForAPhone(t *testing.T) {
	untold := cells()
	for _, r := range untold {
		if r.Method == advisor.Recompressed {
			r.Method = advisor.Vented
		}
	}
	for name, list := range map[string][]*catch.Report{"season": demo.Reports(300, 7, 5), "none sent down": untold} {
		r, _ := built(t, list)
		var out bytes.Buffer
		require.NoError(t, r.ChartPNG(&out, report.English()), name)
		picture, err := png.DecodeConfig(&out)
		require.NoError(t, err, name)
		assert.Greater(t, picture.Width, 900, name)
	}
	r, _ := built(t, nil)
	assert.ErrorIs(t, r.ChartPNG(io.Discard, report.English()), report.ErrNoPicture)
}

func TestSameLogSamePage(t *testing.T) {
	_, a := built(t, demo.Reports(100, 7, 5))
	_, b := built(t, demo.Reports(100, 7, 5))
	assert.Equal(t, a, b)
}
