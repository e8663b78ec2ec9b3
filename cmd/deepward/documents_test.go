package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table of traps names the tests that guard against them; one that was renamed
// or dropped would leave a promise without its proof.
func TestDocumentsNameTestsThatExist(t *testing.T) {
	there := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
	require.NoError(t, filepath.WalkDir("../..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range declared.FindAllSubmatch(text, -1) {
			there[string(m[1])] = true
		}
		return err
	}))
	var named []string
	for _, path := range []string{"../../DEVELOPERS.md", "../../bot/telegram/TRAPS.md", "../../store/TRAPS.md"} {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		named = append(named, regexp.MustCompile(`\b(?:Test|Fuzz)[A-Z]\w+`).FindAllString(string(text), -1)...)
	}
	assert.Greater(t, len(named), 50)
	for _, name := range named {
		assert.True(t, there[name], "%s is named but not there", name)
	}
}

// A guide is read when it is short: what grows stands beside the code that it is about.
func TestGuideForDevelopersIsShort(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	assert.Less(t, len(strings.Fields(string(text))), 1800)
}
