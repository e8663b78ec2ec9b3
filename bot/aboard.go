package bot

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

// arm puts what is aboard into each question: what was told today goes before what was
// set, and what was set before what an earlier question was answered with; again is true for
// fish that came back up.
func (t *turn) arm(fish []advisor.Query, again bool) {
	for i := range fish {
		q := &fish[i]
		q.CameBack = again
		if carry(q, t.talk.Aboard) {
			q.WeightUnit = t.weightUnit(pieces(*q))
		} else {
			t.hand(q)
		}
	}
}

// hand puts the weights that were set into a question, if any were.
func (t *turn) hand(q *advisor.Query) {
	if oz, unit := t.setWeights(); len(oz) > 0 {
		q.WeightsAboardOz, q.WeightUnit = oz, unit
	}
}

// carry puts what was told to be aboard into a question; false where nothing was told.
func carry(q *advisor.Query, aboard understand.Aboard) bool {
	if len(aboard.ReleaseOz) == 0 && len(aboard.LeadG) == 0 && !aboard.None {
		return false
	}
	q.WeightsAboardOz, q.LeadAboardOz, q.NoWeight = aboard.ReleaseOz, ounces(aboard.LeadG), aboard.None
	return true
}

// pieces are all weights aboard, release weights first, in ounces.
func pieces(q advisor.Query) []float64 { return slices.Concat(q.WeightsAboardOz, q.LeadAboardOz) }

func ounces(grams []float64) []float64 {
	list := make([]float64, len(grams))
	for i, g := range grams {
		list[i] = g / advisor.GramsPerOunce
	}
	return list
}

// figured finds a figure and the unit behind it.
var figured = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*-?\s*(\pL+)`)

// weightUnit is the unit in which weights aboard are told in the message, else the one
// before: "" for ounces.
func (t *turn) weightUnit(aboardOz []float64) string {
	if unit, ok := unitTold(t.m.Text, aboardOz); ok {
		t.session.WeightUnit = unit
	}
	return t.session.WeightUnit
}

// unitTold is the unit of a figure in the text that is one of those weights, the first of
// them that it tells.
func unitTold(text string, aboardOz []float64) (string, bool) {
	figures := figured.FindAllStringSubmatch(strings.ToLower(text), -1)
	for _, oz := range aboardOz {
		for _, m := range figures {
			x, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
			perOz, known := ouncesIn[m[2]]
			if off := x*perOz - oz; err == nil && known && off > -0.05 && off < 0.05 {
				return unitIn(perOz), true
			}
		}
	}
	return "", false
}

// unitIn is the name in which a unit of so many ounces is written.
func unitIn(perOz float64) string {
	switch {
	case perOz == 1:
		return ""
	case perOz == ouncesInPound:
		return unitPounds
	}
	return unitGrams
}
