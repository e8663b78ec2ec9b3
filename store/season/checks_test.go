package season

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// The rows of testdata/stats_checks.csv come from R 4.2.2 (with metafor), most of
// them confirmed by scipy and statsmodels, or from publications; each row names its
// own. Computed values must agree to 1e-9, printed ones to the digits printed.
const computed = 1e-9

// check gives what this package makes of the inputs of one row, or nothing if the
// quantity is none of its own.
type check func(in inputs, quantity string) []float64

// provided are the tests of the table that this package answers; package export
// answers for the geodesic and the grid.
var provided = map[string]check{
	"wilson":                      proportion(Wilson),
	"clopper-pearson":             proportion(ClopperPearson),
	"jeffreys":                    proportion(Jeffreys),
	"agresti-coull":               proportion(AgrestiCoull),
	"normal-quantile":             func(in inputs, _ string) []float64 { return one(z(2*in.number("p") - 1)) },
	"chi2-upper-tail":             func(in inputs, _ string) []float64 { return one(chiUpper(in.number("x"), in.count("df"))) },
	"beta-quantile":               betaQuantileCheck,
	"regularised-incomplete-beta": betaCheck,
	"risk-ratio":                  func(in inputs, _ string) []float64 { return one(RiskRatio(in.pair())) },
	"risk-difference":             func(in inputs, _ string) []float64 { a, b := in.pair(); return one(a.P() - b.P()) },
	"crude-rr":                    func(in inputs, _ string) []float64 { return one(RiskRatio(in.sum())) },
	"risk-ratio-koopman-score":    koopmanCheck,
	"risk-ratio-katz-log":         katzCheck,
	"risk-difference-newcombe10":  newcombeCheck,
	"fisher-exact":                fisherCheck,
	"hypergeometric-pmf":          hypergeometricCheck,
	"mantel-haenszel-rr":          func(in inputs, q string) []float64 { return pooled(MantelHaenszelRR(in.strata(), 0.95), q) },
	"mantel-haenszel-or":          oddsCheck,
	"mantel-haenszel-rd":          func(in inputs, q string) []float64 { return pooled(MantelHaenszelRD(in.strata(), 0.95), q) },
	"cmh":                         cmhCheck,
	"breslow-day":                 breslowDayCheck,
	"breslow-day-tarone":          taroneCheck,
	"cochran-armitage":            trendCheck,
	"mantel-trend":                func(in inputs, _ string) []float64 { return one(CochranArmitage(in.bands()).M2) },
	"power.prop.test":             func(in inputs, _ string) []float64 { return one(FishNeeded(in.number("p1"), in.number("p2"))) },
	"great-circle-sphere":         sphereCheck,
	"wilson-cc":                   proportion(WilsonCorrected),
	"mid-p":                       proportion(MidP),
	"chi2-pearson":                pearsonCheck,
}

