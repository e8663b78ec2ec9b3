package bot

import (
	"math"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// wordAdvice writes the reply to a question: what to do, the fish, what can hurt, what
// sending it down gains, the way down, what to take care of, and where it is needed what was
// assumed, refused or could not be read. The rest waits for `why`.
func wordAdvice(v words.Voice, m understand.Meaning, a advisor.Advice, unread ...string) string {
	v = voiceFor(v, m.Query)
	danger, care := cautionLines(v, a)
	note, brief := remarks(v, m, a, unread, twoOthers), remarks(v, m, a, unread, oneOther)
	p := newPage(same(headline(v, a)), fishLine(v, m.Query, a), same(danger.must()), same(whyLine(v, a)), wayLine(v, a), same(care.must()), line{note.must(), brief.must()})
	const dangerAt, careAt, noteAt = 2, 5, 6
	p.fill(dangerAt, danger)
	p.fill(careAt, care)
	if p.lines[noteAt] == brief.must() {
		note = brief
	}
	p.fill(noteAt, note)
	return p.text()
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
	case hasNote(a.Reasons, advisor.ReasonNeverTouch):
		return v.Say("head.cut")
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
	case hasNote(a.Reasons, advisor.ReasonCameBack) && a.PushDownDepthM != nil:
		return v.Say("head.again_push", v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM), v.Depth(math.Ceil(*a.PushDownDepthM)))
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

// farTooLightOz is how much lead nobody hangs on beside what they have: then it is told how
// much is wanted in all, as the weight of a fish is. Ours.
const farTooLightOz = 100

// lightHead says what to do with weights that do not carry the fish, and how much is lacking.
func lightHead(v words.Voice, a advisor.Advice) string {
	have, depth := v.OuncesTogether(a.ReleaseWeightsOz), v.Depth(*a.ReleaseDepthM)
	if lackingOz(a) > farTooLightOz {
		return v.Say("head.down_far_light", have, depth)
	}
	return v.Say("head.down_light", have, depth, v.Ounces(lackingOz(a)))
}

// lackingOz is how much lead is lacking where what is aboard is too light.
func lackingOz(a advisor.Advice) float64 {
	return noteOf(a.Reasons, advisor.ReasonTooLight).Figures[0]
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

// fishLine repeats what was understood, so that a misreading shows at once. Where there
// is little room a scientific name behind a foreign one goes, and what a length was reckoned to.
func fishLine(v words.Voice, q advisor.Query, a advisor.Advice) line {
	name := words.SentenceCase(fishName(v, q, a))
	plain, _, _ := strings.Cut(name, " (")
	size, told := v.Say("line.about", v.Mass(a.WeightKg)), ""
	switch {
	case q.WeightKg != nil:
		size = v.Mass(a.WeightKg)
	case q.LengthCm != nil && sizeMatters(a):
		told = v.Length(*q.LengthCm)
		size = v.Say("line.length_weight", told, v.Mass(a.WeightKg))
	case q.LengthCm != nil:
		size = v.Length(*q.LengthCm)
	case !sizeMatters(a):
		size = ""
	}
	return line{fishCalled(v, name, size, q), fishCalled(v, plain, firstOf(told, size), q)}
}

// fishCalled puts how many, the name, the size and the depth into a line, as far as told.
func fishCalled(v words.Voice, name, size string, q advisor.Query) string {
	if q.Count > 1 {
		name = v.Say("line.several", q.Count, name)
	}
	switch {
	case size == "" && q.DepthM == nil:
		return name
	case size == "":
		return v.Say("line.name_depth", name, v.Depth(*q.DepthM))
	case q.DepthM == nil:
		return v.Say("line.fish", name, size)
	}
	return v.Say("line.fish_depth", name, size, v.Depth(*q.DepthM))
}

// sizeMatters is false where no size would change the answer: a fish that never gets a
// weight, or a dead one. What was assumed of it is then not worth a word.
func sizeMatters(a advisor.Advice) bool {
	return !slices.ContainsFunc(a.Reasons, func(n advisor.Note) bool { return slices.Contains(weightless, n.Code) })
}

// weightless are the reasons for which no fish of any size gets a weight.
var weightless = []advisor.NoteCode{advisor.ReasonNoBladder, advisor.ReasonOpenBladder, advisor.ReasonNeverTouch, advisor.ReasonDead}

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
		lines[i] = words.SentenceCase(sayNote(v, p.Why))
	}
	return lines
}

