package telegram

import (
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"deepward/bot"
	"deepward/bot/telegram/standin"
)

// watcher counts what a supervisor is told.
type watcher struct{ ready, alive, stopping atomic.Int32 }

func (w *watcher) Ready()    { w.ready.Add(1) }
func (w *watcher) Alive()    { w.alive.Add(1) }
func (w *watcher) Stopping() { w.stopping.Add(1) }

// supervised runs a bot that a supervisor watches each minute.
func supervised(t *testing.T, test func(s *serving, w *watcher)) {
	t.Helper()
	w := &watcher{}
	inBubble(t, func(s *serving) { test(s, w) }, func(c *Config, _ *serving) { c.Supervisor, c.AliveEvery = w, time.Minute })
}

func TestSupervisorIsToldOfTheServiceWhileItIsAlive(t *testing.T) {
	supervised(t, func(t *serving, w *watcher) {
		time.Sleep(time.Second)
		assert.EqualValues(t, 1, w.ready.Load())
		time.Sleep(10 * time.Minute)
		assert.EqualValues(t, 10, w.alive.Load())
		t.api.Spoil(standin.Page(502)) // no fault of the service: a start anew would not help
		time.Sleep(time.Hour)
		assert.EqualValues(t, 70, w.alive.Load())
		assert.NoError(t, t.stop())
		assert.EqualValues(t, 1, w.stopping.Load())
	})
}

// What is stuck is not alive: a commit that does not end, in taking or in noting.
func TestSupervisorIsNotToldOfAServiceThatIsStuck(t *testing.T) {
	for name, block := range map[string]func(d *echoDesk, wait func()){
		"taking": func(d *echoDesk, wait func()) { d.fault = func([]bot.Message) error { wait(); return nil } },
		"noting": func(d *echoDesk, wait func()) { d.refuse = func([]bot.Settled) error { wait(); return nil } },
	} {
		t.Run(name, func(t *testing.T) {
			supervised(t, func(t *serving, w *watcher) {
				free := make(chan struct{})
				block(t.desk, func() { <-free })
				t.api.Say(7, 7, "x")
				time.Sleep(time.Hour)
				assert.LessOrEqual(t, w.alive.Load(), int32(4))
				assert.Contains(t, t.logs.String(), "stuck")
				close(free)
				before := w.alive.Load()
				time.Sleep(10 * time.Minute)
				assert.Greater(t, w.alive.Load(), before+8, "it goes on")
			})
		})
	}
}

func TestSupervisorIsNotToldOfAPollThatDoesNotEnd(t *testing.T) {
	v := &vigil{}
	done := v.begin("a poll", pollTimeout+stuckSlack)
	other := v.begin("taking messages", takeLimit)
	assert.Empty(t, v.stuck(time.Now()))
	assert.Equal(t, "a poll", v.stuck(time.Now().Add(pollTimeout+stuckSlack+time.Second)))
	done()
	assert.Empty(t, v.stuck(time.Now().Add(takeLimit-time.Second)))
	other()
	assert.Empty(t, v.stuck(time.Now().Add(time.Hour)))
}
