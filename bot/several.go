package bot

import (
	"fmt"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// wordSeveral answers several fish of one message: one line each, then what to
// take care of once.
func wordSeveral(v words.Voice, fish []advisor.Query, problems []understand.Problem) string {
	var lines []string
	var care string
	for i, q := range fish {
		a := advisor.Advise(q)
		lines = append(lines, fmt.Sprintf("%d. %s", i+1, severalLine(v, q, a)))
		if care == "" || a.Action == advisor.ActRecompress {
			care = careOf(v, a)
		}
	}
	lines = append(lines, problemLines(v, problems)...)
	return strings.Join(append(lines, care), "\n")
}

// careOf is what to take care of with one of several fish: what can hurt badly before all.
func careOf(v words.Voice, a advisor.Advice) string {
	danger, care := cautionLines(v, a)
	return firstOf(danger.within(2), care.within(2))
}

// severalLine is the whole answer for one of several fish.
func severalLine(v words.Voice, q advisor.Query, a advisor.Advice) string {
	v = voiceFor(v, q)
	line := headline(v, a) + " · " + fishLine(v, q, a).short
	if a.Gain != nil && a.Action == advisor.ActRecompress && !a.Gain.Little() {
		line += " · " + v.Say("line.gain_short", v.MoreOfTen(a.Gain.P))
	}
	return line
}
