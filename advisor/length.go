package advisor

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"sync"
)

//go:embed data/length_conversions.csv
var lengthCSV []byte

// lengthRow is one linear relation between two ways of measuring, y = a + b·x in cm.
type lengthRow struct {
	y, x LengthType
	a, b float64
}

var lengthTable = sync.OnceValue(func() map[string]lengthRow {
	rows, err := csv.NewReader(bytes.NewReader(lengthCSV)).ReadAll()
	if err != nil {
		panic("advisor: embedded length table: " + err.Error())
	}
	table := make(map[string]lengthRow, len(rows))
	for _, row := range rows[1:] {
		a, errA := strconv.ParseFloat(row[3], 64)
		b, errB := strconv.ParseFloat(row[4], 64)
		if errA != nil || errB != nil {
			panic("advisor: embedded length table: " + row[0])
		}
		table[row[0]] = lengthRow{LengthType(row[1]), LengthType(row[2]), a, b}
	}
	return table
})

// ConvertLength turns a length in cm from one way of measuring into another by
// the published relation of the species; ok is false when there is none.
func (s *Species) ConvertLength(cm float64, from, to LengthType) (converted float64, ok bool) {
	if from == to {
		return cm, true
	}
	r, known := lengthTable()[s.ScientificName]
	switch {
	case known && from == r.x && to == r.y:
		return r.a + r.b*cm, true
	case known && from == r.y && to == r.x:
		return (cm - r.a) / r.b, true
	default:
		return cm, false
	}
}

// Relation is the length-weight relation that is used for the species: its
// published one, or the usual shape of a fish where none was found.
func (s *Species) Relation() (a, b float64, t LengthType, published bool) {
	if s.LWa <= 0 || s.LWb <= 0 {
		return generalFish.LWa, generalFish.LWb, generalFish.LWType, false
	}
	return s.LWa, s.LWb, s.LWType, true
}

// WeightFromLength gives the weight in kg of a fish of that length in cm by the
// relation of the species, W = a·L^b, in the relation's own length type. as is the
// type the length was taken as: the relation's own when none was told or no
// conversion is known. ok is false for a length that is none.
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
