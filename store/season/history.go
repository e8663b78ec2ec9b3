package season

import (
	"math"
	"time"

	"deepward/store"
)

// Fault is what cannot be in the life of one tagged fish.
type Fault string

// The faults of a tag's history.
const (
	// FaultTwice: the tag was put in twice with no sighting between.
	FaultTwice Fault = "twice"
	// FaultBefore: it was seen again before it was put in.
	FaultBefore Fault = "before"
	// FaultShrank: it got shorter by more than measuring error.
	FaultShrank Fault = "shrank"
	// FaultSpecies: it was reported as another species.
	FaultSpecies Fault = "species"
)

// measuringError is how much two measurements of one fish on a boat may differ,
// as a share of its length, with a floor in cm; common practice, no source.
const (
	measuringError   = 0.05
	measuringErrorCm = 2.0
)

// earthRadiusM is the mean radius; distances are within 0.56 % of the ellipsoid.
const earthRadiusM = 6371008.8

// Sighting is one time that a tagged fish was seen again.
type Sighting struct {
	// Days at liberty since it was released with the tag.
	Days int
	// GrewCm is its growth in cm; nil unless both lengths are known and of one type.
	GrewCm *float64
	// MovedM is the straight-line distance between the centres of the two 0.1
	// degree cells in metres, over land if need be; nil unless both places are known.
	MovedM *float64
	// SameCell is true when both places lie in one cell: then no distance is told.
	SameCell bool
}

// History is what the reports of one tag say together.
type History struct {
	// First is the release with the tag, nil if it was never reported.
	First *store.Report
	// Sightings are the times it was seen again, in order.
	Sightings []Sighting
	Faults    []Fault
}

// HistoryOf reads the reports of one tag, in order of time.
func HistoryOf(reports []*store.Report) History {
	var h History
	seen := false
	for _, r := range reports {
		switch {
		case !r.Recapture && h.First == nil:
			h.First = r
			if seen {
				h.Faults = append(h.Faults, FaultBefore)
			}
		case !r.Recapture && !seen:
			h.Faults = append(h.Faults, FaultTwice)
		default: // seen again, or released again after it was
			seen = true
			h.see(r)
		}
	}
	return h
}

func (h *History) see(r *store.Report) {
	if h.First == nil {
		return
	}
	if h.First.Species != "" && r.Species != "" && h.First.Species != r.Species {
		h.Faults = append(h.Faults, FaultSpecies)
	}
	s := Sighting{Days: int(r.CaughtAt.Sub(h.First.CaughtAt) / (24 * time.Hour))}
	if grew, ok := growth(h.First, r); ok {
		s.GrewCm = &grew
		if grew < -math.Max(measuringErrorCm, measuringError**h.First.LengthCm) {
			h.Faults = append(h.Faults, FaultShrank)
		}
	}
	if h.First.Cell != nil && r.Cell != nil {
		s.SameCell = *h.First.Cell == *r.Cell
		if !s.SameCell {
			s.MovedM = new(cellDistance(*h.First.Cell, *r.Cell))
		}
	}
	h.Sightings = append(h.Sightings, s)
}

func growth(first, again *store.Report) (float64, bool) {
	if first.LengthCm == nil || again.LengthCm == nil || first.LengthType != again.LengthType {
		return 0, false
	}
	return *again.LengthCm - *first.LengthCm, true
}

// cellDistance is the distance between the centres of two 0.1 degree cells.
func cellDistance(a, b store.Cell) float64 {
	centre := func(tenths int16) float64 { return float64(tenths)/10 + 0.05 }
	return Distance(centre(a.Lat), centre(a.Lon), centre(b.Lat), centre(b.Lon))
}

// Distance is the great-circle distance in metres between two places in degrees,
// by the haversine formula on a sphere of the mean radius.
func Distance(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	dLat, dLon := (lat2-lat1)*rad, (lon2-lon1)*rad
	h := math.Pow(math.Sin(dLat/2), 2) + math.Cos(lat1*rad)*math.Cos(lat2*rad)*math.Pow(math.Sin(dLon/2), 2)
	return 2 * earthRadiusM * math.Asin(math.Min(1, math.Sqrt(h)))
}