// whyLine says what sending down gains, or why it is not done.
func whyLine(v words.Voice, a advisor.Advice) string {
	for _, n := range a.Reasons {
		if slices.Contains(decisive, n.Code) {
			return words.SentenceCase(sayNote(v, n))
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
	case g.Little() && math.Round(10*g.Low) < 0 && g.High >= 0:
		return v.Say("line.gain_either", v.MoreOfTen(-g.Low), v.MoreOfTen(g.High), live)
	case g.Little():
		return v.Say("line.gain_little", v.MoreOfTen(g.Low), v.MoreOfTen(g.High), live)
	}
	return words.SentenceCase(v.Say("line.gain", live, v.MoreOfTen(g.P), v.MoreOfTen(g.Low), v.MoreOfTen(g.High)))
}

// decisive are the reasons that stand where the gain would: no weight is used.
var decisive = []advisor.NoteCode{
	advisor.ReasonDead, advisor.ReasonNoBladder, advisor.ReasonOpenBladder, advisor.ReasonShallow,
	advisor.ReasonShallowStrong, advisor.ReasonStrong, advisor.ReasonNoSigns, advisor.ReasonVentsItself, advisor.ReasonNeverTouch,
}

// longWayM is the depth from which it is told how deep is enough, in metres: from there a
// line may be too short, or the current too strong. Ours.
const longWayM = 60

// wayLine says how long the way down takes and how it ends; what to do should a fish that
// is let go at the top float, or where what is aboard does not carry it.
func wayLine(v words.Voice, a advisor.Advice) line {
	switch {
	case hasNote(a.Cautions, advisor.CautionWatch):
		return line{v.Say("line.watch"), v.Say("line.watch_short")}
	case a.Action != advisor.ActRecompress:
		return line{}
	case len(a.ReleaseWeightsOz) == 0:
		return same(v.Say("line.anything"))
	case hasNote(a.Reasons, advisor.ReasonTooLight) && lackingOz(a) > farTooLightOz:
		return same(v.Say("line.far_light", v.Mass(*a.NeededOz*advisor.GramsPerOunce/1000)))
	case hasNote(a.Reasons, advisor.ReasonTooLight):
		return same(v.Say("line.too_light"))
	case a.DescentS == nil:
		return line{}
	}
	way := v.DurationRange(a.DescentRangeS[0], a.DescentRangeS[1])
	down := v.Say("line.descent", way)
	switch {
	case a.MayHang:
		return line{v.Say("line.descent_hang", way), v.Say("line.hang")}
	case *a.ReleaseDepthM >= longWayM && *a.EnoughDepthM < *a.ReleaseDepthM:
		return line{v.Say("line.descent_enough", way, v.DepthAbout(*a.EnoughDepthM)), down}
	}
	return same(down)
}

// remarks are what was refused, not read, taken for granted or asked: what may change the
// answer goes before what only explains it or would make it surer.
func remarks(v words.Voice, m understand.Meaning, a advisor.Advice, unread []string, others int) parts {
	p := parts{join: sentences}
	var look []string
	for _, n := range a.Reasons {
		switch n.Code {
		case advisor.ReasonMixedKinds:
			if !m.Query.Ambiguous { // else it is asked which
				p.first = append(p.first, sayNote(v, n))
			}
		case advisor.ReasonPractice:
			p.first = append(p.first, v.Say("line.practice", n.Words[0], n.Words[1]))
		case advisor.ReasonLook:
			look = append(look, sayNote(v, n))
		}
	}
	for _, problem := range m.Problems {
		p.first = append(p.first, sayNote(v, problem.Why))
	}
	p.first = appendLine(p.first, ownLead(v, m.Query, a))
	if len(unread) > 0 {
		p.first = append(p.first, v.Say("line.unread", strings.Join(unread, ", ")))
	}
	if others == twoOthers { // with room enough it is told for certain
		p.first, look = append(p.first, look...), nil
	}
	must, may := taken(v, a)
	p.first = append(p.first, must...)
	p.rest = append(p.rest, look...)
	ask, urgent := askFor(v, m, a, others)
	if urgent {
		p.first = appendLine(p.first, ask)
	} else {
		p.rest = appendLine(p.rest, ask)
	}
	p.rest = append(p.rest, may...)
	for _, n := range a.Reasons {
		if slices.Contains(explaining, n.Code) {
			p.rest = append(p.rest, sayNote(v, n))
		}
	}
	if a.Survival != nil && a.Survival.Basis.DeeperThanSeen && a.Gain != nil {
		p.rest = append(p.rest, v.Say("line.odds_flag"))
	}
	return p
}

// explaining are the reasons that are told where there is room.
var explaining = []advisor.NoteCode{advisor.ReasonLead, advisor.ReasonBelowPractice, advisor.ReasonCustomFarMore}

// taken are the things taken for granted of the fish that its line does not show; that it
// was sent down for what is seen, the answer shows too.
func taken(v words.Voice, a advisor.Advice) (must, may []string) {
	for _, n := range a.Assumed {
		switch n.Code {
		case advisor.AssumedWeights, advisor.AssumedDeepEnd, advisor.AssumedTypicalSize, advisor.AssumedFromLength, advisor.AssumedSpecies,
			advisor.AssumedLengthType, advisor.AssumedShape, advisor.AssumedNoName:
		case advisor.AssumedBladder:
			if sizeMatters(a) {
				must = append(must, sayNote(v, n))
			}
		case advisor.AssumedTrapped:
			may = append(may, sayNote(v, n))
		default:
			must = append(must, sayNote(v, n))
		}
	}
	return must, may
}

// ownLead says that the person's own lead is counted on, since they told of no release
// weight; "" where it is not.
func ownLead(v words.Voice, q advisor.Query, a advisor.Advice) string {
	if len(q.WeightsAboardOz) > 0 || q.NoWeight || !hasNote(a.Reasons, advisor.ReasonLead) {
		return ""
	}
	return v.Say("line.own_lead")
}

// saidOf are the lines that tell what was not known or assumed of the fish itself.
func saidOf(v words.Voice, m understand.Meaning, a advisor.Advice) (list []string) {
	for _, n := range a.Assumed {
		if n.Code != advisor.AssumedWeights && n.Code != advisor.AssumedDeepEnd && n.Code != advisor.AssumedTypicalSize {
			list = append(list, sayNote(v, n))
		}
	}
	list = appendLine(list, ownLead(v, m.Query, a))
	ask, _ := askFor(v, m, a, twoOthers)
	return appendLine(list, ask)
}

// askFor is what is asked of the person; urgent where the answer may be another fish's, or
// where there is none without it. others is how many names of others are told.
func askFor(v words.Voice, m understand.Meaning, a advisor.Advice, others int) (ask string, urgent bool) {
	switch {
	case hasNote(a.Reasons, advisor.ReasonDead):
		return "", false // nothing would change the answer
	case a.Action == advisor.ActNone && slices.Contains(m.Missing, understand.MissingDepth):
		return v.Say("line.tell_depth"), true
	case m.Query.Ambiguous && neverTraps(a):
		return "", false // whichever it is
	case m.Query.Ambiguous:
		return askWhich(v, m, a, others), true
	case slices.Contains(m.Missing, understand.MissingSpecies):
		return v.Say("line.tell_species"), true
	case slices.Contains(m.Missing, understand.MissingSize) && sizeMatters(a):
		return v.Say("line.tell_size"), false
	}
	return "", false
}

// neverTraps is true where none of the fish that the name fits traps gas.
func neverTraps(a advisor.Advice) bool {
	return !a.Species.TrapsGas() && !hasNote(a.Reasons, advisor.ReasonMixedKinds) && !hasNote(a.Reasons, advisor.ReasonNeverTouch)
}

// How many names of others are told to ask which it is, with room and without.
const twoOthers, oneOther = 2, 1

// askWhich asks which of the fish that have a name it is; "" where only one is left. That
// some have a gas bladder and some have not counts as a name.
func askWhich(v words.Voice, m understand.Meaning, a advisor.Advice, n int) string {
	others := otherNames(v, m.Query, firstOf(m.Named, nameAsked(v, m.Query)))
	if len(others) == 0 {
		return ""
	}
	switch mixed := hasNote(a.Reasons, advisor.ReasonMixedKinds); {
	case mixed && a.Species.TrapsGas():
		others = append(others[:n-1], v.Say("line.one_without"))
	case mixed:
		others = append(others[:n-1], v.Say("line.one_with"))
	}
	list := strings.Join(others[:min(n, len(others))], ", ")
	if m.Named == "" { // named before: their word is not ours to guess
		return v.Say("line.also_fits", list)
	}
	return v.Say("line.several_fit", m.Named, list)
}

// nameAsked is the name of the fish where it was not typed in this message.
func nameAsked(v words.Voice, q advisor.Query) string {
	if s := advisor.LookUp(q.Species); s != nil {
		return understand.InSentence(nameOf(v, s))
	}
	return q.SpeciesName
}

// otherNames lists the next two candidates that are worth choosing from: a whole group of
// fish whose gas behaves alike is not. One whose whole name is what was typed is told
// by its scientific name too: "pargo" can also be pargo (Pagrus pagrus).
func otherNames(v words.Voice, q advisor.Query, asked string) (names []string) {
	chosen := advisor.LookUp(q.Species)
	for _, c := range q.Candidates {
		if s := advisor.LookUp(c); s != nil && c != q.Species && len(names) < 2 && !vague(s, chosen) {
			name := understand.InSentence(nameOf(v, s))
			if name == asked || name+"s" == asked {
				name += " (" + s.ScientificName + ")"
			}
			names = append(names, name)
		}
	}
	return names
}

// vague is true of a group of fish, a genus or a family, that is answered as the chosen fish.
func vague(s, chosen *advisor.Species) bool {
	return s.Rank != "species" && chosen != nil && s.TrapsGas() == chosen.TrapsGas()
}

// graveDanger says what can hurt badly, before anybody takes hold of the fish.
func graveDanger(v words.Voice, a advisor.Advice) string {
	if len(a.Cautions) == 0 || !advisor.Grave(a.Cautions[0].Code) {
		return ""
	}
	return sayNote(v, a.Cautions[0])
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

// cautionLines are what can hurt badly, with the most urgent care, and else the line of
// care; the most urgent is always told. Nobody takes hold of a fish that nothing is done with.
func cautionLines(v words.Voice, a advisor.Advice) (danger, care parts) {
	danger.join, care.join = clauses(v, "line.danger"), clauses(v, "line.care")
	first, rest := cares(v, a)
	n := min(1, len(first))
	switch grave := graveDanger(v, a); {
	case grave != "" && a.Action == advisor.ActNone:
		danger.first = []string{grave}
	case grave != "":
		danger.first, danger.rest = append([]string{grave}, first[:n]...), first[n:]
	case a.Action != advisor.ActNone:
		care.first, care.rest = first[:n], append(first[n:], rest...)
	}
	return danger, care
}
