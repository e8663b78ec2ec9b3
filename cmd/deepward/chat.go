package main

import (
	"context"
	"io"
	"os"
	"os/signal"

	"github.com/peterh/liner"
	"golang.org/x/term"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/terminal"
)

// chatCmd plays the whole conversation in the terminal.
type chatCmd struct {
	storeFlags
	Group    bool   `help:"Play a group chat: '@deepward red snapper 45m', or 'Ana: /log gag 40 m' to speak as Ana."`
	JSON     bool   `help:"Take one JSON object a line and print one for each: talks from elsewhere, each with a memory of its own."`
	Language string `help:"Your language: en, es, pt, pt-BR or fr." default:"en"`
	SaveDir  string `help:"Where pictures and documents are put." type:"path" default:"."`
}

func (chatCmd) Help() string {
	return `Example:

    deepward chat
    deepward chat --group

Then type, in a group after the bot's name:

    red snapper 45m 3kg eyes bulging
    @deepward red snapper 45m 3kg eyes bulging

A number taps that choice; edit and other words change your last message;
at -31.2 -18.6 shares a place; quit ends.`
}

func (c chatCmd) Run(e env) error {
	bot.Warm()
	if c.JSON {
		return chatJSON(e)
	}
	s, err := c.open(e)
	if err != nil {
		return err
	}
	defer s.Close()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, e.now), Log: quietLog(e)}
	t := &terminal.Terminal{
		Desk: desk, In: e.in, Out: e.out, Group: c.Group, Now: e.now,
		Language: c.Language, SaveDir: c.SaveDir, Width: widthOf(e.out),
	}
	if atKeyboard(e.in) {
		line := liner.NewLiner()
		defer line.Close()
		line.SetCtrlCAborts(true)
		return t.Talk(ctx, line)
	}
	return t.Run(ctx)
}

// atKeyboard is true for a stream that somebody sits at, not a file or a pipe.
func atKeyboard(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && terminal.IsKeyboard(f)
}

// widthOf is how many characters a line of a terminal holds; 0 for a file or a pipe.
func widthOf(out io.Writer) int {
	f, ok := out.(*os.File)
	if !ok {
		return 0
	}
	width, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return width
}
