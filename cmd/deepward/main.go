// Command deepward is a chat bot for anglers who let deep-water reef fish go:
// text a species, depth and size and get the right release and the right
// weight; keep the reports; take the season log out.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/alecthomas/kong"
)

// The exit codes of every command.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// cli is the whole command line.
type cli struct {
	Version kong.VersionFlag `help:"Say which commit this was built from."`

	Ask      askCmd      `cmd:"" help:"Answer one question, or one a line from standard input."`
	Chat     chatCmd     `cmd:"" help:"Talk to the bot here, in the terminal."`
	Serve    serveCmd    `cmd:"" help:"Run on Telegram."`
	Export   exportCmd   `cmd:"" help:"Write the season log in any format."`
	Evidence evidenceCmd `cmd:"" help:"Show the studies behind the odds of a fish."`
	Kit      kitCmd      `cmd:"" help:"Say which release weights to carry."`
	Card     cardCmd     `cmd:"" help:"Write the pocket card for your weights, as a picture and as a page to print."`
	Backup   backupCmd   `cmd:"" help:"Copy a store, restore it, check it."`
	Report   reportCmd   `cmd:"" help:"Write the season report as one page."`
	Import   importCmd   `cmd:"" help:"Take a past paper or spreadsheet log into a season."`
	Season   seasonCmd   `cmd:"" help:"Show clubs and seasons; open and close a season."`
	Merge    mergeCmd    `cmd:"" help:"Take over the reports of another store or backup, none twice."`
	Failed   asideCmd    `cmd:"" aliases:"aside" help:"List failed updates: those that could not be handled."`
	Heard    heardCmd    `cmd:"" help:"List what the reader did not understand, or write it as drafts for the next one to learn from."`
	Demo     demoCmd     `cmd:"" help:"Fill a scratch store with an invented season."`

	Manual     manualCmd     `cmd:"" help:"Write the manual page."`
	Completion completionCmd `cmd:"" help:"Write the completion of commands and flags for a shell."`
}

// env is what a command gets from outside: streams and the clock.
type env struct {
	in       io.Reader
	out, err io.Writer
	now      func() time.Time
}

func main() {
	os.Exit(run(os.Args[1:], env{os.Stdin, os.Stdout, os.Stderr, time.Now}))
}

// run parses the arguments, runs the command and returns the exit code.
func run(args []string, e env) int {
	var c cli
	code := -1
	parser, err := kong.New(&c,
		kong.Name("deepward"),
		kong.Description("Release advice for deep-water fish: what to do, and which weight."),
		kong.Writers(e.out, e.err),
		kong.Exit(func(n int) { code = n }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.Bind(e),
		kong.Vars{"version": thisBuild().String()},
	)
	if err != nil {
		return fail(e, exitFailed, err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	ctx, err := parser.Parse(args)
	if code >= 0 { // help was asked for and printed
		return code
	}
	if errors.Is(err, errUsage) { // a configuration file, which says enough itself
		return fail(e, exitUsage, err)
	}
	if err != nil {
		return fail(e, exitUsage, fmt.Errorf("%w; deepward --help shows the commands", err))
	}
	if err := ctx.Run(); err != nil {
		if errors.Is(err, errUsage) {
			return fail(e, exitUsage, err)
		}
		return fail(e, exitFailed, err)
	}
	return exitDone
}

// errUsage marks a fault in how a command was called.
var errUsage = errors.New("wrong usage")

func usage(format string, args ...any) error {
	return fmt.Errorf("%w: %s", errUsage, fmt.Sprintf(format, args...))
}

// fail prints the one line that says what is wrong and what to do.
func fail(e env, code int, err error) int {
	fmt.Fprintln(e.err, "deepward: "+err.Error())
	return code
}
