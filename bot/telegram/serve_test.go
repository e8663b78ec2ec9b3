package telegram

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
)

// running is a bot that serves against a stand-in.
type running struct {
	t      *testing.T
	api    *standin.Server
	store  *store.Store
	logs   *syncBuffer
	stop   context.CancelFunc
	done   chan error
	folder string
}

type syncBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *syncBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *syncBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

type noFiles struct{}

func (noFiles) Make(_ context.Context, a bot.Attachment) (bot.File, error) {
	if a.Kind == bot.FileExport {
		return bot.File{Name: "log.csv", Data: []byte("a,b\r\n")}, nil
	}
	return bot.File{}, errors.New("no such file here")
}

func start(t *testing.T, api *standin.Server, folder string) *running {
	t.Helper()
	s, err := store.Open(filepath.Join(folder, "t.db"), store.Options{KeyFile: filepath.Join(folder, "keys", "key")})
	require.NoError(t, err)
	r := &running{t: t, api: api, store: s, logs: &syncBuffer{}, done: make(chan error, 1), folder: folder}
	log := slog.New(slog.NewJSONHandler(r.logs, &slog.HandlerOptions{Level: slog.LevelDebug}))
	token, err := NewToken(standin.Token)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	r.stop = stop
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: noFiles{}, Log: log}
	go func() {
		r.done <- Run(ctx, Config{Token: token, APIURL: api.URL, Commands: bot.Commands, Log: log, Now: time.Now}, desk)
	}()
	t.Cleanup(func() { r.halt() })
	return r
}

// halt stops the bot, closes its store and looks for the token in the log.
func (r *running) halt() {
	if r.stop == nil {
		return
	}
	r.stop()
	r.stop = nil
	select {
	case err := <-r.done:
		assert.NoError(r.t, err)
	case <-time.After(12 * time.Second):
		assert.Fail(r.t, "the bot did not stop in time")
	}
	assert.NoError(r.t, r.store.Close())
	assert.NotContains(r.t, r.logs.String(), standin.Token, "token in the log")
}

func newStandin(t *testing.T) *standin.Server {
	api := standin.New()
	t.Cleanup(api.Close)
	return api
}

func (r *running) reports() (list []catch.Report) {
	r.t.Helper()
	require.NoError(r.t, r.store.View(func(tx *store.Tx) error {
		for report, err := range tx.Reports(catch.Filter{Personal: true}) {
			if err != nil {
				return err
			}
			list = append(list, *report)
		}
		return nil
	}))
	return list
}

func TestQuestionIsAnsweredInBoldFirstLine(t *testing.T) {
	api := newStandin(t)
	start(t, api, t.TempDir())
	api.Push(standin.Private(7, 1, "red snapper 45m 3kg <b>eyes bulging</b>"))
	calls := api.Await(1, 5*time.Second)
	require.Len(t, calls, 1)
	assert.Equal(t, "sendMessage", calls[0].Method)
	assert.True(t, strings.HasPrefix(calls[0].Text, "<b>SEND IT DOWN: 40 oz, to 45 m</b>\n"), calls[0].Text)
	assert.Contains(t, calls[0].Params["reply_markup"], "callback_data")
}

func TestTapEditsInPlaceAndKeepsOneReport(t *testing.T) {
	api := newStandin(t)
	r := start(t, api, t.TempDir())
	api.Push(standin.Private(7, 1, "red snapper 45m 3kg"))
	sent := api.Await(1, 5*time.Second)[0]
	tap := standin.Press(7, 7, sent.Message, "done 1 recompressed")
	api.Push(tap)
	api.Push(tap)
	calls := api.Await(4, 5*time.Second)
	methods := map[string]int{}
	for _, c := range calls[1:] {
		methods[c.Method]++
	}
	assert.Equal(t, 1, methods["editMessageText"])
	assert.Equal(t, 2, methods["answerCallbackQuery"])
	assert.Len(t, r.reports(), 1)
}

func TestPoisonUpdateDoesNotStall(t *testing.T) {
	api := newStandin(t)
	start(t, api, t.TempDir())
	api.Push(`{"update_id":%d,"message":{"message_id":"not a number"}}`)
	api.Push(`{"update_id":%d,"unheard_of":{"x":1}}`)
	api.Push(standin.Private(7, 1, "gag 40m 3kg"))
	assert.Len(t, api.Await(1, 5*time.Second), 1)
}

func TestUpdateNumbersStartingAnewAreTaken(t *testing.T) {
	api := newStandin(t)
	start(t, api, t.TempDir())
	api.NextUpdate(900000)
	api.Push(standin.Private(7, 1, "gag 40m 3kg"))
	require.Len(t, api.Await(1, 5*time.Second), 1)
	require.Eventually(t, func() bool { return api.Waiting() == 0 }, 5*time.Second, 5*time.Millisecond)
	api.NextUpdate(17)
	api.Push(standin.Private(7, 2, "gag 50m 3kg"))
	assert.Len(t, api.Await(2, 5*time.Second), 2)
}

