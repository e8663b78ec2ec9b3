package delivery

import (
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

// Settler writes the results of sendings, many in one transaction.
type Settler struct {
	settle  func([]bot.Settled) error
	log     *slog.Logger
	backoff func(tries int) time.Duration
	in      chan bot.Settled
	quit    chan struct{}
	done    chan struct{}
}

// NewSettler starts a settler; settle notes results in one transaction, all or none.
func NewSettler(settle func([]bot.Settled) error, log *slog.Logger, backoff func(tries int) time.Duration) *Settler {
	s := &Settler{
		settle: settle, log: log, backoff: backoff,
		in: make(chan bot.Settled, 256), quit: make(chan struct{}), done: make(chan struct{}),
	}
	go s.run()
	return s
}

// Add hands in a result; after the stop it is dropped.
func (s *Settler) Add(r bot.Settled) {
	select {
	case s.in <- r:
	case <-s.done:
	}
}

// Stop writes what was gathered and ends.
func (s *Settler) Stop() {
	close(s.quit)
	<-s.done
}

func (s *Settler) run() {
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
func (s *Settler) gather(first bot.Settled) []bot.Settled {
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
func (s *Settler) write(batch []bot.Settled) {
	for try := range settleTries {
		err := s.settle(batch)
		if err == nil {
			return
		}
		s.log.Error("deliveries could not be noted; they may be sent once more", "replies", len(batch), "error", err)
		if batch = s.apart(batch); len(batch) == 0 || !s.wait(s.backoff(try)) {
			return
		}
	}
}

// apart notes each by itself, so that one at fault does not hold the others, and
// returns those that failed.
func (s *Settler) apart(batch []bot.Settled) (failed []bot.Settled) {
	if len(batch) == 1 {
		return batch
	}
	for i := range batch {
		if s.settle(batch[i:i+1]) != nil {
			failed = append(failed, batch[i])
		}
	}
	return failed
}

func (s *Settler) wait(d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-s.quit:
		return false
	}
}
