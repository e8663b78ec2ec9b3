package telegram

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
)

// calling is a library object over our client, for calls one by one.
func calling(t *testing.T, c Config) *tgbotapi.BotAPI {
	t.Helper()
	c.Token = testToken(t)
	c, err := c.ready()
	require.NoError(t, err)
	cl := newClient(t.Context(), c, newMeters(c.Now, func() (int, time.Time) { return 0, time.Time{} }, nil), newPace(c))
	t.Cleanup(cl.http.CloseIdleConnections)
	api := &tgbotapi.BotAPI{Token: c.Token.secret, Client: cl}
	api.SetAPIEndpoint(endpointOf(c.APIURL))
	return api
}

// Trap: the token is in the address, and errors of the network print the address.
func TestTokenIsInNoErrorOfTheNetwork(t *testing.T) {
	dead := httptest.NewServer(nil)
	dead.Close()
	resetting := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) }))
	defer resetting.Close()
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for name, c := range map[string]Config{
		"refused":  {APIURL: dead.URL},
		"reset":    {APIURL: resetting.URL},
		"no host":  {APIURL: "http://host.invalid"},
		"quoted":   {APIURL: "http://x.invalid", Transport: roundTrip(func(r *http.Request) (*http.Response, error) { return nil, errors.New("bad " + r.URL.String()) })},
		"deadline": {APIURL: dead.URL, Transport: roundTrip(func(r *http.Request) (*http.Response, error) { return nil, ended.Err() })},
	} {
		t.Run(name, func(t *testing.T) {
			api := calling(t, c)
			_, err := api.MakeRequest("sendMessage", nil)
			require.Error(t, err)
			assert.NotContains(t, err.Error(), "stand-in-token")
			_, err = api.UploadFiles("sendDocument", nil, []tgbotapi.RequestFile{{Name: "document", Data: tgbotapi.FileBytes{Name: "a", Bytes: make([]byte, 1<<20)}}})
			require.Error(t, err)
			assert.NotContains(t, err.Error(), "stand-in-token")
			_, err = Check(t.Context(), Config{Token: testToken(t), APIURL: c.APIURL, Transport: c.Transport})
			require.Error(t, err)
			assert.NotContains(t, err.Error(), "stand-in-token")
		})
	}
}

func TestErrorsOfTheNetworkKeepTheirCause(t *testing.T) {
	api := calling(t, Config{Transport: roundTrip(func(*http.Request) (*http.Response, error) { return nil, io.ErrUnexpectedEOF })})
	_, err := api.MakeRequest("getMe", nil)
	assert.ErrorIs(t, err, io.ErrUnexpectedEOF)
}

func TestTokenHidesHoweverItIsPrinted(t *testing.T) {
	token := testToken(t)
	var logged bytes.Buffer
	slog.New(slog.NewJSONHandler(&logged, nil)).Info("x", "token", token, "config", Config{Token: token})
	slog.New(slog.NewTextHandler(&logged, nil)).Info("x", "token", token, "config", Config{Token: token})
	encoded, err := json.Marshal(struct{ T Token }{token})
	require.NoError(t, err)
	for _, text := range []string{
		fmt.Sprint(token), fmt.Sprintf("%v %+v %#v %s %q %x", token, token, token, token, token, token),
		fmt.Sprintf("%v %+v", Config{Token: token}, &Config{Token: token}), logged.String(), string(encoded),
	} {
		assert.NotContains(t, text, "stand-in-token")
		assert.NotContains(t, text, fmt.Sprintf("%x", "stand-in-token"))
	}
}

// The address holds the token: a redirect would carry it to somebody else.
func TestTokenFollowsNoRedirect(t *testing.T) {
	var seen []string
	stranger := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		seen = append(seen, r.URL.String(), r.Referer())
	}))
	defer stranger.Close()
	proxy := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, stranger.URL+r.URL.Path, http.StatusTemporaryRedirect)
	}))
	defer proxy.Close()
	_, err := calling(t, Config{APIURL: proxy.URL}).MakeRequest("getMe", nil)
	var answer *ErrAnswer
	require.ErrorAs(t, err, &answer)
	assert.Equal(t, http.StatusTemporaryRedirect, answer.Status)
	assert.Empty(t, seen)
}

