package bot

import (
	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
	"deepward/bot/words"
)

// Warm begins to read the tables that an answer needs, side by side; the first message
// waits for what is not read yet.
func Warm() {
	reads := append(understand.Tables(),
		func() { learned.Trained() },
		func() { words.For("en", false) },
		func() { advisor.Posterior() },
		func() { advisor.Findings() },
		func() { advisor.SeasOf("") }, // the gazetteer's fish
	)
	for _, read := range reads {
		go read()
	}
}
