package main

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
)

// TestMain lets the test binary be the program itself, so that it can be killed.
func TestMain(m *testing.M) {
	if os.Getenv("DEEPWARD_TEST_CHILD") != "" {
		if err := confine(); err != nil {
			panic(err)
		}
		os.Exit(run(os.Args[1:], env{os.Stdin, os.Stdout, os.Stderr, time.Now}))
	}
	os.Exit(m.Run())
}

// serveChild starts the program against a stand-in, with more in its environment.
func serveChild(t *testing.T, api *standin.Server, db, key string, more ...string) *exec.Cmd {
	t.Helper()
	cmd := exec.Command(os.Args[0], "serve", "--db", db, "--key-file", key, "--api-url", api.URL, "--no-limits")
	cmd.Env = append(os.Environ(), "DEEPWARD_TEST_CHILD=1", "DEEPWARD_TOKEN="+standin.Token, "DEEPWARD_HEALTH=")
	cmd.Env = append(cmd.Env, more...)
	cmd.Stderr = new(printout)
	require.NoError(t, cmd.Start())
	return cmd
}

// printout gathers what a child prints, to be read while it runs.
type printout struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (p *printout) Write(text []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.b.Write(text)
}

func (p *printout) String() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.b.String()
}

func printed(c *exec.Cmd) string { return c.Stderr.(*printout).String() }

// kills is how often the program is killed; DEEPWARD_KILLS for the long run.
func kills() int {
	if n, err := strconv.Atoi(os.Getenv("DEEPWARD_KILLS")); err == nil {
		return n
	}
	return 10
}

var confirmed = regexp.MustCompile(`(?i)kept as no\. (\d+)`)

// The people of the test, and the group that moves half way.
const (
	people   = 500 // and those after
	blocker  = 666 // has blocked the bot
	group    = -100
	newGroup = -1009
)

// traffic is what people write while the program lives and dies.
type traffic struct {
	api   *standin.Server
	rng   *rand.Rand
	sent  map[int]int64 // the chat of each report, by the number of its message
	moved bool
}

// push sends one thing in: mostly a report, now and then what a server may bring
// as well.
func (f *traffic) push() {
	n := len(f.sent) + 1
	switch f.rng.IntN(24) {
	case 0:
		f.api.Push(`{"update_id":%d,"message":{"message_id":"poison"}}`)
	case 1:
		f.api.Push(`{"update_id":%d,"a_kind_of_next_year":{"x":[1,2,3]}}`)
	case 2:
		f.api.Shuffle()
	case 3:
		f.report(n, blocker)
	case 4, 5, 6, 7:
		f.report(n, f.group())
	default:
		f.report(n, int64(people+f.rng.IntN(20)))
	}
}

func (f *traffic) group() int64 {
	if f.moved {
		return newGroup
	}
	return group
}

// report writes one fish, sometimes delivered twice.
func (f *traffic) report(n int, chat int64) {
	f.sent[n] = chat
	text := fmt.Sprintf("log gag 40 m %d cm sent down 40 oz", 30+n%50)
	raw := standin.Private(chat, n, text)
	if chat < 0 {
		raw = standin.Group(chat, 7, n, "/"+text)
	}
	id := f.api.Push(raw)
	if f.rng.IntN(10) == 0 {
		f.api.Again(raw, id)
	}
}

// mishaps spoil one call in twenty, each in one of the ways of networks, proxies
// and servers, and count which.
type mishaps struct {
	mu    sync.Mutex
	rng   *rand.Rand
	met   map[string]int
	calls int // spoilt or not
}

// way is one way for a call to go wrong.
type way struct {
	name  string
	spoil standin.Spoiler
}

func ways() []way {
	return []way{
		{"429", standin.Flood(1)},
		{"500", standin.Says(500, "Internal Server Error", nil)},
		{"502 with HTML", standin.Page(502)},
		{"no answer", standin.Hang},
		{"reset", standin.Reset},
		{"reset after acceptance", standin.ResetAfter},
		{"slow body", standin.SlowBody(20 * time.Millisecond)},
		{"truncated JSON", standin.Body(`{"ok":true,"result":[{"update_id":1,"mess`)},
		{"invalid JSON", standin.Body(`{"ok":true,"result":[}`)},
		{"409", standin.On("getUpdates", standin.Says(409, "Conflict: terminated by other getUpdates request", nil))},
	}
}

// pick says how this call goes wrong, nil if it does not.
func (m *mishaps) pick() standin.Spoiler {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.calls++
	if m.rng.IntN(20) != 0 {
		return nil
	}
	all := ways()
	w := all[m.rng.IntN(len(all))]
	m.met[w.name]++
	return w.spoil
}

func (m *mishaps) spoil(x *standin.Exchange) bool {
	spoil := m.pick()
	return spoil != nil && spoil(x)
}

