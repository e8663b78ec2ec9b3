package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/understand"
	"deepward/store"
	"deepward/store/catch"
)

// said is one message of `chat --json`.
type said struct {
	Talk  string    `json:"talk"`
	From  string    `json:"from"`
	Group bool      `json:"group"`
	Topic bool      `json:"topic"`
	Place string    `json:"place"`
	Lang  string    `json:"lang"`
	Say   string    `json:"say"`
	At    time.Time `json:"at"`
}

// answered is what came of it.
type answered struct {
	Talk string `json:"talk"`
	bot.Heard
	Log    []bot.HeardFish `json:"log"`
	Silent bool            `json:"silent"`
	Reply  string          `json:"reply"`
}

// jsonTalks plays talks through the same conversation as the chat, each over a scratch
// store of its own, so that a new talk begins with an empty memory.
type jsonTalks struct {
	env   env
	dir   string
	talks map[string]*jsonTalk
	// open are the talks whose store is open, the one used last at the end.
	open []*jsonTalk
	made int
}

// jsonTalk is one talk with its people.
type jsonTalk struct {
	dir     string
	store   *store.Store
	desk    *bot.Desk
	heard   *bot.Heard
	people  map[string]int64
	message int
	at      time.Time
}

// mostOpen is how many talks keep their store open; the others are opened again when
// somebody writes in them.
const mostOpen = 32

func (chatCmd) runJSON(ctx context.Context, e env) error {
	dir, err := os.MkdirTemp("", "deepward-talk-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	j := &jsonTalks{env: e, dir: dir, talks: map[string]*jsonTalk{}}
	defer j.closeBut(0)
	return j.each(ctx, e.in, e.out)
}

// closeBut closes the stores that were not used for longest until so many are open.
func (j *jsonTalks) closeBut(n int) {
	for len(j.open) > n {
		j.open[0].store.Close()
		j.open[0].store, j.open = nil, j.open[1:]
	}
}

// talk is the talk of a message, with its store open.
func (j *jsonTalks) talk(m said) (t *jsonTalk, err error) {
	t, known := j.talks[m.Talk]
	if !known {
		j.made++
		t = &jsonTalk{dir: filepath.Join(j.dir, strconv.Itoa(j.made)), people: map[string]int64{}, at: j.env.now()}
		j.talks[m.Talk] = t
	}
	if t.store != nil {
		return t, nil
	}
	j.closeBut(mostOpen - 1)
	if err := os.MkdirAll(t.dir, 0o700); err != nil {
		return nil, err
	}
	t.store, err = store.Open(filepath.Join(t.dir, "talk.db"), store.Options{KeyFile: filepath.Join(t.dir, "talk.key"), Now: j.env.now, Scratch: true})
	if err != nil {
		return nil, err
	}
	j.open = append(j.open, t)
	engine := bot.NewEngine()
	engine.Watch = func(h bot.Heard) { t.heard = &h }
	t.desk = &bot.Desk{Store: t.store, Engine: engine, Maker: files.New(t.store, j.env.now), Log: quietLog(j.env)}
	if known {
		return t, nil
	}
	return t, t.begin(m)
}

// begin sets what the first message says of the place, and the topic for reports.
func (t *jsonTalk) begin(m said) error {
	region, _ := understand.FindRegion(m.Place)
	return t.store.Update(func(tx *store.Tx) error {
		return bot.SetUpChat(tx, t.chat(m), bot.Club{Region: region, TopicSet: m.Group && m.Topic})
	})
}

func (t *jsonTalk) chat(m said) bot.Chat {
	const private, group = 1, -1
	if m.Group {
		return bot.Chat{ID: group, Group: true, Title: "The club"}
	}
	return bot.Chat{ID: private}
}

// botName is what the bot answers to in a group.
var botName = regexp.MustCompile(`(?i)(^|[^\pL])@?bot\b[,:]?`)

// read makes a message of a line.
func (t *jsonTalk) read(m said) bot.Message {
	if m.At.IsZero() {
		m.At = t.at.Add(time.Second)
	}
	t.at = m.At
	t.message++
	name := m.From
	if name == "" {
		name = "You"
	}
	id, known := t.people[name]
	if !known {
		id = int64(len(t.people) + 1)
		t.people[name] = id
	}
	text, addressed := m.Say, true
	if m.Group {
		addressed = botName.MatchString(text) || strings.HasPrefix(text, "/")
		text = strings.TrimSpace(botName.ReplaceAllString(text, "$1"))
	}
	return bot.Message{
		Chat: t.chat(m), Sender: bot.Person{ID: id, Name: name, Language: m.Lang, Admin: true}, ID: t.message, Text: text,
		SentAt: m.At, ReceivedAt: m.At, Addressed: addressed,
	}
}

// each answers one message a line, as the lines come.
func (j *jsonTalks) each(ctx context.Context, in io.Reader, out io.Writer) error {
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, maxMessage)
	w := bufio.NewWriter(out)
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	for n := 1; lines.Scan(); n++ {
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		var m said
		if err := json.Unmarshal(lines.Bytes(), &m); err != nil {
			return usage("line %d is no JSON object of a message: %v", n, err)
		}
		a, err := j.take(ctx, m)
		if err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		if err := enc.Encode(a); err != nil {
			return err
		}
		if err := w.Flush(); err != nil {
			return err
		}
	}
	return lines.Err()
}

// take plays one message.
func (j *jsonTalks) take(ctx context.Context, m said) (answered, error) {
	t, err := j.talk(m)
	if err != nil {
		return answered{}, err
	}
	t.heard = nil
	replies, err := t.desk.Take(ctx, []bot.Message{t.read(m)})
	if err != nil {
		return answered{}, err
	}
	a := answered{Talk: m.Talk, Heard: t.understood(), Log: []bot.HeardFish{}}
	var texts []string
	for _, r := range replies {
		if r.Reply.Text != "" && !r.Reply.React {
			texts = append(texts, r.Reply.Text)
		}
	}
	a.Reply = strings.Join(texts, "\n")
	a.Silent = len(texts) == 0
	a.Log, err = t.log()
	return a, err
}

// understood is how the message was understood; of one that was left alone nothing is.
func (t *jsonTalk) understood() bot.Heard {
	if t.heard != nil {
		return *t.heard
	}
	return bot.Heard{
		Act: understand.ActOther, Fish: []bot.HeardFish{}, AboardOz: []float64{}, AboardLead: []float64{},
		Unread: []string{}, Said: []string{}, Advice: []*bot.AnswerAdvice{},
	}
}

// log are the rows of the talk that stand, in the order kept.
func (t *jsonTalk) log() (rows []bot.HeardFish, err error) {
	var reports []*catch.Report
	rows = []bot.HeardFish{}
	err = t.store.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{}) {
			if err != nil {
				return err
			}
			if !r.Undone {
				one := *r
				reports = append(reports, &one)
			}
		}
		return nil
	})
	slices.SortFunc(reports, func(a, b *catch.Report) int { return int(a.Number) - int(b.Number) })
	for _, r := range reports {
		rows = append(rows, bot.HearReport(r))
	}
	return rows, err
}
