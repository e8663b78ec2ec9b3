package telegram

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"sync/atomic"
	"time"

	"github.com/VictoriaMetrics/metrics"
)

// Gauge is a figure that others add to /metrics.
type Gauge struct {
	// Name may have labels, as a{b="c"}; Help says what it is, with its unit.
	Name, Help string
	Value      func() float64
}

// meters count what an operator wants to see.
type meters struct {
	set      *metrics.Set
	help     map[string]string
	started  time.Time
	lastPoll atomic.Int64 // unix nanoseconds, 0 before the first good one
	pushing  atomic.Bool  // the webhook is set, and the last push was kept
}

// outcomes are the verdicts as the meters name them.
var outcomes = [...]string{delivered: "delivered", later: "put off", never: "given up", gone: "chat closed", moved: "chat moved"}

// bounds are those of the histograms: half a millisecond to two minutes.
var bounds = metrics.ExponentialBuckets(0.0005, 4, 10)

// The names of what is counted.
const (
	updatesTotal = "deepward_updates_total"
	repliesTotal = "deepward_replies_total"
	pollsTotal   = "deepward_polls_total"
	floodsTotal  = "deepward_flood_waits_total"
	takeSeconds  = "deepward_take_seconds"
	callSeconds  = "deepward_call_seconds"
)

func newMeters(now func() time.Time, backlog func() (int, time.Time), more []Gauge) *meters {
	metrics.ExposeMetadata(true) // the types; the set has no place for words
	m := &meters{set: metrics.NewSet(), started: now(), help: map[string]string{
		updatesTotal: "Updates by kind and what became of them.",
		repliesTotal: "Tries to deliver a reply by what became of them.",
		pollsTotal:   "Polls by outcome.",
		floodsTotal:  "Times the server asked to slow down.",
		takeSeconds:  "Time to understand, answer and commit one batch.",
		callSeconds:  "Calls to the Bot API by method and status; 0 is no answer.",
	}}
	m.beginAtZero()
	m.gauge(Gauge{"deepward_replies_waiting", "Replies that wait to be delivered.", func() float64 { n, _ := backlog(); return float64(n) }})
	m.gauge(Gauge{"deepward_reply_oldest_seconds", "Age of the oldest reply that waits.", func() float64 {
		if _, oldest := backlog(); !oldest.IsZero() {
			return now().Sub(oldest).Seconds()
		}
		return 0
	}})
	m.gauge(Gauge{"deepward_last_poll_age_seconds", "Time since the last good poll, or since the start.", func() float64 { return m.pollAge(now()).Seconds() }})
	for _, g := range more {
		m.gauge(g)
	}
	return m
}

// beginAtZero makes what rules watch before it is first counted: the step from nothing to
// one is no rise.
func (m *meters) beginAtZero() {
	m.set.NewCounter(floodsTotal)
	for _, outcome := range []string{"good", "failed"} {
		m.set.NewCounter(fmt.Sprintf("%s{outcome=%q}", pollsTotal, outcome))
	}
	for _, outcome := range outcomes {
		m.set.NewCounter(fmt.Sprintf("%s{outcome=%q}", repliesTotal, outcome))
	}
	for _, outcome := range []string{"committed", "failed"} {
		m.set.NewPrometheusHistogramExt(fmt.Sprintf("%s{outcome=%q}", takeSeconds, outcome), bounds)
	}
}

func (m *meters) gauge(g Gauge) {
	family, _, _ := strings.Cut(g.Name, "{")
	m.help[family] = g.Help
	m.set.NewGauge(g.Name, g.Value)
}

// write gives all figures out for Prometheus, those of the Go runtime and of the
// process too.
func (m *meters) write(w io.Writer) {
	var b bytes.Buffer
	m.set.WritePrometheus(&b)
	for line := range strings.Lines(b.String()) {
		if name, ok := strings.CutPrefix(strings.TrimSpace(line), "# HELP "); ok && m.help[name] != "" {
			line = "# HELP " + name + " " + m.help[name] + "\n"
		}
		_, _ = io.WriteString(w, line)
	}
	metrics.WriteProcessMetrics(w)
}

// count counts one of a name with its labels.
func (m *meters) count(name, labels string, values ...any) {
	m.set.GetOrCreateCounter(name + "{" + fmt.Sprintf(labels, values...) + "}").Inc()
}

// time notes how long something took.
func (m *meters) time(took time.Duration, name, labels string, values ...any) {
	m.set.GetOrCreatePrometheusHistogramExt(name+"{"+fmt.Sprintf(labels, values...)+"}", bounds).Update(took.Seconds())
}

func (m *meters) update(kind, outcome string) {
	m.count(updatesTotal, "kind=%q,outcome=%q", kind, outcome)
}
func (m *meters) sent(v verdict) { m.count(repliesTotal, "outcome=%q", outcomes[v]) }
func (m *meters) limited()       { m.set.GetOrCreateCounter(floodsTotal).Inc() }
func (m *meters) pollFailed()    { m.count(pollsTotal, "outcome=%q", "failed") }

func (m *meters) polled(now time.Time) {
	m.count(pollsTotal, "outcome=%q", "good")
	m.lastPoll.Store(now.UnixNano())
}

func (m *meters) handled(took time.Duration, err error) {
	outcome := "committed"
	if err != nil {
		outcome = "failed"
	}
	m.time(took, takeSeconds, "outcome=%q", outcome)
}

func (m *meters) called(method string, status int, took time.Duration) {
	m.time(took, callSeconds, `method=%q,status="%d"`, method, status)
}

// pollAge is the time since the last good poll, or since the start.
func (m *meters) pollAge(now time.Time) time.Duration {
	if last := m.lastPoll.Load(); last != 0 {
		return now.Sub(time.Unix(0, last))
	}
	return now.Sub(m.started)
}
