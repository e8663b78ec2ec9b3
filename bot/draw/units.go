package draw

import (
	"math"
	"strconv"

	"deepward/advisor"
)

// depth writes a depth in metres in the reader's unit and in the other one.
func (l Labels) depth(m float64) (first, second string) {
	metric, imperial := whole(m)+" m", whole(m/advisor.MetresPerFoot)+" ft"
	if l.Imperial {
		return imperial, metric
	}
	return metric, imperial
}

// mass writes the weight of a fish in kilograms in the reader's unit and in the
// other one.
func (l Labels) mass(kg float64) (first, second string) {
	metric, imperial := short(kg)+" kg", short(kg/advisor.KgPerPound)+" lb"
	if l.Imperial {
		return imperial, metric
	}
	return metric, imperial
}

func whole(x float64) string { return strconv.FormatFloat(math.Round(x), 'f', -1, 64) }

// short writes half steps under 4, else whole figures.
func short(x float64) string {
	if x < 4 {
		return strconv.FormatFloat(math.Round(2*x)/2, 'f', -1, 64)
	}
	return whole(x)
}
