package bot

import (
	"math"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// wordAdvice writes the reply to a question: what to do, the fish, what sending it down
// gains, the way down, what to take care of, and where it is needed what was assumed,
// refused or could not be read. The rest waits for `why`.
func wordAdvice(v words.Voice, m understand.Meaning, a advisor.Advice, unread ...string) string {
	v = voiceFor(v, m.Query)
	p := newPage()
	p.put(headline(v, a))
	p.put(fishLine(v, m.Query, a))
	grave := dangerLine(v, a)
	p.put(grave)
	p.put(whyLine(v, a))
	must, may := remarks(v, m, a, unread)
	note := fit(p.left, sentences, must, nil)
	way, short := wayLine(v, a)
	if p.left < rowsOf(way)+rowsOf(note)+1 {
		way = short
	}
	p.put(way)
	care := ""
	switch {
	case a.Action == advisor.ActNone: // nobody takes hold of it yet, or any more
	case grave == "":
		care = careLine(v, a, p.left-rowsOf(note))
	case note == "":
		first, _ := cares(v, a)
		care = fit(p.left, clauses(v, "line.care"), nil, first)
	}
	p.put(care)
	p.put(fit(p.left, sentences, must, may))
	return strings.Join(p.lines, "\n")
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
	case len(a.ReleaseWeightsOz) == 0 && a.ReleaseDepthM == nil:
		return v.Say("head.down_bare")
	case len(a.ReleaseWeightsOz) == 0:
		return v.Say("head.down_anything", v.Ounces(math.Ceil(*a.NeededOz)), v.Depth(*a.ReleaseDepthM))
	case a.ReleaseDepthM == nil:
		return v.Say("head.down_no_depth", v.OuncesTogether(a.ReleaseWeightsOz))
	case hasNote(a.Reasons, advisor.ReasonTooLight):
		return lightHead(v, a)
	case hasNote(a.Reasons, advisor.ReasonCameBack):
		return v.Say("head.again", v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM))
	case a.PushDownDepthM != nil:
		return v.Say("head.down_push", v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM), v.Depth(math.Ceil(*a.PushDownDepthM)))
	case len(a.ReleaseWeightsOz) > 1:
		return v.Say("head.down_two", v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM))
	default:
		return v.Say("head.down", v.Ounces(*a.ReleaseWeightOz), v.Depth(*a.ReleaseDepthM))
	}
}

// farTooLightOz is how much lead nobody adds: more is told in words. Ours.
const farTooLightOz = 100

// lightHead says what to do with weights that do not carry the fish, and how much is lacking.
func lightHead(v words.Voice, a advisor.Advice) string {
	have, depth := v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM)
	short := noteOf(a.Reasons, advisor.ReasonTooLight).Figures[0]
	if short > farTooLightOz {
		return v.Say("head.down_far_light", have, depth)
	}
	return v.Say("head.down_light", have, depth, v.Ounces(short))
}

func noteOf(notes []advisor.Note, code advisor.NoteCode) advisor.Note {
	return notes[slices.IndexFunc(notes, func(n advisor.Note) bool { return n.Code == code })]
}

