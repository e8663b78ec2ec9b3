package terminal_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
	"deepward/bot/terminal"
	"deepward/bot/words"
)

// No word is broken at 60 columns, and nothing is lost.
func TestLinesAreBrokenBetweenWords(t *testing.T) {
	for _, language := range advisor.Languages {
		for _, key := range []string{"hint.help", "how.down", "privacy.text", "lesson.venting"} {
			text := words.For(language, false).Say(key)
			wrapped := terminal.Wrap(text, 60)
			for line := range strings.SplitSeq(wrapped, "\n") {
				assert.LessOrEqual(t, utf8.RuneCountInString(line), 60, line)
			}
			assert.Equal(t, strings.Fields(text), strings.Fields(wrapped), key)
		}
	}
	assert.Equal(t, "as it is, however long", terminal.Wrap("as it is, however long", 0))
	assert.Equal(t, "a\nverylongword\nb", terminal.Wrap("a verylongword b", 5))
}
