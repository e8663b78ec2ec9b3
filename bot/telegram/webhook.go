package telegram

import (
	"context"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"regexp"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// Webhook says how Telegram reaches us instead of being polled.
type Webhook struct {
	// URL is the public https address, "" to poll.
	URL string
	// Listen is the local address, for example 127.0.0.1:8080 behind a proxy.
	Listen string
	// Secret is what Telegram sends in a header: 1 to 256 of A-Z a-z 0-9 _ -.
	Secret string
	// CertFile and KeyFile serve TLS here; empty behind a proxy that does.
	CertFile, KeyFile string
}

const (
	// maxUpdate is the largest update that is read, in bytes.
	maxUpdate = 1 << 20
	// webhookTime is how long a stop waits for updates that are being taken.
	webhookTime = 2 * time.Second

	// maxSecret is the longest secret that Telegram takes, in bytes.
	maxSecret = 256

	secretHeader = "X-Telegram-Bot-Api-Secret-Token"
)

var secretForm = regexp.MustCompile(`^[A-Za-z0-9_-]+$`)

// check refuses settings that would leave the door open or never work.
func (w Webhook) check() error {
	if w.URL == "" {
		return nil
	}
	if u, err := url.Parse(w.URL); err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" {
		return errors.New("--webhook-url has the form https://host/path")
	}
	if len(w.Secret) > maxSecret || !secretForm.MatchString(w.Secret) {
		return errors.New("the webhook needs a secret of 1 to 256 letters, digits, _ or - in DEEPWARD_WEBHOOK_SECRET")
	}
	if (w.CertFile == "") != (w.KeyFile == "") {
		return errors.New("TLS for the webhook needs both a certificate and a key")
	}
	return nil
}

// listen takes updates as they are pushed. It answers 200 only after the desk
// has committed: until then Telegram keeps the update.
func (s *service) listen(ctx context.Context) error {
	w := s.config.Webhook
	l, err := net.Listen("tcp", w.Listen)
	if err != nil {
		return fmt.Errorf("the webhook address cannot be opened, choose another with --webhook-listen: %w", err)
	}
	server := &http.Server{
		Handler: http.HandlerFunc(s.pushed), ErrorLog: slog.NewLogLogger(s.log.Handler(), slog.LevelDebug),
		ReadTimeout: 30 * time.Second, WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10,
	}
	failed := make(chan error, 1)
	s.background.Go(func() {
		if w.CertFile != "" {
			failed <- server.ServeTLS(l, w.CertFile, w.KeyFile)
			return
		}
		failed <- server.Serve(l)
	})
	defer server.Close()
	if err := s.announce(ctx); err != nil {
		return err
	}
	s.background.Go(func() { s.askToken(ctx) })
	select {
	case err := <-failed:
		return fmt.Errorf("the webhook cannot be served: %w", err)
	case <-ctx.Done():
		stop, cancel := context.WithTimeout(s.ctx, webhookTime)
		defer cancel()
		if err := server.Shutdown(stop); err != nil {
			s.log.Warn("an update was still being taken at the stop; it will come again", "error", err)
		}
		return nil
	}
}

// announce tells the server where to push, again and again while there is no
// network. An address that the server refuses is an error.
func (s *service) announce(ctx context.Context) error {
	params := tgbotapi.Params{"url": s.config.Webhook.URL, "secret_token": s.config.Webhook.Secret}
	if err := params.AddInterface("allowed_updates", allowedUpdates()); err != nil {
		return err
	}
	for tries := 0; ctx.Err() == nil; tries++ {
		_, err := s.with(ctx).MakeRequest("setWebhook", params)
		switch {
		case err == nil:
			s.meters.pushing.Store(true)
			return nil
		case isUnauthorised(err):
			return errRefused
		case judge(err) == never:
			return fmt.Errorf("the server refuses the webhook address: %w", s.client.clean(err))
		}
		wait := s.waitAfter(err, tries)
		s.log.Warn("the webhook could not be set; trying again", "error", s.client.clean(err), "again_in", wait)
		sleep(ctx, wait)
	}
	return nil
}

// askTokenEvery is how often a bot that is pushed to asks whether its token still
// counts: nothing is pushed with one that was revoked, so nothing else would tell.
const askTokenEvery = 5 * time.Minute

// askToken ends the serving once the server refuses the token.
func (s *service) askToken(ctx context.Context) {
	for sleep(ctx, askTokenEvery) {
		if _, err := s.with(ctx).MakeRequest("getMe", nil); isUnauthorised(err) {
			s.giveUp(errRefused)
			return
		}
	}
}

// pushed takes one pushed update.
func (s *service) pushed(w http.ResponseWriter, r *http.Request) {
	given := r.Header.Get(secretHeader)
	if subtle.ConstantTimeCompare([]byte(given), []byte(s.config.Webhook.Secret)) != 1 {
		http.Error(w, "not for you", http.StatusUnauthorized)
		return
	}
	if r.Method != http.MethodPost {
		http.Error(w, "one update, please", http.StatusMethodNotAllowed)
		return
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxUpdate))
	if err != nil {
		http.Error(w, "one update, please", http.StatusBadRequest)
		return
	}
	err = s.takeWaiting(r.Context(), []json.RawMessage{body})
	s.meters.pushing.Store(err == nil)
	if errors.Is(err, bot.ErrCommonFault) {
		s.giveUp(err)
	}
	if err != nil {
		s.log.Error("an update could not be kept; it will come again", "error", err)
		http.Error(w, "later", http.StatusServiceUnavailable)
	}
}
