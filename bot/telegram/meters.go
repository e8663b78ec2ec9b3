package telegram

import (
	"strconv"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// meters count what an operator wants to see.
type meters struct {
	registry *prometheus.Registry
	updates  *prometheus.CounterVec
	takes    *prometheus.HistogramVec
	calls    *prometheus.HistogramVec
	tries    *prometheus.CounterVec
	polls    *prometheus.CounterVec
	floods   prometheus.Counter
	started  time.Time
	lastPoll atomic.Int64 // unix nanoseconds, 0 before the first good one
	pushing  atomic.Bool  // the webhook is set, and the last push was kept
}

// outcomes are the verdicts as the meters name them.
var outcomes = [...]string{delivered: "delivered", later: "put off", never: "given up", gone: "chat closed", moved: "chat moved"}

func newMeters(now func() time.Time, backlog func() (int, time.Time)) *meters {
	m := &meters{registry: prometheus.NewRegistry(), started: now()}
	counter := func(name, help string, labels ...string) *prometheus.CounterVec {
		c := prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, labels)
		m.registry.MustRegister(c)
		return c
	}
	histogram := func(name, help string, labels ...string) *prometheus.HistogramVec {
		h := prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: name, Help: help, Buckets: prometheus.ExponentialBuckets(0.0005, 4, 10)}, labels)
		m.registry.MustRegister(h)
		return h
	}
	gauge := func(name, help string, value func() float64) {
		m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, value))
	}
	m.updates = counter("deepward_updates_total", "Updates by kind and what became of them.", "kind", "outcome")
	m.tries = counter("deepward_replies_total", "Tries to deliver a reply by what became of them.", "outcome")
	m.polls = counter("deepward_polls_total", "Polls by outcome.", "outcome")
	m.floods = counter("deepward_flood_waits_total", "Times the server asked to slow down.").WithLabelValues()
	m.takes = histogram("deepward_take_seconds", "Time to understand, answer and commit one batch.", "outcome")
	m.calls = histogram("deepward_call_seconds", "Calls to the Bot API by method and status; 0 is no answer.", "method", "status")
	gauge("deepward_replies_waiting", "Replies that wait to be delivered.", func() float64 { n, _ := backlog(); return float64(n) })
	gauge("deepward_reply_oldest_seconds", "Age of the oldest reply that waits.", func() float64 {
		if _, oldest := backlog(); !oldest.IsZero() {
			return now().Sub(oldest).Seconds()
		}
		return 0
	})
	gauge("deepward_last_poll_age_seconds", "Time since the last good poll, or since the start.", func() float64 { return m.pollAge(now()).Seconds() })
	return m
}

func (m *meters) update(kind, outcome string) { m.updates.WithLabelValues(kind, outcome).Inc() }
func (m *meters) sent(v verdict)              { m.tries.WithLabelValues(outcomes[v]).Inc() }
func (m *meters) limited()                    { m.floods.Inc() }
func (m *meters) pollFailed()                 { m.polls.WithLabelValues("failed").Inc() }

func (m *meters) polled(now time.Time) {
	m.polls.WithLabelValues("good").Inc()
	m.lastPoll.Store(now.UnixNano())
}

func (m *meters) handled(took time.Duration, err error) {
	outcome := "committed"
	if err != nil {
		outcome = "failed"
	}
	m.takes.WithLabelValues(outcome).Observe(took.Seconds())
}

func (m *meters) called(method string, status int, took time.Duration) {
	m.calls.WithLabelValues(method, strconv.Itoa(status)).Observe(took.Seconds())
}

// pollAge is the time since the last good poll, or since the start.
func (m *meters) pollAge(now time.Time) time.Duration {
	if last := m.lastPoll.Load(); last != 0 {
		return now.Sub(time.Unix(0, last))
	}
	return now.Sub(m.started)
}
