package telegram

import (
	"context"
	"time"
)

// How long to wait after a fault: doubled each time between the two.
const (
	firstBackoff   = time.Second
	longestBackoff = time.Minute
)

// backoff is how long to wait after so many faults in a row, from 1 s to a
// minute, a quarter more or less by chance so that clients do not come in step.
func (s *service) backoff(tries int) time.Duration {
	d := min(firstBackoff<<min(max(tries, 0), 6), longestBackoff)
	return time.Duration(float64(d) * (0.75 + s.config.Rand()/2))
}

// waitAfter is how long to wait after an error: never less than the server asks.
func (s *service) waitAfter(err error, tries int) time.Duration {
	if asked := retryAfter(err); asked > 0 {
		return asked + time.Duration(s.config.Rand()*float64(time.Second))
	}
	return s.backoff(tries)
}

// waitToPoll is waitAfter where the bot waits to hear of anybody: an outage is asked after
// again soon, however long it lasts.
func (s *service) waitToPoll(err error, tries int) time.Duration {
	if isOutage(err) {
		tries = min(tries, outageTries)
	}
	return s.waitAfter(err, tries)
}

// sleep waits, and reports whether ctx still runs.
func sleep(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-t.C:
		return true
	}
}
