package words

import (
	"math"
	"strings"

	"deepward/advisor"
)

// Number writes x with at most so many decimals, in the language's own digits
// and separators, without trailing zeros.
func (v Voice) Number(x float64, decimals int) string {
	return v.marks.write(x, decimals)
}

// Depth writes a depth or distance given in metres.
func (v Voice) Depth(m float64) string {
	if v.inFeet() {
		return v.counted(v.Number(m/advisor.MetresPerFoot, 0), "unit.ft")
	}
	return v.Number(m, tenthsBelow(m, 10)) + " m"
}

// DepthAbout writes a depth of ours that is round in metres: feet are rounded up to ten.
func (v Voice) DepthAbout(m float64) string {
	if v.inFeet() {
		const ten = 10 * advisor.MetresPerFoot
		m = math.Ceil(m/ten) * ten
	}
	return v.Depth(m)
}

// Told writes a figure as it was told, in the unit of that name.
func (v Voice) Told(x float64, unit string) string {
	figure := v.Number(x, 2)
	switch unit {
	case "feet":
		return v.counted(figure, "unit.ft")
	case "fathoms":
		return v.counted(figure, "unit.fathom")
	case "kilograms":
		return figure + " kg"
	case "pounds":
		return v.counted(figure, "unit.lb")
	case "centimetres":
		return figure + " cm"
	case "inches":
		return v.counted(figure, "unit.in")
	}
	return figure + " m"
}

// counted writes a figure with a unit that languages write out: "1 pie", "98 pies".
func (v Voice) counted(figure, unit string) string {
	if figure == "1" {
		unit += ".one"
	}
	return figure + " " + v.Say(unit)
}

// Mass writes the weight of a fish given in kilograms.
func (v Voice) Mass(kg float64) string {
	if v.inPounds() {
		if kg < advisor.KgPerPound {
			return v.Number(kg*1000/advisor.GramsPerOunce, 0) + " oz"
		}
		return v.counted(v.Number(kg/advisor.KgPerPound, tenthsBelow(kg/advisor.KgPerPound, 20)), "unit.lb")
	}
	if kg < 1 {
		return v.Number(roundTo(kg*1000, 10), 0) + " g"
	}
	return v.Number(kg, tenthsBelow(kg, 20)) + " kg"
}

// MassAbout writes a mass of ours that is round in kilograms: pounds are whole.
func (v Voice) MassAbout(kg float64) string {
	if v.inPounds() {
		kg = math.Round(kg/advisor.KgPerPound) * advisor.KgPerPound
	}
	return v.Mass(kg)
}

// Length writes the length of a fish given in centimetres.
func (v Voice) Length(cm float64) string {
	if v.inInches() {
		return v.counted(v.Number(cm/advisor.CmPerInch, 1), "unit.in")
	}
	return v.Number(cm, tenthsBelow(cm, 30)) + " cm"
}

// Ounces writes a release weight given in ounces.
func (v Voice) Ounces(oz float64) string {
	switch {
	case v.Grams:
		return v.leadGrams(oz * advisor.GramsPerOunce)
	case v.Pounds:
		return v.counted(v.Number(oz*advisor.GramsPerOunce/1000/advisor.KgPerPound, 1), "unit.lb")
	}
	return v.bareOunces(oz) + " oz"
}

func (v Voice) bareOunces(oz float64) string { return v.Number(oz, tenthsBelow(oz, 10)) }

// leadGrams writes a release weight given in grams, to ten of them.
func (v Voice) leadGrams(g float64) string {
	if g = roundTo(g, 10); g < 1000 {
		return v.Number(g, 0) + " g"
	}
	return v.Number(g/1000, 2) + " kg"
}

// OuncesTogether writes several release weights used at once: "40 + 20 oz", with their unit
// once where it is the same: "1 kg + 500 g".
func (v Voice) OuncesTogether(oz []float64) string {
	list := each(oz, v.Ounces)
	for i, next := range list[min(1, len(list)):] {
		if figure, unit, _ := strings.Cut(list[i], " "); strings.HasSuffix(next, " "+unit) {
			list[i] = figure
		}
	}
	return strings.Join(list, " + ")
}