// Traps: the status is never looked at, a proxy's page becomes a riddle about
// "invalid character '<'"; on such errors the answer is nil.
func TestAnswersThatAreNotJSONAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		answer http.HandlerFunc
		status int
		wait   time.Duration
	}{
		"page": {func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(502); io.WriteString(w, "<html>") }, 502, 0},
		"JSON of a proxy": {func(w http.ResponseWriter, _ *http.Request) {
			w.WriteHeader(502)
			io.WriteString(w, `{"message":"no upstream"}`)
		}, 502, 0},
		"cut off": {func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, `{"ok":true,"res`) }, 200, 0},
		"empty":   {func(w http.ResponseWriter, _ *http.Request) {}, 200, 0},
		"too long": {func(w http.ResponseWriter, _ *http.Request) {
			io.WriteString(w, `{"ok":true,"x":"`+strings.Repeat("a", maxAnswer)+`"}`)
		}, 200, 0},
		"asks to wait": {func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Retry-After", "17")
			w.WriteHeader(429)
			io.WriteString(w, "slow down")
		}, 429, 17 * time.Second},
		"asks for ages": {func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Retry-After", "9223372036854775807")
			w.WriteHeader(503)
		}, 503, longestWait},
		"asks nonsense": {func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Retry-After", "-5")
			w.WriteHeader(503)
		}, 503, 0},
	} {
		t.Run(name, func(t *testing.T) {
			server := httptest.NewServer(c.answer)
			defer server.Close()
			_, err := calling(t, Config{APIURL: server.URL}).MakeRequest("getMe", nil)
			var answer *ErrAnswer
			require.ErrorAs(t, err, &answer)
			assert.Equal(t, c.status, answer.Status)
			assert.ErrorContains(t, err, fmt.Sprintf("HTTP %d", c.status), "an operator sees what came")
			assert.Equal(t, c.wait, retryAfter(err))
			assert.Equal(t, later, judge(err))
		})
	}
}

// Traps: no time limit, no context; and one limit for everything.
func TestEveryCallHasALimitOfItsOwn(t *testing.T) {
	for method, want := range map[string]time.Duration{"getUpdates": pollTimeout, "sendMessage": callTimeout, "sendDocument": fileTimeout} {
		t.Run(method, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				api := calling(t, Config{Transport: roundTrip(func(r *http.Request) (*http.Response, error) {
					<-r.Context().Done()
					r.Body.Close()
					return nil, r.Context().Err()
				})})
				began := time.Now()
				var err error
				if method == "sendDocument" {
					_, err = api.UploadFiles(method, nil, []tgbotapi.RequestFile{{Name: "document", Data: tgbotapi.FileBytes{Name: "a", Bytes: make([]byte, 1<<20)}}})
				} else {
					_, err = api.MakeRequest(method, nil)
				}
				assert.ErrorIs(t, err, context.DeadlineExceeded)
				assert.Equal(t, want, time.Since(began))
			})
		})
	}
}

// A body that never ends is broken off too, not only a missing head.
func TestSlowBodyIsBrokenOff(t *testing.T) {
	api := standin.New()
	defer api.Close()
	api.Spoil(standin.SlowBody(time.Hour))
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	c, err := Config{Token: testToken(t), APIURL: api.URL}.ready()
	require.NoError(t, err)
	cl := newClient(ctx, c, newMeters(c.Now, func() (int, time.Time) { return 0, time.Time{} }, nil), newPace(c))
	lib := &tgbotapi.BotAPI{Token: standin.Token, Client: cl}
	lib.SetAPIEndpoint(endpointOf(api.URL))
	_, err = lib.MakeRequest("getMe", nil)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
}

