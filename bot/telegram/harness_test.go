package telegram

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"deepward/bot"
	"deepward/bot/telegram/standin"
	"deepward/store/catch"
)

// No test may leave a goroutine behind: a poll, an upload, a worker.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// echoDesk is a desk without a store: it remembers what it has seen and answers
// with the words that came in.
type echoDesk struct {
	mu      sync.Mutex
	seen    map[catch.UpdateID]bool
	taken   []bot.Message
	batches []int
	outbox  []bot.Sending
	settled []bot.Settled
	next    uint64
	// reply words the replies to a message, nil to echo it.
	reply func(bot.Message) []bot.Reply
	// fault is asked before a batch is taken and before results are noted.
	fault  func([]bot.Message) error
	refuse func([]bot.Settled) error
	file   func(bot.Attachment) (bot.File, error)
	// clubs are the groups that matter for a message, nil for none.
	clubs func(bot.Message) []catch.ChatID
}

func (d *echoDesk) ClubsToCheck(_ context.Context, batch []bot.Message) ([][]catch.ChatID, error) {
	clubs := make([][]catch.ChatID, len(batch))
	for i, m := range batch {
		if d.clubs != nil {
			clubs[i] = d.clubs(m)
		}
	}
	return clubs, nil
}

func (d *echoDesk) NeedsRole(m bot.Message) bool {
	return m.Chat.Group && m.Addressed && (m.Text == "/x" || m.Text == "/setup")
}

func (d *echoDesk) Take(ctx context.Context, batch []bot.Message) ([]bot.Sending, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.fault != nil {
		if err := d.fault(batch); err != nil {
			return nil, err
		}
	}
	if err := ctx.Err(); err != nil { // a commit that a stop breaks off
		return nil, err
	}
	d.batches = append(d.batches, len(batch))
	var list []bot.Sending
	for _, m := range batch {
		if m.Update != 0 && d.seen[m.Update] {
			continue
		}
		if d.seen == nil {
			d.seen = map[catch.UpdateID]bool{}
		}
		d.seen[m.Update] = true
		d.taken = append(d.taken, m)
		for _, r := range d.replies(m) {
			d.next++
			list = append(list, bot.Sending{ID: d.next, Reply: r, Who: uint64(r.For), QueuedAt: m.ReceivedAt})
		}
	}
	d.outbox = append(d.outbox, list...)
	return list, nil
}

func (d *echoDesk) replies(m bot.Message) []bot.Reply {
	switch {
	case d.reply != nil:
		return d.reply(m)
	case m.PressID != "":
		return []bot.Reply{{Chat: m.Chat.ID, PressID: m.PressID, Text: "ok"}}
	case m.Text == "":
		return nil
	}
	return []bot.Reply{{Chat: m.Chat.ID, Group: m.Chat.Group, Thread: m.Chat.Thread, Text: m.Text}}
}

func (d *echoDesk) Pending(context.Context) ([]bot.Sending, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Clone(d.outbox), nil
}

func (d *echoDesk) Settle(_ context.Context, list []bot.Settled) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.refuse != nil {
		if err := d.refuse(list); err != nil {
			return err
		}
	}
	for _, done := range list {
		d.settled = append(d.settled, done)
		if done.RetryAt.IsZero() {
			d.outbox = slices.DeleteFunc(d.outbox, func(o bot.Sending) bool { return o.ID == done.ID })
		}
	}
	return nil
}

func (d *echoDesk) Calls(_ context.Context, now time.Time) (map[catch.ChatID][]bot.Call, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	calls := map[catch.ChatID][]bot.Call{}
	for _, done := range d.settled {
		for _, c := range done.Calls {
			if now.Sub(c.At) <= time.Minute {
				calls[done.Reply.Chat] = append(calls[done.Reply.Chat], c)
			}
		}
	}
	return calls, nil
}

