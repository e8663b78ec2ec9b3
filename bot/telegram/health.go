package telegram

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"time"
)

// stuckAfter is when polls count as stuck: well over the longest that one takes.
const stuckAfter = pollTimeout + 30*time.Second

// serveHealth opens the local address for an operator's eyes.
func (s *service) serveHealth() (stop func(), err error) {
	if s.config.Health == "" {
		return func() {}, nil
	}
	l, err := net.Listen("tcp", s.config.Health)
	if err != nil {
		return nil, fmt.Errorf("the health address cannot be opened, choose another with --health: %w", err)
	}
	server := &http.Server{Handler: s.health(), ReadHeaderTimeout: 5 * time.Second, WriteTimeout: time.Minute}
	s.background.Go(func() { _ = server.Serve(l) })
	return func() { server.Close() }, nil
}

// health answers /healthz while the program runs, /readyz while updates come in
// and are kept, and /metrics for Prometheus.
func (s *service) health() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) { w.Write([]byte("ok\n")) })
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, _ *http.Request) {
		if why := s.unready(); why != "" {
			http.Error(w, why, http.StatusServiceUnavailable)
			return
		}
		w.Write([]byte("ok\n"))
	})
	mux.HandleFunc("GET /metrics", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		s.meters.write(w)
	})
	return mux
}

// unready says why the service cannot do its work now, "" if it can.
func (s *service) unready() string {
	if s.config.Unready != nil {
		if why := s.config.Unready(); why != "" {
			return why
		}
	}
	switch polling := s.config.Webhook.URL == ""; {
	case polling && s.meters.lastPoll.Load() == 0:
		return "no poll has succeeded yet"
	case polling && s.meters.pollAge(s.now()) > stuckAfter:
		return "no poll has succeeded for a while, or updates cannot be kept"
	case !polling && !s.meters.pushing.Load():
		return "the webhook is not set yet, or the last update could not be kept"
	default:
		return ""
	}
}

// watch says in the log that polls are stuck: the commonest fault that makes no noise.
func (s *service) watch(ctx context.Context) {
	for sleep(ctx, stuckAfter) {
		if age := s.meters.pollAge(s.now()); age > stuckAfter {
			s.log.Error("no update has been taken for a while", "since", age.Round(time.Second))
		}
	}
}
