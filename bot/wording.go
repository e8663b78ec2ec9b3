package bot

import (
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// maxLines is how long a reply may be: it is read at arm's length with wet hands.
const maxLines = 8

// wordAdvice writes the reply to a question: the action and the weight first,
// then the odds, the numbers, what was assumed and what to take care of.
func wordAdvice(v words.Voice, m understand.Meaning, a advisor.Advice) string {
	lines := []string{headline(v, a), fishLine(v, m.Query, a)}
	lines = appendLine(lines, dangerLine(v, a))
	lines = append(lines, problemLines(v, m.Problems)...)
	lines = appendLine(lines, oddsLine(v, a))
	lines = appendLine(lines, liftLine(v, a))
	lines = append(lines, tellingReasons(v, a)...)
	lines = appendLine(lines, descentLine(v, a))
	lines = appendLine(lines, assumedLine(v, m, a))
	care := careLine(v, a)
	if len(lines) > maxLines-1 {
		lines = lines[:maxLines-1]
	}
	return strings.Join(append(lines, care), "\n")
}

func appendLine(lines []string, line string) []string {
	if line == "" {
		return lines
	}
	return append(lines, line)
}

// headline says what to do, in one line.
func headline(v words.Voice, a advisor.Advice) string {
	switch {
	case a.Action == advisor.ActSurface && a.Species.TrapsGas():
		return v.Say("head.top_watch", v.Ounces(readyOz(a)))
	case a.Action == advisor.ActSurface:
		return v.Say("head.top")
	case a.Action == advisor.ActNone && hasNote(a.Reasons, advisor.ReasonDead):
		return v.Say("head.dead")
	case a.Action == advisor.ActNone:
		return v.Say("head.ask_depth")
	case a.ReleaseDepthM == nil:
		return v.Say("head.down_no_depth", v.OuncesTogether(a.ReleaseWeightsOz))
	case len(a.ReleaseWeightsOz) > 1:
		return v.Say("head.down_two", v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM))
	case a.PushDownDepthM != nil:
		return v.Say("head.down_push", v.Ounces(*a.ReleaseWeightOz), v.Depth(*a.ReleaseDepthM), v.Depth(*a.PushDownDepthM))
	default:
		return v.Say("head.down", v.Ounces(*a.ReleaseWeightOz), v.Depth(*a.ReleaseDepthM))
	}
}

// readyOz is the weight to keep ready while a fish is let go at the top: the one
// aboard that common practice would hang on it.
func readyOz(a advisor.Advice) float64 {
	return advisor.ChooseWeights(a.AboardOz, 0, advisor.PracticeOz(a.WeightKg, 0)).Oz[0]
}

func hasNote(notes []advisor.Note, code advisor.NoteCode) bool {
	return slices.ContainsFunc(notes, func(n advisor.Note) bool { return n.Code == code })
}

// fishLine repeats what was understood, so that a misreading shows at once.
func fishLine(v words.Voice, q advisor.Query, a advisor.Advice) string {
	name := sentenceCase(fishName(v, q, a))
	if q.Count > 1 {
		name = v.Say("line.several", q.Count, name)
	}
	size := v.Mass(a.WeightKg)
	if q.WeightKg == nil && q.LengthCm != nil {
		size = v.Length(*q.LengthCm)
	}
	sizeless := q.WeightKg == nil && q.LengthCm == nil && !sizeMatters(a)
	switch {
	case sizeless && q.DepthM == nil:
		return name
	case sizeless:
		return v.Say("line.name_depth", name, v.Depth(*q.DepthM))
	case q.DepthM == nil:
		return v.Say("line.fish", name, size)
	default:
		return v.Say("line.fish_depth", name, size, v.Depth(*q.DepthM))
	}
}

// sizeMatters is false where no size would change the answer: a fish that never gets a
// weight, or a dead one. What was assumed of its size is then not worth a word.
func sizeMatters(a advisor.Advice) bool {
	return !hasNote(a.Reasons, advisor.ReasonNoBladder) && !hasNote(a.Reasons, advisor.ReasonOpenBladder) && !hasNote(a.Reasons, advisor.ReasonDead)
}

// fishName is the name to call the fish by: the catalogue's, or the words given.
func fishName(v words.Voice, q advisor.Query, a advisor.Advice) string {
	if q.Species == "" && q.SpeciesName != "" {
		return q.SpeciesName
	}
	return callFish(v, a.Species.EnglishName)
}

func problemLines(v words.Voice, problems []understand.Problem) []string {
	lines := make([]string, len(problems))
	for i, p := range problems {
		lines[i] = sentenceCase(sayNote(v, p.Why))
	}
	return lines
}

// oddsLine says what sending down gains; the chance alone for a fish that no weight helps.
func oddsLine(v words.Voice, a advisor.Advice) string {
	if a.Survival == nil {
		return ""
	}
	s := *a.Survival
	var line string
	switch {
	case a.Gain == nil:
		line = v.Say("line.odds_top", v.InTen(s.Surface.P), v.InTenRange(s.Surface.Low, s.Surface.High))
	case a.Gain.Little():
		line = v.Say("line.gain_little", v.MoreOfTen(a.Gain.Low), v.MoreOfTen(a.Gain.High), v.InTen(s.Recompressed.P))
	default:
		line = v.Say("line.gain", v.MoreOfTen(a.Gain.P), v.MoreOfTen(a.Gain.Low), v.MoreOfTen(a.Gain.High), v.InTen(s.Recompressed.P), v.InTen(s.Surface.P))
	}
	if s.Basis.DeeperThanSeen {
		line += ", " + v.Say("line.odds_flag")
	}
	return line
}

