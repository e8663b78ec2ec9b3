package bot

import (
	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/words"
)

// voiceFor lets figures be said in the units in which those of the fish were told.
func voiceFor(v words.Voice, q advisor.Query) words.Voice {
	v = v.In(systems(talk.Told(q)))
	return Weighing(v, q.WeightUnit, pieces(q))
}

// Weighing lets release weights be said in the unit they were told in, "g" or "lb", or are
// sold in.
func Weighing(v words.Voice, unit string, oz []float64) words.Voice {
	v.Pounds = unit == unitPounds
	v.Grams = unit == unitGrams || unit == "" && words.SoldInGrams(oz)
	return v
}

// The units in which weights aboard are told; "" for ounces.
const (
	unitPounds = "lb"
	unitGrams  = "g"
)

// systems are the systems of the units that somebody tells figures in.
func systems(u talk.Units) words.Units {
	return words.Units{Depth: system(u.Depth), Mass: system(u.Weight), Length: system(u.Length)}
}

func system(factor float64) words.System {
	switch factor {
	case 0:
		return words.Unsaid
	case 1:
		return words.Metric
	}
	return words.Imperial
}
