package bot

import (
	"cmp"
	"slices"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
)

// unitButtons answer in what unit a bare depth was told, the person's own unit first. Those
// in which it would be deeper than is dealt with are left out.
func (t *turn) unitButtons(n uint64, m understand.Meaning) [][]Button {
	asked := t.talk.Asked
	open := slices.ContainsFunc(m.Problems, func(p understand.Problem) bool { return p.Why.Code == understand.NoUnit })
	if !open || t.m.Edited || n != t.session.Question || asked.What != talk.AskUnit || asked.Field != "depth_m" {
		return nil
	}
	var row []Button
	for _, u := range t.depthUnits() {
		if asked.Value*u.Factor <= understand.MaxDepthM {
			row = append(row, button(t.voice.DepthTold(asked.Value, u.Name), pressUnit, n, u.Name))
		}
	}
	if len(row) == 0 {
		return nil
	}
	return [][]Button{row}
}

// depthUnits are the units of depths, that of the person or the region first.
func (t *turn) depthUnits() []talk.Unit {
	own := cmp.Or(t.units().Depth, t.talk.Units.Depth, t.habit().Depth, t.usualUnits().Depth)
	list := slices.Clone(talk.DepthUnits)
	slices.SortStableFunc(list, func(a, b talk.Unit) int {
		switch own {
		case a.Factor:
			return -1
		case b.Factor:
			return 1
		}
		return 0
	})
	return list
}

// pressUnit takes a tap for the word of that unit, while it is still asked: the talk goes
// on as if it had been typed, and the answer takes the place of the question.
func (t *turn) pressUnit(n uint64, name string) error {
	asked, ok := t.pressedQuestion(n)
	if !ok {
		return t.notice("press.not_yours")
	}
	t.origin.at = t.now
	state, err := t.loadTalk()
	if err != nil {
		return err
	}
	open := state.Open(t.here(t.now))
	i := slices.IndexFunc(talk.DepthUnits, func(u talk.Unit) bool { return u.Name == name })
	if i < 0 || n != t.session.Question || open.What != talk.AskUnit || open.Field != "depth_m" {
		return t.notice("press.old")
	}
	t.talk = state
	t.origin.message, t.origin.thread = asked.Message, asked.Thread
	return t.converse(understand.Reading{
		Text: asked.Text, Act: understand.ActQuestion, Want: understand.WantRelease,
		Unit: understand.LoneUnit{Field: open.Field, Factor: talk.DepthUnits[i].Factor},
	}, state)
}

// takenAs says in what units bare figures were taken.
func takenAs(lent []talk.Lent) (list []understand.Problem) {
	for _, l := range lent {
		code := understand.TakenAs
		if l.Habit {
			code = understand.TakenByHabit
		}
		note := advisor.Note{Code: code, Figures: []float64{l.Value}, Words: []string{l.Unit}}
		list = append(list, understand.Problem{Field: l.Field, Why: note})
	}
	return list
}
