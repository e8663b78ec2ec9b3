package telegram

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/delivery"
	"deepward/bot/telegram/standin"
)

const hookSecret = "a-secret_of-letters"

// freeAddress is a loopback address that nobody uses.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().String()
}

// hooked runs a bot that is pushed to, over the loopback.
func hooked(t *testing.T, desk *echoDesk, edits ...func(*Config)) (api *standin.Server, c Config, stop func() error) {
	t.Helper()
	api = standin.New()
	t.Cleanup(api.Close)
	address := freeAddress(t)
	c = Config{
		Token: testToken(t), APIURL: api.URL, Health: freeAddress(t),
		Webhook: Webhook{URL: "http://" + address + "/hook", Listen: address, Secret: hookSecret},
	}
	for _, edit := range edits {
		edit(&c)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- Run(ctx, c, desk) }()
	require.Eventually(t, func() bool { return api.Webhook() != "" }, 5*time.Second, time.Millisecond)
	return api, c, func() error { cancel(); return <-done }
}

func TestWebhookTakesWhatIsPushed(t *testing.T) {
	desk := &echoDesk{}
	var fails atomic.Int32
	fails.Store(2)
	desk.fault = func([]bot.Message) error {
		if fails.Add(-1) >= 0 {
			return errStore
		}
		return nil
	}
	api, c, stop := hooked(t, desk)
	api.Say(7, 7, "a")
	api.Push(`{"update_id":%d,"message":{"message_id":"poison"}}`)
	api.Say(7, 7, "b")
	calls := api.Await(2, 5*time.Second)
	assert.Equal(t, []string{"a", "b"}, texts(calls))
	require.Eventually(t, func() bool { return api.Waiting() == 0 }, 5*time.Second, time.Millisecond)
	assert.Len(t, desk.messages(), 2, "what could not be kept came again; the poison did not stall")
	assert.Equal(t, http.StatusOK, get(t, "http://"+c.Health+"/readyz"))
	require.NoError(t, stop())
}

// Trap: the library answers 200 before the update is handled, checks no secret,
// reads a body without end, and registers itself globally.
func TestWebhookAnswers(t *testing.T) {
	desk := &echoDesk{}
	s := testService(t, desk)
	update := strings.Replace(standin.Private(7, 1, "x"), "%d", "5", 1)
	push := func(method, secret, body string) int {
		r := httptest.NewRequest(method, "/hook", strings.NewReader(body))
		if secret != "" {
			r.Header.Set(secretHeader, secret)
		}
		w := httptest.NewRecorder()
		s.pushed(w, r)
		return w.Code
	}
	assert.Equal(t, http.StatusUnauthorized, push("POST", "", update))
	assert.Equal(t, http.StatusUnauthorized, push("POST", hookSecret+"x", update))
	assert.Equal(t, http.StatusMethodNotAllowed, push("GET", hookSecret, ""))
	assert.Equal(t, http.StatusBadRequest, push("POST", hookSecret, strings.Repeat("x", maxUpdate+1)))
	assert.Empty(t, desk.messages())

	desk.fault = func([]bot.Message) error { return errStore }
	assert.Equal(t, http.StatusServiceUnavailable, push("POST", hookSecret, update), "it must come again")
	assert.NotEmpty(t, s.unready())
	desk.fault = nil
	assert.Equal(t, http.StatusOK, push("POST", hookSecret, update))
	assert.Empty(t, s.unready())
	assert.Len(t, desk.messages(), 1, "200 only after the commit")
	assert.Equal(t, http.StatusOK, push("POST", hookSecret, update), "a second delivery is known")
	assert.Len(t, desk.messages(), 1)
	assert.Equal(t, http.StatusOK, push("POST", hookSecret, "not JSON"), "it would come again for ever")
}

// testService is a service without a network, for its handlers.
func testService(t testing.TB, desk *echoDesk) *service {
	t.Helper()
	api := standin.NewDirect()
	s, err := newService(t.Context(), Config{Token: testToken(t), APIURL: api.URL, Transport: api, Webhook: Webhook{URL: "https://a.example", Secret: hookSecret}}, desk)
	require.NoError(t, err)
	require.NoError(t, s.connect(t.Context()))
	s.settler = delivery.NewSettler(s.note, s.log, s.backoff)
	t.Cleanup(func() {
		s.background.Wait()
		s.sender.Drain(time.Second, func() {})
		s.settler.Stop()
	})
	return s
}

