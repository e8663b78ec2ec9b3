package talk

import (
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"deepward/advisor"
	"deepward/bot/understand"
)

// Now is what is known besides the words.
type Now struct {
	// At is when the message was written, by the clock of the place.
	At time.Time
	// Units are those the person or the club has set; zero where they did not.
	Units Units
	// Usual are those that most people tell figures in where this person fishes; zero
	// where they differ.
	Usual Units
	// Habit are those that the person mostly tells figures in; zero where it is not known yet.
	Habit Units
}

// Next takes one message in: what it brings about, and the state after it. Rows that
// are to be kept have no number yet: hand those they get to State.Number.
func Next(s State, r understand.Reading, now Now) (Move, State) {
	t := teller{s: s.aged(now.At), r: r, now: now}
	if now.At.Sub(s.At) > FishLasts { // another talk: a slip of the last one is no habit
		t.s.Units = now.Habit.Or(s.Units)
	}
	t.s.Fish, t.s.Rows = slices.Clone(t.s.Fish), slices.Clone(t.s.Rows)
	t.r.Fish = slices.Clone(r.Fish)
	t.r.Number = NumberIn(r)
	if m, ok := t.reweigh(); ok {
		t.learn()
		t.s.Did, t.s.Act, t.s.Told = m.Do, understand.ActCorrection, []string{usedField}
		return m, t.s
	}
	t.sort()
	t.weighRelatives()
	t.asTold()
	t.sameAgain()
	t.completes()
	t.tellsFate()
	t.used()
	t.heavy()
	t.equip()
	t.lend()
	m := t.move()
	m.Dropped = t.dropped
	t.learn()
	t.s.Did, t.s.Act = m.Do, t.r.Act
	if m.Do != Nothing {
		t.s.Told = t.figures()
	}
	return m, t.s
}

// NumberIn is the number of a report that a message says, 0 for none.
func NumberIn(r understand.Reading) uint64 {
	if n, err := strconv.ParseUint(strings.TrimLeftFunc(r.Rest, func(c rune) bool { return !unicode.IsDigit(c) }), 10, 32); err == nil && r.Want == understand.WantUndo {
		return n
	}
	return r.Number
}

// mumbled is the chance up to which a message that is taken for talk may yet tell what is
// aboard.
const mumbled = 0.8

// teller is one message in the light of a state.
type teller struct {
	s   State
	r   understand.Reading
	now Now
	// assumed are the bare figures that were taken in the person's unit.
	assumed []Lent
	// unsure is a bare figure whose unit nobody knows.
	unsure Ask
	kept   int
	// dropped are names that were not taken for those of a fish.
	dropped []string
	// told is the place of the first new fish of the message.
	told int
}

func (t *teller) move() Move {
	switch {
	case t.putsBack():
		return t.putBack()
	case t.r.Want == understand.WantUndo && (t.r.Verb == "" || t.r.Verb == "undo"):
		return t.undo()
	case t.asksWhichWeight():
		t.r.Verb, t.r.Want = "", understand.WantRelease
		return t.question()
	case t.r.Verb != "" || t.r.Act == understand.ActCommand:
		return Move{Do: Command, Want: t.r.Want}
	case t.r.Act == understand.ActCorrection:
		return t.correct()
	case t.r.Act == understand.ActReport:
		return t.report()
	case t.r.Act == understand.ActQuestion:
		return t.question()
	case t.answers():
		return t.question()
	case t.r.Sure <= mumbled && t.s.focus() >= 0 && (len(t.r.Aboard.ReleaseOz) > 0 || t.r.Aboard.None):
		return t.question()
	}
	return Move{}
}

// asksWhichWeight is true for a question which weight to take, right after a fish was told with
// its depth: it is asked for that one, and not which weights there are. The bare command is not.
func (t *teller) asksWhichWeight() bool {
	i := t.s.focus()
	return t.r.Want == understand.WantWeights && len(t.r.Fish) == 0 && i >= 0 && t.s.Fish[i].Query.DepthM != nil && len(t.s.Fish[i].Rows) == 0 &&
		t.isShort() && strings.Contains(t.r.Text, " ")
}

// fewWords is how many words a message has at most that says "done" and little else.
const fewWords = 4

func (t *teller) isShort() bool { return len(strings.Fields(t.r.Text)) <= fewWords }

// asTold takes a bare "done" for the report of the fish that was advised on.
func (t *teller) asTold() {
	i := t.s.focus()
	if !t.r.Again.AsTold || t.r.Act == understand.ActQuestion || t.r.Verb != "" || i < 0 || len(t.s.Fish[i].Rows) > 0 {
		return
	}
	if t.s.Act == understand.ActQuestion && t.isShort() {
		t.r.Act, t.r.Want = understand.ActReport, ""
	}
}

