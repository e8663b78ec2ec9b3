package telegram

import (
	"context"
	"log/slog"
	"time"

	"deepward/bot"
)

const (
	// settleEvery is how long results are gathered, so that one commit serves many.
	settleEvery = 20 * time.Millisecond
	// settleTries is how often a store that refuses is asked. While it is, no more
	// replies are sent: what cannot be noted would be sent again after a restart.
	settleTries = 10
)

// settler writes the results of sendings, many in one transaction.
type settler struct {
	desk    Desk
	log     *slog.Logger
	backoff func(tries int) time.Duration
	vigil   *vigil
	in      chan bot.Settled
	quit    chan struct{}
	done    chan struct{}
}

func newSettler(desk Desk, log *slog.Logger, backoff func(int) time.Duration, v *vigil) *settler {
	s := &settler{
		desk: desk, log: log, backoff: backoff, vigil: v,
		in: make(chan bot.Settled, 256), quit: make(chan struct{}), done: make(chan struct{}),
	}
	go s.run()
	return s
}

// add hands in a result; after the stop it is dropped.
func (s *settler) add(r bot.Settled) {
	select {
	case s.in <- r:
	case <-s.done:
	}
}

// stop writes what was gathered and ends.
func (s *settler) stop() {
	close(s.quit)
	<-s.done
}

func (s *settler) run() {
	defer close(s.done)
	for {
		select {
		case first := <-s.in:
			s.write(s.gather(first))
		case <-s.quit:
			if batch := s.gather(bot.Settled{}); len(batch) > 1 {
				s.write(batch[1:])
			}
			return
		}
	}
}

// gather waits a moment for more results.
func (s *settler) gather(first bot.Settled) []bot.Settled {
	batch := []bot.Settled{first}
	timer := time.NewTimer(settleEvery)
	defer timer.Stop()
	for len(batch) <= cap(s.in) {
		select {
		case r := <-s.in:
			batch = append(batch, r)
		case <-timer.C:
			return batch
		}
	}
	return batch
}

// write notes a batch, and keeps at it while the store refuses.
func (s *settler) write(batch []bot.Settled) {
	for try := range settleTries {
		err := s.note(batch)
		if err == nil {
			return
		}
		s.log.Error("deliveries could not be noted; they may be sent once more", "replies", len(batch), "error", err)
		if batch = s.apart(batch); len(batch) == 0 || !s.wait(s.backoff(try)) {
			return
		}
	}
}

func (s *settler) note(batch []bot.Settled) error {
	defer s.vigil.begin("noting deliveries", takeLimit)()
	return guard(func() error { return s.desk.Settle(context.Background(), batch) })
}

// apart notes each by itself, so that one at fault does not hold the others, and
// returns those that failed.
func (s *settler) apart(batch []bot.Settled) (failed []bot.Settled) {
	if len(batch) == 1 {
		return batch
	}
	for i := range batch {
		if s.note(batch[i:i+1]) != nil {
			failed = append(failed, batch[i])
		}
	}
	return failed
}

func (s *settler) wait(d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-s.quit:
		return false
	}
}
