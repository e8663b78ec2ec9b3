package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/store"
	"deepward/store/catch"
)

// said is one message of a talk: a line of `chat --json`.
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

// talks plays talks over scratch stores: each has a memory of its own.
type talks struct {
	dir   string
	known map[string]*oneTalk
	// open are the talks whose stores are open, the one used last at the end.
	open []*oneTalk
}

// mostOpen is how many scratch stores are open at a time.
const mostOpen = 16

// chatJSON answers one message a line, as the lines come.
func chatJSON(e env) error {
	dir, err := os.MkdirTemp("", "deepward-chat-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	t := &talks{dir: dir, known: map[string]*oneTalk{}}
	defer t.close()
	out := bufio.NewWriter(e.out)
	lines := bufio.NewScanner(e.in)
	lines.Buffer(nil, maxMessage)
	for n := 1; lines.Scan(); n++ {
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		m := said{At: e.now()}
		if err := json.Unmarshal(lines.Bytes(), &m); err != nil {
			return fmt.Errorf("line %d is no JSON object with a message: %w", n, err)
		}
		if err := t.answer(out, m); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
	}
	return lines.Err()
}

// answer hands a message to its talk and writes what came of it.
func (t *talks) answer(out *bufio.Writer, m said) error {
	k, err := t.talk(m.Talk)
	if err != nil {
		return err
	}
	a, err := k.hear(m)
	if err != nil {
		return err
	}
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(a); err != nil {
		return err
	}
	return out.Flush()
}

// talk is the talk of that name, its store open.
func (t *talks) talk(name string) (*oneTalk, error) {
	k := t.known[name]
	if k == nil {
		k = &oneTalk{people: map[string]int64{}, path: filepath.Join(t.dir, strconv.Itoa(len(t.known)))}
		t.known[name] = k
	}
	for i, other := range t.open {
		if other == k {
			t.open = append(append(t.open[:i:i], t.open[i+1:]...), k)
			return k, nil
		}
	}
	if len(t.open) == mostOpen {
		if err := t.open[0].store.Close(); err != nil {
			return nil, err
		}
		t.open = t.open[1:]
	}
	s, err := store.Open(k.path+".db", store.Options{KeyFile: filepath.Join(t.dir, "key"+filepath.Base(k.path)), Scratch: true, Now: func() time.Time { return k.now }})
	if err != nil {
		return nil, err
	}
	k.store = s
	t.open = append(t.open, k)
	return k, nil
}

func (t *talks) close() {
	for _, k := range t.open {
		_ = k.store.Close()
	}
}

// oneTalk is one talk over a store of its own.
type oneTalk struct {
	path   string
	store  *store.Store
	now    time.Time
	people map[string]int64
	ids    int
	set    bool
}

// The chat of a talk, and the topic for reports in a group.
const (
	groupChat  = -1
	groupTopic = 7
)

// hear takes one message in.
func (k *oneTalk) hear(m said) (bot.Heard, error) {
	k.now = m.At
	if k.people[m.From] == 0 {
		k.people[m.From] = int64(len(k.people) + 1)
	}
	k.ids++
	who := k.people[m.From]
	message := bot.Message{
		Chat: bot.Chat{ID: catch.ChatID(who)}, Sender: bot.Person{ID: catch.PersonID(who), Name: m.From, Language: m.Lang, Admin: !m.Group}, ID: k.ids,
		Text: m.Say, SentAt: m.At, ReceivedAt: m.At, Addressed: !m.Group,
	}
	if m.Group {
		message.Chat = bot.Chat{ID: groupChat, Group: true}
		if m.Topic {
			message.Chat.Thread = groupTopic
		}
		message.Text, message.Addressed = bot.Spoken(m.Say)
	}
	h, err := bot.HearAlone(context.Background(), k.store, files.New(k.store, func() time.Time { return k.now }), message, m.Place, &k.set)
	h.Talk = m.Talk
	return h, err
}
