package export

import (
	"math"

	"deepward/store"
)

// gridCell is a cell of the grid, by its centre in degrees.
type gridCell struct {
	lat, lon, size float64
	uncertaintyM   float64
}

// coarsest is the grid of the cell that is kept in the clear.
const coarsest = 0.1

// cellOf is the cell of a report's place on the grid that was asked for. A grid
// finer than 0.1° needs the exact place, which is there only when the personal
// part was opened.
func (o *Options) cellOf(r *store.Report) (gridCell, bool) {
	if o.GridDeg < coarsest && r.Personal.Lat != nil && r.Personal.Lon != nil {
		return cellAt(*r.Personal.Lat, *r.Personal.Lon, o.GridDeg), true
	}
	if r.Cell == nil {
		return gridCell{}, false
	}
	lat, lon := float64(r.Cell.Lat)/10+coarsest/2, float64(r.Cell.Lon)/10+coarsest/2
	return cellAt(lat, lon, max(o.GridDeg, coarsest)), true
}

// cellAt is the cell that holds a place: the same place always gives the same
// cell (Chapman 2020: a grid, never a random shift; the centre, not a corner).
func cellAt(lat, lon, size float64) gridCell {
	centre := func(x float64) float64 {
		steps := math.Floor(x/size+1e-9) + 0.5
		return math.Round(steps*size*1e6) / 1e6
	}
	c := gridCell{lat: centre(lat), lon: centre(lon), size: size}
	c.uncertaintyM = uncertainty(c.lat, size)
	return c
}

// uncertainty is the distance in metres from the centre of a cell to its
// farthest corner on WGS 84, rounded up: the half diagonal with the ellipsoid's
// radii of curvature at the corner nearer the equator, where a degree of
// longitude is longest.
func uncertainty(lat, size float64) float64 {
	const (
		a  = 6378137.0         // WGS 84 equatorial radius, m
		e2 = 0.006694379990141 // first eccentricity squared
	)
	corner := math.Max(0, math.Abs(lat)-size/2) * math.Pi / 180
	w := 1 - e2*math.Pow(math.Sin(corner), 2)
	meridian, normal := a*(1-e2)/math.Pow(w, 1.5), a/math.Sqrt(w)
	half := size / 2 * math.Pi / 180
	return math.Ceil(math.Hypot(meridian*half, normal*math.Cos(corner)*half))
}
