package bot_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// A clock that is days off, either way, and then right doubles no report: an update that
// was not confirmed comes again, and is known by the date that the sender's server gave it.
func TestClockThatJumpsDoublesNoReport(t *testing.T) {
	for _, off := range []time.Duration{-72 * time.Hour, 72 * time.Hour} {
		k := newTalk(t)
		m := k.message(ada, private(ada), "log gag 40 m sent down 40 oz")
		again := m
		m.ReceivedAt = m.ReceivedAt.Add(off)
		k.take(m)
		k.tapAt(off)
		assert.Empty(t, k.take(again))
		assert.Len(t, k.reports(), 1)

		later := k.message(ada, private(ada), "log gag 40 m sent down 40 oz")
		later.Update = again.Update // after a quiet week numbers start anew
		later.SentAt, later.ReceivedAt = later.SentAt.Add(8*24*time.Hour), later.ReceivedAt.Add(8*24*time.Hour)
		k.take(later)
		assert.Len(t, k.reports(), 2)
	}
}

// tapAt makes taps that are dated by a clock that is off: they must drop nothing.
func (k *talk) tapAt(off time.Duration) {
	for range 20 {
		m := k.message(ada, private(ada), "")
		m.Press, m.PressID = "idle 0", "press"
		m.ReceivedAt = m.ReceivedAt.Add(off)
		m.SentAt = m.ReceivedAt
		k.take(m)
	}
}
