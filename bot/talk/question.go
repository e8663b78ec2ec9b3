package talk

import (
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// question answers what is asked of the fish that are talked of.
func (t *teller) question() Move {
	want := t.r.Want
	if want == "" {
		want = understand.WantRelease
	}
	m := Move{Do: Answer, Want: want, Assumed: t.assumed}
	if back, ok := t.cameBack(); ok {
		return back
	}
	before := slices.Clone(t.s.Fish)
	touched := t.touch()
	if len(touched) == 0 && t.s.focus() >= 0 {
		touched = t.asked()
	}
	for _, i := range touched {
		m.Fish = append(m.Fish, t.s.Fish[i].Fish)
	}
	m.Again = t.floatsAgain(touched)
	t.ask(m)
	if t.supposes() && len(before) > 0 && t.s.Asked.What == "" { // nobody has caught that one
		t.s.Fish = before
	}
	if len(m.Fish) == 0 && want == understand.WantRelease {
		m.Do = AskBack
	}
	return m
}

// floatsAgain is true where what is asked about, and nothing new of it, came up again after it
// was sent down.
func (t *teller) floatsAgain(touched []int) bool {
	if len(touched) != 1 || len(t.r.Fish) > 0 {
		return false
	}
	rows := t.rowsOf(t.s.Fish[touched[0]])
	return len(rows) > 0 && rows[len(rows)-1].Fish.Done.Outcome == advisor.FloatedOff && rows[len(rows)-1].Fish.Done.Method == advisor.Recompressed
}

// asked are the places of the fish that a question without any is about: all those that were
// told together last and have no report.
func (t *teller) asked() []int {
	last := t.s.focus()
	places := []int{last}
	for i := last - 1; i >= 0 && t.s.Fish[i].Told == t.s.Fish[last].Told && len(t.s.Fish[i].Rows) == 0; i-- {
		places = append([]int{i}, places...)
	}
	return places
}

// touch puts the fish of the message into the talk and returns their places.
func (t *teller) touch() []int {
	groups := t.shareDepth(t.r.Fish)
	if places := t.touchMeant(groups); places != nil {
		return places
	}
	if places := t.apart(groups); places != nil {
		return places
	}
	shareCounts(groups)
	var fish []Fish
	for k, f := range groups {
		if k > 0 && (!isNamed(f) || t.isFellow(groups[:k], f)) { // a further one of the kind just named
			f = like(groups[k-1], f)
			groups[k] = f
			t.add(f)
			fish = append(fish, t.s.Fish[t.s.focus()])
			continue
		}
		t.lead(t.amend(f))
		fish = append(fish, t.s.Fish[t.s.focus()])
	}
	t.trim()
	n := min(len(fish), len(t.s.Fish))
	places := make([]int, n)
	for k := range places {
		places[k] = len(t.s.Fish) - n + k
	}
	return places
}

// shareCounts takes those that are told apart without a name off the count of the fish named
// before them: of "three reds, one with popped eyes" two are left.
func shareCounts(groups []understand.Fish) {
	head := none
	for k, f := range groups {
		if isNamed(f) {
			head = k
			continue
		}
		if head < 0 || !groups[head].Counted {
			continue
		}
		if n := max(1, f.Query.Count); groups[head].Query.Count > n {
			groups[head].Query.Count -= n
		}
	}
}

// apart makes a fish each of several alike that are talked of, where a message tells of as
// many without a name: "two snapper", then "one is 3 kg, the other 1.5".
func (t *teller) apart(groups []understand.Fish) (places []int) {
	i := t.s.focus()
	if i < 0 || len(groups) < 2 || slices.ContainsFunc(groups, isNamed) {
		return nil
	}
	known := t.s.Fish[i]
	all := 0
	for _, f := range groups {
		all += max(1, f.Query.Count)
	}
	if known.Query.Count != all || len(known.Rows) > 0 {
		return nil
	}
	known.Counted = false
	t.s.Fish = slices.Delete(t.s.Fish, i, i+1)
	for _, f := range groups {
		n := max(1, f.Query.Count)
		f.Counted = false
		t.add(mergeFish(known.Fish, f))
		t.s.Fish[t.s.focus()].Query.Count = n
		t.s.Fish[t.s.focus()].Told = known.Told
		places = append(places, t.s.focus())
	}
	return places
}

// isFellow is true for a fish of the kind of one named before it in the message: one more of
// them.
func (t *teller) isFellow(before []understand.Fish, f understand.Fish) bool {
	return slices.ContainsFunc(before, func(b understand.Fish) bool { return isNamed(b) && sameKind(b.Query, f.Query) })
}

// like is f with the name and the depth of the fish named before it in the message.
func like(before, f understand.Fish) understand.Fish {
	base := understand.Fish{Name: before.Name, Query: advisor.Query{
		Species: before.Query.Species, SpeciesName: before.Query.SpeciesName, Candidates: before.Query.Candidates,
		Ambiguous: before.Query.Ambiguous, Given: before.Query.Given, Unfamiliar: before.Query.Unfamiliar,
		Capture: advisor.Capture{DepthM: before.Query.DepthM}, DepthRangeM: before.Query.DepthRangeM, Count: 1,
	}}
	return mergeFish(base, f)
}

// shareDepth gives the depth of one fish to those of the same message that have none.
func (t *teller) shareDepth(fish []understand.Fish) []understand.Fish {
	fish = slices.Clone(fish)
	i := slices.IndexFunc(fish, func(f understand.Fish) bool { return f.Query.DepthM != nil })
	if i < 0 || len(fish) == 1 {
		return fish
	}
	last := fish[i].Query
	for k := range fish {
		if fish[k].Query.DepthM != nil {
			last = fish[k].Query
			continue
		}
		if isNamed(fish[k]) && t.knowsDepth(fish[k]) {
			continue
		}
		fish[k].Query.DepthM, fish[k].Query.DepthRangeM = last.DepthM, last.DepthRangeM
	}
	return fish
}

// knowsDepth is true for a fish that is talked of and whose depth was told.
func (t *teller) knowsDepth(f understand.Fish) bool {
	i := t.named(f)
	return i != none && t.s.Fish[i].Query.DepthM != nil
}

// ask notes what the answer asks.
func (t *teller) ask(m Move) {
	t.s.Asked = Ask{}
	switch {
	case t.unsure.What != "":
		t.s.Asked = t.unsure
	case m.Want != understand.WantRelease:
	case len(m.Fish) == 0:
		t.s.Asked.What = AskFish
	case len(m.Fish) == 1:
		if missing := understand.Missing(m.Fish[0].Query); len(missing) > 0 {
			t.s.Asked.What = missing[0]
		}
	}
}

// cameBack takes word that a fish that was sent down came up again: its report says so,
// and what to do now is answered.
func (t *teller) cameBack() (Move, bool) {
	rows := t.focusRows()
	if len(rows) == 0 || len(t.r.Fish) != 1 || !ending(t.r.Fish[0]) || t.isAnother() || !floats(t.r.Fish[0]) {
		return Move{}, false
	}
	last := rows[len(rows)-1]
	if last.Fish.Done.Method == advisor.Kept {
		return Move{}, false
	}
	f := t.r.Fish[0]
	f.Done.Outcome, f.Query.Behaviour = advisor.FloatedOff, ""
	last.Fish = mergeFish(last.Fish, f)
	m := Move{Do: Change, Want: understand.WantRelease, Change: []Row{last}, Again: true}
	t.change(m.Change)
	answered := last.Fish
	answered.Query.Behaviour = advisor.Floating
	m.Fish = []understand.Fish{answered}
	return m, true
}

// floats is true for a fish that is said to be up at the surface.
func floats(f understand.Fish) bool {
	return f.Done.Outcome == advisor.FloatedOff || f.Done.Outcome == "" && f.Query.Behaviour == advisor.Floating
}

// focusRows are the standing rows made of the fish that is talked of.
func (t *teller) focusRows() []Row {
	i := t.s.focus()
	if i < 0 {
		return nil
	}
	return t.rowsOf(t.s.Fish[i])
}
