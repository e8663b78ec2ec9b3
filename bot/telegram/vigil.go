package telegram

import (
	"context"
	"sync"
	"time"
)

// Supervisor is told how the service does, as systemd wants to know of it.
type Supervisor interface {
	// Ready: the service runs. The Bot API may still be out of reach: a start that
	// waited for a network would be taken for one that failed.
	Ready()
	// Alive is called every so often while nothing that the service does is stuck.
	Alive()
	// Stopping: the service finishes what it holds.
	Stopping()
}

// takeLimit is how long a commit may take before the service counts as stuck; on a
// slow card under load it takes seconds.
const takeLimit = 2 * time.Minute

// stuckSlack is how long a call may outlast its own limit: a busy machine is no fault.
const stuckSlack = 30 * time.Second

// vigil knows what the service is at and until when each piece must be done. What
// waits for something to do is not on it.
type vigil struct {
	mu   sync.Mutex
	next int
	due  map[int]duty
}

type duty struct {
	what string
	by   time.Time
}

// begin notes a piece of work that must be done within the limit; the caller calls
// done when it is.
func (v *vigil) begin(what string, limit time.Duration) (done func()) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.due == nil {
		v.due = map[int]duty{}
	}
	n := v.next
	v.next++
	v.due[n] = duty{what, time.Now().Add(limit)}
	return func() {
		v.mu.Lock()
		defer v.mu.Unlock()
		delete(v.due, n)
	}
}

// stuck names a piece of work that should have been done by now, "" if none.
func (v *vigil) stuck(now time.Time) string {
	v.mu.Lock()
	defer v.mu.Unlock()
	for _, d := range v.due {
		if now.After(d.by) {
			return d.what
		}
	}
	return ""
}

// report tells the supervisor that the service is alive, as long as it is.
func (s *service) report(ctx context.Context) {
	if s.config.AliveEvery <= 0 {
		return
	}
	for sleep(ctx, s.config.AliveEvery) {
		if what := s.vigil.stuck(time.Now()); what != "" {
			s.log.Error("the service is stuck; its supervisor is not told that it is alive", "at", what)
			continue
		}
		s.config.Supervisor.Alive()
	}
}

// nobody supervises.
type nobody struct{}

func (nobody) Ready()    {}
func (nobody) Alive()    {}
func (nobody) Stopping() {}
