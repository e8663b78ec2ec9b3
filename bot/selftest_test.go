package bot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/understand"
	"deepward/bot/words"
)

// A build that cannot answer, or breaks, is found out before a message is taken.
func TestSelfTestFindsABrokenBuild(t *testing.T) {
	e := NewEngine()
	require.NoError(t, e.SelfTest())
	assert.ErrorIs(t, selfTest(func(string) Answer { panic("no catalogue") }), ErrSelfTest)
	for what, harm := range map[string]func(*Answer){
		"no sentence": func(a *Answer) { a.Reply = "" }, "no advice": func(a *Answer) { a.Advice = nil },
		"no fish": func(a *Answer) { a.Query.Species = "" }, "not understood": func(a *Answer) { a.Kind = "other" },
		"no weight": func(a *Answer) { a.Advice.ReleaseWeightsOz = nil },
	} {
		err := selfTest(func(text string) Answer {
			answer := Respond(e.Reader, text, understand.Setting{}, words.For("en", false))
			harm(&answer)
			return answer
		})
		assert.ErrorIs(t, err, ErrSelfTest, what)
	}
}
