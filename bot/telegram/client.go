package telegram

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
)

// How long a call may take. A poll waits on the server for pollWait; one client
// with one limit for both would kill every poll or let a send hang.
const (
	pollWait    = 50 * time.Second // the most that the server allows
	pollTimeout = pollWait + 10*time.Second
	callTimeout = 20 * time.Second
	fileTimeout = 2 * time.Minute
	maxAnswer   = 16 << 20 // bytes; a batch of 100 updates is far smaller
)

// ErrAnswer is an answer that is not the Bot API's: an HTML page of a proxy, a
// cut-off body.
type ErrAnswer struct {
	// Status is the HTTP status, 200 for a body that ended early.
	Status int
}

func (e *ErrAnswer) Error() string {
	return fmt.Sprintf("the server answered with something other than JSON (HTTP %d)", e.Status)
}

// client is the seam between the library and the network: it gives every call a
// context and a limit of its own, keeps the token out of every error, and turns
// what is not JSON into an error with its status.
type client struct {
	ctx    context.Context
	http   *http.Client
	token  Token
	counts *meters
	// pollCtx ends sooner than ctx: a stop need not wait for a poll.
	pollCtx context.Context
}

// during is the same client bound to another context.
func (c *client) during(ctx context.Context) *client {
	return &client{ctx: ctx, http: c.http, token: c.token, counts: c.counts}
}

// Do sends one call. The library calls it for everything.
func (c *client) Do(req *http.Request) (*http.Response, error) {
	method := req.URL.Path[strings.LastIndexByte(req.URL.Path, '/')+1:]
	parent := c.ctx
	if method == "getUpdates" && c.pollCtx != nil {
		parent = c.pollCtx
	}
	ctx, cancel := context.WithTimeout(parent, limitOf(method, req.Header.Get("Content-Type")))
	defer cancel()
	started := time.Now()
	resp, err := c.http.Do(req.WithContext(ctx))
	if err != nil {
		return nil, c.clean(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(io.LimitReader(resp.Body, maxAnswer))
	c.counts.called(method, resp.StatusCode, time.Since(started))
	if err != nil {
		return nil, c.clean(err)
	}
	if !bytes.HasPrefix(bytes.TrimSpace(body), []byte("{")) || !bytes.HasSuffix(bytes.TrimSpace(body), []byte("}")) {
		return nil, &ErrAnswer{resp.StatusCode}
	}
	resp.Body = io.NopCloser(bytes.NewReader(body))
	return resp, nil
}

func limitOf(method, contentType string) time.Duration {
	switch {
	case method == "getUpdates":
		return pollTimeout
	case strings.HasPrefix(contentType, "multipart/"):
		return fileTimeout
	default:
		return callTimeout
	}
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

// isUnauthorised is true when the token itself is refused: no use in going on.
func isUnauthorised(err error) bool {
	var e *tgbotapi.Error
	return errors.As(err, &e) && (e.Code == http.StatusUnauthorized || e.Code == http.StatusNotFound && e.Message == "Not Found")
}

// isConflict is true when another program polls with the same token.
func isConflict(err error) bool {
	var e *tgbotapi.Error
	return errors.As(err, &e) && e.Code == http.StatusConflict
}

// retryAfter is how long the server asks to wait, 0 if it does not.
func retryAfter(err error) time.Duration {
	var e *tgbotapi.Error
	if errors.As(err, &e) {
		return time.Duration(e.RetryAfter) * time.Second
	}
	return 0
}
