package understand

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor/packed"
)

func TestNamesHeardArePackedAsTheyStand(t *testing.T) {
	table, err := os.ReadFile("data/names_heard.csv")
	require.NoError(t, err)
	assert.True(t, string(table) == string(packed.Open(namesHeardGzip)), "names_heard.csv has changed: go generate ./bot/understand")
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
