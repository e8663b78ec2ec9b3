package telegram

import (
	"context"
	"log/slog"
	"time"

	"deepward/bot"
)

// settleEvery is how long results are gathered, so that one commit serves many.
const settleEvery = 5 * time.Millisecond

// settler writes the results of sendings, many in one transaction.
type settler struct {
	desk Desk
	log  *slog.Logger
	in   chan bot.Settled
	done chan struct{}
}

func newSettler(desk Desk, log *slog.Logger) *settler {
	s := &settler{desk: desk, log: log, in: make(chan bot.Settled, 256), done: make(chan struct{})}
	go s.run()
	return s
}

func (s *settler) add(r bot.Settled) { s.in <- r }

// stop writes what was gathered and ends.
func (s *settler) stop() {
	close(s.in)
	<-s.done
}

func (s *settler) run() {
	defer close(s.done)
	for first := range s.in {
		batch := s.gather(first)
		if err := s.desk.Settle(context.Background(), batch); err != nil {
			s.log.Error("deliveries could not be noted; they may be sent once more", "error", err)
		}
	}
}

// gather waits a moment for more results.
func (s *settler) gather(first bot.Settled) []bot.Settled {
	batch := []bot.Settled{first}
	timer := time.NewTimer(settleEvery)
	defer timer.Stop()
	for len(batch) < cap(s.in) {
		select {
		case r, ok := <-s.in:
			if !ok {
				return batch
			}
			batch = append(batch, r)
		case <-timer.C:
			return batch
		}
	}
	return batch
}
