package talk

import (
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

// none says that a fish is a new one.
const none = -1

// subject is the fish of the talk that a fish of a message is, or none.
func (t *teller) subject(f understand.Fish) int {
	if isNamed(f) {
		return t.named(f)
	}
	i := t.s.focus()
	if n := t.r.Again.Nth; n > 0 && t.r.Act != understand.ActQuestion && n <= len(t.s.Fish) && len(t.s.Fish) > 1 {
		return n - 1
	}
	if i < 0 || t.isAnother() {
		return none
	}
	if len(t.s.Fish[i].Rows) > 0 && t.tellsAnother(t.s.Fish[i].Fish, f) && !t.fillsIn(t.s.Fish[i].Fish, f) {
		return none
	}
	return i
}

// surelyFurther is the chance from which a report is taken for one of a further fish by its
// words alone, and 1 less it that up to which it is not.
const surelyFurther = 0.8

// isAnother is true when the words say that it is a further fish.
func (t *teller) isAnother() bool {
	a := t.r.Again
	said := a.All || a.Species || a.Nth > 1 && t.r.Act != understand.ActCorrection
	if t.r.Act != understand.ActReport || len(t.focusRows()) == 0 {
		return said || a.Another
	}
	return said || a.Another && t.r.Further > 1-surelyFurther || t.r.Further >= surelyFurther && !t.sentAgain()
}

// sentAgain is true for a report without a name or a figure of a fish that had come back up: it
// is that fish again.
func (t *teller) sentAgain() bool {
	rows := t.focusRows()
	f := t.first()
	return rows[len(rows)-1].Fish.Done.Outcome == advisor.FloatedOff && len(t.r.Fish) == 1 && !isNamed(f) && !f.Counted && f.Query.DepthM == nil && !hasSize(f.Query)
}

// goesOn is true for a report of one more fish of the kind reported last: like that one but
// for what is told of it.
func (t *teller) goesOn(f understand.Fish) bool {
	if t.r.Act != understand.ActReport || len(t.focusRows()) == 0 || !t.isAnother() {
		return false
	}
	a, last := t.r.Again, t.s.Fish[t.s.focus()].Query
	return !isNamed(f) || (a.Another || a.All) && sameKind(last, f.Query)
}

// fillsIn is true for figures, and nothing else, that were not told of a fish just reported:
// "let go a red hind", then "30 fathom".
func (t *teller) fillsIn(known, f understand.Fish) bool {
	if t.s.Did != Keep && t.s.Did != Change || t.r.Act == understand.ActCorrection || isDone(f) || f.Counted || strings.Contains(t.r.Text, "?") {
		return false
	}
	told := false
	for _, field := range captureFields {
		x := *f.Figure(field)
		if x != nil && *known.Figure(field) != nil {
			return false
		}
		told = told || x != nil
	}
	return told && !(hasSize(f.Query) && hasSize(known.Query))
}

// tellsAnother is true for figures that are not those of a fish that was reported: what
// follows is of another one.
func (t *teller) tellsAnother(known, f understand.Fish) bool {
	if t.r.Corrects {
		return false
	}
	return differs(known.Query.DepthM, f.Query.DepthM) || differs(known.Query.WeightKg, f.Query.WeightKg) ||
		differs(known.Query.LengthCm, f.Query.LengthCm)
}

func differs(a, b *float64) bool {
	const alike = 0.02
	return b != nil && (a == nil || *a-*b > alike**a || *b-*a > alike**a)
}

// named is the fish of the talk that a named one is: of that kind, of a kind that the
// name may mean, or one that has no name yet.
func (t *teller) named(f understand.Fish) int {
	for i := t.s.focus(); i >= 0; i-- {
		known := t.s.Fish[i]
		open := len(known.Rows) == 0
		switch {
		case !isNamed(known.Fish):
			if open && i == t.s.focus() && !t.isAnother() {
				return i
			}
		case open && i == t.s.focus() && t.onlyName(f) && (t.r.Again.Is || t.renames()):
			return i
		case !t.mayBe(known.Fish, f, open):
		case t.saysFurther(known.Fish, f, open) || open && t.toldAnew(known.Fish, f):
		case open || !t.tellsMore(known, f):
			return i
		}
	}
	return none
}

// saysFurther is true where the words say that one of a kind that is talked of is a further
// one. In a report of several fish they are said of one of those: "the cod went, the other one
// floated".
func (t *teller) saysFurther(known, f understand.Fish, open bool) bool {
	if !t.r.Again.Another && !t.r.Again.All {
		return false
	}
	return !open || t.r.Act != understand.ActReport || len(t.r.Fish) < 2 || t.tellsAnother(known, f)
}

// fewRenames is how many words a message has at most that says what the fish is by its name.
const fewRenames = 9

// renames is true for words that say what the fish is that was asked about, and ask of no other
// one: "old guy on the boat says kitty mitchell", "gag".
func (t *teller) renames() bool {
	words := strings.Fields(understand.Plain(t.r.Text))
	asks := t.r.Act == understand.ActQuestion && t.r.Want == understand.WantRelease
	return asks && len(t.asked()) == 1 && !t.isAnother() && len(words) > 0 && len(words) <= fewRenames && !slices.Contains(furthers, words[0]) && !strings.Contains(t.r.Text, "?")
}

// furthers begin a message that asks of a further fish.
var furthers = []string{"and", "also", "plus", "now", "next", "then", "y", "e", "et", "ahora", "agora", "maintenant", "tambien", "tambem", "aussi", "luego", "puis", "depois"}

// toldAnew is true for a question that tells depth and size of a fish, both other ones than
// those known: it asks about another of that kind.
func (t *teller) toldAnew(known, f understand.Fish) bool {
	if t.r.Act != understand.ActQuestion || t.r.Corrects || known.Query.DepthM == nil || !hasSize(known.Query) || !hasSize(f.Query) {
		return false
	}
	size := differs(known.Query.WeightKg, f.Query.WeightKg) || differs(known.Query.LengthCm, f.Query.LengthCm)
	return size && differs(known.Query.DepthM, f.Query.DepthM)
}

// mayBe is true where the name of f can be that of a fish known before: the same kind,
// or one settles which of several the other meant.
func (t *teller) mayBe(known, f understand.Fish, open bool) bool {
	a, b := known.Query, f.Query
	if a.Species == b.Species && (a.Species != "" || a.SpeciesName == b.SpeciesName) {
		return true
	}
	if !open {
		return b.Ambiguous && slices.Contains(b.Candidates, a.Species)
	}
	return a.Ambiguous && slices.Contains(a.Candidates, b.Species) || b.Ambiguous && slices.Contains(b.Candidates, a.Species) ||
		a.Species == "" && b.Species != "" && t.onlyName(f)
}

// onlyName is true for a message that says what a fish is and nothing else of it.
func (t *teller) onlyName(f understand.Fish) bool {
	q := f.Query
	return len(t.r.Fish) == 1 && q.DepthM == nil && !hasSize(q) && len(q.Signs) == 0 && !isDone(f)
}

// tellsMore is true for figures or deeds that make a named fish another one than that
// of a report of its kind.
func (t *teller) tellsMore(known Fish, f understand.Fish) bool {
	if t.r.Corrects || t.fillsIn(known.Fish, f) {
		return false
	}
	if t.tellsAnother(known.Fish, f) {
		return true
	}
	if t.r.Act != understand.ActReport {
		return isOver(known) && f.Query.DepthM != nil && (len(f.Query.Signs) > 0 || f.Query.Behaviour != "")
	}
	depth, size := f.Query.DepthM != nil, hasSize(f.Query)
	if depth && size || isDone(f) && (depth || size) {
		return true // told whole
	}
	return f.Done.Method != "" && known.Done.Outcome != "" && known.Done.Outcome != advisor.FloatedOff
}

// isOver is true for a fish that is gone for good: nobody asks what to do with it, told anew.
func isOver(f Fish) bool {
	end := f.Done.Outcome
	return f.Done.Method == advisor.Kept || end != "" && end != advisor.FloatedOff
}

// carried is what a new fish has from the one before it, by the words of the message.
func (t *teller) carried(f understand.Fish) understand.Fish {
	i := t.s.focus()
	blank := understand.Fish{Query: advisor.Query{Count: 1}}
	if i < 0 {
		return blank
	}
	last, a := t.s.Fish[i].Fish, t.r.Again
	if t.isWhatIf(f) {
		last.Done, last.Counted, last.Query.Count = understand.Done{}, false, 1
		return last
	}
	if a.All {
		last.Query.Count, last.Counted = 1, false
		done := understand.Done{Release: advisor.Release{Method: last.Done.Method, WeightsOz: last.Done.WeightsOz}}
		if f.Pick != "" {
			done.WeightsOz = nil
		}
		if a.Result || t.saysOnlyAgain(f) || t.goesOn(f) && tellsNoFate(f) {
			done.Outcome = last.Done.Outcome
		}
		last.Done = done
		if isNamed(f) && f.Query.Species != last.Query.Species || a.Otherwise {
			last.Query.WeightKg, last.Query.LengthCm = nil, nil
		}
		return last
	}
	goesOn := t.goesOn(f)
	if !isNamed(f) && (a != understand.Again{} || t.r.FollowUp || goesOn) {
		blank.Name = last.Name
		blank.Query.Species, blank.Query.SpeciesName = last.Query.Species, last.Query.SpeciesName
		blank.Query.Candidates, blank.Query.Ambiguous = last.Query.Candidates, last.Query.Ambiguous
		blank.Query.Given, blank.Query.Unfamiliar = last.Query.Given, last.Query.Unfamiliar
	}
	if a.Spot || a.Another && (!isNamed(f) || sameKind(last.Query, f.Query)) || goesOn {
		blank.Query.DepthM, blank.Query.DepthRangeM = last.Query.DepthM, last.Query.DepthRangeM
	}
	if a.Size {
		blank.Query.WeightKg, blank.Query.LengthCm, blank.Query.LengthType = last.Query.WeightKg, last.Query.LengthCm, last.Query.LengthType
	}
	if a.Result || goesOn && tellsNoFate(f) {
		blank.Done.Outcome = last.Done.Outcome
	}
	sameWay := goesOn && (last.Done.Method != advisor.Kept || f.Done.Outcome == "")
	if a.Deed || a.Result || (a.Spot && t.r.Act == understand.ActReport || sameWay) && f.Done.Method == "" {
		blank.Done.Method, blank.Done.WeightsOz = last.Done.Method, last.Done.WeightsOz
		if f.Pick != "" {
			blank.Done.WeightsOz = nil
		}
	}
	return blank
}

// fewWhatIf is how many words a question has at most that asks of the fish just reported with one
// figure or the name changed: "and at 80?", "y uno de 12".
const fewWhatIf = 6

// isWhatIf is true for such a question.
func (t *teller) isWhatIf(f understand.Fish) bool {
	if t.r.Act != understand.ActQuestion || len(t.r.Fish) != 1 || len(t.focusRows()) == 0 || len(strings.Fields(t.r.Text)) > fewWhatIf && !t.supposes() {
		return false
	}
	told := 0
	for _, field := range captureFields {
		if *f.Figure(field) != nil {
			told++
		}
	}
	if isNamed(f) {
		return told == 0 && t.supposes()
	}
	return told == 1 && len(f.Query.Signs) == 0 && f.Query.Behaviour == "" && !isDone(f)
}

// tellsNoFate is true where nothing is told of what was done with a fish, how it went or
// how it was.
func tellsNoFate(f understand.Fish) bool {
	return !isDone(f) && f.Query.Behaviour == "" && len(f.Query.Signs) == 0
}

// saysOnlyAgain is true for a report that says of what fish it was the same again, and nothing
// of it that is new.
func (t *teller) saysOnlyAgain(f understand.Fish) bool {
	return t.r.Act == understand.ActReport && isNamed(f) && t.onlyName(f) && f.Query.Behaviour == ""
}

// amend puts a fish of a message into the talk and returns its place there.
func (t *teller) amend(f understand.Fish) int {
	i := t.subject(f)
	if i == none {
		t.add(mergeFish(t.carried(f), f))
		t.trim()
		return t.s.focus()
	}
	t.s.Fish[i].Fish = mergeFish(t.s.Fish[i].Fish, f)
	return i
}

// mostFish is how many fish are talked of at a time.
const mostFish = 8

func (t *teller) trim() {
	t.s.Fish = t.s.Fish[max(0, len(t.s.Fish)-mostFish):]
}

// lead makes a fish the one that is talked of now.
func (t *teller) lead(i int) {
	f := t.s.Fish[i]
	t.s.Fish = append(slices.Delete(t.s.Fish, i, i+1), f)
}
