package bot

import (
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// figureKinds says what the figures of each note are, in order: m, kg, cm, oz,
// min, share, times or n. A code that is not here carries no figures.
var figureKinds = map[advisor.NoteCode]string{
	advisor.ReasonShallow:         "m",
	advisor.ReasonShallowStrong:   "m",
	advisor.ReasonStrong:          "m",
	advisor.ReasonNoSigns:         "m",
	advisor.ReasonDeep:            "m times",
	advisor.ReasonPhysicsMore:     "oz oz",
	advisor.ReasonTwoWeights:      "oz",
	advisor.ReasonPushDown:        "m oz",
	advisor.ReasonBelowPractice:   "oz",
	advisor.ReasonThinMargin:      "oz",
	advisor.ReasonCustomFarMore:   "oz oz",
	advisor.ReasonPoundForFive:    "oz",
	advisor.ReasonTooLight:        "oz oz",
	advisor.ReasonNoWeight:        "oz",
	advisor.ReasonPoorOdds:        "share",
	advisor.CautionHurry:          "min",
	advisor.AssumedTypicalSize:    "kg",
	advisor.AssumedFromLength:     "cm kg",
	advisor.AssumedDeepEnd:        "m",
	understand.TooDeep:            "m",
	understand.TooHeavy:           "kg",
	understand.TooHeavyForSpecies: "kg kg",
	understand.TooLong:            "cm cm",
	understand.TooMany:            "n",
	understand.TooLongOut:         "min",
}

// sayNote words one note in the voice of the reader.
func sayNote(v words.Voice, n advisor.Note) string {
	switch n.Code {
	case advisor.AssumedWeights:
		return v.Say(string(n.Code), v.ListOunces(n.Figures))
	case advisor.AssumedLengthType:
		return v.Say(string(n.Code), v.Say("length."+n.Words[0]))
	case understand.TakenAs, understand.TakenByHabit:
		return v.Say(string(n.Code), v.Number(n.Figures[0], 2), v.Say("unit."+n.Words[0]))
	case advisor.CautionHazard:
		return v.Hazard(n.Words[0])
	case advisor.AssumedSpelling:
		return v.Say(string(n.Code), n.Words[0], beside(n.Words[0], callFish(v, n.Words[1]), advisor.InEnglish(n.Words[1])))
	}
	var args []any
	kinds := strings.Fields(figureKinds[n.Code])
	for i, x := range n.Figures[:min(len(n.Figures), len(kinds))] {
		args = append(args, sayFigure(v, kinds[i], x))
	}
	for _, w := range n.Words {
		args = append(args, callFish(v, w))
	}
	return v.Say(string(n.Code), args...)
}

func sayFigure(v words.Voice, kind string, x float64) any {
	switch kind {
	case "m":
		return v.Depth(x)
	case "kg":
		return v.Mass(x)
	case "cm":
		return v.Length(x)
	case "oz":
		return v.Ounces(x)
	case "min":
		return v.Minutes(x)
	case "share":
		return v.InTen(x)
	case "n":
		return int(x)
	default:
		return v.Number(x, 1)
	}
}

func sayNotes(v words.Voice, notes []advisor.Note) []string {
	list := make([]string, len(notes))
	for i, n := range notes {
		list[i] = sayNote(v, n)
	}
	return list
}
