package telegram

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot/delivery"
)

// How long a call may take. A poll waits on the server for pollWait; one client
// with one limit for both would kill every poll or let a send hang.
const (
	pollWait    = 50 * time.Second // the most that the server allows
	pollTimeout = pollWait + 10*time.Second
	callTimeout = 20 * time.Second
	fileTimeout = 2 * time.Minute
	// photoTimeout is short: pictures are small, and their words go without them where
	// the server is silent.
	photoTimeout = 8 * time.Second
	// mostConnections are kept open: one for each call that a sender makes, and some.
	mostConnections = 72
	maxAnswer       = 16 << 20 // bytes; a batch of 100 updates is far smaller
)

// ErrAnswer is an answer that is not the Bot API's: a page of a proxy, in HTML or
// in JSON of its own, a cut-off body, a redirect.
type ErrAnswer struct {
	// Status is the HTTP status, 200 for a body that ended early.
	Status int
	// RetryAfter is how long the server asks to wait, 0 if it does not.
	RetryAfter time.Duration
}

func (e *ErrAnswer) Error() string {
	return fmt.Sprintf("the server answered with something other than the Bot API's JSON (HTTP %d)", e.Status)
}

// client is the seam between the library and the network: it gives every call a
// context and a limit of its own, keeps the token out of every error, and turns
// what is not JSON into an error with its status.
type client struct {
	ctx    context.Context
	http   *http.Client
	token  Token
	meters *meters
	pace   *pace
	placed int // calls that have their place in the limit already
}

// pace is the limit of all calls together.
type pace struct {
	window *delivery.Window
	now    func() time.Time
}

// begin waits for a place; the caller tells when the call has ended.
func (p *pace) begin(ctx context.Context) (end func()) {
	for ctx.Err() == nil {
		done, wait := p.window.Begin(p.now())
		if done != nil {
			return func() { done(p.now()) }
		}
		sleep(ctx, wait)
	}
	return func() {}
}

// caller makes the calls of one try.
type caller struct {
	*service
	api *tgbotapi.BotAPI
}

// holdingPlace makes calls of which the first has its place in the limit already.
func (s *service) holdingPlace(ctx context.Context) caller {
	api, c := *s.api, *s.client
	c.ctx, c.placed = ctx, 1
	api.Client = &c
	return caller{s, &api}
}

func newClient(ctx context.Context, c Config, m *meters, p *pace) *client {
	trip := c.Transport
	if trip == nil {
		trip = transport()
	}
	return &client{ctx: ctx, token: c.Token, meters: m, pace: p, http: &http.Client{
		Transport: trip,
		// The address holds the token: it must not follow a redirect to somebody else.
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
}

// transport keeps a connection for each worker and speaks HTTP/1.1: there, a call
// that times out closes its connection, where HTTP/2 would go on using a dead one.
func transport() *http.Transport {
	protocols := new(http.Protocols)
	protocols.SetHTTP1(true)
	// A network that was down is noticed, and found again, within seconds.
	alive := net.KeepAliveConfig{Enable: true, Idle: 4 * time.Second, Interval: 2 * time.Second, Count: 2}
	dialer := net.Dialer{Timeout: 4 * time.Second, KeepAliveConfig: alive}
	return &http.Transport{
		Proxy: http.ProxyFromEnvironment, DialContext: dialer.DialContext, Protocols: protocols,
		TLSHandshakeTimeout: 8 * time.Second, IdleConnTimeout: 90 * time.Second,
		MaxIdleConns: mostConnections, MaxIdleConnsPerHost: mostConnections,
	}
}

// during is the same client bound to another context.
func (c *client) during(ctx context.Context) *client {
	other := *c
	other.ctx, other.placed = ctx, 0
	return &other
}

// Do sends one call. The library calls it for everything.
func (c *client) Do(req *http.Request) (*http.Response, error) {
	method := req.URL.Path[strings.LastIndexByte(req.URL.Path, '/')+1:]
	if c.placed > 0 { // in a copy of its own alone: the client is shared
		c.placed--
	} else if method != "getUpdates" {
		defer c.pace.begin(c.ctx)()
	}
	ctx, cancel := context.WithTimeout(c.ctx, limitOf(method, req.Header.Get("Content-Type")))
	defer cancel()
	if req.Body != nil {
		defer req.Body.Close() // ends the library's goroutine that writes an upload
	}
	started := time.Now()
	resp, err := c.http.Do(req.WithContext(ctx))
	if err != nil {
		c.meters.called(method, 0, time.Since(started))
		return nil, c.clean(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(io.LimitReader(resp.Body, maxAnswer))
	c.meters.called(method, resp.StatusCode, time.Since(started))
	if err != nil {
		return nil, c.clean(err)
	}
	if body = bytes.TrimSpace(body); !isAnswer(body) {
		return nil, &ErrAnswer{resp.StatusCode, waitOf(resp.Header)}
	}
	resp.Body = io.NopCloser(bytes.NewReader(body))
	return resp, nil
}

// isAnswer is true for what may be an answer of the Bot API: every one is an
// object that says "ok". Without it the library makes an error that says nothing.
func isAnswer(body []byte) bool {
	return bytes.HasPrefix(body, []byte("{")) && bytes.HasSuffix(body, []byte("}")) && bytes.Contains(body, []byte(`"ok"`))
}

func limitOf(method, contentType string) time.Duration {
	switch {
	case method == "getUpdates":
		return pollTimeout
	case method == "sendPhoto":
		return photoTimeout
	case strings.HasPrefix(contentType, "multipart/"):
		return fileTimeout
	default:
		return callTimeout
	}
}

// waitOf reads the header Retry-After, in seconds.
func waitOf(h http.Header) time.Duration {
	n, err := strconv.Atoi(h.Get("Retry-After"))
	if err != nil {
		return 0
	}
	return seconds(n)
}

// clean drops the URL, which holds the token, from an error of the network.
func (c *client) clean(err error) error {
	var u *url.Error
	if errors.As(err, &u) {
		err = u.Err
	}
	if text := err.Error(); c.token.hide(text) != text {
		return errors.New(c.token.hide(text))
	}
	return err
}

// silent swallows what the library would log by itself: it logs URLs.
type silent struct{}

func (silent) Println(...any)        {}
func (silent) Printf(string, ...any) {}

// endpointOf is the address pattern of a Bot API server.
func endpointOf(apiURL string) string {
	if apiURL == "" {
		return tgbotapi.APIEndpoint
	}
	return strings.TrimRight(apiURL, "/") + "/bot%s/%s"
}

// checkAPIURL refuses an address that would fail at every call.
func checkAPIURL(apiURL string) error {
	if apiURL == "" {
		return nil
	}
	u, err := url.Parse(apiURL)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || strings.ContainsAny(apiURL, "%?#") {
		return errors.New("--api-url has the form http://host:port, for example http://127.0.0.1:8081")
	}
	return nil
}
