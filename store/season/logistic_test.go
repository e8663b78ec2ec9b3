package season

import (
	"encoding/csv"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// standardErrorShare is how far a standard error may be from R's: R takes it from
// the last step but one.
const standardErrorShare = 1e-6

// regressionCheck fits the data that a row names and picks the quantity, the
// coefficients in their order.
func regressionCheck(t *testing.T) check {
	data := regressionData(t)
	return func(in inputs, quantity string) []float64 {
		name, _, _ := strings.Cut(string(in), " ")
		name = strings.TrimSuffix(strings.TrimPrefix(name, "MASS::"), ":")
		if strings.Contains(string(in), "method=") {
			name = "method"
		}
		l := FitLogistic(data[name](string(in)))
		switch word, which, _ := strings.Cut(quantity, " "); {
		case word == "coef":
			return one(l.Coef[coefficient(which)])
		case word == "se":
			return one(l.SE[coefficient(which)])
		case quantity == "residual deviance":
			return one(l.Deviance)
		case quantity == "null deviance":
			return one(l.NullDeviance)
		case quantity == "logLik":
			return one(l.LogLik)
		case word == "intercept":
			return l.Coef
		}
		return nil
	}
}

// coefficient is the place of one that R named.
func coefficient(name string) int {
	switch name {
	case "(Intercept)":
		return 0
	case "induced", "dep", "rep(0:5, 2)":
		return 2
	}
	return 1
}

// regressionData are the data sets: two from files that R wrote, the others from the
// rows themselves.
func regressionData(t *testing.T) map[string]func(string) []Observation {
	numbers := func(text string) (list []float64) {
		for _, w := range regexp.MustCompile(`-?[0-9.]+`).FindAllString(text, -1) {
			x, err := strconv.ParseFloat(w, 64)
			require.NoError(t, err)
			list = append(list, x)
		}
		return list
	}
	after := func(text, name string) []float64 {
		m := regexp.MustCompile(name + `[ =]([0-9. ]+)`).FindStringSubmatch(text)
		require.NotNil(t, m, "%s in %q", name, text)
		return numbers(m[1])
	}
	observations := func(x, n []float64, factors ...[]float64) (list []Observation) {
		for i := range x {
			o := Observation{Share: Share{int(x[i]), int(n[i])}}
			for _, f := range factors {
				o.Factors = append(o.Factors, f[i])
			}
			list = append(list, o)
		}
		return list
	}
	return map[string]func(string) []Observation{
		"infert": func(string) []Observation {
			c := columns(t, "infert.csv")
			ones := make([]float64, len(c[0]))
			for i := range ones {
				ones[i] = 1
			}
			return observations(c[0], ones, c[1], c[2])
		},
		"menarche": func(string) []Observation {
			c := columns(t, "menarche.csv")
			return observations(c[2], c[1], c[0])
		},
		"snoring": func(text string) []Observation {
			counts, at, _ := strings.Cut(strings.ReplaceAll(text, "/", " "), " at ")
			c := numbers(counts)
			return observations([]float64{c[0], c[2], c[4], c[6]}, []float64{c[1], c[3], c[5], c[7]}, numbers(at))
		},
		"made-up": func(text string) []Observation {
			return observations(after(text, "x"), after(text, "n"), after(text, "depth"))
		},
		"method": func(text string) []Observation {
			return observations(after(text, "x"), after(text, "n"), after(text, "method"), after(text, "depth"))
		},
		// Deaths of 20 males and 20 females at each of six doses.
		"budworm": func(string) []Observation {
			return observations(
				[]float64{1, 4, 9, 13, 18, 20, 0, 2, 6, 10, 12, 16}, []float64{20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20},
				[]float64{1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0}, []float64{0, 1, 2, 3, 4, 5, 0, 1, 2, 3, 4, 5},
			)
		},
	}
}

// columns reads a table of numbers that R wrote from its own data sets: infert of
// package datasets (Trichopoulos et al. 1976) and menarche of MASS (Milicer &
// Szczotka 1966), R 4.2.2.
func columns(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/r/" + name)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	list := make([][]float64, len(rows[0]))
	for _, row := range rows[1:] {
		for i, text := range row {
			x, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			list[i] = append(list[i], x)
		}
	}
	return list
}

func TestARegressionWithoutAnAnswerGivesNone(t *testing.T) {
	for name, list := range map[string][]Observation{
		"no fish": nil, "none counted": {{Share{0, 9}, []float64{1}}}, "all counted": {{Share{9, 9}, []float64{1}}},
		"split without a remainder": {{Share{0, 9}, []float64{0}}, {Share{9, 9}, []float64{1}}},
		"one group never":           {{Share{0, 9}, []float64{0}}, {Share{3, 9}, []float64{1}}},
		"factors that are the same": {{Share{1, 9}, []float64{0, 0}}, {Share{4, 9}, []float64{1, 2}}, {Share{5, 9}, []float64{2, 4}}},
	} {
		assert.Equal(t, Logistic{}, FitLogistic(list), name)
	}
}

func TestMethodAndDepthAreWeighedTogether(t *testing.T) {
	d := map[place]Share{
		{advisor.Surface, 15}: {12, 160}, {advisor.Surface, 30}: {9, 150}, {advisor.Surface, 50}: {1, 50},
		{advisor.Recompressed, 15}: {6, 40}, {advisor.Recompressed, 30}: {10, 100}, {advisor.Recompressed, 50}: {9, 180},
		{advisor.Kept, 15}: {5, 5}, {"", 15}: {5, 5},
	}
	j := jointly(d)
	assert.Equal(t, 680, j.Fish)
	assert.Equal(t, advisor.Surface, j.Against)
	require.Len(t, j.Effects, 2)
	// exp of the coefficients 0.685761963238 and ten times −0.033167170047 (R 4.2.2, a
	// row of stats_checks.csv).
	assert.InEpsilon(t, 1.985283, j.Effects[0].Odds, 1e-6)
	assert.InEpsilon(t, 0.717723, j.Effects[1].Odds, 1e-5)
	assert.Equal(t, advisor.Recompressed, j.Effects[0].Method)
	assert.Empty(t, jointly(map[place]Share{{advisor.Surface, 15}: {12, 160}}).Effects)
}