// ListOunces writes the release weights somebody has: "20, 40 and 60 oz".
func (v Voice) ListOunces(oz []float64) string {
	if v.Grams || v.Pounds {
		return v.List(each(oz, v.Ounces)...)
	}
	return v.List(each(oz, func(w float64) string { return v.Number(w, 1) })...) + " oz"
}

func each(list []float64, write func(float64) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = write(x)
	}
	return out
}

// SoldInGrams is true for release weights, in ounces, that are all round figures in
// grams and not all round in ounces: 17.6 oz is 500 g.
func SoldInGrams(oz []float64) bool {
	const step, slip = 50, 1.5 // g; what rounding to a tenth of an ounce leaves
	round := true
	for _, w := range oz {
		g := w * advisor.GramsPerOunce
		if math.Abs(g-roundTo(g, step)) > slip {
			return false
		}
		round = round && w == math.Round(w)
	}
	return !round
}

// Pull writes a force given in gram-force, rounded to what it is worth.
func (v Voice) Pull(gf float64) string {
	if v.inPounds() {
		return v.Number(gf/advisor.GramsPerOunce, tenthsBelow(gf/advisor.GramsPerOunce, 10)) + " oz"
	}
	if gf >= 1000 {
		return v.Number(gf/1000, 1) + " kg"
	}
	return v.Number(roundTo(gf, 10), 0) + " g"
}

// PullRange writes the low and the high end of a force given in gram-force.
func (v Voice) PullRange(low, high float64) string {
	a, b := v.Pull(low), v.Pull(high)
	if digits, unit, ok := strings.Cut(a, " "); ok && strings.HasSuffix(b, " "+unit) {
		a = digits
	}
	return a + "–" + b
}

// Duration writes a time given in seconds, as people say it: "25 s", "2 min".
func (v Voice) Duration(s float64) string {
	switch {
	case s < 95:
		return v.Number(roundTo(s, 5), 0) + " s"
	case s < 2*60*60:
		return v.Number(s/60, 0) + " min"
	default:
		return v.Number(s/60/60, 0) + " h"
	}
}

// DurationRange writes the low and the high end of a time given in seconds: "20–35 s".
func (v Voice) DurationRange(low, high float64) string {
	a, b := v.Duration(low), v.Duration(high)
	if strings.HasSuffix(a, " s") && !strings.HasSuffix(b, " s") {
		a = v.Number(max(1, low/60), 0) + " min" // 55 s to 2 min are 1 to 2 min
	}
	switch digits, unit, _ := strings.Cut(a, " "); {
	case a == b:
		return a
	case strings.HasSuffix(b, " "+unit):
		return digits + "–" + b
	}
	return a + "–" + b
}

// Minutes writes a time given in minutes.
func (v Voice) Minutes(min float64) string { return v.Number(min, 1) + " min" }

// Temperature writes a temperature given in degrees Celsius.
func (v Voice) Temperature(c float64) string {
	if v.Imperial {
		return v.Number(c*9/5+32, 0) + " °F"
	}
	return v.Number(c, 0) + " °C"
}

// InTen writes a share of fish as people say it: "7 in 10".
func (v Voice) InTen(p float64) string {
	switch n := int(math.Round(p * 10)); {
	case n <= 0:
		return v.Say("share.under_one")
	case n >= 10:
		return v.Say("share.over_nine")
	default:
		return v.Say("share.in_ten", n)
	}
}

// InTenRange writes the range of a share as two whole numbers of ten: "5–8".
func (v Voice) InTenRange(low, high float64) string {
	return v.Number(math.Floor(low*10+0.25), 0) + "–" + v.Number(math.Ceil(high*10-0.25), 0)
}

// MoreOfTen writes a difference of two shares as a whole number of ten, nil or negative too.
func (v Voice) MoreOfTen(gain float64) string {
	return strings.Replace(v.Number(math.Round(gain*10)+0, 0), "-", "−", 1)
}

// Percent writes a share in whole per cent.
func (v Voice) Percent(p float64) string { return v.Number(p*100, 0) + " %" }

// tenthsBelow gives one decimal to small figures, none to large ones.
func tenthsBelow(x, limit float64) int {
	if math.Abs(x) < limit {
		return 1
	}
	return 0
}

func roundTo(x, step float64) float64 { return math.Round(x/step) * step }
