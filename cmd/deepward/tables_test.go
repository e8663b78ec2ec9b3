package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tableCase is an invented table in a style of those that are published, and how it
// is to be read.
type tableCase struct {
	File string
	// Asks are what the first try, without a flag, must ask; none if it reads right.
	Asks []string
	// Flags answer the questions; Lines are then the reports of a line, as the dry run
	// tells them.
	Flags    []string
	Lines    map[string][]string
	Reports  *int
	Problems *int
	Says     []string
}

var inventedTag = regexp.MustCompile(`tag ROW\w+`)

func TestTablesOfManyStylesAreReadOrAskedAbout(t *testing.T) {
	folder := filepath.Join("..", "..", "testdata", "tables")
	data, err := os.ReadFile(filepath.Join(folder, "cases.json"))
	require.NoError(t, err)
	var cases []tableCase
	require.NoError(t, json.Unmarshal(data, &cases))
	require.NotEmpty(t, cases)
	for _, c := range cases {
		t.Run(c.File, func(t *testing.T) {
			args := []string{"import", filepath.Join(folder, c.File), "--rows"}
			code, out, errs := command(t, "", args...)
			require.Equal(t, exitDone, code, errs)
			asked := questions(out)
			for _, q := range c.Asks {
				assert.Contains(t, asked, q)
			}
			if len(c.Asks) == 0 {
				assert.Empty(t, asked)
			}
			if len(c.Asks) > 0 && len(c.Flags) == 0 {
				return // it cannot be taken as it is, and says why
			}
			code, out, errs = command(t, "", append(args, c.Flags...)...)
			require.Equal(t, exitDone, code, errs)
			assert.Empty(t, questions(out))
			assertRead(t, c, out)
			for _, s := range c.Says {
				assert.Contains(t, out, s)
			}
		})
	}
}

func questions(out string) string {
	var list []string
	for _, l := range strings.Split(out, "\n") {
		if strings.HasPrefix(l, "Please say") {
			list = append(list, l)
		}
	}
	return strings.Join(list, "\n")
}

func assertRead(t *testing.T, c tableCase, out string) {
	t.Helper()
	reports, problems := 0, 0
	read := map[string][]string{}
	for _, l := range strings.Split(out, "\n") {
		text, isLine := strings.CutPrefix(l, "line ")
		number, text, cut := strings.Cut(text, ": ")
		if _, err := strconv.Atoi(number); isLine && cut && err == nil {
			reports++
			read[number] = append(read[number], inventedTag.ReplaceAllString(text, "tag X"))
		}
		if strings.HasPrefix(l, "problem in") {
			problems++
		}
	}
	for line, want := range c.Lines {
		assert.Equal(t, want, read[line], "line %s", line)
	}
	if c.Reports != nil {
		assert.Equal(t, *c.Reports, reports)
	}
	if c.Problems != nil {
		assert.Equal(t, *c.Problems, problems)
	}
}