// Trap: some of the library's functions ignore a server of one's own. We use none
// of them: every call goes to the given address.
func TestEveryCallGoesToTheGivenServer(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Say(7, 7, "x")
		assert.Len(t, t.api.Await(1, time.Minute), 1)
	}, func(c *Config, t *serving) {
		c.Transport = roundTrip(func(r *http.Request) (*http.Response, error) {
			if got := r.URL.Scheme + "://" + r.URL.Host; got != t.api.URL {
				t.Errorf("a call to %s", got)
			}
			return t.api.RoundTrip(r)
		})
	})
}

// Trap: errors come as pointers, and uploads lose the server's code.
func TestVerdicts(t *testing.T) {
	api := func(code int, text string) error { return &tgbotapi.Error{Code: code, Message: text} }
	for _, c := range []struct {
		err  error
		want verdict
	}{
		{nil, delivered},
		{io.ErrUnexpectedEOF, later},
		{&ErrAnswer{Status: 502}, later},
		{&ErrAnswer{Status: 413}, never},
		{api(400, "Bad Request: message is not modified: specified new message content"), delivered},
		{api(400, "Bad Request: query is too old and response timeout expired or query ID is invalid"), delivered},
		{api(400, "Bad Request: chat not found"), gone},
		{api(400, "Bad Request: something new"), never},
		{api(403, "Forbidden: bot was blocked by the user"), gone},
		{api(403, "Forbidden: bot was kicked from the supergroup chat"), gone},
		{api(403, "Forbidden: user is deactivated"), gone},
		{api(0, "Forbidden: bot is not a member of the channel chat"), gone},
		{api(0, "Bad Request: wrong file"), never},
		{api(0, "Request Entity Too Large"), never},
		{api(413, "Request Entity Too Large"), never},
		{api(0, "Internal Server Error"), later},
		{api(500, "Internal Server Error"), later},
		{api(401, "Unauthorized"), later}, // the poll ends the service
		{api(429, "Too Many Requests"), later},
		{&tgbotapi.Error{Code: 429, ResponseParameters: tgbotapi.ResponseParameters{RetryAfter: 5}}, later},
		{&tgbotapi.Error{Message: "Too Many Requests: retry after 5", ResponseParameters: tgbotapi.ResponseParameters{RetryAfter: 5}}, later},
		{&tgbotapi.Error{Code: 400, ResponseParameters: tgbotapi.ResponseParameters{MigrateToChatID: -1009}}, moved},
		{fmt.Errorf("wrapped: %w", api(403, "Forbidden: x")), gone},
	} {
		assert.Equal(t, c.want, judge(c.err), "%v", c.err)
	}
}

// Trap: the library logs addresses and whole answers by itself, to a logger that
// is global and was bound to the standard error before we could ask. So a child
// of this test makes the calls, and what it prints is read.
func TestLibraryLogsNothing(t *testing.T) {
	const child = "DEEPWARD_TEST_LIBRARY_LOG"
	if os.Getenv(child) != "" {
		silence()
		api := calling(t, Config{Transport: roundTrip(func(*http.Request) (*http.Response, error) { return nil, io.EOF })})
		api.Debug = true // ours never is
		_, _ = api.MakeRequest("sendMessage", tgbotapi.Params{"text": canary})
		_, _ = api.UploadFiles("sendDocument", tgbotapi.Params{"caption": canary}, nil)
		return
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestLibraryLogsNothing$")
	cmd.Env = append(os.Environ(), child+"=1")
	printed, err := cmd.CombinedOutput()
	require.NoError(t, err, string(printed))
	assert.NotContains(t, string(printed), "canary")
	assert.NotContains(t, string(printed), "stand-in-token")
	inBubble(t, func(t *serving) {
		t.api.Say(7, 7, canary)
		t.api.Await(1, time.Minute)
		assert.False(t, t.bot.api.Debug, "it would log every word")
	})
}