// readyOz is the weight to keep ready while a fish is let go at the top: the one
// aboard that common practice would hang on it.
func readyOz(a advisor.Advice) float64 {
	if len(a.AboardOz) == 0 {
		return advisor.PracticeOz(a.WeightKg, 0)
	}
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
	switch {
	case q.WeightKg == nil && q.LengthCm != nil && sizeMatters(a):
		size = v.Say("line.length_weight", v.Length(*q.LengthCm), size)
	case q.WeightKg == nil && q.LengthCm != nil:
		size = v.Length(*q.LengthCm)
	case q.WeightKg == nil:
		size = v.Say("line.about", size)
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

// whyLine says what sending down gains, or why it is not done.
func whyLine(v words.Voice, a advisor.Advice) string {
	for _, n := range a.Reasons {
		if slices.Contains(decisive, n.Code) {
			return sentenceCase(sayNote(v, n))
		}
	}
	if a.Survival == nil || a.Gain == nil {
		return ""
	}
	g, live := *a.Gain, v.InTen(a.Survival.Recompressed.P)
	switch {
	case hasNote(a.Reasons, advisor.ReasonCameBack):
		return v.Say("line.again")
	case hasNote(a.Reasons, advisor.ReasonPoorOdds):
		return v.Say("line.poor", live)
	case hasNote(a.Reasons, advisor.ReasonNoBenefit):
		return v.Say("line.no_benefit", live)
	case g.Little():
		return v.Say("line.gain_little", v.MoreOfTen(g.Low), v.MoreOfTen(g.High), live)
	}
	return sentenceCase(v.Say("line.gain", live, v.MoreOfTen(g.P), v.MoreOfTen(g.Low), v.MoreOfTen(g.High)))
}

// decisive are the reasons that stand where the gain would: no weight is used.
var decisive = []advisor.NoteCode{
	advisor.ReasonDead, advisor.ReasonNoBladder, advisor.ReasonOpenBladder, advisor.ReasonShallow,
	advisor.ReasonShallowStrong, advisor.ReasonVentsItself,
}

// longWayM is the depth from which it is told how deep is enough, in metres: from there a
// line may be too short, or the current too strong. Ours.
const longWayM = 60

// wayLine says how long the way down takes and how it ends; what to do should a fish that
// is let go at the top float, or where what is aboard does not carry it. short is for an
// answer with much else to tell.
func wayLine(v words.Voice, a advisor.Advice) (line, short string) {
	same := func(key string) (string, string) { return v.Say(key), v.Say(key) }
	switch {
	case a.Action == advisor.ActSurface && a.Species.TrapsGas():
		return same("line.watch")
	case a.Action != advisor.ActRecompress:
		return "", ""
	case len(a.ReleaseWeightsOz) == 0:
		return same("line.anything")
	case hasNote(a.Reasons, advisor.ReasonTooLight):
		return same("line.too_light")
	case a.DescentS == nil:
		return "", ""
	}
	way := v.DurationRange(a.DescentRangeS[0], a.DescentRangeS[1])
	line, short = v.Say("line.descent", way), v.Say("line.descent", way)
	switch {
	case a.MayHang:
		line = v.Say("line.descent_hang", way)
		short = v.Say("line.hang")
	case *a.ReleaseDepthM >= longWayM && *a.EnoughDepthM < *a.ReleaseDepthM:
		line = v.Say("line.descent_enough", way, v.Depth(*a.EnoughDepthM))
	}
	return line, short
}

// remarks are what was refused, not read, taken for granted or asked: must says what
// may change the answer, may what only explains it.
func remarks(v words.Voice, m understand.Meaning, a advisor.Advice, unread []string) (must, may []string) {
	for _, n := range a.Reasons {
		switch n.Code {
		case advisor.ReasonMixedKinds:
			must = append(must, sayNote(v, n))
		case advisor.ReasonPractice:
			must = append(must, v.Say("line.practice", n.Words[0], n.Words[1]))
		}
	}
	for _, p := range m.Problems {
		must = append(must, sayNote(v, p.Why))
	}
	if len(unread) > 0 {
		must = append(must, v.Say("line.unread", strings.Join(unread, ", ")))
	}
	must = append(must, taken(v, a)...)
	must = appendLine(must, askFor(v, m, a))
	for _, n := range a.Reasons {
		if slices.Contains(explaining, n.Code) {
			may = append(may, sayNote(v, n))
		}
	}
	if a.Survival != nil && a.Survival.Basis.DeeperThanSeen && a.Gain != nil {
		may = append(may, v.Say("line.odds_flag"))
	}
	return must, may
}

// explaining are the reasons that are told where there is room.
var explaining = []advisor.NoteCode{advisor.ReasonLead, advisor.ReasonBelowPractice, advisor.ReasonCustomFarMore}

// taken are the things taken for granted of the fish that its line does not show.
func taken(v words.Voice, a advisor.Advice) (list []string) {
	for _, n := range a.Assumed {
		switch n.Code {
		case advisor.AssumedWeights, advisor.AssumedDeepEnd, advisor.AssumedTypicalSize, advisor.AssumedFromLength, advisor.AssumedSpecies,
			advisor.AssumedLengthType, advisor.AssumedShape, advisor.AssumedNoName:
		default:
			list = append(list, sayNote(v, n))
		}
	}
	return list
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
		others := otherNames(v, m.Query, firstOf(m.Named, nameAsked(v, m.Query)))
		switch {
		case others == "":
			return ""
		case m.Named == "": // named before: their word is not ours to guess
			return v.Say("line.also_fits", others)
		}
		return v.Say("line.several_fit", m.Named, others)
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

// dangerLine says what can hurt badly, before anybody takes hold of the fish.
func dangerLine(v words.Voice, a advisor.Advice) string {
	if len(a.Cautions) == 0 || !advisor.Grave(a.Cautions[0].Code) {
		return ""
	}
	return v.Say("line.danger", sayNote(v, a.Cautions[0]))
}

// urgent are the cautions that go before all others: the first of them is always told.
var urgent = []advisor.NoteCode{
	advisor.CautionMoveShallower, advisor.CautionCutLine, advisor.CautionGills, advisor.CautionStomach, advisor.CautionIntestine,
	advisor.CautionHurry, advisor.CautionPredators, advisor.CautionTwoPeople,
}

// cares are what to take care of: first what is urgent, then the rest in order.
func cares(v words.Voice, a advisor.Advice) (first, rest []string) {
	for _, n := range a.Cautions {
		switch {
		case advisor.Grave(n.Code), n.Code == advisor.CautionVentLast, n.Code == advisor.CautionWatch, n.Code == advisor.CautionMayHang:
		case n.Code == advisor.CautionMoveShallower:
			first = slices.Insert(first, 0, sayNote(v, n))
		case slices.Contains(urgent, n.Code):
			first = append(first, sayNote(v, n))
		case n.Code == advisor.CautionHazard:
			rest = append(rest, v.Hazards(n.Words[0])...)
		default:
			rest = append(rest, sayNote(v, n))
		}
	}
	return first, rest
}

// careLine is what to take care of, in so many rows; the most urgent is always told.
func careLine(v words.Voice, a advisor.Advice, rows int) string {
	first, rest := cares(v, a)
	n := min(1, len(first))
	return fit(rows, clauses(v, "line.care"), first[:n], append(first[n:], rest...))
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