func TestWebhookTellsTheServerItsSecretAndKinds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		api := standin.NewDirect()
		var set []map[string]string
		api.Spoil(standin.On("setWebhook", func(x *standin.Exchange) bool {
			set = append(set, x.Params)
			return len(set) < 3 && standin.Page(502)(x) // no network yet: tried again
		}))
		s, err := newService(t.Context(), Config{Token: testToken(t), APIURL: api.URL, Transport: api, Webhook: Webhook{URL: "https://a.example/hook", Secret: hookSecret}}, &echoDesk{})
		require.NoError(t, err)
		require.NoError(t, s.connect(t.Context()))
		require.NoError(t, s.announce(t.Context()))
		require.Len(t, set, 3)
		assert.Equal(t, "https://a.example/hook", set[2]["url"])
		assert.Equal(t, hookSecret, set[2]["secret_token"], "trap: the library has no field for it")
		assert.Contains(t, set[2]["allowed_updates"], "my_chat_member")
		assert.NotContains(t, set[2]["url"], standin.Token)
		api.Close()
	})
}

func TestWebhookThatTheServerRefusesIsAnError(t *testing.T) {
	api := standin.NewDirect()
	api.Spoil(standin.On("setWebhook", standin.Says(400, "Bad Request: bad webhook: HTTPS url must be provided for webhook", nil)))
	c := Config{Token: testToken(t), APIURL: api.URL, Transport: api, Webhook: Webhook{URL: "http://a.example", Listen: "127.0.0.1:0", Secret: hookSecret}}
	err := Run(t.Context(), c, &echoDesk{})
	require.ErrorContains(t, err, "refuses the webhook address")
	c.Webhook.Listen = "256.0.0.1:1"
	require.ErrorContains(t, Run(t.Context(), c, &echoDesk{}), "--webhook-listen")
}

func TestWebhookServesTLSByFiles(t *testing.T) {
	cert, key := selfSigned(t)
	_, c, stop := hooked(t, &echoDesk{}, func(c *Config) { c.Webhook.CertFile, c.Webhook.KeyFile = cert, key })
	transport := &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}
	defer transport.CloseIdleConnections()
	req, err := http.NewRequest("POST", "https://"+c.Webhook.Listen+"/hook", strings.NewReader(`{"update_id":1}`))
	require.NoError(t, err)
	req.Header.Set(secretHeader, hookSecret)
	resp, err := (&http.Client{Transport: transport}).Do(req)
	require.NoError(t, err)
	resp.Body.Close()
	assert.Equal(t, http.StatusOK, resp.StatusCode)
	require.NoError(t, stop())
}

func selfSigned(t *testing.T) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	form := &x509.Certificate{SerialNumber: big.NewInt(1), NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &private.PublicKey, private)
	require.NoError(t, err)
	keyDER, err := x509.MarshalPKCS8PrivateKey(private)
	require.NoError(t, err)
	cert, key = filepath.Join(t.TempDir(), "cert"), filepath.Join(t.TempDir(), "key")
	require.NoError(t, writeFile(cert, string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}))))
	require.NoError(t, writeFile(key, string(pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: keyDER}))))
	return cert, key
}

// get is the status of a page, or 0.
func get(t *testing.T, url string) int {
	t.Helper()
	resp, err := http.Get(url)
	if err != nil {
		return 0
	}
	defer http.DefaultClient.CloseIdleConnections()
	defer resp.Body.Close()
	_, _ = io.Copy(io.Discard, resp.Body)
	return resp.StatusCode
}

