package telegram

import (
	"cmp"
	"context"
	"slices"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"deepward/bot"
	"deepward/store/catch"
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
	newHome map[catch.ChatID]catch.ChatID // the new number of a group that moved
	closed  bool
	busy    sync.WaitGroup
	// stopping ends the waits for another try: what is put off stays in the store.
	stopping chan struct{}
}

// laneKey names a queue: a chat, and for an acknowledgement the tap or the inline
// query: these need no order and must not wait behind messages.
type laneKey struct {
	chat catch.ChatID
	ack  string
}

// lane is what waits for one chat; the first is tried until it is settled.
type lane struct {
	key     laneKey
	waiting []*job
	running bool          // a worker is at it
	calling bool          // the first is being delivered at this moment
	into    *lane         // took this one over
	limiter *rate.Limiter // nil for acknowledgements
}

// job is a reply on its way out, which may go in several parts.
type job struct {
	bot.Sending
	begun bool
	parts []bot.Reply // still to send
	last  int         // the number that the last part got
	moves int
	// surplus is true for what is more than a flooding person's share of a group.
	surplus bool
}

func newSender(ctx context.Context, c Config, deliver func(context.Context, *job) result, settle func(*job, *result)) *sender {
	turns, noMore := context.WithCancel(ctx)
	return &sender{
		deliver: deliver, settle: settle, now: c.Now, limits: c.Limits, ctx: ctx, turns: turns, noMore: noMore,
		overall: limiter(c.Limits.PerSecond, int(max(1, c.Limits.PerSecond/5))),
		slots:   make(chan struct{}, sendWorkers),
		lanes:   map[laneKey]*lane{}, newHome: map[catch.ChatID]catch.ChatID{}, stopping: make(chan struct{}),
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
func (l Limits) limiterOf(chat catch.ChatID) *rate.Limiter {
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
		l.add(&job{Sending: out})
		s.start(l)
	}
}

// lane finds or makes a queue; the lock is held.
func (s *sender) lane(key laneKey) *lane {
	l := s.lanes[key]
	if l == nil {
		s.sweep()
		l = &lane{key: key}
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
func (s *sender) start(l *lane) {
	if l.running || s.closed {
		return
	}
	l.running = true
	s.busy.Go(func() { s.work(l) })
}

// work delivers what waits in a lane until nothing does, or the sender stops.
func (s *sender) work(l *lane) {
	for {
		j, wait := s.first(l)
		if j == nil || !s.pause(wait) || !s.try(l, j) {
			return
		}
	}
}

// first is the reply whose turn it is, and how long it is put off; nil ends the
// worker.
func (s *sender) first(l *lane) (*job, time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(l.waiting) > 0 && s.turns.Err() == nil {
		j := l.waiting[0]
		return j, min(j.NotBefore.Sub(s.now()), longestWait)
	}
	l.running = false
	if l.idle() && s.lanes[l.key] == l {
		delete(s.lanes, l.key)
	}
	return nil, 0
}

// try waits for its turn and makes one try; false when the sender stops.
func (s *sender) try(l *lane, j *job) bool {
	if l.limiter != nil && l.limiter.Wait(s.turns) != nil || s.overall.Wait(s.turns) != nil {
		return false
	}
	select {
	case s.slots <- struct{}{}:
	case <-s.turns.Done():
		return false
	}
	defer func() { <-s.slots }()
	if !s.begin(l, j) {
		return true
	}
	var r result
	if err := guard(func() error { r = s.deliver(s.ctx, j); return nil }); err != nil {
		r = result{verdict: never, err: err}
	}
	s.settle(j, &r)
	s.end(l, j, r)
	return true
}

// begin makes a reply known as under way, with the number that its chat has now;
// false when another lane took it over while it waited.
func (s *sender) begin(l *lane, j *job) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(l.waiting) == 0 || l.waiting[0] != j {
		return false
	}
	l.calling = true
	j.Reply = j.Reply.MovedTo(s.whereIs(j.Reply.Chat))
	return true
}

// end takes a settled reply out; one that is not waits at the head, or in the lane
// that took this one over.
func (s *sender) end(l *lane, j *job, r result) {
	s.mu.Lock()
	defer s.mu.Unlock()
	l.calling = false
	if r.again > 0 {
		j.Tries++
		j.NotBefore = s.now().Add(r.again)
	} else if !r.more {
		l.waiting[0] = nil
		l.waiting = l.waiting[1:]
	}
	if l.into != nil {
		to := l.goesInto()
		to.join(l)
		s.start(to)
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

// moved notes that a group has a new number: what waits for it goes there.
func (s *sender) moved(from, to catch.ChatID) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if from == to {
		return
	}
	delete(s.newHome, to) // the newest move counts, and none leads in a circle
	s.newHome[from] = to
	old, fresh := laneKey{chat: from}, laneKey{chat: to}
	l := s.lanes[old]
	if l == nil {
		return
	}
	if ahead := s.lanes[fresh]; ahead != nil {
		l.join(ahead)
	}
	delete(s.lanes, old)
	l.key, s.lanes[fresh] = fresh, l
	s.start(l)
}

// join takes over what waits in another lane, in the order of taking in. What
// either is delivering at this moment stays where it is; the sender's lock is held.
func (l *lane) join(other *lane) {
	mine, theirs := l.underWay(), other.underWay()
	rest := slices.Concat(l.waiting[mine:], other.waiting[theirs:])
	slices.SortStableFunc(rest, func(a, b *job) int { return cmp.Compare(a.ID, b.ID) })
	l.waiting = append(slices.Clip(l.waiting[:mine]), rest...)
	other.waiting = other.waiting[:theirs:theirs]
	other.into = l
}

// goesInto is the lane that all of this one ends in.
func (l *lane) goesInto() *lane {
	for l.into != nil {
		l = l.into
	}
	return l
}

// underWay is how many of those that wait are being delivered: the first, or none.
func (l *lane) underWay() int {
	if l.calling {
		return 1
	}
	return 0
}

// whereIs follows the moves of a group; the lock is held.
func (s *sender) whereIs(chat catch.ChatID) catch.ChatID {
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
