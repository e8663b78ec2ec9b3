package delivery

import (
	"cmp"
	"context"
	"sync"
	"time"

	"deepward/bot"
	"deepward/store/catch"
)

const (
	// mostCalls is how many calls run together if nothing else is said.
	mostCalls = 64
	// cutTime is how long calls that run may still take when a stop lets no others
	// begin, and then again to end when they are broken off.
	cutTime = time.Second
)

// Sender delivers replies. It holds in memory what the store holds on disk; the store is
// the truth.
type Sender struct {
	// Deliver makes one try at the next part of a reply. It must not panic.
	Deliver func(context.Context, *Job) Result
	// Settle notes what became of a try; it may set Result.Again.
	Settle func(*Job, *Result)
	// Backoff is how long to wait after so many failures.
	Backoff func(tries int) time.Duration
	// Together is how many calls run at the same time, 0 for 64.
	Together int
	// Now is the clock; Ctx is for calls.
	Now func() time.Time
	Ctx context.Context

	mu       sync.Mutex
	queue    *queue
	timer    *time.Timer
	running  int
	lastGood time.Time // when the far side last did what it was asked
	down     bool      // it is out of reach
	closed   bool      // a stop: what is put off is left for the next start
	ended    bool      // no call begins any more
	idle     chan struct{}
}

// Start readies a sender whose fields are set; overall is the limit that it shares with
// other calls.
func (s *Sender) Start(l Limits, overall *Window) {
	s.queue, s.idle = newQueue(l, overall), make(chan struct{})
}

// Enqueue puts replies behind those that wait for the same chat.
func (s *Sender) Enqueue(list []bot.Sending) {
	s.mu.Lock()
	now := s.Now()
	for _, out := range list {
		s.queue.add(&Job{Sending: out}, now)
	}
	s.pump()
	stale := s.takeStale()
	s.mu.Unlock()
	s.settleStale(stale)
}

// takeStale hands out what is not to be sent any more; the lock is held.
func (s *Sender) takeStale() []*Job {
	list := s.queue.stale
	s.queue.stale = nil
	return list
}

// settleStale notes that there is nothing left to do.
func (s *Sender) settleStale(list []*Job) {
	for _, j := range list {
		s.Settle(j, &Result{})
	}
}

// Before notes calls that were made to groups before the start, so that the limits hold
// across it.
func (s *Sender) Before(calls map[catch.ChatID][]bot.Call) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.Now()
	for chat, made := range calls {
		c := s.queue.chatOf(bot.Reply{Chat: chat, Group: true}, now)
		c.meter.(*Window).before(now, made)
		s.queue.overall.before(now, made)
		for _, call := range made {
			c.remember(call)
		}
	}
}

// pump begins every call that may; the lock is held.
func (s *Sender) pump() {
	now := s.Now()
	if s.closed {
		s.queue.shelve(now)
	}
	var wait time.Duration
	for !s.ended && s.running < cmp.Or(s.Together, mostCalls) {
		j, end, w := s.queue.next(now)
		if wait = w; j == nil {
			break
		}
		s.running++
		go s.call(j, end)
	}
	s.wakeAfter(wait)
	s.tellIdle()
}

// wakeAfter looks again after a wait, 0 for not at all; the lock is held.
func (s *Sender) wakeAfter(wait time.Duration) {
	if s.timer != nil {
		s.timer.Stop()
	}
	if wait > 0 {
		s.timer = time.AfterFunc(wait, func() {
			s.mu.Lock()
			defer s.mu.Unlock()
			s.pump()
		})
	}
}

// call makes one try and notes what became of it.
func (s *Sender) call(j *Job, end func(time.Time)) {
	r := s.Deliver(s.Ctx, j)
	now := s.Now()
	end(now)
	s.mu.Lock()
	if r.Verdict != Later && r.Err == nil {
		s.good(now)
	}
	j.decide(&r, now, s.lastGood, s.down, s.Backoff)
	s.mu.Unlock()
	s.Settle(j, &r)
	s.mu.Lock()
	s.queue.done(j, r, now)
	stale := s.takeStale()
	s.mu.Unlock()
	s.settleStale(stale)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.running--
	s.pump()
}

// Reached tells whether the far side is in reach at all, as other calls than those of
// the sender show.
func (s *Sender) Reached(yes bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !yes {
		s.down = true
		return
	}
	s.good(s.Now())
	s.pump()
}

// good notes that the far side did what it was asked; the lock is held.
func (s *Sender) good(now time.Time) {
	s.lastGood = now
	if s.down {
		s.down = false
		s.queue.up(now)
	}
}

// Moved notes that a group has a new number: what waits for it goes there, once the call
// that told of it has ended or more is enqueued.
func (s *Sender) Moved(from, to catch.ChatID) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.queue.moved(from, to, s.Now())
}

// Backlog is how many replies wait or are under way, and since when the oldest does.
func (s *Sender) Backlog() (n int, oldest time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.queue.backlog()
}

// Wait waits until nothing waits or is under way any more; for a transport that takes
// whatever it is given.
func (s *Sender) Wait() {
	for n, _ := s.Backlog(); n > 0; n, _ = s.Backlog() {
		time.Sleep(100 * time.Microsecond)
	}
}

// Drain waits until everything is delivered that is not put off, or the time is over.
// Then no call begins any more, those that run may end, and what does not is broken off
// by cut.
func (s *Sender) Drain(limit time.Duration, cut func()) {
	s.mu.Lock()
	s.closed = true
	s.pump()
	s.mu.Unlock()
	steps := []struct {
		wait time.Duration
		then func()
	}{{limit, s.end}, {cutTime, cut}, {cutTime, func() {}}}
	for _, step := range steps {
		t := time.NewTimer(step.wait)
		select {
		case <-s.idle:
		case <-t.C:
		}
		t.Stop()
		step.then()
	}
}

// end lets no call begin any more.
func (s *Sender) end() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ended = true
	if s.timer != nil {
		s.timer.Stop()
	}
	s.tellIdle()
}

// tellIdle lets a stop go on once there is nothing to wait for; the lock is held.
func (s *Sender) tellIdle() {
	if !s.closed || s.running > 0 {
		return
	}
	if n, _ := s.queue.backlog(); n > len(s.queue.shelved) && !s.ended {
		return
	}
	select {
	case <-s.idle:
	default:
		close(s.idle)
	}
}
