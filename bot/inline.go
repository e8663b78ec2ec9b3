package bot

import (
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

// inline answers a question typed after the bot's name in any other chat. It
// keeps nothing: the answer belongs to a chat that the bot does not see.
func (t *turn) inline() error {
	m := t.Reader.Understand(t.m.Inline, t.setting())
	r := Reply{InlineID: t.m.InlineID}
	if m.Kind == understand.Question && reportable([]advisor.Query{m.Query}) {
		fish := []advisor.Query{m.Query}
		t.equip(fish)
		m.Query = fish[0]
		r.Text = wordAdvice(t.voice, m, advisor.Advise(fish[0]))
		r.Title, _, _ = strings.Cut(r.Text, "\n")
	}
	t.replies = append(t.replies, r)
	return nil
}
