package main

import (
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The answer that the README shows is the one the program gives.
func TestReadmeShowsTheAnswerOfTheProgram(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	shown := regexp.MustCompile(`(?s)\n    \$ go run ./cmd/deepward ask "([^"]+)"\n(.*?)\n\n`).FindStringSubmatch(string(readme))
	require.NotNil(t, shown)
	code, out, _ := command(t, "", "ask", shown[1])
	assert.Equal(t, exitDone, code)
	assert.Equal(t, strings.ReplaceAll(shown[2], "\n    ", "\n"), "    "+strings.TrimSpace(out))
}

// The manual page is made of what --help is made of, and man can read it.
func TestManualPageHoldsEveryCommandAndFlag(t *testing.T) {
	code, out, errs := command(t, "", "manual")
	require.Equal(t, exitDone, code, errs)
	parser, err := kong.New(&cli{}, kong.Name("deepward"), kong.Bind(env{}))
	require.NoError(t, err)
	for _, c := range parser.Model.Leaves(true) {
		assert.Contains(t, out, roffText(c.Help), c.FullPath())
		for _, f := range ownFlags(c) {
			assert.Contains(t, out, roffText("--"+f.Name), c.FullPath())
		}
	}
	if groff, err := exec.LookPath("groff"); err == nil {
		cmd := exec.Command(groff, "-man", "-ww", "-Tutf8")
		cmd.Stdin = strings.NewReader(out)
		said, err := cmd.CombinedOutput()
		assert.NoError(t, err)
		assert.NotContains(t, string(said), "warning")
	}
}

// Each shell completes the commands and their flags.
func TestCompletionKnowsCommandsAndFlags(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish"} {
		code, out, errs := command(t, "", "completion", shell)
		require.Equal(t, exitDone, code, errs)
		for _, word := range []string{"report", "season", "close", "format", "check"} {
			assert.Contains(t, out, word, shell)
		}
	}
}

// What the help of chat says to type in a group is answered there.
func TestGroupExampleOfTheHelpIsAnswered(t *testing.T) {
	said := regexp.MustCompile(`(?m)^    (@deepward .*)$`).FindStringSubmatch(chatCmd{}.Help())
	require.NotNil(t, said)
	code, out, errs := command(t, said[1]+"\nquit\n", append([]string{"chat", "--group"}, where(t)...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "SEND IT DOWN: 40 oz")
}
