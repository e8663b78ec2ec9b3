package telegram

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
)

func TestRefusedTokenEndsTheService(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		api := standin.NewDirect()
		api.Spoil(standin.On("getUpdates", standin.Says(401, "Unauthorized", nil)))
		err := Run(t.Context(), Config{Token: testToken(t), APIURL: api.URL, Transport: api}, &echoDesk{})
		assert.ErrorContains(t, err, "refuses the token")
	})
}

// A token that is revoked while a bot serves ends it with the same line, whether it
// polls or is pushed to, where no poll tells. What waits stays for the next start.
func TestTokenRevokedWhileServingEndsTheService(t *testing.T) {
	for name, hook := range map[string]Webhook{
		"polling": {}, "pushed to": {URL: "https://a.example", Listen: "127.0.0.1:0", Secret: hookSecret},
	} {
		t.Run(name, func(t *testing.T) {
			api, desk, logs := standin.NewDirect(), &echoDesk{}, &syncBuffer{}
			t.Cleanup(api.Close)
			desk.put(bot.Reply{Chat: 7, Text: "x"})
			api.Spoil(standin.On("sendMessage", standin.Says(401, "Unauthorized", nil)))
			err := Run(t.Context(), Config{
				Token: testToken(t), APIURL: api.URL, Transport: api, Webhook: hook, Log: slog.New(slog.NewJSONHandler(logs, nil)),
			}, desk)
			assert.ErrorIs(t, err, errRefused)
			assert.Equal(t, 1, desk.waiting(), "what waits is not given up")
			assert.NotContains(t, logs.String(), "given up")
		})
	}
}

// Nothing is pushed with a token that was revoked, so nothing is answered either: a
// look now and then tells.
func TestTokenRevokedInSilenceEndsABotThatIsPushedTo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := testService(t, &echoDesk{})
		ctx, end := context.WithCancelCause(t.Context())
		s.end = end
		s.background.Go(func() { s.askToken(ctx) })
		time.Sleep(3 * askTokenEvery)
		require.NoError(t, ctx.Err(), "a good token is left alone")
		s.config.Transport.(*standin.Server).Spoil(standin.On("getMe", standin.Says(401, "Unauthorized", nil)))
		time.Sleep(askTokenEvery)
		synctest.Wait()
		assert.ErrorIs(t, whyGivenUp(ctx), errRefused)
	})
}

// Traps: stopping waits for the running poll, stops twice panic, and a bot that
// was stopped polls no more.
func TestStopIsQuickAndAnotherRunServes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		api := standin.NewDirect()
		for range 3 {
			ctx, cancel := context.WithCancel(t.Context())
			done := make(chan error, 1)
			go func() { done <- Run(ctx, Config{Token: testToken(t), APIURL: api.URL, Transport: api}, &echoDesk{}) }()
			n := len(api.Calls())
			api.Say(7, 7, "x")
			require.Len(t, api.Await(n+1, time.Minute), n+1)
			time.Sleep(10 * time.Second) // within a poll
			began := time.Now()
			cancel()
			cancel()
			require.NoError(t, <-done)
			assert.Less(t, time.Since(began), 100*time.Millisecond)
		}
		api.Close()
	})
}

// The last call of a stop confirms what was taken, so that a restart does not
// get it again.
func TestStopConfirmsWhatWasTaken(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.desk.fault = func([]bot.Message) error { go t.stop(); time.Sleep(time.Second); return nil }
		t.api.Say(7, 7, "x")
		time.Sleep(2 * time.Second)
		require.NoError(t, t.stop())
		assert.Len(t, t.desk.messages(), 1, "a commit is not broken off")
		assert.Zero(t, t.api.Waiting())
	})
}

// Trap: the constructor asks who the bot is; without a network there is no bot.
func TestStartWithoutNetworkWaitsAndSaysSo(t *testing.T) {
	var up atomic.Bool
	inBubble(t, func(t *serving) {
		time.Sleep(10 * time.Minute)
		assert.Contains(t, t.logs.String(), "out of reach")
		up.Store(true)
		t.api.Say(7, 7, "x")
		assert.Len(t, t.api.Await(1, 2*time.Minute), 1)
	}, func(c *Config, t *serving) {
		c.Transport = roundTrip(func(r *http.Request) (*http.Response, error) {
			if !up.Load() {
				return nil, errors.New("no route to host")
			}
			return t.api.RoundTrip(r)
		})
	})
}

func TestStopWhileThereIsNoNetworkIsNoError(t *testing.T) {
	inBubble(t, func(t *serving) {
		time.Sleep(time.Minute)
		began := time.Now()
		assert.NoError(t, t.stop())
		assert.Less(t, time.Since(began), 100*time.Millisecond)
	}, func(c *Config, _ *serving) {
		c.Transport = roundTrip(func(r *http.Request) (*http.Response, error) {
			<-r.Context().Done() // hangs
			return nil, r.Context().Err()
		})
	})
}

// A panic loses only the answer of the update that caused it.
func TestPanicOfTheDeskLosesOnlyThatAnswer(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.desk.fault = func(batch []bot.Message) error {
			for _, m := range batch {
				if strings.Contains(m.Text, "canary") {
					panic(errors.New(m.Text)) // a panic that quotes what was written
				}
			}
			return nil
		}
		t.api.Say(7, 7, "a")
		t.api.Say(8, 8, canary)
		t.api.Say(9, 9, "c")
		t.api.Await(2, time.Minute)
		time.Sleep(time.Minute)
		assert.ElementsMatch(t, []string{"a", "c"}, texts(t.api.Calls()))
		assert.Zero(t, t.api.Waiting())
		assert.Contains(t, t.logs.String(), "broke the conversation")
	})
}

func TestSettingsThatCannotWorkAreRefused(t *testing.T) {
	good := Config{Token: testToken(t)}
	for name, edit := range map[string]func(*Config){
		"no token":              func(c *Config) { c.Token = Token{} },
		"no scheme":             func(c *Config) { c.APIURL = "localhost:8081" },
		"verbs":                 func(c *Config) { c.APIURL = "http://host/%s" },
		"not http":              func(c *Config) { c.APIURL = "ftp://host" },
		"webhook, no secret":    func(c *Config) { c.Webhook = Webhook{URL: "https://a.example/x"} },
		"webhook, bad secret":   func(c *Config) { c.Webhook = Webhook{URL: "https://a.example/x", Secret: "a b"} },
		"webhook, half of TLS":  func(c *Config) { c.Webhook = Webhook{URL: "https://a.example/x", Secret: "ab", CertFile: "c"} },
		"webhook, no address":   func(c *Config) { c.Webhook = Webhook{URL: "a.example", Secret: "ab"} },
		"health that is in use": func(c *Config) { c.Health = "256.0.0.1:1" },
	} {
		t.Run(name, func(t *testing.T) {
			c := good
			c.Log = slog.New(slog.DiscardHandler)
			edit(&c)
			err := Run(t.Context(), c, &echoDesk{})
			require.Error(t, err)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}
