package season

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The check values are computed by R 4.2.2 (and metafor, GeographicLib), most of
// them confirmed by scipy and statsmodels; each row of the table names its tool
// or publication.
const computed = 1e-9

// provided are the tests of the table that this package answers.
var provided = map[string]func(t *testing.T, in, quantity string) (got float64, known bool){
	"wilson":                     proportionCheck(Wilson),
	"clopper-pearson":            proportionCheck(ClopperPearson),
	"risk-ratio-koopman-score":   pairCheck(Koopman),
	"risk-difference-newcombe10": pairCheck(Newcombe),
	"mantel-haenszel-rr":         strataCheck,
	"cochran-armitage":           trendCheck,
	"great-circle-sphere":        sphereCheck,
}

func TestEveryRowOfAProvidedMethodAgrees(t *testing.T) {
	f, err := os.Open("../../testdata/stats_checks.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	checked, others := map[string]int{}, map[string]int{}
	for _, row := range rows[1:] {
		name, in, quantity, expected := row[0], row[1], row[2], row[3]
		check, ours := provided[name]
		if !ours {
			others[name]++
			continue
		}
		got, known := check(t, in, quantity)
		if !known {
			others[name+": "+quantity]++
			continue
		}
		checked[name]++
		agree(t, row, expected, got)
	}
	t.Logf("checked %v", checked)
	t.Logf("not provided here %v", others)
	assert.GreaterOrEqual(t, len(checked), len(provided))
}

// agree compares with a computed value at 1e-9 relative, with a printed one at
// the precision that was printed.
func agree(t *testing.T, row []string, expected string, got float64) {
	t.Helper()
	if expected == "Inf" || expected == "inf" {
		assert.True(t, math.IsInf(got, 1), "%v", row)
		return
	}
	want, err := strconv.ParseFloat(expected, 64)
	require.NoError(t, err, "%v", row)
	tolerance := computed * math.Max(math.Abs(want), 1e-3)
	if point := strings.IndexByte(expected, '.'); point >= 0 && len(strings.Trim(expected, "-0.")) < 9 {
		tolerance = math.Max(tolerance, 0.5001*math.Pow(10, -float64(len(expected)-point-1)))
	}
	assert.InDelta(t, want, got, tolerance, "%v", row)
}

var numbers = regexp.MustCompile(`-?[0-9.]+`)

func field(in, name string) (float64, bool) {
	m := regexp.MustCompile(`\b` + name + `=(-?[0-9.]+)`).FindStringSubmatch(in)
	if m == nil {
		return 0, false
	}
	x, err := strconv.ParseFloat(m[1], 64)
	return x, err == nil
}

func confidence(in string) float64 {
	if c, ok := field(in, "conf"); ok {
		return c
	}
	return 0.95
}

func end(quantity string, low, high float64) (float64, bool) {
	switch quantity {
	case "lower":
		return low, true
	case "upper":
		return high, true
	}
	return 0, false
}

func proportionCheck(f func(x, n int, c float64) (float64, float64)) func(*testing.T, string, string) (float64, bool) {
	return func(_ *testing.T, in, quantity string) (float64, bool) {
		x, okX := field(in, "x")
		n, okN := field(in, "n")
		if !okX || !okN {
			return 0, false
		}
		low, high := f(int(x), int(n), confidence(in))
		return end(quantity, low, high)
	}
}

func pairCheck(f func(x1, n1, x2, n2 int, c float64) (float64, float64)) func(*testing.T, string, string) (float64, bool) {
	return func(_ *testing.T, in, quantity string) (float64, bool) {
		x1, ok := field(in, "x1")
		n1, _ := field(in, "n1")
		x2, _ := field(in, "x2")
		n2, _ := field(in, "n2")
		if !ok {
			return 0, false
		}
		low, high := f(int(x1), int(n1), int(x2), int(n2), confidence(in))
		return end(quantity, low, high)
	}
}

func strataCheck(t *testing.T, in, quantity string) (float64, bool) {
	_, tables, found := strings.Cut(in, ": ")
	if !found {
		return 0, false
	}
	var strata []Stratum
	for table := range strings.SplitSeq(tables, "; ") {
		cells := numbers.FindAllString(table, -1)
		if len(cells) != 4 {
			return 0, false
		}
		var c [4]int
		for i, s := range cells {
			n, err := strconv.Atoi(s)
			require.NoError(t, err, table)
			c[i] = n
		}
		strata = append(strata, Stratum{c[0], c[0] + c[1], c[2], c[2] + c[3]})
	}
	ratio, low, high, _ := MantelHaenszel(strata, 0.95)
	if quantity == "estimate" {
		return ratio, true
	}
	return end(quantity, low, high)
}

func trendCheck(t *testing.T, in, quantity string) (float64, bool) {
	parts := regexp.MustCompile(`x=(.*) n=(.*) score=(.*)$`).FindStringSubmatch(in)
	if parts == nil {
		return 0, false
	}
	xs, ns, scores := strings.Fields(parts[1]), strings.Fields(parts[2]), strings.Fields(parts[3])
	bands := make([]Band, len(xs))
	for i := range xs {
		x, err := strconv.Atoi(xs[i])
		require.NoError(t, err)
		n, err := strconv.Atoi(ns[i])
		require.NoError(t, err)
		s, err := strconv.ParseFloat(scores[i], 64)
		require.NoError(t, err)
		bands[i] = Band{x, n, s}
	}
	z, p, slope, ok := CochranArmitage(bands)
	require.True(t, ok)
	switch {
	case quantity == "z":
		return z, true
	case quantity == "p two-sided":
		return p, true
	case quantity == "slope":
		return slope, true
	case strings.HasPrefix(quantity, "X2"):
		return z * z, true
	}
	return 0, false
}

func sphereCheck(_ *testing.T, in, quantity string) (float64, bool) {
	lat1, ok := field(in, "lat1")
	lon1, _ := field(in, "lon1")
	lat2, _ := field(in, "lat2")
	lon2, _ := field(in, "lon2")
	if !ok || quantity != "metres" {
		return 0, false
	}
	return Distance(lat1, lon1, lat2, lon2), true
}
