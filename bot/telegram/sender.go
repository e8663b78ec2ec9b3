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

// DefaultLimits are what Telegram states in its FAQ: about 30 a second in all
// (25 with a burst of 5 here), one a second in a chat with short bursts, 20 a
// minute in a group.
var DefaultLimits = Limits{PerSecond: 25, ChatPerSecond: 1, GroupPerMinute: 20}

const (
	// chatBurst is how many messages to one chat may go at once.
	chatBurst = 3
	// sendWorkers is how many chats are served together.
	sendWorkers = 64
	// idleLanes is how many lanes with nothing to do are kept before a sweep.
	idleLanes = 1000
	// cutTime is how long calls that run may still take when a stop lets no others
	// begin, and then again to end when they are broken off.
	cutTime = time.Second
)

// sender delivers replies: in order within a chat, chats side by side. It holds
// in memory what the store holds on disk; the store is the truth.
type sender struct {
	deliver func(context.Context, *job) result
	// settle notes what became of a try; it may set result.again.
	settle  func(*job, *result)
	now     func() time.Time
	limits  Limits
	overall *rate.Limiter
	slots   chan struct{}
	ctx     context.Context // for calls
	turns   context.Context // for beginning them; ends sooner in a stop
	noMore  context.CancelFunc

	mu      sync.Mutex
	lanes   map[laneKey]*lane
	newHome map[int64]int64 // the new number of a group that moved
	closed  bool
	busy    sync.WaitGroup
	// stopping ends the waits for another try: what is put off stays in the store.
	stopping chan struct{}
}

// laneKey names a queue: a chat, and for an acknowledgement the tap or the inline
// query: these need no order and must not wait behind messages.
type laneKey struct {
	chat int64
	ack  string
}

// lane is what waits for one chat; the first is being delivered.
type lane struct {
	waiting []*job
	running bool
	limiter *rate.Limiter // nil for acknowledgements
}

// job is a reply on its way out, which may go in several parts.
type job struct {
	bot.Sending
	begun bool
	parts []bot.Reply // still to send
	last  int         // the number that the last part got
	moves int
}

func newSender(ctx context.Context, c Config, deliver func(context.Context, *job) result, settle func(*job, *result)) *sender {
	turns, noMore := context.WithCancel(ctx)
	return &sender{
		deliver: deliver, settle: settle, now: c.Now, limits: c.Limits, ctx: ctx, turns: turns, noMore: noMore,
		overall: limiter(c.Limits.PerSecond, int(max(1, c.Limits.PerSecond/5))),
		slots:   make(chan struct{}, sendWorkers),
		lanes:   map[laneKey]*lane{}, newHome: map[int64]int64{}, stopping: make(chan struct{}),
	}
}

func limiter(perSecond float64, burst int) *rate.Limiter {
	if perSecond <= 0 {
		return rate.NewLimiter(rate.Inf, burst)
	}
	return rate.NewLimiter(rate.Limit(perSecond), burst)
}

// limiterOf is for one chat; groups have negative numbers. A full burst and what
// flows in during a minute make up what a group may get in that minute.
func (l Limits) limiterOf(chat int64) *rate.Limiter {
	if chat < 0 {
		return limiter(max(l.GroupPerMinute-chatBurst, l.GroupPerMinute/2)/60, chatBurst)
	}
	return limiter(l.ChatPerSecond, chatBurst)
}

// enqueue puts replies behind those that wait for the same chat.
func (s *sender) enqueue(list []bot.Sending) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, out := range list {
		key := laneKey{s.whereIs(out.Reply.Chat), out.Reply.PressID + out.Reply.InlineID}
		l := s.lane(key)
		l.waiting = append(l.waiting, &job{Sending: out})
		s.start(key, l)
	}
}

// lane finds or makes a queue; the lock is held.
func (s *sender) lane(key laneKey) *lane {
	l := s.lanes[key]
	if l == nil {
		s.sweep()
		l = &lane{}
		if key.ack == "" {
			l.limiter = s.limits.limiterOf(key.chat)
		}
		s.lanes[key] = l
	}
	return l
}

// sweep forgets chats that have been quiet so long that their limits are full
// again; the lock is held.
func (s *sender) sweep() {
	if len(s.lanes) < idleLanes {
		return
	}
	for key, l := range s.lanes {
		if l.idle() {
			delete(s.lanes, key)
		}
	}
}

