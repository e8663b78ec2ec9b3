package catch

import "math"

// Cell is a cell of the 0.1 degree grid, by its south-west corner in tenths of a
// degree: Lat -345 covers -34.5 to -34.4.
type Cell struct {
	Lat int16 `cbor:"1,keyasint"`
	Lon int16 `cbor:"2,keyasint"`
}

// CellOf is the cell of the 0.1 degree grid that holds a place on WGS 84.
func CellOf(lat, lon float64) *Cell {
	return &Cell{Lat: int16(math.Floor(lat * 10)), Lon: int16(math.Floor(lon * 10))}
}
