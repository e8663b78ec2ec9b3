package bot

import (
	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
)

// reanswer answers an edited question anew, in place of the first answer where
// that one is known.
func (t *turn) reanswer(n uint64, m understand.Meaning) error {
	asked, ok := t.pressedQuestion(n)
	if !ok || asked.Text == t.m.Text {
		return nil
	}
	if m.FollowUp { // "and at 70 m" still is about the fish before it
		m.Query, m.More = talk.Merge(asked.Fish[0], m.Query), nil
		m.Problems = append(m.Problems, understand.CheckSize(&m.Query)...)
		m.Missing = understand.Missing(m.Query)
	}
	asked.Fish = append([]advisor.Query{m.Query}, m.More...)
	t.equip(asked.Fish)
	asked.Text, asked.Missing, asked.Day = t.m.Text, m.Missing, m.Done.Day
	if err := t.saveAsked(n, asked); err != nil {
		return err
	}
	r := t.advice(n, asked, m)
	var err error
	if r.Edit, err = t.answeredBy(n); err != nil {
		return err
	}
	t.reply(r)
	return nil
}
