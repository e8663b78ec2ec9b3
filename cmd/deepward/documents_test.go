package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
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

// What the README says of flags, commands and copies is what the program has.
func TestReadmeNamesWhatThereIs(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	parser, err := kong.New(&cli{}, kong.Name("deepward"), kong.Bind(env{}))
	require.NoError(t, err)
	flags, commands := map[string]bool{}, map[string]bool{}
	for _, c := range parser.Model.Leaves(true) {
		first, _, _ := strings.Cut(strings.TrimPrefix(c.FullPath(), "deepward "), " ")
		commands[first] = true
		for _, f := range c.Flags {
			flags[f.Name] = true
		}
	}
	named := regexp.MustCompile(`--([a-z][a-z-]+)`).FindAllStringSubmatch(string(text), -1)
	require.Greater(t, len(named), 20)
	for _, n := range named {
		assert.True(t, flags[n[1]] || n[1] == "help" || n[1] == "now", "no command has --%s", n[1]) // --now is systemctl's
	}
	for _, c := range regexp.MustCompile("`deepward ([a-z]+)").FindAllStringSubmatch(string(text), -1) {
		assert.True(t, commands[c[1]], "there is no command %s", c[1])
	}
	copies := regexp.MustCompile(`seven\s+days,\s+four\s+weeks\s+and\s+twelve\s+months`)
	assert.Regexp(t, copies, string(text))
	i := slices.IndexFunc(parser.Model.Leaves(true), func(c *kong.Node) bool { return c.Name == "serve" })
	j := slices.IndexFunc(parser.Model.Leaves(true)[i].Flags, func(f *kong.Flag) bool { return f.Name == "backup-dir" })
	assert.Regexp(t, copies, parser.Model.Leaves(true)[i].Flags[j].Help)
}
