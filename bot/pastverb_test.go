package bot

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/bot/words"
)

// What is typed to keep, go back in or leave a past log is one word in every language.
func TestVerbsOfAPastLogAreSingleWords(t *testing.T) {
	for _, tag := range words.Languages {
		for _, verb := range []string{pastKeep, pastBack, pastLeave} {
			word := voiceOf(tag.String()).Say("pastword." + verb)
			assert.Len(t, strings.Fields(word), 1, "%s: %q", tag, word)
			assert.Equal(t, verb, pastVerb(" "+strings.ToUpper(word)+"\n"), "%s: %q", tag, word)
		}
	}
	assert.Empty(t, pastVerb("keep it"))
	assert.Empty(t, pastVerb(""))
}
