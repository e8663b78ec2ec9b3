package export

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"deepward/store/catch"
)

// Edges of cells are kept in units of 1e-7 degree: whole numbers have no rounding
// of their own, and no minus zero.
const (
	perDegree = 10_000_000
	// tenth is the grid of the cell that is kept in the clear.
	tenth = perDegree / 10
)

// units is an angle in degrees in units of 1e-7 degree.
func units(degrees float64) int64 { return int64(math.Round(degrees * perDegree)) }

// inDegrees is the same back.
func inDegrees(units int64) float64 { return float64(units) / perDegree }

// Grids lists the sizes of grid cells in degrees. Each divides both 0.1 or is a
// multiple of it and 180, so that a stored cell lies in one cell of the grid and
// none straddles the antimeridian.
var Grids = []float64{0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10}

// ErrGrid: there is no such grid.
var ErrGrid = errors.New("no such grid; choose a cell of 0.1 degrees or 0.2, 0.5, 1, 2, 5, 10; finer, for organisers: 0.05, 0.02, 0.01, 0.005, 0.002, 0.001")

// grid is a grid of cells, with what was reckoned on it before.
type grid struct {
	step        int64 // units
	uncertainty map[gridRow]float64
}

type gridRow struct{ south, step int64 }

// gridCell is a cell of a grid by its south-west corner and size in
// units.
type gridCell struct {
	south, west, step int64
	// uncertaintyM is the distance from the centre to the farthest corner in
	// metres, rounded up.
	uncertaintyM float64
}

// defaultGrid is the size in degrees when none is asked for.
const defaultGrid = 0.1

func newGrid(degrees float64) (*grid, error) {
	if degrees == 0 {
		degrees = defaultGrid
	}
	if !slices.Contains(Grids, degrees) {
		return nil, fmt.Errorf("%g: %w", degrees, ErrGrid)
	}
	return &grid{units(degrees), map[gridRow]float64{}}, nil
}

// fine is true for a grid that needs exact places.
func (g *grid) fine() bool { return g.step < tenth }

// cellOf is the cell of a report's place. A grid finer than 0.1 degree needs the
// exact place, which is there only when the personal part was opened; without it
// the cell that is kept in the clear stands.
func (g *grid) cellOf(r *catch.Report) (gridCell, bool) {
	lat, lon := r.Personal.Lat, r.Personal.Lon
	switch {
	case lat != nil && lon != nil && (g.fine() || r.Cell == nil):
		if !onEarth(*lat, *lon) {
			return gridCell{}, false
		}
		return g.at(units(*lat), units(*lon), g.step), true
	case r.Cell != nil:
		return g.at(int64(r.Cell.Lat)*tenth, int64(r.Cell.Lon)*tenth, max(g.step, tenth)), true
	default:
		return gridCell{}, false
	}
}

func onEarth(lat, lon float64) bool { return math.Abs(lat) <= 90 && math.Abs(lon) <= 180 }

// at is the cell that holds a place: the same place always gives the same cell
// (Chapman 2020: a grid, never a random shift; the centre, not a corner). A place
// on an edge is in the cell north or east of it; the north pole is in the last row,
// and 180 degrees east is 180 degrees west.
func (g *grid) at(lat, lon, step int64) gridCell {
	const circle, pole = 360 * perDegree, 90 * perDegree
	c := gridCell{south: floorTo(min(lat, pole-1), step), west: floorTo(lon, step), step: step}
	if c.west >= circle/2 {
		c.west -= circle
	}
	row := gridRow{c.south, step}
	m, known := g.uncertainty[row]
	if !known {
		m = math.Ceil(c.reach())
		g.uncertainty[row] = m
	}
	c.uncertaintyM = m
	return c
}

// floorTo is the multiple of step at or below x.
func floorTo(x, step int64) int64 {
	rest := x % step
	if rest < 0 {
		rest += step
	}
	return x - rest
}

func (c gridCell) lat() float64 { return inDegrees(c.south + c.step/2) }
func (c gridCell) lon() float64 { return inDegrees(c.west + c.step/2) }

// reach is the distance in metres from the centre of the cell to its farthest
// corner: one nearer the equator, where a degree of longitude is longest.
func (c gridCell) reach() float64 {
	corner := c.south
	if c.lat() < 0 {
		corner += c.step
	}
	return geodesic(c.lat(), 0, inDegrees(corner), inDegrees(c.step/2))
}

// degrees is the size of the cell as a text, such as "0.1".
func (c gridCell) degrees() string {
	return strconv.FormatFloat(inDegrees(c.step), 'g', -1, 64)
}

// edgeDecimals is how many decimals an edge of the grid needs: no more are written.
func (c gridCell) edgeDecimals() int {
	n := 7
	for step := c.step; n > 0 && step%10 == 0; step /= 10 {
		n--
	}
	return n
}

// appendEdge writes an edge, in units, with so many decimals.
func appendEdge(b []byte, edge int64, decimals int) []byte {
	for range 7 - decimals {
		edge /= 10
	}
	if edge < 0 {
		b, edge = append(b, '-'), -edge
	}
	scale := int64(1)
	for range decimals {
		scale *= 10
	}
	b = strconv.AppendInt(b, edge/scale, 10)
	if decimals == 0 {
		return b
	}
	b = append(b, '.')
	for fraction := edge % scale; scale > 1; {
		scale /= 10
		b = append(b, byte('0'+fraction/scale))
		fraction %= scale
	}
	return b
}
