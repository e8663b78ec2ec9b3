// Package terminal plays the conversation in a terminal: no account is needed,
// and buttons are numbered choices.
package terminal

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"time"

	"deepward/bot"
	"deepward/bot/delivery"
	"deepward/bot/words"
	"deepward/store/catch"
)

// Desk is what a transport needs of the conversation; *bot.Desk is one.
type Desk interface {
	ClubsToCheck(ctx context.Context, batch []bot.Message) ([][]catch.ChatID, error)
	Take(ctx context.Context, batch []bot.Message) ([]bot.Sending, error)
	Settle(ctx context.Context, list []bot.Settled) error
	Make(ctx context.Context, a bot.Attachment) (bot.File, error)
}

// The numbers of the people and the chats that are played here.
const (
	privateChat = 1
	groupChat   = -1
	you         = 1
	botsName    = "@deepward"
)

// Terminal is one conversation between a person at a keyboard and the bot.
type Terminal struct {
	Desk Desk
	In   io.Reader
	Out  io.Writer
	// Group plays a group chat: a line "Ana: text" is said by Ana, and the bot
	// answers only when it is spoken to. The first speaker, you, is its admin.
	Group bool
	// Now is the clock.
	Now func() time.Time
	// Language is the BCP 47 tag of the person at the keyboard.
	Language string
	// SaveDir is where documents and pictures are put.
	SaveDir string
	// Width is how many characters a line holds, 0 where nobody reads along.
	Width int

	sender  *delivery.Sender
	failed  error // of noting what was shown
	message int
	choices map[int]choice
	people  map[string]catch.PersonID
	last    map[catch.PersonID]said // by speaker
}

// said is when a message was written, and its number.
type said struct {
	message int
	at      time.Time
}

// choice is a numbered button that can still be tapped.
type choice struct {
	data    string
	message int
}

// Run reads lines from In until they end or say "quit".
func (t *Terminal) Run(ctx context.Context) error {
	lines := bufio.NewScanner(t.In)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if more, err := t.line(ctx, lines.Text()); err != nil || !more {
			return err
		}
	}
	return lines.Err()
}

// Keyboard is a line editor with a history.
type Keyboard interface {
	Prompt(prompt string) (string, error)
	AppendHistory(line string)
}

// Talk reads lines from a keyboard until the person ends it.
func (t *Terminal) Talk(ctx context.Context, k Keyboard) error {
	fmt.Fprintln(t.Out, Wrap(words.For(t.Language, false).Say("terminal.hello"), t.Width))
	for ctx.Err() == nil {
		line, err := k.Prompt("> ")
		if err != nil { // end of input or Ctrl-C: the person is done
			return nil
		}
		k.AppendHistory(line)
		if more, err := t.line(ctx, line); err != nil || !more {
			return err
		}
	}
	return nil
}

// line takes one line; more is false when the person ends the talk.
func (t *Terminal) line(ctx context.Context, line string) (more bool, err error) {
	switch line = strings.TrimSpace(line); line {
	case "":
		return true, nil
	case "quit", "exit":
		return false, nil
	}
	return true, t.Say(ctx, line)
}

// Say takes one typed line and prints what the bot replies.
func (t *Terminal) Say(ctx context.Context, line string) error {
	if t.choices == nil {
		t.choices, t.people, t.last = map[int]choice{}, map[string]catch.PersonID{}, map[catch.PersonID]said{}
		// The store remembers messages by their numbers: none may come again on a later day.
		t.message = int(t.Now().UnixMilli())
		t.deliver(ctx)
	}
	m := t.read(line)
	clubs, err := t.Desk.ClubsToCheck(ctx, []bot.Message{m})
	if err != nil {
		return err
	}
	m.Members = map[catch.ChatID]bool{}
	for _, club := range clubs[0] { // whoever is played here is in the group that is played here
		m.Members[club] = true
	}
	replies, err := t.Desk.Take(ctx, []bot.Message{m})
	if err != nil {
		return err
	}
	t.sender.Enqueue(replies)
	t.sender.Wait()
	return t.failed
}

// deliver readies the delivery: one reply after the other, without limits.
func (t *Terminal) deliver(ctx context.Context) {
	t.sender = &delivery.Sender{
		Together: 1, Now: t.Now, Ctx: ctx,
		Deliver: func(ctx context.Context, j *delivery.Job) delivery.Result {
			return delivery.Result{Message: t.show(ctx, j.Reply.SaidLate(t.Now()))}
		},
		Settle: func(j *delivery.Job, r *delivery.Result) {
			err := t.Desk.Settle(ctx, []bot.Settled{{Sending: j.Sending, Message: r.Message}})
			t.failed = errors.Join(t.failed, err)
		},
	}
	t.sender.Start(delivery.Limits{}, delivery.NewWindow(0, 0))
}

// read makes a message of a line: a number alone taps that choice, "edit text"
// puts other words in the place of the speaker's last message, "at LAT LON" shares a place,
// "file PATH" sends a file, and the rest is text.
func (t *Terminal) read(line string) bot.Message {
	speaker, text := t.speaker(line)
	t.message++
	now := t.Now()
	m := bot.Message{
		Chat: bot.Chat{ID: privateChat}, Sender: speaker, ID: t.message, Text: text,
		SentAt: now, ReceivedAt: now, Addressed: true,
	}
	if t.Group {
		m.Chat = bot.Chat{ID: groupChat, Group: true, Title: "The club"}
		m.Text, m.Addressed = addressed(text)
	}
	t.special(&m)
	return m
}