func TestHealthFollowsThePolls(t *testing.T) {
	inBubble(t, func(t *serving) {
		page := func(path string) (int, string) {
			w := httptest.NewRecorder()
			t.bot.health().ServeHTTP(w, httptest.NewRequest("GET", path, nil))
			return w.Code, w.Body.String()
		}
		status := func(path string) int { code, _ := page(path); return code }
		time.Sleep(time.Second)
		assert.Equal(t, http.StatusOK, status("/healthz"))
		assert.Equal(t, http.StatusOK, status("/readyz"))
		t.api.Spoil(standin.On("sendMessage", standin.Times(1, standin.Flood(100))))
		t.api.Say(7, 7, "x")
		t.api.Push(`{"update_id":%d,"poll":{"id":"1"}}`)
		time.Sleep(30 * time.Second)
		_, metrics := page("/metrics")
		for _, line := range []string{
			`deepward_updates_total{kind="message",outcome="taken"} 1`,
			`deepward_updates_total{kind="other",outcome="ignored"} 1`,
			`deepward_replies_total{outcome="put off"} 1`,
			`deepward_flood_waits_total 1`,
			`deepward_replies_waiting 1`,
			`deepward_reply_oldest_seconds 30`,
			`deepward_take_seconds_count{outcome="committed"} 1`,
			`deepward_call_seconds_count{method="sendMessage",status="429"} 1`,
			`deepward_last_poll_age_seconds 30`,
			`# HELP deepward_take_seconds Time to understand, answer and commit one batch.`,
			`# TYPE deepward_take_seconds histogram`,
			`# TYPE go_goroutines gauge`,
		} {
			assert.Contains(t, metrics, line+"\n")
		}
		assert.NotContains(t, metrics, standin.Token)

		t.api.Spoil(standin.On("getUpdates", standin.Page(502)))
		time.Sleep(stuckAfter + pollTimeout)
		assert.Equal(t, http.StatusServiceUnavailable, status("/readyz"))
		assert.Equal(t, http.StatusOK, status("/healthz"))
		assert.Contains(t, t.logs.String(), "no update has been taken for a while")
		t.api.Spoil(nil)
		time.Sleep(2 * time.Minute)
		assert.Equal(t, http.StatusOK, status("/readyz"))

		t.desk.change(func(d *echoDesk) { d.fault = func([]bot.Message) error { return errStore } })
		t.api.Say(7, 7, "y")
		time.Sleep(2 * stuckAfter)
		assert.Equal(t, http.StatusServiceUnavailable, status("/readyz"), "polls succeed, but nothing can be kept")
		t.desk.change(func(d *echoDesk) { d.fault = nil })
	})
}

// The health address answers while there is no network yet, and is given back.
func TestHealthAddressIsOpenedFirstAndClosedLast(t *testing.T) {
	address := freeAddress(t)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	var log bytes.Buffer
	go func() {
		done <- Run(ctx, Config{Token: testToken(t), APIURL: "http://127.0.0.1:1", Health: address, Log: slog.New(slog.NewTextHandler(&log, nil))}, &echoDesk{})
	}()
	require.Eventually(t, func() bool { return get(t, "http://"+address+"/healthz") == http.StatusOK }, 5*time.Second, 5*time.Millisecond)
	assert.Equal(t, http.StatusServiceUnavailable, get(t, "http://"+address+"/readyz"))
	cancel()
	require.NoError(t, <-done)
	assert.Zero(t, get(t, "http://"+address+"/healthz"))
}

// Whatever is pushed with the right secret, the answer is one that ends the
// matter, and nothing panics.
func FuzzPushed(f *testing.F) {
	f.Add([]byte(strings.Replace(standin.Private(7, 1, "gag 40 m"), "%d", "5", 1)))
	f.Add([]byte(strings.Replace(standin.Press(-100, 7, 1, "done 1 kept"), "%d", "6", 1)))
	f.Add([]byte(`{"update_id":7,"message":{"migrate_to_chat_id":-5,"chat":{"id":-5}}}`))
	f.Add([]byte(`{"update_id":1e99}`))
	f.Add([]byte("[[[["))
	s := testService(f, &echoDesk{})
	f.Fuzz(func(t *testing.T, body []byte) {
		r := httptest.NewRequest(http.MethodPost, "/hook", bytes.NewReader(body))
		r.Header.Set(secretHeader, hookSecret)
		w := httptest.NewRecorder()
		s.pushed(w, r)
		if want := http.StatusOK; w.Code != want && len(body) <= maxUpdate {
			t.Fatalf("HTTP %d: it would come again for ever", w.Code)
		}
	})
}
