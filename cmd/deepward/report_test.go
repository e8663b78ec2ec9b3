package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// figures of R by their path in the datasheet of the report, from testdata/r:
// releases.R (R 4.2.2, metafor 3.8-1) or liberty.R (survival 3.5-3).
func figuresOfR(t *testing.T, name string) map[string][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/r/" + name)
	require.NoError(t, err)
	defer f.Close()
	list := map[string][]float64{}
	for s := bufio.NewScanner(f); s.Scan(); {
		words := strings.Fields(s.Text())
		for _, w := range words[1:] {
			x, err := strconv.ParseFloat(w, 64)
			require.NoError(t, err)
			list[words[0]] = append(list[words[0]], x)
		}
	}
	return list
}

// at follows a path such as "tags.all.rates.0.wilson" into an object that was read
// from JSON, to a number or some.
func at(t *testing.T, from any, path string) (list []float64) {
	t.Helper()
	for step := range strings.SplitSeq(path, ".") {
		switch x := from.(type) {
		case map[string]any:
			from = x[step]
		case []any:
			i, err := strconv.Atoi(step)
			require.NoError(t, err, path)
			require.Less(t, i, len(x), path)
			from = x[i]
		}
	}
	if x, ok := from.([]any); ok {
		for _, n := range x {
			list = append(list, n.(float64))
		}
		return list
	}
	x, ok := from.(float64)
	require.True(t, ok, "%s is %v", path, from)
	return []float64{x}
}

// An invented table of 5,000 tagged fish is imported as a club would, and the report
// of it has the figures that R makes of the same table: to 1e-9, those of the
// regression, where the programs stop at different steps, to 1e-6.
func TestReportOfAnImportedTagTableHasTheFiguresOfR(t *testing.T) {
	w := where(t)
	code, out, errs := command(t, "", append([]string{"import", "../../testdata/r/releases.csv", "--keep"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "5486 reports added")
	code, out, errs = command(t, "", append([]string{"report", "--json"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Equal(t, 1, strings.Count(out, "\n"), "one object on one line")
	var ours any
	require.NoError(t, json.Unmarshal([]byte(out), &ours))
	r, liberty := figuresOfR(t, "releases.out"), figuresOfR(t, "liberty.out")
	require.Len(t, r, 413)
	require.Len(t, liberty, 55)
	every := maps.Clone(r)
	maps.Copy(every, liberty)
	for path, want := range every {
		tolerance := 1e-9
		if strings.Contains(path, "logistic") || strings.Contains(path, "cox") {
			tolerance = 1e-6
		}
		got := at(t, ours, path)
		require.Len(t, got, len(want), path)
		for i := range want {
			assert.InDelta(t, want[i], got[i], tolerance*math.Abs(want[i]), path)
		}
	}

	page := filepath.Join(t.TempDir(), "season.html")
	code, _, errs = command(t, "", append([]string{"report", "--out", page}, w...)...)
	require.Equal(t, exitDone, code, errs)
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	embedded := regexp.MustCompile(`(?s)<script type="application/json" id="datasheet">(.*)</script>`).FindSubmatch(html)
	require.NotNil(t, embedded)
	assert.JSONEq(t, out, string(embedded[1]), "the page holds the same figures")
	assertReadable(t, string(html), r)
}

// assertReadable looks for figures in the tables of the page, at six digits.
func assertReadable(t *testing.T, page string, r map[string][]float64) {
	t.Helper()
	six := func(x float64) string { return fmt.Sprintf("%.6g", x) }
	pair := func(xs []float64, times float64) string { return six(times*xs[0]) + " to " + six(times*xs[1]) }
	for _, set := range []string{"tags.counted", "tags.all"} {
		for i := range 3 {
			rate, compared := fmt.Sprintf("%s.rates.%d", set, i), fmt.Sprintf("%s.comparisons.%d", set, i)
			for _, cell := range []string{
				six(100 * r[rate+".rate"][0]), pair(r[rate+".wilson"], 100),
				six(r[compared+".ratio"][0]), pair(r[compared+".koopman"], 1),
				six(r[compared+".within_depth_bands.mantel_haenszel_ratio.value"][0]), pair(r[compared+".within_depth_bands.mantel_haenszel_ratio.range"], 1),
			} {
				assert.Contains(t, page, "<td>"+cell+"</td>")
			}
		}
	}
}

// Without a flag the report of one club's one season names both, and the sheet has the
// season before beside it.
func TestReportNamesTheOneClubAndSeason(t *testing.T) {
	dir := t.TempDir()
	store := []string{"--db", filepath.Join(dir, "demo.db"), "--key-file", filepath.Join(dir, "demo.key")}
	code, _, errs := command(t, "", "demo", "--dir", dir)
	require.Zero(t, code, errs)
	page := filepath.Join(dir, "page.html")
	for _, flags := range [][]string{{}, {"--sheet"}} {
		code, _, errs := command(t, "", append(append([]string{"report", "-o", page}, store...), flags...)...)
		require.Zero(t, code, errs)
		text, err := os.ReadFile(page)
		require.NoError(t, err)
		assert.Contains(t, string(text), "Skerrow Point Anglers")
		assert.Contains(t, string(text), "Skerrow 2026")
	}
}
