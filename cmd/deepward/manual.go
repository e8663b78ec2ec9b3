package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"
)

// manualCmd writes the manual page from what --help is made of.
type manualCmd struct{}

func (manualCmd) Help() string {
	return `Example:

    deepward manual > deepward.1
    deepward manual | man -l -`
}

func (manualCmd) Run(e env, k *kong.Kong) error {
	page := roff{e.out}
	page.line(".TH DEEPWARD 1")
	page.line(".SH NAME\ndeepward \\- " + k.Model.Help)
	page.line(".SH SYNOPSIS\n.B deepward\n\\fIcommand\\fR [\\fIflags\\fR]")
	page.line(".SH COMMANDS")
	for _, c := range k.Model.Leaves(true) {
		page.command(c)
	}
	page.line(".SH EXIT STATUS\n0 done, 1 failed, 2 wrong usage.")
	return nil
}

// roff writes the markup of manual pages.
type roff struct{ out io.Writer }

func (r roff) line(text string) { fmt.Fprintln(r.out, text) }

func (r roff) command(c *kong.Node) {
	r.line(".SS " + roffText(c.Summary()))
	r.line(roffText(c.Help))
	if c.Detail != "" {
		r.line(".PP\n.nf\n" + roffText(c.Detail) + "\n.fi")
	}
	for _, f := range ownFlags(c) {
		r.line(".TP\n.B " + roffText(f.String()) + "\n" + roffText(f.Help))
	}
}

// ownFlags are the flags of a command that help shows, without --help.
func ownFlags(c *kong.Node) (list []*kong.Flag) {
	for _, f := range c.Flags {
		if !f.Hidden && f.Name != "help" {
			list = append(list, f)
		}
	}
	return list
}

// roffText keeps what has a meaning in roff from having it: a hyphen of a flag, a
// backslash, a full stop that begins a line.
func roffText(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, ".") || strings.HasPrefix(l, "'") {
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}
