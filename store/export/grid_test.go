package export

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

// geodSolveRows are the rows of a kind in the table of checks, by the figures that
// a pattern finds in their inputs; the last figure is what GeodSolve printed.
func geodSolveRows(t *testing.T, kind, quantity string, inputs *regexp.Regexp) [][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/stats_checks.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var list [][]float64
	for _, row := range rows {
		m := inputs.FindStringSubmatch(row[1])
		if row[0] != kind || m == nil || row[2] != quantity {
			continue
		}
		var figures []float64
		for _, text := range append(m[1:], row[3]) {
			x, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err, row)
			figures = append(figures, x)
		}
		list = append(list, figures)
	}
	return list
}

// printed is how finely GeodSolve's figures are printed, in metres.
const printed = 0.0006

// The distances from the centre of a cell to its farthest corner are GeodSolve's
// (GeographicLib 2.1.2). Ours is the same, and rounded up: it holds the whole cell.
func TestUncertaintyIsGeodSolves(t *testing.T) {
	rows := geodSolveRows(t, "grid-cell-uncertainty", "metres centre to farthest corner", regexp.MustCompile(`lat=(-?[0-9.]+) cell=([0-9.]+)`))
	require.Len(t, rows, 30)
	for _, row := range rows {
		lat, size, want := row[0], row[1], row[2]
		for _, side := range []float64{1, -1} {
			c := gridCell{south: units(side*lat - size/2), step: units(size)}
			assert.InDelta(t, want, c.reach(), printed, "%v", row)
			assert.GreaterOrEqual(t, math.Ceil(c.reach()), want)
		}
	}
}

func TestGeodesicIsGeodSolves(t *testing.T) {
	rows := geodSolveRows(t, "geodesic-inverse", "s12 metres", regexp.MustCompile(`lat1=(\S+) lon1=(\S+) lat2=(\S+) lon2=(\S+) WGS84`))
	require.GreaterOrEqual(t, len(rows), 12)
	for _, row := range rows {
		got := geodesic(row[0], row[1], row[2], row[3])
		if opposite := row[4] > 19_900_000; opposite {
			continue // GeodSolve's algorithm is made for those, Vincenty's is not
		}
		assert.InDelta(t, row[4], got, printed, "%v", row)
	}
	assert.True(t, math.IsNaN(geodesic(0, 0, 0.5, 179.7)), "nearly opposite: says so, does not hang")
}

func TestSamePlaceFallsInOneCell(t *testing.T) {
	for _, c := range []struct{ lat, lon, size, wantLat, wantLon float64 }{
		{-34.45, 20.05, 0.1, -34.45, 20.05}, {-0.01, 0.01, 0.1, -0.05, 0.05}, {0, 0, 0.1, 0.05, 0.05},
		{89.99, 179.99, 0.1, 89.95, 179.95}, {-17.5, -180, 0.1, -17.45, -179.95}, {34.123, -119.456, 0.01, 34.125, -119.455},
		{90, 180, 0.1, 89.95, -179.95}, {-90, 0, 0.1, -89.95, 0.05}, {-17.45, 179.97, 0.001, -17.4495, 179.9705},
	} {
		r := &catch.Report{Personal: catch.Personal{Lat: &c.lat, Lon: &c.lon}}
		g, err := newGrid(c.size)
		require.NoError(t, err)
		got, ok := g.cellOf(r)
		require.True(t, ok)
		assert.InDelta(t, c.wantLat, got.lat(), 1e-9, c)
		assert.InDelta(t, c.wantLon, got.lon(), 1e-9, c)
	}
}

// A stored cell must lie in one cell of any coarser grid, and a finer cell in it.
func TestStoredCellAgreesWithTheGrid(t *testing.T) {
	for lat := -89.975; lat < 90; lat += 7.3 {
		for lon := -179.975; lon < 180; lon += 11.7 {
			stored := &catch.Report{Cell: catch.CellOf(lat, lon)}
			exact := &catch.Report{Personal: catch.Personal{Lat: &lat, Lon: &lon}}
			for _, size := range Grids {
				g, err := newGrid(size)
				require.NoError(t, err)
				a, _ := g.cellOf(stored)
				b, _ := g.cellOf(exact)
				assert.LessOrEqual(t, a.south, b.south)
				assert.GreaterOrEqual(t, a.south+a.step, b.south+b.step)
				if !g.fine() {
					assert.Equal(t, a, b)
				}
			}
		}
	}
}

func TestEdgesHaveTheDecimalsOfTheGrid(t *testing.T) {
	for _, c := range []struct {
		south int64
		size  float64
		want  string
	}{
		{-3_500_000, 0.05, "-0.35"}, {-345_000_000, 0.1, "-34.5"}, {0, 0.1, "0.0"}, {1_799_000_000, 0.1, "179.9"},
		{-100_000_000, 10, "-10"}, {341_230_000, 0.001, "34.123"}, {-500_000, 0.05, "-0.05"}, {5_000_000, 0.5, "0.5"},
	} {
		cell := gridCell{step: units(c.size)}
		assert.Equal(t, c.want, string(appendEdge(nil, c.south, cell.edgeDecimals())), c)
	}
}

func TestPlaceOffTheEarthIsNone(t *testing.T) {
	for _, p := range [][2]float64{{91, 0}, {0, 181}, {math.NaN(), 0}, {0, math.Inf(1)}} {
		g, err := newGrid(0.01)
		require.NoError(t, err)
		_, ok := g.cellOf(&catch.Report{Personal: catch.Personal{Lat: &p[0], Lon: &p[1]}})
		assert.False(t, ok, p)
	}
}
