package talk

import (
	"math"

	"deepward/advisor"
)

// Units are the units in which somebody tells figures, as factors to metres, kilograms
// and centimetres; 0 where it is not known.
type Units struct{ Depth, Weight, Length float64 }

// The units that people tell figures in.
const (
	feet    = advisor.MetresPerFoot
	fathoms = advisor.MetresPerFathom
	pounds  = advisor.KgPerPound
	inches  = advisor.CmPerInch
)

// Unit is a unit of figures: its name, and the factor to metres, kilograms or centimetres.
type Unit struct {
	Name   string
	Factor float64
}

// DepthUnits are the units that depths are told in.
var DepthUnits = []Unit{{"metres", 1}, {"feet", feet}, {"fathoms", fathoms}}

// unitsOf are the units by the field of a fish.
var unitsOf = map[string][]Unit{
	"depth_m": DepthUnits, "release_depth_m": DepthUnits,
	"weight_kg": {{"kilograms", 1}, {"pounds", pounds}},
	"length_cm": {{"centimetres", 1}, {"inches", inches}},
}

// UnitName is the name of the unit with that factor, "" for none.
func UnitName(field string, factor float64) string {
	for _, u := range unitsOf[field] {
		if u.Factor == factor {
			return u.Name
		}
	}
	return ""
}

// Lent is a bare figure of a field of a fish, and the name of the unit it was taken in;
// Habit is true where that is the unit that the person mostly writes.
type Lent struct {
	Field string
	Value float64
	Unit  string
	Habit bool
}

// Imperial and Metric are the units of somebody who set them.
var (
	Imperial = Units{Depth: feet, Weight: pounds, Length: inches}
	Metric   = Units{Depth: 1, Weight: 1, Length: 1}
)

// Told are the units in which the figures of a fish were told, as far as they show it:
// those in which they are round. Where the words are at hand, Reading.Told knows.
func Told(q advisor.Query) (u Units) {
	if q.DepthM != nil {
		u.Depth = roundest(*q.DepthM, 1, 1, fathoms, feet)
	}
	if q.WeightKg != nil {
		u.Weight = roundest(*q.WeightKg, 10, 1, pounds)
	}
	if q.LengthCm != nil {
		u.Length = roundest(*q.LengthCm, 1, 1, inches)
	}
	return u
}

// roundest is the first unit in which a figure has no more than so many parts of one.
func roundest(x, parts float64, factors ...float64) float64 {
	const near = 1e-3
	for _, f := range factors {
		n := x / f * parts
		if off := math.Abs(n - math.Round(n)); off < near*n && off < 0.02 {
			return f
		}
	}
	return factors[0]
}

// of is the factor for a field of a fish.
func (u Units) of(field string) float64 {
	switch field {
	case "depth_m", "release_depth_m":
		return u.Depth
	case "weight_kg":
		return u.Weight
	case "length_cm":
		return u.Length
	}
	return 0
}

// Fathoms are the units of somebody who tells depths in fathoms.
var Fathoms = Units{Depth: fathoms, Weight: pounds, Length: inches}

// Or fills what is not known from others.
func (u Units) Or(v Units) Units {
	if u.Depth == 0 {
		u.Depth = v.Depth
	}
	if u.Weight == 0 {
		u.Weight = v.Weight
	}
	if u.Length == 0 {
		u.Length = v.Length
	}
	return u
}

// weighRelatives gives fish whose weight is told by that of the fish before them theirs, where
// that one was weighed: "another half that size".
func (t *teller) weighRelatives() {
	for k := range t.r.Fish {
		f := &t.r.Fish[k]
		before, known := t.lastQuery()
		if k > 0 {
			before, known = t.r.Fish[k-1].Query, true
		}
		if f.Times > 0 && known && before.WeightKg != nil && !hasSize(f.Query) {
			f.Query.WeightKg = new(f.Times * *before.WeightKg)
		}
	}
}
