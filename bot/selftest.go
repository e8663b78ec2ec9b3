package bot

import (
	"errors"
	"fmt"

	"deepward/bot/understand"
	"deepward/bot/words"
)

// ErrSelfTest: the program cannot answer the plainest question.
var ErrSelfTest = errors.New("this program fails its self-test and would answer nobody: install it anew, or the version before")

// SelfTest answers one question without a store, by what every answer needs: the
// words that people type, the catalogue of fish, the advice and the sentences. It
// takes no time of its own: what it reads the first message would have to read.
func (e *Engine) SelfTest() error {
	return selfTest(func(text string) Answer {
		return Respond(e.Reader, text, understand.Setting{}, words.For("en", false))
	})
}

func selfTest(respond func(text string) Answer) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w (panic: %v)", ErrSelfTest, r)
		}
	}()
	a := respond("red snapper 45 m 3 kg")
	if a.Kind != understand.Question || a.Query.Species == "" || a.Advice == nil || len(a.Advice.ReleaseWeightsOz) == 0 || a.Reply == "" {
		return fmt.Errorf("%w (a plain question was not answered)", ErrSelfTest)
	}
	return nil
}
