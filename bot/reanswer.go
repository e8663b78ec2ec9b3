package bot

import (
	"deepward/advisor"
	"deepward/bot/understand"
)

// reanswer answers an edited question anew, in place of the first answer where
// that one is known.
func (t *turn) reanswer(n uint64, m understand.Meaning) error {
	asked, ok := t.pressedQuestion(n)
	if !ok || asked.Text == t.m.Text {
		return nil
	}
	asked.Fish = append([]advisor.Query{m.Query}, m.More...)
	t.equip(asked.Fish)
	asked.Text, asked.Missing = t.m.Text, m.Missing
	if err := t.saveAsked(n, asked); err != nil {
		return err
	}
	r := t.advice(n, asked, m)
	r.Edit = asked.Reply
	t.reply(r)
	return nil
}