func (d *echoDesk) Make(_ context.Context, a bot.Attachment) (bot.File, error) {
	if d.file == nil {
		return bot.File{}, errors.New("/secret/place: no such file")
	}
	return d.file(a)
}

// change changes a desk that serves.
func (d *echoDesk) change(how func(d *echoDesk)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	how(d)
}

// put queues replies as if they waited from before the start.
func (d *echoDesk) put(list ...bot.Reply) {
	for _, r := range list {
		d.next++
		d.outbox = append(d.outbox, bot.Sending{ID: d.next, Reply: r, QueuedAt: time.Now()})
	}
}

// messages are what was taken, by text.
func (d *echoDesk) messages() []bot.Message {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Clone(d.taken)
}

func (d *echoDesk) waiting() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.outbox)
}

func (d *echoDesk) results() []bot.Settled {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Clone(d.settled)
}

// serving is a bot on a clock of its own: no network, no waiting.
type serving struct {
	*testing.T
	api  *standin.Server
	desk *echoDesk
	logs *syncBuffer
	bot  *service
	stop func() error
}

// canary is a text that must not be in any log.
const canary = "Zanzibar canary"

// inBubble runs a bot against a stand-in without a network, so that hours pass in
// no time. The log is searched for the token and for the canary.
func inBubble(t *testing.T, test func(s *serving), edits ...func(*Config, *serving)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		s := &serving{T: t, api: standin.NewDirect(), desk: &echoDesk{}, logs: &syncBuffer{}}
		config := Config{
			Token: testToken(t), APIURL: s.api.URL, Transport: s.api, Rand: func() float64 { return 0.5 },
			Log: slog.New(slog.NewJSONHandler(s.logs, nil)),
		}
		for _, edit := range edits {
			edit(&config, s)
		}
		ctx, cancel := context.WithCancel(t.Context())
		var err error
		s.bot, err = newService(ctx, config, s.desk)
		require.NoError(t, err)
		done := make(chan error, 1)
		go func() {
			time.Sleep(time.Nanosecond) // once the test waits: what it says first is in place by then
			done <- s.bot.run(ctx)
		}()
		s.stop = sync.OnceValue(func() error {
			cancel()
			return <-done
		})
		defer s.api.Close()
		defer s.stop() // also when the test gives up
		test(s)
		assert.NoError(t, s.stop())
		assert.NotContains(t, s.logs.String(), standin.Token, "token in the log")
		assert.NotContains(t, s.logs.String(), "canary", "people's words in the log")
	})
}

func testToken(t testing.TB) Token {
	t.Helper()
	token, err := NewToken(standin.Token)
	require.NoError(t, err)
	return token
}

// texts are the messages that a chat was sent, as people see them.
func texts(calls []standin.Call) (list []string) {
	for _, c := range calls {
		if c.Method == "sendMessage" || c.Method == "editMessageText" {
			list = append(list, c.Plain())
		}
	}
	return list
}

// countMethod counts how often a method is called, whatever becomes of it.
func countMethod(s *serving, method string) *counter {
	c := &counter{}
	s.api.Spoil(func(x *standin.Exchange) bool {
		if x.Method == method {
			c.add(x.Params)
		}
		return false
	})
	return c
}

type counter struct {
	mu    sync.Mutex
	calls []map[string]string
	at    []time.Time
}

func (c *counter) add(params map[string]string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.calls, c.at = append(c.calls, params), append(c.at, time.Now())
}

func (c *counter) all() []map[string]string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.calls)
}

func (c *counter) times() []time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.at)
}

// roundTrip lets a function be a transport.
type roundTrip func(*http.Request) (*http.Response, error)

func (f roundTrip) RoundTrip(r *http.Request) (*http.Response, error) { return f(r) }

var errStore = errors.New("the disk is full: make room")

func numbered(n int) string { return fmt.Sprintf("%d", n) }

func writeFile(path, text string) error { return os.WriteFile(path, []byte(text), 0o600) }