// completes takes a question or a correction that only tells figures which the fish just
// reported lack for what completes their report.
func (t *teller) completes() {
	if len(t.r.Fish) == 0 || t.r.Verb != "" || t.r.Want != "" && t.r.Want != understand.WantRelease || len(t.focusRows()) == 0 || t.isAnother() {
		return
	}
	act, a := t.r.Act, t.r.Again
	if t.r.Number > 0 || act == understand.ActCorrection && (a.Nth > 0 || a.Last || t.has("weight_kg") || t.has("length_cm")) {
		return
	}
	t.r.Act = understand.ActReport
	for _, f := range t.r.Fish {
		i := t.s.focus()
		if isNamed(f) {
			i = t.named(f)
		}
		if i == none || len(t.rowsOf(t.s.Fish[i])) == 0 || !t.fillsIn(t.s.Fish[i].Fish, f) || !tellsNoFate(f) {
			t.r.Act = act
			return
		}
	}
	t.r.Want, t.r.Corrects = "", false
}

// sameAgain takes a bare "same again" or "another, 3 kg", right after a report, for one
// more of them: who asks says what ails it, or puts a question mark.
func (t *teller) sameAgain() {
	a := t.r.Again
	if !a.All && !a.Another || t.r.Verb != "" || len(t.focusRows()) == 0 || t.s.Act != understand.ActReport {
		return
	}
	if t.r.Want == understand.WantUndo || t.r.Want == understand.WantPutBack || strings.Contains(t.r.Text, "?") {
		return
	}
	if t.ailsNow() {
		return
	}
	if t.isShort() && a.All && t.r.Act != understand.ActCorrection || t.tellsOneMore() {
		t.r.Act, t.r.Want = understand.ActReport, ""
	}
}

// ailsNow takes one more like the last, of which only is told what ails it, for one that is here
// and to be advised on: "another one the same but this one's bleeding".
func (t *teller) ailsNow() bool {
	if len(t.r.Fish) != 1 || t.r.Act == understand.ActCorrection || isDone(t.r.Fish[0]) {
		return false
	}
	q := t.r.Fish[0].Query
	if !q.Bleeding && len(q.Signs) == 0 && q.Behaviour != advisor.Floating && q.Behaviour != advisor.Weak && q.Hook != advisor.HookGut && q.Hook != advisor.HookGill {
		return false
	}
	t.r.Act, t.r.Want = understand.ActQuestion, understand.WantRelease
	return true
}

// fewMore is how many words a message has at most that tells of one more and its size.
const fewMore = 9

// tellsOneMore is true for words that say that it is one more, how many, how big, and
// nothing that asks for advice.
func (t *teller) tellsOneMore() bool {
	if t.r.Act == understand.ActReport || t.r.Act == understand.ActCommand || len(t.r.Fish) > 1 || len(strings.Fields(t.r.Text)) > fewMore {
		return false
	}
	if len(t.r.Fish) == 0 {
		return t.isShort() && t.r.Act != understand.ActCorrection
	}
	f := t.r.Fish[0]
	last := t.s.Fish[t.s.focus()].Query
	plain := (!isNamed(f) || t.r.Again.All && sameKind(last, f.Query)) && f.Query.DepthM == nil && tellsNoFate(f)
	return plain && (t.r.Want == "" || t.r.Want == understand.WantRelease) && (t.r.Act != understand.ActCorrection || f.Counted || hasSize(f.Query))
}

// heavy takes a weight told of a fish whose weight is known, and that is far below it, for
// one that is aboard: "2 lb is all I've got". Nothing that corrects is one.
func (t *teller) heavy() {
	const part, most = 0.6, 5.0 // kilograms
	i := t.s.focus()
	if t.r.Act != understand.ActQuestion || t.r.Corrects || i < 0 || len(t.r.Fish) != 1 || len(t.s.Fish[i].Rows) > 0 || t.supposes() {
		return
	}
	f, known := &t.r.Fish[0], t.s.Fish[i].Query.WeightKg
	x := f.Query.WeightKg
	if known == nil || x == nil || isNamed(*f) || f.Counted || t.isAnother() || *x > most || *x > part**known {
		return
	}
	if f.Query.DepthM != nil || len(f.Query.Signs) > 0 || len(t.r.Aboard.ReleaseOz) > 0 {
		return
	}
	t.r.Aboard.ReleaseOz = []float64{*x * 1000 / advisor.GramsPerOunce}
	f.Query.WeightKg = nil
}

// ifs begin what is only supposed of a fish: "what if it was 2 kg". Elsewhere in a message
// they are yes or himself in some languages.
var ifs = []string{"if", "what if", "and if", "si", "y si", "et si", "se", "e se", "suppose", "imagine", "imagina"}

// supposes is true for a message that supposes something of a fish.
func (t *teller) supposes() bool {
	text := understand.Plain(t.r.Text) + " "
	return slices.ContainsFunc(ifs, func(w string) bool { return strings.HasPrefix(text, w+" ") })
}

// equip notes what is aboard.
func (t *teller) equip() {
	a := t.r.Aboard
	if len(a.ReleaseOz) == 0 && len(a.LeadG) == 0 && !a.None {
		return
	}
	if len(a.ReleaseOz) == 0 && !a.None {
		a.ReleaseOz, a.None = t.s.Aboard.ReleaseOz, t.s.Aboard.None
	}
	t.s.Aboard, t.s.AboardAt = a, t.now.At
}