// speaker splits "Ana: text" in a group; everything else is said by you.
func (t *Terminal) speaker(line string) (bot.Person, string) {
	me := bot.Person{ID: you, Name: "You", Language: t.Language, Admin: true}
	name, text, found := strings.Cut(line, ": ")
	if !t.Group || !found || strings.ContainsAny(name, " /@") || name == "" {
		return me, line
	}
	id, known := t.people[name]
	if !known {
		id = catch.PersonID(len(t.people) + 2)
		t.people[name] = id
	}
	return bot.Person{ID: id, Name: name, Language: t.Language}, text
}

// addressed reports whether a line in a group speaks to the bot, and takes the
// bot's name out of it.
func addressed(text string) (string, bool) {
	if strings.Contains(text, botsName) {
		return strings.TrimSpace(strings.ReplaceAll(text, botsName, "")), true
	}
	return text, strings.HasPrefix(text, "/")
}

func (t *Terminal) special(m *bot.Message) {
	fields := strings.Fields(m.Text)
	if len(fields) == 1 {
		if n, err := strconv.Atoi(fields[0]); err == nil {
			if c, ok := t.choices[n]; ok {
				m.Press, m.PressID, m.ID, m.Text = c.data, strconv.Itoa(m.ID), c.message, ""
				m.Addressed = true
			}
		}
		return
	}
	if len(fields) == 3 && fields[0] == "at" {
		lat, err1 := strconv.ParseFloat(fields[1], 64)
		lon, err2 := strconv.ParseFloat(fields[2], 64)
		if err1 == nil && err2 == nil {
			m.Place, m.Text = &bot.Place{Lat: lat, Lon: lon}, ""
		}
		return
	}
	if path, isFile := strings.CutPrefix(m.Text, "file "); isFile && !t.Group {
		if info, err := os.Stat(strings.TrimSpace(path)); err == nil {
			m.File, m.Text = &bot.SentFile{ID: strings.TrimSpace(path), Name: info.Name(), Size: info.Size()}, ""
			return
		}
	}
	if last := t.last[m.Sender.ID]; last.message != 0 && len(fields) > 1 && fields[0] == "edit" {
		m.ID, m.SentAt, m.Edited, m.Text = last.message, last.at, true, strings.Join(fields[1:], " ")
		return
	}
	t.last[m.Sender.ID] = said{m.ID, m.SentAt}
}

// show prints one reply and returns the number it has as a message.
func (t *Terminal) show(ctx context.Context, r bot.Reply) int {
	if r.PressID != "" && r.Text == "" {
		return 0
	}
	number := r.Edit
	if number == 0 {
		t.message++
		number = t.message
	}
	if r.React {
		fmt.Fprintf(t.Out, "  👍 (%s)\n\n", r.Text)
		return number
	}
	if r.Text != "" {
		fmt.Fprintln(t.Out, t.indent(r.Text))
	}
	if r.Attach != nil {
		made, buttons := t.save(ctx, *r.Attach)
		fmt.Fprintln(t.Out, t.indent(made))
		if len(buttons) > 0 {
			r.Buttons = buttons
		}
	}
	t.showChoices(r.Buttons, number)
	fmt.Fprintln(t.Out)
	return number
}

// showChoices numbers the buttons; only the newest set can be tapped.
func (t *Terminal) showChoices(rows [][]bot.Button, message int) {
	if len(rows) == 0 {
		return
	}
	clear(t.choices)
	n := 0
	for _, row := range rows {
		parts := make([]string, len(row))
		for i, b := range row {
			if b.Start != "" {
				parts[i] = b.Label + " (/start " + b.Start + ")"
				continue
			}
			n++
			t.choices[n] = choice{b.Data, message}
			parts[i] = fmt.Sprintf("[%d] %s", n, b.Label)
		}
		fmt.Fprintln(t.Out, t.indent(strings.Join(parts, "   ")))
	}
}

// save puts a document or picture into SaveDir and says where; what is only words comes
// with its buttons.
func (t *Terminal) save(ctx context.Context, a bot.Attachment) (text string, buttons [][]bot.Button) {
	a.Fetch = func(_ context.Context, path string) ([]byte, error) { return os.ReadFile(path) }
	f, err := t.Desk.Make(ctx, a)
	if err != nil {
		return err.Error(), nil
	}
	defer f.Done()
	if f.Name == "" {
		return f.Caption, f.Buttons
	}
	path, err := f.CopyTo(t.SaveDir)
	if err != nil {
		return err.Error(), nil
	}
	if f.Caption != "" {
		return f.Caption + "\n[" + path + "]", nil
	}
	return "[" + path + "]", nil
}

// indent sets a reply off from what is typed.
func (t *Terminal) indent(text string) string {
	const by = 2
	return "  " + strings.ReplaceAll(Wrap(text, max(0, t.Width-by)), "\n", "\n  ")
}

// IsKeyboard reports whether a file is a terminal rather than a pipe or a file.
func IsKeyboard(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