func TestUpdateDeliveredTwiceIsKeptOnce(t *testing.T) {
	api := newStandin(t)
	r := start(t, api, t.TempDir())
	raw := standin.Private(7, 1, "log gag 40 m sent down 40 oz")
	id := api.Push(raw)
	api.Await(1, 5*time.Second)
	api.Again(raw, id)
	api.Push(standin.Private(7, 2, "mine"))
	api.Await(2, 5*time.Second)
	assert.Len(t, r.reports(), 1)
}

func TestFaultsOnlyDelayReplies(t *testing.T) {
	faults := map[string]standin.Spoiler{
		"429":           standin.Flood(1),
		"500":           standin.Says(500, "Internal Server Error", nil),
		"502 with HTML": standin.Page(502),
		"cut-off JSON":  standin.Body(`{"ok":true,"result":{"message_`),
		"invalid JSON":  standin.Body(`{"ok":true,"result":nothing}`),
		"reset":         standin.Reset,
	}
	for name, fault := range faults {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			api := newStandin(t)
			r := start(t, api, t.TempDir())
			api.Spoil(standin.On("sendMessage", standin.Times(1, fault)))
			api.Push(standin.Private(7, 1, "log gag 40 m sent down 40 oz"))
			api.Push(standin.Private(7, 2, "mine"))
			calls := api.Await(2, 15*time.Second)
			require.Len(t, calls, 2)
			assert.Contains(t, calls[0].Text+calls[1].Text, "no. 1")
			if name == "429" {
				assert.Contains(t, calls[0].Text, "no. 1", "a stated wait keeps the order")
			}
			assert.Len(t, r.reports(), 1)
		})
	}
}

func TestFaultyPollsAreTriedAgain(t *testing.T) {
	api := newStandin(t)
	api.Spoil(standin.On("getUpdates", standin.Times(1, standin.Page(502))))
	start(t, api, t.TempDir())
	api.Push(standin.Private(7, 1, "gag 40m 3kg"))
	assert.Len(t, api.Await(1, 10*time.Second), 1)
}

func TestRefusedTokenStopsWithAClearLine(t *testing.T) {
	api := newStandin(t)
	token, err := NewToken("999999:some-other-token-of-nobody")
	require.NoError(t, err)
	err = Run(context.Background(), Config{Token: token, APIURL: api.URL, Log: slog.New(slog.DiscardHandler), Now: time.Now}, nil)
	require.ErrorContains(t, err, "refuses the token")
	assert.NotContains(t, err.Error(), "some-other-token")
}

func TestTokenIsInNoError(t *testing.T) {
	token, err := NewToken(standin.Token)
	require.NoError(t, err)
	_, err = Check(context.Background(), Config{Token: token, APIURL: "http://127.0.0.1:1"})
	require.Error(t, err)
	for _, text := range []string{err.Error(), fmt.Sprintf("%v %+v %#v %s", token, token, token, token)} {
		assert.NotContains(t, text, "stand-in-token")
	}
}

func TestBlockedChatIsGivenUp(t *testing.T) {
	api := newStandin(t)
	r := start(t, api, t.TempDir())
	api.Block(7)
	api.Push(standin.Private(7, 1, "gag 40m 3kg"))
	api.Push(standin.Private(8, 1, "gag 40m 3kg"))
	require.Len(t, api.Await(1, 5*time.Second), 1)
	require.Eventually(t, func() bool {
		n := -1
		_ = r.store.View(func(tx *store.Tx) error { n = tx.OutboxLen(); return nil })
		return n == 0
	}, 5*time.Second, 10*time.Millisecond)
}

func TestGroupThatMovedKeepsItsLogAndItsReplies(t *testing.T) {
	api := newStandin(t)
	r := start(t, api, t.TempDir())
	api.Push(standin.Group(-100, 7, 1, "/log gag 40 m sent down 40 oz"))
	require.Len(t, api.Await(1, 5*time.Second), 1)
	api.MovedSilently(-100, -1009)
	api.Push(standin.Group(-100, 7, 2, "/log gag 45 m sent down 40 oz"))
	calls := api.Await(2, 5*time.Second)
	require.Len(t, calls, 2)
	assert.Equal(t, int64(-1009), calls[1].Chat)
	api.Push(standin.Group(-1009, 7, 1, "/log gag 50 m sent down 40 oz"))
	api.Await(3, 5*time.Second)
	list := r.reports()
	require.Len(t, list, 3)
	assert.Equal(t, list[0].Chat, list[2].Chat)
}