// sort drops what a reading cannot mean here: the number of no report, a name that no
// fish has where one is talked of.
func (t *teller) sort() {
	if !slices.ContainsFunc(t.s.Rows, t.isNumbered) && t.r.Verb == "" {
		t.r.Number = 0
	}
	open := t.s.focus() >= 0
	for i := range t.r.Fish {
		f := &t.r.Fish[i]
		unknown := f.Query.Species == "" && len(f.Query.Candidates) == 0 && f.Name != ""
		if unknown && open && f.Query.DepthM == nil && (t.r.Act != understand.ActQuestion || !hasSize(f.Query) || t.lacksSize()) {
			t.dropped = append(t.dropped, f.Name)
			f.Name, f.Query.SpeciesName = "", ""
		}
	}
	t.freedAt()
}

// lacksSize is true where the fish that is talked of is open, and its size is not known.
func (t *teller) lacksSize() bool {
	f := t.s.Fish[t.s.focus()]
	return len(f.Rows) == 0 && !hasSize(f.Query) && f.Query.DepthM != nil && !t.isAnother()
}

// freedAt takes the depth in a report of a fish whose depth is known for the depth that
// it was freed at.
func (t *teller) freedAt() {
	i := t.s.focus()
	if i < 0 || len(t.r.Fish) != 1 {
		return
	}
	f, known := &t.r.Fish[0], t.s.Fish[i].Query.DepthM
	if t.caughtAt(f, t.s.Fish[i].Fish) {
		f.Query.DepthM, f.Done.ReleaseDepthM, f.Done.Method = f.Done.ReleaseDepthM, nil, ""
		return
	}
	if t.r.Again.Spot || t.r.Again.All || t.isAnother() {
		return
	}
	if isNamed(*f) || hasSize(f.Query) || f.Query.DepthM == nil || known == nil || f.Done.ReleaseDepthM != nil {
		return
	}
	if t.isDepthOfAnother(i, f.Query.DepthM) {
		return
	}
	report := t.r.Act == understand.ActReport && *f.Query.DepthM < *known && f.Done.Method != advisor.Surface
	again := t.r.Act == understand.ActCorrection && slices.Contains(t.s.Told, "release_depth_m") && !slices.Contains(t.s.Told, "depth_m")
	if report || again {
		f.Done.ReleaseDepthM, f.Query.DepthM, f.Query.DepthRangeM = f.Query.DepthM, nil, nil
	}
}

// isDepthOfAnother is true for the depth that another fish of the talk came from, and not the
// i-th: "the one from 40 m".
func (t *teller) isDepthOfAnother(i int, x *float64) bool {
	for k, f := range t.s.Fish {
		if k != i && len(f.Rows) == 0 && f.Query.DepthM != nil && !differs(f.Query.DepthM, x) {
			return true
		}
	}
	return false
}

// caughtAt is true for a correction that seems to tell where a fish was freed, of one that
// was let go at the top, or of which no such depth was told and the figure is near the
// depth that it came from.
func (t *teller) caughtAt(f *understand.Fish, known understand.Fish) bool {
	x, depth := f.Done.ReleaseDepthM, known.Query.DepthM
	if t.r.Act != understand.ActCorrection || x == nil || f.Query.DepthM != nil || depth == nil || known.Done.ReleaseDepthM != nil {
		return false
	}
	const near = 0.7
	return known.Done.Method == advisor.Surface || *x >= near**depth && *x <= *depth/near
}

// captureFields are the figures that a fish was caught with, in the order in which they are weighed.
var captureFields = []string{"depth_m", "weight_kg", "length_cm"}

// figureFields are the figures of a fish, by the names of the JSON contract, in their order.
var figureFields = []string{"depth_m", "length_cm", "release_depth_m", "weight_kg"}

// figures are the fields that the message told.
func (t *teller) figures() (list []string) {
	for _, field := range figureFields {
		if slices.ContainsFunc(t.r.Fish, func(f understand.Fish) bool { return *f.Figure(field) != nil }) {
			list = append(list, field)
		}
	}
	if slices.ContainsFunc(t.r.Fish, func(f understand.Fish) bool { return len(f.Done.WeightsOz) > 0 }) {
		list = append(list, usedField)
	}
	return list
}

// mostThings is how many words for what serves as a weight are remembered.
const mostThings = 24

// learn notes the units in which figures were told, and the one that was asked for.
func (t *teller) learn() {
	t.s.Units = Units(t.r.Told).Or(t.s.Units)
	t.s.Things = slices.Concat(t.s.Things, t.r.Things)
	t.s.Things = t.s.Things[max(0, len(t.s.Things)-mostThings):]
}

// answers is true for words that say nothing but what was asked.
func (t *teller) answers() bool {
	return t.s.Asked.What != "" && (len(t.r.Fish) > 0 || t.unsure.What != "")
}
