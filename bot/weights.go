package bot

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
)

// The heaviest and the most release weights that can be set, against slips.
const (
	maxWeightOz = 500
	maxWeights  = 12
)

// ouncesIn are the ounces in one of each unit that release weights are sold in.
var ouncesIn = map[string]float64{
	"oz": 1, "ounce": 1, "ounces": 1, "onza": 1, "onzas": 1, "onça": 1, "onças": 1, "once": 1, "onces": 1,
	"lb": ouncesInPound, "lbs": ouncesInPound, "pound": ouncesInPound, "pounds": ouncesInPound, "libra": ouncesInPound, "libras": ouncesInPound, "livre": ouncesInPound, "livres": ouncesInPound,
	"g": 1 / advisor.GramsPerOunce, "gr": 1 / advisor.GramsPerOunce, "kg": 1000 / advisor.GramsPerOunce, "kilo": 1000 / advisor.GramsPerOunce, "kilos": 1000 / advisor.GramsPerOunce,
}

const ouncesInPound = 1000 * advisor.KgPerPound / advisor.GramsPerOunce

// weightWords stand between the figures of a list of weights, in any language.
var weightWords = []string{"and", "y", "e", "et"}

// decimalComma is the comma of a weight in a large unit: "1,5 kg". In ounces and grams it
// parts the weights of a list: "8,16 oz".
var decimalComma = regexp.MustCompile(`(^|[^\d,])(\d),(\d{1,2})(\s*(?:kg|kilos?|lbs?|pounds?|libras?|livres?))\b`)

// ReadWeights reads release weights, lightest first, in ounces: "20 40 60 oz", "20, 40 and
// 60", "2 and 3 lb", "500 g, 1,5 kg"; without a unit they are ounces. unit is the one most
// were told in, for answers to say: "g", "lb", or "" for ounces. "none" goes back to the
// common two; ok is false for anything else.
func ReadWeights(text string) (oz []float64, unit string, ok bool) {
	text = strings.ToLower(text)
	if slices.Contains([]string{"none", "default", "common", "ninguno", "nenhum", "aucun"}, text) {
		return nil, "", true
	}
	text = decimalComma.ReplaceAllString(text, "$1$2.$3$4")
	told := map[string]int{}
	bare := 0 // where the figures begin that the next unit is of
	for _, word := range strings.FieldsFunc(text, isListBreak) {
		if slices.Contains(weightWords, word) {
			continue
		}
		name := strings.TrimLeft(word, "0123456789.")
		if figure := strings.TrimSuffix(word, name); figure != "" {
			n, err := strconv.ParseFloat(figure, 64)
			if err != nil {
				return nil, "", false
			}
			oz = append(oz, n)
		}
		if name == "" {
			continue
		}
		perOz, known := ouncesIn[name]
		if !known {
			return nil, "", false
		}
		for i := bare; i < len(oz); i++ {
			oz[i] = math.Round(10*oz[i]*perOz) / 10
		}
		told[unitIn(perOz)] += len(oz) - bare
		bare = len(oz)
	}
	told[""] += len(oz) - bare
	oz, ok = sensibleWeights(oz)
	return oz, mostTold(told), ok
}

// mostTold is the unit of most weights, ounces where two have as many.
func mostTold(told map[string]int) (unit string) {
	for _, u := range []string{unitGrams, unitPounds} {
		if told[u] > told[unit] {
			unit = u
		}
	}
	return unit
}

// sensibleWeights are release weights in order, none of them a slip.
func sensibleWeights(list []float64) ([]float64, bool) {
	slices.Sort(list)
	ok := len(list) > 0 && len(list) <= maxWeights && list[0] > 0 && list[len(list)-1] <= maxWeightOz
	return list, ok
}

func isListBreak(r rune) bool {
	return r == ' ' || r == ',' || r == ';' || r == '+' || r == '/' || r == '&'
}

// setWeights are the release weights that the person set, else the chat's, else in private
// their club's, with the unit they were told in; none when nobody did.
func (t *turn) setWeights() (oz []float64, unit string) {
	switch {
	case len(t.profile.WeightsOz) > 0:
		return t.profile.WeightsOz, t.profile.WeightUnit
	case len(t.club.WeightsOz) > 0:
		return t.club.WeightsOz, t.club.WeightUnit
	}
	return t.home.WeightsOz, t.home.WeightUnit
}