func (l *lane) idle() bool {
	return !l.running && len(l.waiting) == 0 && (l.limiter == nil || l.limiter.Tokens() >= chatBurst)
}

// start runs a worker for a lane that has none; the lock is held.
func (s *sender) start(key laneKey, l *lane) {
	if l.running || s.closed {
		return
	}
	l.running = true
	s.busy.Go(func() { s.work(key, l) })
}

// work delivers what waits in a lane until nothing does.
func (s *sender) work(key laneKey, l *lane) {
	for j := s.first(key, l); j != nil && s.finish(l, j); j = s.first(key, l) {
		s.drop(l)
	}
}

// first is the reply whose turn it is; nil ends the worker.
func (s *sender) first(key laneKey, l *lane) *job {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(l.waiting) > 0 && s.turns.Err() == nil {
		return l.waiting[0]
	}
	l.running = false
	if l.idle() && s.lanes[key] == l {
		delete(s.lanes, key)
	}
	return nil
}

func (s *sender) drop(l *lane) {
	s.mu.Lock()
	defer s.mu.Unlock()
	l.waiting[0] = nil
	l.waiting = l.waiting[1:]
}

// finish tries until a reply is settled; false when the sender stops before.
func (s *sender) finish(l *lane, j *job) bool {
	if !s.pause(min(j.NotBefore.Sub(s.now()), longestWait)) {
		return false
	}
	for {
		r, ok := s.once(l, j)
		if !ok {
			return false
		}
		s.settle(j, &r)
		switch {
		case r.again > 0:
			j.Tries++
			if !s.pause(r.again) {
				return false
			}
		case !r.more:
			return true
		}
	}
}

// pause waits for another try; false when the sender stops meanwhile.
func (s *sender) pause(d time.Duration) bool {
	if d <= 0 {
		return true
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-s.stopping:
		return false
	}
}

// once waits for its turn and tries; ok is false when the sender stops.
func (s *sender) once(l *lane, j *job) (r result, ok bool) {
	if l.limiter != nil && l.limiter.Wait(s.turns) != nil || s.overall.Wait(s.turns) != nil {
		return result{}, false
	}
	select {
	case s.slots <- struct{}{}:
	case <-s.turns.Done():
		return result{}, false
	}
	defer func() { <-s.slots }()
	s.mu.Lock() // only now: the group may have moved while its reply waited
	j.Reply = j.Reply.MovedTo(s.whereIs(j.Reply.Chat))
	s.mu.Unlock()
	if err := guard(func() error { r = s.deliver(s.ctx, j); return nil }); err != nil {
		return result{verdict: never, err: err}, true
	}
	return r, true
}

// moved notes that a group has a new number: what waits for it goes there.
func (s *sender) moved(from, to int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if from == to {
		return
	}
	delete(s.newHome, to) // the newest move counts, and none leads in a circle
	s.newHome[from] = to
	old, fresh := laneKey{chat: from}, laneKey{chat: to}
	if l := s.lanes[old]; l != nil && s.lanes[fresh] == nil {
		delete(s.lanes, old)
		s.lanes[fresh] = l
	}
}

// whereIs follows the moves of a group; the lock is held.
func (s *sender) whereIs(chat int64) int64 {
	for range len(s.newHome) {
		to, ok := s.newHome[chat]
		if !ok {
			break
		}
		chat = to
	}
	return chat
}

// drain waits until everything is delivered or the time is over. Then no call
// begins any more, those that run may end, and what does not is broken off.
func (s *sender) drain(limit time.Duration, cut func()) {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	close(s.stopping)
	done := make(chan struct{})
	go func() { s.busy.Wait(); close(done) }()
	steps := []struct {
		wait time.Duration
		then func()
	}{{limit, s.noMore}, {cutTime, cut}, {cutTime, func() {}}}
	for _, step := range steps {
		t := time.NewTimer(step.wait)
		select {
		case <-done:
		case <-t.C:
		}
		t.Stop()
		step.then()
	}
}

// backlog is how many replies wait, and since when the oldest does.
func (s *sender) backlog() (n int, oldest time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, l := range s.lanes {
		n += len(l.waiting)
		if len(l.waiting) > 0 && (oldest.IsZero() || l.waiting[0].QueuedAt.Before(oldest)) {
			oldest = l.waiting[0].QueuedAt
		}
	}
	return n, oldest
}
