package advisor

import (
	_ "embed"
	"math"
	"strings"
	"sync"
)

//go:embed data/length_conversions.csv
var lengthCSV string

// lengthRelation is one linear relation between two ways of measuring a fish,
// y = a + b·x in cm.
type lengthRelation struct {
	y, x LengthType
	a, b float64
}

// convert turns a length the one way or the other; ok is false when the relation is
// not between these two.
func (r lengthRelation) convert(cm float64, from, to LengthType) (converted float64, ok bool) {
	switch {
	case from == r.x && to == r.y:
		return r.a + r.b*cm, true
	case from == r.y && to == r.x:
		return (cm - r.a) / r.b, true
	default:
		return cm, false
	}
}

// lengthTable has one relation a species; that of "" holds for any fish.
var lengthTable = sync.OnceValue(func() map[string]lengthRelation {
	table := map[string]lengthRelation{}
	mustReadRows("length conversions", lengthCSV, func(r *tableRow) {
		table[r.text("scientific_name")] = lengthRelation{
			LengthType(r.text("y_type")), LengthType(r.text("x_type")), r.number("a"), r.number("b"),
		}
	})
	return table
})

// ConvertLength turns a length in cm from one way of measuring into another, by the
// published relation of the species; from or to standard length, for which there is
// none, by way of total length and a general share. ok is false when no relation is
// known: the length is then returned as it is.
//
// A line fitted to grown fish may put the fork behind the tail in small ones (total
// length of Chrysoblephus laticeps under 25 cm): there the two are taken as equal.
func (s *Species) ConvertLength(cm float64, from, to LengthType) (converted float64, ok bool) {
	switch {
	case from == to:
		return cm, true
	case from == StandardLength:
		total, _ := lengthTable()[""].convert(cm, StandardLength, TotalLength)
		return s.ConvertLength(total, TotalLength, to)
	case to == StandardLength:
		total, ok := s.ConvertLength(cm, from, TotalLength)
		standard, _ := lengthTable()[""].convert(total, TotalLength, StandardLength)
		return standard, ok
	}
	converted, ok = lengthTable()[s.ScientificName].convert(cm, from, to)
	if to == TotalLength {
		return max(converted, cm), ok
	}
	return min(converted, cm), ok
}

// Relation is the length-weight relation that is used for the species, W = a·L^b in
// g and cm, with its length type. published is false where none was read for this
// species: it is then borrowed from its nearest kin, or from memory, or else the usual
// shape of a fish; LWSource says which.
func (s *Species) Relation() (a, b float64, t LengthType, published bool) {
	if s.LWa <= 0 || s.LWb <= 0 {
		return generalFish.LWa, generalFish.LWb, generalFish.LWType, false
	}
	stoodIn := strings.HasPrefix(s.LWSource, "BORROWED") || strings.HasPrefix(s.LWSource, "memory")
	return s.LWa, s.LWb, s.LWType, !stoodIn
}

// WeightFromLength gives the weight in kg of a fish of that length in cm by the
// relation of the species, in the relation's own length type. as is the type that the
// length was taken as: the relation's own when none was told or no conversion is
// known. A single fish may be a third heavier or lighter (common practice, no source).
// ok is false for a length that is none.
func (s *Species) WeightFromLength(cm float64, t LengthType) (kg float64, as LengthType, ok bool) {
	a, b, own, _ := s.Relation()
	as = own
	if t != "" {
		if converted, known := s.ConvertLength(cm, t, own); known {
			cm, as = converted, t
		}
	}
	return a * math.Pow(cm, b) / 1000, as, cm > 0
}

// LengthFromWeight is the length in cm, in the relation's own type, of a fish of
// that weight in kg. ok is false for a weight that is none.
func (s *Species) LengthFromWeight(kg float64) (cm float64, ok bool) {
	if kg <= 0 {
		return 0, false
	}
	a, b, _, _ := s.Relation()
	return math.Pow(1000*kg/a, 1/b), true
}
