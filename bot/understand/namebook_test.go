package understand

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor/packed"
)

func TestTablesArePackedAsTheyStand(t *testing.T) {
	for name, gzip := range map[string][]byte{"names_heard.csv": namesHeardGzip, "words.csv": wordsGzip} {
		table, err := os.ReadFile("data/" + name)
		require.NoError(t, err)
		assert.True(t, string(table) == string(packed.Open(gzip)), "%s has changed: go generate ./bot/understand", name)
	}
}

func BenchmarkNameBook(b *testing.B) {
	names()
	regions()
	rows := namesHeard()
	for b.Loop() {
		newNameBook(rows)
	}
}

func BenchmarkResolve(b *testing.B) {
	s := Setting{Region: "US Gulf of Mexico", Language: "en"}
	for name, typed := range map[string]string{"exact": "red snapper", "misspelt": "yelowtale snaper", "unknown": "blorgfish xyz"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Resolve(typed, s)
			}
		})
	}
}
