package standin

import (
	"bytes"
	"net/http"
	"time"
)

// hook is where updates are pushed to instead of being polled.
type hook struct{ url, secret string }

// pushEvery is how long a push that was not taken waits.
const pushEvery = 20 * time.Millisecond

// setWebhook begins or ends the pushing of updates.
func (s *Server) setWebhook(url, secret string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hook = nil
	if url != "" {
		h := &hook{url, secret}
		s.hook = h
		s.hooking.Go(func() { s.pushTo(h) })
	}
	s.cond.Broadcast()
}

// Webhook is the address that updates are pushed to, "" if they are polled.
func (s *Server) Webhook() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.hook == nil {
		return ""
	}
	return s.hook.url
}

// pushTo pushes one update after the other; one that is not taken comes again.
func (s *Server) pushTo(h *hook) {
	client := &http.Client{Timeout: 10 * time.Second, Transport: &http.Transport{}}
	defer client.CloseIdleConnections()
	for {
		u, ok := s.firstFor(h)
		if !ok {
			return
		}
		if !h.push(client, u) {
			time.Sleep(pushEvery)
			continue
		}
		s.mu.Lock()
		s.updates = s.updates[1:]
		s.mu.Unlock()
	}
}

// firstFor waits for an update; false when the pushing ends.
func (s *Server) firstFor(h *hook) (update, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for len(s.updates) == 0 && s.hook == h && !s.stopped {
		s.cond.Wait()
	}
	if s.hook != h || s.stopped {
		return update{}, false
	}
	return s.updates[0], true
}

// push reports whether the update was taken.
func (h *hook) push(client *http.Client, u update) bool {
	req, err := http.NewRequest(http.MethodPost, h.url, bytes.NewReader(u.raw))
	if err != nil {
		return false
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("X-Telegram-Bot-Api-Secret-Token", h.secret)
	resp, err := client.Do(req)
	if err != nil {
		return false
	}
	resp.Body.Close()
	return resp.StatusCode < 300
}
