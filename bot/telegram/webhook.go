package telegram

import (
	"context"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
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

// maxUpdate is the largest update that is read, in bytes.
const maxUpdate = 1 << 20

const secretHeader = "X-Telegram-Bot-Api-Secret-Token"

// listen takes updates as they are pushed. It answers 200 only after the desk
// has committed: until then Telegram keeps the update.
func (s *service) listen(ctx context.Context) error {
	w := s.config.Webhook
	params := tgbotapi.Params{"url": w.URL, "secret_token": w.Secret}
	if err := params.AddInterface("allowed_updates", allowedUpdates); err != nil {
		return err
	}
	if _, err := s.api.MakeRequest("setWebhook", params); err != nil {
		return fmt.Errorf("setting the webhook: %w", s.client.clean(err))
	}
	server := &http.Server{Addr: w.Listen, Handler: http.HandlerFunc(s.pushed), ReadTimeout: 30 * time.Second}
	failed := make(chan error, 1)
	go func() {
		if w.CertFile != "" {
			failed <- server.ListenAndServeTLS(w.CertFile, w.KeyFile)
			return
		}
		failed <- server.ListenAndServe()
	}()
	select {
	case err := <-failed:
		return fmt.Errorf("the webhook address cannot be opened: %w", err)
	case <-ctx.Done():
		stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
		defer cancel()
		return server.Shutdown(stop)
	}
}

// pushed takes one pushed update.
func (s *service) pushed(w http.ResponseWriter, r *http.Request) {
	given := r.Header.Get(secretHeader)
	if subtle.ConstantTimeCompare([]byte(given), []byte(s.config.Webhook.Secret)) != 1 {
		http.Error(w, "not for you", http.StatusUnauthorized)
		return
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxUpdate))
	if err != nil || r.Method != http.MethodPost {
		http.Error(w, "one update, please", http.StatusBadRequest)
		return
	}
	if _, err := s.take(r.Context(), []json.RawMessage{body}); err != nil {
		if !errors.Is(err, context.Canceled) {
			s.log.Error("an update could not be kept; it will come again", "error", err)
		}
		http.Error(w, "later", http.StatusServiceUnavailable)
	}
}
