package bot

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/words"
)

// Every key that the code says, and every code of the core, has a sentence.
func TestEverySentenceExists(t *testing.T) {
	said := regexp.MustCompile(`(?:Say|tell|notice)\("([a-z_]+(?:\.[a-z_]+)+)"`)
	coded := regexp.MustCompile(`NoteCode = "([a-z_.]+)"`)
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, more := range []string{"understand/*.go", "../advisor/*.go"} {
		list, err := filepath.Glob(more)
		require.NoError(t, err)
		files = append(files, list...)
	}
	found := 0
	for _, file := range files {
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, form := range []*regexp.Regexp{said, coded} {
			for _, m := range form.FindAllStringSubmatch(string(source), -1) {
				assert.True(t, words.Has(m[1]), "%s says %q, which en.json lacks", file, m[1])
				found++
			}
		}
	}
	for _, c := range Commands {
		assert.True(t, words.Has(c.Key), c.Key)
	}
	assert.Greater(t, found, 100)
}