// seen is how many calls there were.
func (m *mishaps) seen() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.calls
}

func (m *mishaps) counts() map[string]int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return maps.Clone(m.met)
}

// The promise: what was acknowledged is in the store; what came in is there
// exactly once, however often the program dies and whatever the network does;
// every report is confirmed, in order within its chat.
func TestKilledAtRandomLosesNoReportAndKeepsNoneTwice(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "d", "t.db"), filepath.Join(dir, "k", "key")
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	fate := &mishaps{rng: rand.New(rand.NewPCG(seed, 2)), met: map[string]int{}}
	api.Spoil(fate.spoil)
	api.Block(blocker)
	f := &traffic{api: api, rng: rand.New(rand.NewPCG(seed, 1)), sent: map[int]int64{}}
	for life := range kills() {
		if life == kills()/2 {
			api.Move(group, newGroup)
			f.moved = true
		}
		before := fate.seen()
		child := serveChild(t, api, db, key)
		if life%3 > 0 { // every third may die before it has begun
			require.Eventually(t, func() bool { return fate.seen() > before }, time.Minute, time.Millisecond)
		}
		until := time.Now().Add(time.Duration(20+f.rng.IntN(120)) * time.Millisecond)
		for time.Now().Before(until) {
			f.push()
			time.Sleep(time.Duration(f.rng.IntN(4)) * time.Millisecond)
		}
		require.NoError(t, child.Process.Kill())
		_ = child.Wait()
	}
	api.Spoil(nil)
	last := serveChild(t, api, db, key)
	f.report(len(f.sent)+1, people) // one more, so that the last one is seen to serve
	asked := 0
	for _, chat := range f.sent {
		if chat != blocker {
			asked++
		}
	}
	assert.Eventually(t, func() bool { return len(confirmations(api)) == asked && api.Waiting() == 0 }, 3*time.Minute, 250*time.Millisecond, "every report is confirmed")
	require.NoError(t, last.Process.Signal(os.Interrupt))
	require.NoError(t, last.Wait(), "a stop is clean: %s", last.Stderr)
	chats, kept := stored(t, db, key)
	assert.Equal(t, len(f.sent), len(chats), "each report once")
	for r := range confirmations(api) {
		assert.Truef(t, kept[r], "confirmed %v is in the store", r)
	}
	assertInOrder(t, api)
	t.Logf("%d kills, %d reports in, %d kept, %d of %d confirmed in %d messages; mishaps %v", kills(), len(f.sent), len(chats), len(confirmations(api)), asked, len(api.Calls()), fate.counts())
}

// told is a report as people know it: by its number in the log of a chat, that of before
// where a group has moved.
type told struct {
	chat   int64
	number uint64
}

// toldIn is a report of a chat by the number that the chat has now.
func toldIn(chat int64, number uint64) told {
	if chat == newGroup {
		chat = group
	}
	return told{chat, number}
}

// confirmations are the reports that people were told of.
func confirmations(api *standin.Server) map[told]bool {
	all := map[told]bool{}
	for _, c := range api.Calls() {
		if r, ok := confirmedBy(c); ok {
			all[r] = true
		}
	}
	return all
}

func confirmedBy(c standin.Call) (told, bool) {
	m := confirmed.FindStringSubmatch(c.Text)
	if m == nil {
		return told{}, false
	}
	n, _ := strconv.ParseUint(m[1], 10, 64)
	return toldIn(c.Chat, n), true
}

// assertInOrder looks at what each chat was told for the first time: reports are
// numbered as they are taken, and their confirmations come in that order. What
// comes again after a crash does not count.
func assertInOrder(t *testing.T, api *standin.Server) {
	t.Helper()
	seen, last := map[told]bool{}, map[int64]uint64{}
	for _, c := range api.Calls() {
		r, ok := confirmedBy(c)
		if !ok || seen[r] {
			continue
		}
		assert.Greater(t, r.number, last[r.chat], "chat %d was told of no. %d late", r.chat, r.number)
		seen[r], last[r.chat] = true, r.number
	}
}

// stored reads what is kept: the internal chat of each report by its message, and
// the reports as people know them.
func stored(t *testing.T, db, key string) (chats map[int]catch.ClubID, kept map[told]bool) {
	t.Helper()
	s, err := store.Open(db, store.Options{KeyFile: key})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Check(t.Context()))
	chats, kept = map[int]catch.ClubID{}, map[told]bool{}
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{Personal: true}) {
			if err != nil {
				return err
			}
			chat, _ := tx.TransportChat(r.Chat)
			kept[toldIn(int64(chat), r.Told())] = true
			message := max(r.Message, -r.Message) // negative after the group moved
			_, twice := chats[message]
			assert.False(t, twice, "message %d is kept more than once", message)
			chats[message] = r.Chat
		}
		return nil
	}))
	return chats, kept
}
