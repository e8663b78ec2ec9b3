package bot

import (
	"cmp"
	"slices"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
)

// unitButtons answer in what unit a bare figure was told, and so which figure it is, the
// person's own unit of depth first. Depths deeper than is dealt with are left out.
func (t *turn) unitButtons(n uint64, m understand.Meaning) [][]Button {
	asked := t.talk.Asked
	open := slices.ContainsFunc(m.Problems, func(p understand.Problem) bool { return p.Why.Code == understand.NoUnit })
	if !open || t.m.Edited || n != t.session.Question || asked.What != talk.AskUnit {
		return nil
	}
	var rows [][]Button
	for _, field := range []string{asked.Field, asked.Other} {
		var row []Button
		for _, r := range t.readings(asked, field) {
			row = append(row, button(t.voice.Told(r.Value, r.Unit), pressUnit, n, r.Unit))
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	return rows
}

// readings are those of a figure that make it one of a field.
func (t *turn) readings(asked talk.Ask, field string) (list []talk.Lent) {
	for _, r := range asked.Readings() {
		if r.Field == field && (field != "depth_m" || r.Value*r.Factor() <= advisor.DeepestM) {
			list = append(list, r)
		}
	}
	own := cmp.Or(t.units().Depth, t.talk.Units.Depth, t.habit().Depth, t.usualUnits().Depth)
	slices.SortStableFunc(list, func(a, b talk.Lent) int {
		switch own {
		case a.Factor():
			return -1
		case b.Factor():
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
	readings := open.Readings()
	i := slices.IndexFunc(readings, func(r talk.Lent) bool { return r.Unit == name })
	if i < 0 || n != t.session.Question || open.What != talk.AskUnit {
		return t.notice("press.old")
	}
	told := readings[i]
	t.talk = state
	t.origin.message, t.origin.thread = asked.Message, asked.Thread
	return t.converse(understand.Reading{
		Text: asked.Text, Act: understand.ActQuestion, Want: understand.WantRelease,
		Unit: understand.LoneUnit{Field: told.Field, Factor: told.Factor()},
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
