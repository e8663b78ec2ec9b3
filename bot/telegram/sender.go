package telegram

import (
	"context"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"deepward/bot"
)

// Limits are how fast messages go out.
type Limits struct {
	// PerSecond is over all chats; 0 means no limit.
	PerSecond float64
	// ChatPerSecond and GroupPerMinute are for one chat; 0 means no limit.
	ChatPerSecond  float64
	GroupPerMinute float64
}

// DefaultLimits are what Telegram states in its FAQ: about 30 a second in all,
// one a second in a chat with short bursts, 20 a minute in a group.
var DefaultLimits = Limits{PerSecond: 28, ChatPerSecond: 1, GroupPerMinute: 20}

// Bursts that are let through at once, and how many chats are served together.
const (
	chatBurst   = 3
	groupBurst  = 5
	sendWorkers = 64
)

// sender delivers replies: in order within a chat, chats side by side. It holds
// in memory what the store holds on disk; the store is the truth.
type sender struct {
	deliver func(context.Context, bot.Sending) result
	settle  func(bot.Sending, result)
	limits  Limits
	overall *rate.Limiter

	mu     sync.Mutex
	chats  map[int64]*queue
	slots  chan struct{}
	busy   sync.WaitGroup
	ctx    context.Context
	closed bool
	// stopping ends the waits for another try: what is put off stays in the store.
	stopping chan struct{}
}

// queue is what waits for one chat.
type queue struct {
	waiting []bot.Sending
	running bool
	limiter *rate.Limiter
}

func newSender(ctx context.Context, limits Limits, deliver func(context.Context, bot.Sending) result, settle func(bot.Sending, result)) *sender {
	return &sender{
		deliver: deliver, settle: settle, limits: limits, ctx: ctx,
		overall: limiter(limits.PerSecond, int(max(1, limits.PerSecond))),
		chats:   map[int64]*queue{}, slots: make(chan struct{}, sendWorkers),
		stopping: make(chan struct{}),
	}
}

func limiter(perSecond float64, burst int) *rate.Limiter {
	if perSecond <= 0 {
		return rate.NewLimiter(rate.Inf, 1)
	}
	return rate.NewLimiter(rate.Limit(perSecond), burst)
}

// enqueue puts replies behind those that wait for the same chat.
func (s *sender) enqueue(list []bot.Sending) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, out := range list {
		q := s.queueOf(out.Reply.Chat)
		q.waiting = append(q.waiting, out)
		s.start(out.Reply.Chat, q)
	}
}

func (s *sender) queueOf(chat int64) *queue {
	q := s.chats[chat]
	if q == nil {
		q = &queue{limiter: limiter(s.limits.ChatPerSecond, chatBurst)}
		if chat < 0 { // groups have negative numbers
			q.limiter = limiter(s.limits.GroupPerMinute/60, groupBurst)
		}
		s.chats[chat] = q
	}
	return q
}

// start runs a worker for a chat that has none; the lock is held.
func (s *sender) start(chat int64, q *queue) {
	if q.running || s.closed {
		return
	}
	q.running = true
	s.busy.Add(1)
	go func() {
		defer s.busy.Done()
		s.work(chat, q)
	}()
}

// work delivers what waits for one chat until nothing does.
func (s *sender) work(chat int64, q *queue) {
	for {
		out, ok := s.next(chat, q)
		if !ok {
			return
		}
		for {
			r, ok := s.once(q, out)
			if !ok {
				return // stopping: it stays in the store
			}
			s.settle(out, r)
			if r.movedTo != 0 {
				out.Reply.Chat = r.movedTo
				continue
			}
			if r.again == 0 {
				break
			}
			out.Tries++
			if !s.pause(r.again) {
				return
			}
		}
	}
}

// pause waits for another try; false when the sender stops meanwhile.
func (s *sender) pause(d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-s.stopping:
		return false
	}
}

// once waits for its turn and delivers; ok is false when the sender stops.
func (s *sender) once(q *queue, out bot.Sending) (r result, ok bool) {
	message := out.Reply.PressID == "" && out.Reply.InlineID == ""
	if message && q.limiter.Wait(s.ctx) != nil || s.overall.Wait(s.ctx) != nil {
		return result{}, false
	}
	select {
	case s.slots <- struct{}{}:
	case <-s.ctx.Done():
		return result{}, false
	}
	defer func() { <-s.slots }()
	return s.deliver(s.ctx, out), true
}

// next takes the first reply that waits, or ends the worker.
func (s *sender) next(chat int64, q *queue) (bot.Sending, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(q.waiting) == 0 || s.ctx.Err() != nil {
		q.running = false
		if len(q.waiting) == 0 && q.limiter.Tokens() >= chatBurst {
			delete(s.chats, chat) // nothing to remember of an idle chat
		}
		return bot.Sending{}, false
	}
	out := q.waiting[0]
	q.waiting = q.waiting[1:]
	return out, true
}

// drain waits until everything is delivered or the time is over.
func (s *sender) drain(limit time.Duration) {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	close(s.stopping)
	done := make(chan struct{})
	go func() { s.busy.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(limit):
	}
}

// depth is how many replies wait.
func (s *sender) depth() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := 0
	for _, q := range s.chats {
		n += len(q.waiting)
	}
	return n
}
