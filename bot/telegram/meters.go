package telegram

import (
	"net/http"
	"strconv"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// meters count what an operator wants to see.
type meters struct {
	registry *prometheus.Registry
	updates  *prometheus.CounterVec
	calls    *prometheus.HistogramVec
	polls    *prometheus.CounterVec
	floods   prometheus.Counter
	lastPoll atomic.Int64 // unix nanoseconds
}

func newMeters(depth func() int) *meters {
	m := &meters{
		registry: prometheus.NewRegistry(),
		updates:  prometheus.NewCounterVec(prometheus.CounterOpts{Name: "deepward_updates_total", Help: "Updates by what became of them."}, []string{"outcome"}),
		calls: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "deepward_call_seconds", Help: "Calls to the Bot API by method and status.", Buckets: prometheus.ExponentialBuckets(0.005, 3, 9),
		}, []string{"method", "status"}),
		polls:  prometheus.NewCounterVec(prometheus.CounterOpts{Name: "deepward_polls_total", Help: "Polls by outcome."}, []string{"outcome"}),
		floods: prometheus.NewCounter(prometheus.CounterOpts{Name: "deepward_flood_waits_total", Help: "Times the server asked to slow down."}),
	}
	waiting := prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "deepward_replies_waiting", Help: "Replies that wait to be delivered."}, func() float64 { return float64(depth()) })
	age := prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "deepward_last_poll_age_seconds", Help: "Time since the last good poll."}, func() float64 { return m.pollAge(time.Now()).Seconds() })
	m.registry.MustRegister(m.updates, m.calls, m.polls, m.floods, waiting, age)
	return m
}

func (m *meters) update(outcome string) { m.updates.WithLabelValues(outcome).Inc() }
func (m *meters) limited()              { m.floods.Inc() }
func (m *meters) pollFailed()           { m.polls.WithLabelValues("failed").Inc() }

func (m *meters) polled(now time.Time) {
	m.polls.WithLabelValues("good").Inc()
	m.lastPoll.Store(now.UnixNano())
}

func (m *meters) called(method string, status int, took time.Duration) {
	m.calls.WithLabelValues(method, strconv.Itoa(status)).Observe(took.Seconds())
}

// pollAge is the time since the last good poll.
func (m *meters) pollAge(now time.Time) time.Duration {
	return now.Sub(time.Unix(0, m.lastPoll.Load()))
}

// stuckAfter is when a poll counts as stuck: twice its longest wait.
const stuckAfter = 2 * pollTimeout

// health answers /healthz while the program runs, /readyz while polls succeed,
// and /metrics for Prometheus.
func (m *meters) health(now func() time.Time, polling bool) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) { w.Write([]byte("ok\n")) })
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, _ *http.Request) {
		if polling && m.pollAge(now()) > stuckAfter {
			http.Error(w, "no update poll has succeeded for a while", http.StatusServiceUnavailable)
			return
		}
		w.Write([]byte("ok\n"))
	})
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{}))
	return mux
}