func liftLine(v words.Voice, a advisor.Advice) string {
	if a.Action != advisor.ActRecompress || a.NeededOz == nil {
		return ""
	}
	line := v.Say("line.lift", v.Pull(*a.LiftGf), v.PullRange(a.LiftRangeGf[0], a.LiftRangeGf[1]), v.Ounces(*a.NeededOz))
	practice := "line.practice"
	if *a.NeededOz > *a.PracticeOz {
		practice = "line.practice_less" // where physics and custom part, say so
	}
	return v.Clauses(line, v.Say(practice, v.Ounces(*a.PracticeOz)))
}

// told are the reasons worth a line of their own; the others wait for `why`.
var told = []advisor.NoteCode{
	advisor.ReasonMixedKinds, advisor.ReasonDead, advisor.ReasonPoorOdds, advisor.ReasonPushDown,
	advisor.ReasonNoDepth, advisor.ReasonThinMargin, advisor.ReasonBelowPractice, advisor.ReasonNoBenefit, advisor.ReasonVentsItself, advisor.ReasonPractice,
	advisor.ReasonNoBladder, advisor.ReasonOpenBladder, advisor.ReasonShallow, advisor.ReasonShallowStrong,
}

func tellingReasons(v words.Voice, a advisor.Advice) []string {
	var lines []string
	for _, n := range a.Reasons {
		if slices.Contains(told, n.Code) {
			lines = append(lines, sentenceCase(sayNote(v, n)))
		}
	}
	return lines
}

func descentLine(v words.Voice, a advisor.Advice) string {
	if a.DescentS == nil {
		return ""
	}
	return v.Say("line.descent", v.Duration(*a.DescentS), v.Duration(a.DescentRangeS[0]), v.Duration(a.DescentRangeS[1]))
}

// assumedLine names what was taken for granted and asks for what would sharpen
// the answer most.
func assumedLine(v words.Voice, m understand.Meaning, a advisor.Advice) string {
	var parts []string
	for _, n := range a.Assumed {
		if n.Code == advisor.AssumedWeights || n.Code == advisor.AssumedDeepEnd || n.Code == advisor.AssumedTypicalSize && !sizeMatters(a) {
			continue
		}
		parts = append(parts, sayNote(v, n))
	}
	line := ""
	if len(parts) > 0 {
		line = v.Say("line.assumed", v.Clauses(parts...))
	}
	if ask := askFor(v, m, a); ask != "" {
		line = strings.TrimPrefix(line+". "+ask, ". ")
	}
	return line
}

// saidOf are the lines that tell what was not known or assumed of the fish itself.
func saidOf(v words.Voice, m understand.Meaning, a advisor.Advice) (list []string) {
	for _, n := range a.Assumed {
		if n.Code != advisor.AssumedWeights && n.Code != advisor.AssumedDeepEnd && n.Code != advisor.AssumedTypicalSize {
			list = append(list, sayNote(v, n))
		}
	}
	return appendLine(list, askFor(v, m, a))
}

func askFor(v words.Voice, m understand.Meaning, a advisor.Advice) string {
	switch {
	case hasNote(a.Reasons, advisor.ReasonDead):
		return "" // nothing would change the answer
	case a.Action == advisor.ActNone && slices.Contains(m.Missing, understand.MissingDepth):
		return v.Say("line.tell_depth")
	case m.Query.Ambiguous:
		asked := firstOf(m.Named, nameAsked(v, m.Query))
		if others := otherNames(v, m.Query, asked); others != "" {
			return v.Say("line.several_fit", asked, others)
		}
		return ""
	case slices.Contains(m.Missing, understand.MissingSpecies):
		return v.Say("line.tell_species")
	case slices.Contains(m.Missing, understand.MissingSize) && sizeMatters(a):
		return v.Say("line.tell_size")
	default:
		return ""
	}
}

// nameAsked is the name of the fish where it was not typed in this message.
func nameAsked(v words.Voice, q advisor.Query) string {
	if s := advisor.LookUp(q.Species); s != nil {
		return understand.InSentence(nameOf(v, s))
	}
	return q.SpeciesName
}

// otherNames lists the next two candidates; one whose whole name is what was typed is told
// by its scientific name too: "pargo" can also be pargo (Pagrus pagrus).
func otherNames(v words.Voice, q advisor.Query, asked string) string {
	var names []string
	for _, c := range q.Candidates {
		if s := advisor.LookUp(c); s != nil && c != q.Species && len(names) < 2 {
			name := understand.InSentence(nameOf(v, s))
			if name == asked || name+"s" == asked {
				name += " (" + s.ScientificName + ")"
			}
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// untoldCare are the cautions that wait for `how`.
var untoldCare = []advisor.NoteCode{advisor.CautionVentLast}

// dangerLine says what can hurt badly, before anybody takes hold of the fish.
func dangerLine(v words.Voice, a advisor.Advice) string {
	if len(a.Cautions) == 0 || !advisor.Grave(a.Cautions[0].Code) {
		return ""
	}
	return v.Say("line.danger", sayNote(v, a.Cautions[0]))
}

func careLine(v words.Voice, a advisor.Advice) string {
	var parts []string
	for _, n := range a.Cautions {
		if !slices.Contains(untoldCare, n.Code) && !advisor.Grave(n.Code) {
			parts = append(parts, sayNote(v, n))
		}
	}
	return v.Say("line.care", v.Clauses(parts...))
}

// sentenceCase makes the first letter a capital.
func sentenceCase(s string) string {
	for i, r := range s {
		if i == 0 {
			return strings.ToUpper(string(r)) + s[len(string(r)):]
		}
	}
	return s
}
