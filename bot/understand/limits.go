package understand

import "deepward/advisor"

func checkFish(q *advisor.Query) []Problem {
	var list []Problem
	refuse := func(field string, code advisor.NoteCode, figures []float64, words ...string) {
		list = append(list, Problem{field, advisor.Note{Code: code, Figures: figures, Words: words}})
	}
	if q.DepthM != nil && *q.DepthM > advisor.DeepestM {
		refuse("depth_m", TooDeep, []float64{*q.DepthM})
		q.DepthM, q.DepthRangeM = nil, nil
	}
	if q.DepthM != nil && *q.DepthM <= 0 {
		refuse("depth_m", NotPositive, nil, "0")
		q.DepthM, q.DepthRangeM = nil, nil
	}
	if q.WeightKg != nil && *q.WeightKg > advisor.HeaviestKg {
		refuse("weight_kg", TooHeavy, []float64{*q.WeightKg})
		q.WeightKg = nil
	}
	if q.WeightKg != nil && *q.WeightKg <= 0 {
		refuse("weight_kg", NotPositive, nil, "0")
		q.WeightKg = nil
	}
	if q.LengthCm != nil && *q.LengthCm <= 0 {
		refuse("length_cm", NotPositive, nil, "0")
		q.LengthCm, q.LengthType = nil, ""
	}
	if q.LengthCm != nil && *q.LengthCm > advisor.LongestCm {
		refuse("length_cm", TooLong, []float64{*q.LengthCm, advisor.LongestCm}, AnyFish)
		q.LengthCm, q.LengthType = nil, ""
	}
	if q.Count > advisor.MostFish {
		refuse("count", TooMany, []float64{float64(q.Count)})
		q.Count = 1
	}
	return list
}

// CheckSize refuses a weight or a length that the species, where it is sure, does not
// reach: no advice is given on such a figure. It returns what it refused.
func CheckSize(q *advisor.Query) (list []Problem) {
	s := advisor.LookUp(q.Species)
	if s == nil || q.Ambiguous {
		return nil
	}
	if q.WeightKg != nil && tooHeavyFor(s, *q.WeightKg) {
		list = append(list, Problem{"weight_kg", advisor.Note{
			Code: TooHeavyForSpecies, Figures: []float64{*q.WeightKg, s.MaxWeightKg()}, Words: []string{s.EnglishName},
		}})
		q.WeightKg = nil
	}
	if q.LengthCm != nil && tooLongFor(s, *q.LengthCm) {
		list = append(list, Problem{"length_cm", advisor.Note{
			Code: TooLong, Figures: []float64{*q.LengthCm, s.MaxLengthCm}, Words: []string{s.EnglishName},
		}})
		q.LengthCm, q.LengthType = nil, ""
	}
	return list
}

// Oversized is true for a fish over the greatest size that its species is known to
// reach; kg and cm may be nil.
func Oversized(s *advisor.Species, kg, cm *float64) bool {
	return kg != nil && tooHeavyFor(s, *kg) || cm != nil && tooLongFor(s, *cm)
}

func tooHeavyFor(s *advisor.Species, kg float64) bool {
	limit := s.MaxWeightKg()
	return limit > 0 && kg > limit
}

func tooLongFor(s *advisor.Species, cm float64) bool {
	return s.MaxLengthCm > 0 && cm > advisor.RecordSlack*s.MaxLengthCm
}
