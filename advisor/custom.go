package advisor

import "math"

// farMore is how many times the lead of the physics custom must ask for before an answer
// says that a lighter one will do.
const farMore = 2

// PoundForFiveOz is the release weight in ounces by an agency's rule of one pound for five
// pounds of fish (FWC 2022), for a fish in kilograms. It stands beside the custom of two
// sizes as a check from outside: it grows with the fish and leaves depth out.
func PoundForFiveOz(massKg float64) float64 {
	const pounds = 5
	return massKg * 1000 / GramsPerOunce / pounds
}

// customFarMore says where custom asks for far more than the physics, so that a lighter
// weight is no reason to let the fish float.
func customFarMore(neededOz, practiceOz float64) []Note {
	if practiceOz < farMore*neededOz {
		return nil
	}
	return []Note{{Code: ReasonCustomFarMore, Figures: []float64{practiceOz, math.Ceil(neededOz)}}}
}
