package talk

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"deepward/bot/understand"
)

// Now is what is known besides the words.
type Now struct {
	// At is when the message was written, by the clock of the place.
	At time.Time
	// Units are those the person or the club has set; zero where they did not.
	Units Units
}

// Next takes one message in: what it brings about, and the state after it. Rows that
// are to be kept have no number yet: hand those they get to State.Number.
func Next(s State, r understand.Reading, now Now) (Move, State) {
	t := teller{s: s.aged(now.At), r: r, now: now}
	t.s.Fish, t.s.Rows = slices.Clone(t.s.Fish), slices.Clone(t.s.Rows)
	t.r.Fish = slices.Clone(r.Fish)
	if n, err := strconv.ParseUint(strings.TrimLeft(r.Rest, "# "), 10, 32); err == nil && r.Want == understand.WantUndo {
		t.r.Number = n
	}
	t.equip()
	t.lend()
	m := t.move()
	t.learn()
	t.s.Did, t.s.Act = m.Do, r.Act
	return m, t.s
}

// teller is one message in the light of a state.
type teller struct {
	s   State
	r   understand.Reading
	now Now
	// assumed are the fields of bare figures that were taken in the person's unit.
	assumed []string
	// unsure is a bare figure whose unit nobody knows.
	unsure Ask
	kept   int
}

func (t *teller) move() Move {
	switch {
	case t.putsBack():
		return t.putBack()
	case t.r.Want == understand.WantUndo && (t.r.Verb == "" || t.r.Verb == "undo"):
		return t.undo()
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
	}
	return Move{}
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

// learn notes the units of the figures that were told with one.
func (t *teller) learn() {
	if len(t.assumed) > 0 {
		return
	}
	for _, f := range t.r.Fish {
		t.s.Units = t.s.Units.learn(f.Query)
	}
}

// answers is true for words that say nothing but what was asked.
func (t *teller) answers() bool {
	return t.s.Asked.What != "" && (len(t.r.Fish) > 0 || t.unsure.What != "")
}
