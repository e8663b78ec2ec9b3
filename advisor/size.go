package advisor

import "math"

// General is the closed-bladder bottom fish that stands in for a name nobody
// knows. Its size relation is the usual shape of a perch-like fish, W = 0.014·L³
// (from memory, no source); nothing else is claimed of it.
func General() *Species { return &generalFish }

var generalFish = Species{
	EnglishName: "bottom fish", Bladder: BladderClosed, BladderSource: "assumed",
	LWa: 0.014, LWb: 3, LWType: TotalLength, LWSource: "memory: usual shape of a perch-like fish",
	MaxLengthCm: 100, MaxLengthType: TotalLength, DepthMinM: 0, DepthMaxM: 300,
	Hazard: "spines and teeth",
}

// typicalShare is the share of its greatest length at which a fish is typically
// let go as undersized; common practice, no source. Small kinds are let go
// smaller, but never below smallestTypicalCm.
const (
	typicalShare      = 0.4
	smallestTypicalCm = 20
	largestTypicalCm  = 60
)

// TypicalUndersized is the fish that is assumed when no size is told: two fifths
// of the greatest length on record, within 20 to 60 cm, measured as that record was.
// It is not a legal limit.
func (s *Species) TypicalUndersized() (kg, cm float64) {
	cm = min(max(typicalShare*s.MaxLengthCm, smallestTypicalCm), largestTypicalCm)
	kg, _, ok := s.WeightFromLength(cm, s.MaxLengthType)
	if !ok {
		return 1, cm
	}
	return roundTo2(kg), cm
}

// roundTo2 keeps two significant digits: an assumed size is worth no more.
func roundTo2(x float64) float64 {
	if x <= 0 {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Round(x/step) * step
}

// maxWeightTolerance allows for stout fish and for records that understate: the
// stoutest outside fish, a red snapper of 22.8 kg, is 1.3 times what its length tells.
const maxWeightTolerance = 1.8

// recordTolerance allows for a new record; common practice, no source.
const recordTolerance = 1.25

// MaxWeightKg is the weight in kg above which a fish of this species is not believed:
// that of the greatest length on record, with a tolerance. 0 means unknown.
func (s *Species) MaxWeightKg() float64 {
	kg, _, ok := s.WeightFromLength(s.MaxLengthCm, s.MaxLengthType)
	if !ok || s.MaxLengthCm <= 0 {
		kg = 0
	}
	return max(kg*maxWeightTolerance, s.RecordKg*recordTolerance)
}
