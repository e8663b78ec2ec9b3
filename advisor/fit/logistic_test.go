package fit

import (
	"bufio"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// fromR reads what testdata/r/models.R printed once: model, name, value and, for
// a coefficient, its standard error. The versions of R, lme4 and metafor stand in
// the first lines of the file.
func fromR(t *testing.T) map[string][2]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/r/models.out")
	require.NoError(t, err)
	defer f.Close()
	out := map[string][2]float64{}
	for scan := bufio.NewScanner(f); scan.Scan(); {
		words := strings.Fields(scan.Text())
		var v [2]float64
		if len(words) < 3 {
			continue
		}
		v[0], err = strconv.ParseFloat(words[2], 64)
		if err != nil {
			continue // a line of versions
		}
		if len(words) == 5 {
			v[1], err = strconv.ParseFloat(words[4], 64)
			require.NoError(t, err)
		}
		out[words[0]+" "+words[1]] = v
	}
	return out
}

// cages reads the caged rockfish that R was given, grouped as asked.
func cages(t *testing.T, group func(row []string) string) Grouped {
	t.Helper()
	f, err := os.Open("../../testdata/r/rockfish_cages.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return x
	}
	var g Grouped
	var names []string
	for _, row := range rows[1:] {
		g.X = append(g.X, []float64{1, math.Log(number(row[2]) / 50)})
		g.Dead, g.N = append(g.Dead, number(row[3])), append(g.N, number(row[4]))
		g.Group = append(g.Group, index(&names, group(row)))
	}
	return g
}

// The deviance of grouped data against the saturated model.
func (g Grouped) deviance(beta []float64) float64 {
	sum := 0.0
	term := func(y, mu float64) float64 {
		if y == 0 {
			return 0
		}
		return y * math.Log(y/mu)
	}
	for i := range g.X {
		mu := g.N[i] * expit(g.eta(i, beta, nil))
		sum += 2 * (term(g.Dead[i], mu) + term(g.N[i]-g.Dead[i], g.N[i]-mu))
	}
	return sum
}

func TestGroupedLogisticIsThatOfR(t *testing.T) {
	want := fromR(t)
	g := cages(t, func(row []string) string { return row[0] })
	fit, err := FitLogistic(g)
	require.NoError(t, err)
	const tolerance = 1e-7 // R printed ten digits
	for i, name := range []string{"glm intercept", "glm slope"} {
		require.InDelta(t, want[name][0], fit.Beta[i], tolerance, name)
		require.InDelta(t, want[name][1], math.Sqrt(fit.Cov.At(i, i)), tolerance, name+" se")
	}
	require.InDelta(t, want["glm deviance"][0], g.deviance(fit.Beta), 1e-6)
}

func TestPooledModelIsThatOfLme4AndMetafor(t *testing.T) {
	want := fromR(t)
	for model, group := range map[string]int{"glmer": 1, "rma.glmm": 0} {
		t.Run(model, func(t *testing.T) {
			fit, err := FitMixed(cages(t, func(row []string) string { return row[group] }))
			require.NoError(t, err)
			// Both sides stop where the likelihood is flat: four digits agree.
			for i, name := range []string{model + " intercept", model + " slope"} {
				require.InDelta(t, want[name][0], fit.Beta[i], 1e-3, name)
				require.InDelta(t, want[name][1], math.Sqrt(fit.Cov.At(i, i)), 2e-3, name+" se")
			}
			sd := map[string]string{"glmer": "glmer sd_species", "rma.glmm": "rma.glmm sd_row"}[model]
			require.InDelta(t, want[sd][0], fit.SD, 1e-3, sd)
		})
	}
}
