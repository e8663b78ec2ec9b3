package bot

import (
	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
)

// Warm begins to read the tables that an answer needs, side by side; the first message
// waits for what is not read yet.
func Warm() {
	reads := append(understand.Tables(),
		func() { learned.Trained() },
		func() { advisor.Posterior() },
		func() { advisor.InEnglish("") }, // the names of the gazetteer's fish
	)
	for _, read := range reads {
		go read()
	}
}
