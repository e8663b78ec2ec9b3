package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"deepward/bot"
	"deepward/bot/terminal"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// askCmd answers questions that belong to no chat and keeps nothing.
type askCmd struct {
	JSON     bool     `help:"Print one JSON object a line instead of the reply."`
	Region   string   `help:"Where you fish, for example 'gulf of mexico': settles which fish a name means."`
	Language string   `help:"Language of the reply: en, es, pt, pt-BR or fr; by default that of the message."`
	Imperial bool     `help:"Write feet and pounds."`
	Text     []string `arg:"" help:"The message, or - for one message a line from standard input."`
}

func (askCmd) Help() string {
	return `Example:

    deepward ask "red snapper 45m 3kg eyes bulging"
    deepward ask --json - < messages.txt`
}

// maxMessage is the longest line taken, in bytes; a chat message is shorter.
const maxMessage = 1 << 20

func (c askCmd) Run(e env) error {
	region, err := regionNamed(c.Region)
	if err != nil {
		return err
	}
	bot.Warm()
	setting := understand.Setting{Language: c.Language, Region: region}
	answerer := answerer{understand.NewReader(), setting, c.Imperial, c.JSON, widthOf(e.out)}
	out := bufio.NewWriter(e.out)
	defer out.Flush()
	if text := strings.Join(c.Text, " "); text != "-" {
		return answerer.answer(out, text)
	}
	return answerer.each(out, e.in)
}

type answerer struct {
	reader   *understand.Reader
	setting  understand.Setting
	imperial bool
	json     bool
	width    int // of the screen, 0 for none
}

// each answers one message a line, as the lines come.
func (a answerer) each(out *bufio.Writer, in io.Reader) error {
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, maxMessage)
	for lines.Scan() {
		if err := a.answer(out, lines.Text()); err != nil {
			return err
		}
		if err := out.Flush(); err != nil {
			return err
		}
	}
	if err := lines.Err(); err != nil {
		return fmt.Errorf("reading messages: %w", err)
	}
	return nil
}

func (a answerer) answer(out io.Writer, text string) error {
	setting := a.setting
	if setting.Language == "" {
		setting.Language, _ = understand.LanguageOf(text)
	}
	voice := words.For(setting.Language, a.imperial)
	setting.Language, _, _ = strings.Cut(setting.Language, "-") // words know no country
	answer := bot.Respond(a.reader, text, setting, voice)
	if !a.json {
		_, err := fmt.Fprintln(out, terminal.Wrap(answer.Reply, a.width))
		return err
	}
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	return enc.Encode(answer)
}
