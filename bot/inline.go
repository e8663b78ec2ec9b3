package bot

import (
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
)

// meaningOf is what words mean that nothing came before and that no talk goes on from.
func (t *turn) meaningOf(text string) understand.Meaning {
	return meaningAlone(t.Reader.Read(text, t.setting(), learned.Context{}))
}

// inline answers a question typed after the bot's name in any other chat. It
// keeps nothing: the answer belongs to a chat that the bot does not see.
func (t *turn) inline() error {
	m := t.meaningOf(t.m.Inline)
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