func TestAdminIsWhoTheChatSays(t *testing.T) {
	api := newStandin(t)
	api.SetAdmins(-100, 7)
	start(t, api, t.TempDir())
	api.Push(standin.Group(-100, 8, 1, "/setup units feet"))
	api.Push(standin.Group(-100, 7, 2, "/setup units feet"))
	calls := api.Await(2, 5*time.Second)
	require.Len(t, calls, 2)
	assert.Contains(t, calls[0].Text, "Only an admin")
	assert.Contains(t, calls[1].Text, "feet")
}

func TestCommandForAnotherBotIsLeftAlone(t *testing.T) {
	api := newStandin(t)
	start(t, api, t.TempDir())
	api.Push(standin.Group(-100, 8, 1, "/help@another_bot"))
	api.Push(standin.Group(-100, 8, 2, "/help@"+standin.Name))
	time.Sleep(100 * time.Millisecond)
	assert.Len(t, api.Await(1, 5*time.Second), 1)
}

func TestRepliesThatWaitedAreSentAfterARestart(t *testing.T) {
	api := newStandin(t)
	folder := t.TempDir()
	first := start(t, api, folder)
	api.Spoil(standin.On("sendMessage", standin.Says(500, "Internal Server Error", nil)))
	api.Push(standin.Private(7, 1, "log gag 40 m sent down 40 oz"))
	require.Eventually(t, func() bool { return len(first.reports()) == 1 }, 5*time.Second, 5*time.Millisecond)
	first.halt()
	api.Spoil(nil)
	start(t, api, folder)
	calls := api.Await(1, 5*time.Second)
	require.Len(t, calls, 1)
	assert.Contains(t, calls[0].Text, "no. 1")
}

func TestOrganiserGetsTheLogAsADocumentInPrivate(t *testing.T) {
	api := newStandin(t)
	api.SetAdmins(-100, 7)
	start(t, api, t.TempDir())
	api.Push(standin.Group(-100, 8, 1, "/log gag 40 m sent down 40 oz"))
	api.Push(standin.Group(-100, 7, 2, "/organiser"))
	api.Push(standin.Group(-100, 7, 3, "/export"))
	api.Push(standin.Private(7, 4, "/export"))
	api.Push(standin.Private(9, 5, "/export"))
	calls := api.Await(5, 10*time.Second)
	require.Len(t, calls, 5)
	documents := map[int64]int{}
	for _, c := range calls {
		if c.Method == "sendDocument" {
			documents[c.Chat]++
		}
	}
	assert.Equal(t, map[int64]int{7: 1}, documents, "only the organiser, only in private")
}

func TestReportInAReportTopicGetsAReaction(t *testing.T) {
	api := newStandin(t)
	api.SetAdmins(-100, 7)
	r := start(t, api, t.TempDir())
	topic := func(raw string) string {
		return strings.Replace(raw, `"text":`, `"message_thread_id":5,"is_topic_message":true,"text":`, 1)
	}
	api.Push(topic(standin.Group(-100, 7, 1, "/setup topic yes")))
	api.Push(topic(standin.Group(-100, 8, 2, "log gag 40 m sent down 40 oz")))
	api.Push(topic(standin.Group(-100, 8, 3, "lovely evening")))
	calls := api.Await(2, 5*time.Second)
	require.Len(t, calls, 2)
	assert.Equal(t, "5", calls[0].Params["message_thread_id"], "answered in its topic")
	assert.Equal(t, "setMessageReaction", calls[1].Method)
	assert.Len(t, r.reports(), 1)
}

// Names, titles and texts are whatever people call themselves: they go out as they
// are seen, and none is taken for markup. The stand-in refuses what would be.
func TestNamesAreNoMarkup(t *testing.T) {
	const name = `<b>&"'</i> &lt;`
	api := newStandin(t)
	r := start(t, api, t.TempDir())
	quoted, err := json.Marshal(name)
	require.NoError(t, err)
	named := func(raw string) string {
		raw = strings.ReplaceAll(raw, `"P8"`, string(quoted))
		return strings.ReplaceAll(raw, `"Club"`, string(quoted))
	}
	api.Push(named(standin.Group(-100, 8, 1, "/organiser")))
	api.Push(named(standin.Private(8, 2, "log "+name+" 40 m sent down 40 oz")))
	calls := api.Await(2, 5*time.Second)
	require.Len(t, calls, 2)
	asked := api.Sent(-100)[0]
	assert.Contains(t, asked.Plain(), name, "the name is shown as it is")
	assert.NotContains(t, asked.Text, name, "and sent escaped")
	assert.Contains(t, asked.Text, "&lt;b&gt;&amp;")
	assert.NotContains(t, r.logs.String(), "can't parse")
}