func TestEveryRowOfAProvidedMethodAgrees(t *testing.T) {
	f, err := os.Open("../../testdata/stats_checks.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	checked, others := map[string]int{}, map[string]int{}
	provided := maps.Clone(provided)
	provided["logistic"] = regressionCheck(t)
	for _, row := range rows[1:] {
		name, in, quantity, expected := row[0], inputs(row[1]), row[2], row[3]
		ours, ok := provided[name]
		if !ok {
			others[name]++
			continue
		}
		// An expected cell holds one number, or two limits.
		got, want := ours(in, quantity), strings.Fields(expected)
		if assert.Len(t, got, len(want), "not checked: %v", row) {
			for i := range want {
				agree(t, row, want[i], got[i])
			}
			checked[name]++
		}
	}
	for name := range provided {
		assert.Positive(t, checked[name], "the table has no row for %s", name)
	}
	t.Logf("checked %d rows of %d methods: %s", total(checked), len(checked), listed(checked))
	t.Logf("not provided here, %d rows: %s", total(others), listed(others))
}

func listed(counts map[string]int) string {
	var list []string
	for _, name := range slices.Sorted(maps.Keys(counts)) {
		list = append(list, fmt.Sprintf("%s %d", name, counts[name]))
	}
	return strings.Join(list, ", ")
}

func total(counts map[string]int) (n int) {
	for _, c := range counts {
		n += c
	}
	return n
}

// agree compares a computed value at 1e-9 relative, a printed one at the digits
// that were printed.
func agree(t *testing.T, row []string, expected string, got float64) {
	t.Helper()
	if expected == "Inf" {
		assert.True(t, math.IsInf(got, 1), "%v: got %v", row, got)
		return
	}
	want, err := strconv.ParseFloat(expected, 64)
	require.NoError(t, err, "%v", row)
	tolerance := computed * math.Abs(want)
	if want == 0 {
		tolerance = computed
	}
	if strings.HasPrefix(row[2], "se") && row[0] == "logistic" {
		tolerance = standardErrorShare * want
	}
	if isPrinted(row) {
		_, decimals, _ := strings.Cut(expected, ".")
		tolerance = max(0.5001*math.Pow(10, -float64(len(decimals))), 1e-14)
	}
	assert.InDelta(t, want, got, tolerance, "%v", row)
}

// isPrinted is true for a row from a publication; the others are tools' output.
func isPrinted(row []string) bool {
	return !strings.HasPrefix(row[4], "R 4.2.2") && !strings.HasPrefix(row[4], "haversine")
}

// inputs is the second column: names and numbers, or tables.
type inputs string

// number is the named input; NaN, which agrees with nothing, when there is none.
func (in inputs) number(name string) float64 {
	m := regexp.MustCompile(`\b` + name + `=(-?[0-9.]+)`).FindStringSubmatch(string(in))
	if m == nil {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

func (in inputs) count(name string) int { return int(in.number(name)) }

func (in inputs) pair() (a, b Share) {
	return Share{in.count("x1"), in.count("n1")}, Share{in.count("x2"), in.count("n2")}
}

// strata are tables such as "8/98/5/115; 22/76/16/69" or "3 1 / 1 3": counted and
// not, by group.
func (in inputs) strata() (list []Stratum) {
	for _, m := range regexp.MustCompile(`(\d+)[/ ](\d+) ?/ ?(\d+)[/ ](\d+)`).FindAllStringSubmatch(string(in), -1) {
		var n [4]int
		for i := range n {
			n[i], _ = strconv.Atoi(m[i+1]) // digits only
		}
		list = append(list, Stratum{Share{n[0], n[0] + n[1]}, Share{n[2], n[2] + n[3]}})
	}
	return list
}

func (in inputs) sum() (a, b Share) {
	for _, s := range in.strata() {
		a, b = a.and(s.A), b.and(s.B)
	}
	return a, b
}

// bands are lists such as "x=1 2 n=10 20 score=5 15".
func (in inputs) bands() (list []Band) {
	m := regexp.MustCompile(`x=([0-9 ]+) n=([0-9 ]+) score=([0-9. ]+)$`).FindStringSubmatch(string(in))
	if m == nil {
		return nil
	}
	xs, ns, scores := whole(m[1]), whole(m[2]), strings.Fields(m[3])
	for i := range xs {
		score, _ := strconv.ParseFloat(scores[i], 64) // digits and points only
		list = append(list, Band{Share{xs[i], ns[i]}, score})
	}
	return list
}

// whole reads whole numbers with spaces between.
func whole(text string) (list []int) {
	for _, w := range strings.Fields(text) {
		n, _ := strconv.Atoi(w) // digits only
		list = append(list, n)
	}
	return list
}

func one(x float64) []float64 { return []float64{x} }

// end picks the limit that the quantity names.
func end(quantity string, low, high float64) []float64 {
	switch word, _, _ := strings.Cut(quantity, " "); word {
	case "lower":
		return one(low)
	case "upper":
		return one(high)
	}
	return nil
}

func proportion(f func(x, n int, confidence float64) (low, high float64)) check {
	return func(in inputs, quantity string) []float64 {
		confidence := in.number("conf")
		if math.IsNaN(confidence) {
			confidence = 0.95
		}
		low, high := f(in.count("x"), in.count("n"), confidence)
		return end(quantity, low, high)
	}
}

// The beta function is gonum's: these rows check that it serves.
func betaQuantileCheck(in inputs, _ string) []float64 {
	return one(mathext.InvRegIncBeta(in.number("a"), in.number("b"), in.number("p")))
}

func betaCheck(in inputs, _ string) []float64 {
	return one(mathext.RegIncBeta(in.number("a"), in.number("b"), in.number("x")))
}

func koopmanCheck(in inputs, quantity string) []float64 {
	a, b := in.pair()
	low, high := Koopman(a, b, 0.95)
	if quantity == "95% limits" {
		return []float64{low, high}
	}
	return end(quantity, low, high)
}

func katzCheck(in inputs, quantity string) []float64 {
	a, b := in.pair()
	low, high, se := Katz(a, b, 0.95)
	switch quantity {
	case "estimate":
		return one(RiskRatio(a, b))
	case "se(log)":
		return one(se)
	}
	return end(quantity, low, high)
}

func newcombeCheck(in inputs, quantity string) []float64 {
	a, b := in.pair()
	low, high := Newcombe(a, b, 0.95)
	return end(quantity, low, high)
}

// fisherCheck adds up the one-sided tails from the same chances as Fisher does.
func fisherCheck(in inputs, quantity string) []float64 {
	a, b := in.pair()
	if strata := in.strata(); len(strata) == 1 {
		a, b = strata[0].A, strata[0].B
	}
	hits, all := a.X+b.X, a.N+b.N
	tail := func(from, to int) (p float64) {
		for x := from; x <= to; x++ {
			p += math.Exp(lnTable(x, a.N, hits, all))
		}
		return p
	}
	switch quantity {
	case "p two-sided":
		return one(Fisher(a, b))
	case "p greater":
		return one(tail(a.X, min(hits, a.N)))
	case "p less":
		return one(tail(max(0, hits-b.N), a.X))
	}
	return nil
}

func pearsonCheck(in inputs, quantity string) []float64 {
	a, b := in.pair()
	groups := []Share{a, b}
	if m := regexp.MustCompile(`x=([0-9 ]+) n=([0-9 ]+)$`).FindStringSubmatch(string(in)); m != nil {
		groups = nil
		for i, x := range whole(m[1]) {
			groups = append(groups, Share{x, whole(m[2])[i]})
		}
	}
	x2, p := Pearson(groups...)
	return statistic(quantity, x2, p)
}

func hypergeometricCheck(in inputs, _ string) []float64 {
	return one(math.Exp(lnTable(in.count("k"), in.count("n"), in.count("K"), in.count("N"))))
}

func pooled(p Pooled, quantity string) []float64 {
	switch {
	case quantity == "estimate":
		return one(p.Value)
	case strings.HasPrefix(quantity, "se"):
		return one(p.SE)
	}
	return end(quantity, p.Low, p.High)
}

// oddsCheck also answers for the test-based limits of a published listing, which
// come from the ratio and its test: ψ^(1 ∓ z/χ).
func oddsCheck(in inputs, quantity string) []float64 {
	p := MantelHaenszelOR(in.strata(), 0.95)
	if strings.Contains(quantity, "test-based") {
		x2, _ := CMH(in.strata(), false)
		power := distuv.UnitNormal.Quantile(0.975) / math.Sqrt(x2)
		p.Low, p.High = math.Pow(p.Value, 1-power), math.Pow(p.Value, 1+power)
	}
	return pooled(p, quantity)
}

func cmhCheck(in inputs, quantity string) []float64 {
	x2, p := CMH(in.strata(), strings.HasSuffix(quantity, " corrected"))
	return statistic(quantity, x2, p)
}

func statistic(quantity string, x2, p float64) []float64 {
	switch word, _, _ := strings.Cut(quantity, " "); word {
	case "X2":
		return one(x2)
	case "p":
		return one(p)
	}
	return nil
}

func breslowDayCheck(in inputs, quantity string) []float64 {
	e := BreslowDay(in.strata())
	return statistic(quantity, e.X2, e.P)
}

func taroneCheck(in inputs, quantity string) []float64 {
	e := BreslowDay(in.strata())
	return statistic(quantity, e.Tarone, e.TaroneP)
}

func trendCheck(in inputs, quantity string) []float64 {
	t := CochranArmitage(in.bands())
	switch quantity {
	case "z":
		return one(t.Z)
	case "slope":
		return one(t.Slope)
	}
	return statistic(quantity, t.Z*t.Z, t.P)
}

func sphereCheck(in inputs, _ string) []float64 {
	return one(Distance(in.number("lat1"), in.number("lon1"), in.number("lat2"), in.number("lon2")))
}
