package season

import (
	"math"

	"deepward/store/catch"
)

// earthRadiusM is the mean radius of the earth, (2a + b)/3 on WGS 84.
const earthRadiusM = 6371008.8

// Distance is the great-circle distance in metres between two places in degrees, by
// the haversine formula on a sphere of the mean radius: within 0.56 % of the
// geodesic on the ellipsoid, far less than a cell is wide.
func Distance(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	dLat, dLon := (lat2-lat1)*rad, (lon2-lon1)*rad
	h := math.Pow(math.Sin(dLat/2), 2) + math.Cos(lat1*rad)*math.Cos(lat2*rad)*math.Pow(math.Sin(dLon/2), 2)
	return 2 * earthRadiusM * math.Asin(math.Min(1, math.Sqrt(h)))
}

// cellsRound is how many cells of a tenth of a degree go round the globe.
const cellsRound = 3600

// cellsApart is how many cells one lies from the other, the larger of north-south
// and east-west: 0 is the same cell, 1 a neighbour, corners included.
func cellsApart(a, b catch.Cell) int {
	lat, lon := distance(a.Lat, b.Lat), distance(a.Lon, b.Lon)%cellsRound
	return max(lat, min(lon, cellsRound-lon))
}

func distance(a, b int16) int { return max(int(a)-int(b), int(b)-int(a)) }

// cellDistance is the distance between the centres of two cells in metres, and by how
// much either way the fish may be off: from each centre to its farthest corner.
func cellDistance(a, b catch.Cell) (m, plusMinusM float64) {
	lat1, lon1 := centre(a)
	lat2, lon2 := centre(b)
	return Distance(lat1, lon1, lat2, lon2), reach(a) + reach(b)
}

func centre(c catch.Cell) (lat, lon float64) {
	return float64(c.Lat)/10 + 0.05, float64(c.Lon)/10 + 0.05
}

// reach is the distance from the centre of a cell to its farthest corner: one nearer
// the equator, where a degree of longitude is longest.
func reach(c catch.Cell) float64 {
	lat, lon := centre(c)
	return Distance(lat, lon, lat-math.Copysign(0.05, lat), lon+0.05)
}
