package delivery

import (
	"cmp"
	"math"
	"slices"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"deepward/bot"
)

// Limits are how fast replies go out; 0 means no limit.
type Limits struct {
	// Second is how many calls may be made in any second, over all chats.
	Second int
	// Burst is how many may go at once to one person, who then gets one a second.
	Burst int
	// GroupMinute is how many may go to one group in any 60 s.
	GroupMinute int
}

// hung is when a call that has not ended counts as arrived: the far side is silent, but
// others must not wait for it without end.
const hung = 3 * time.Second

// meter is one limit.
type meter interface {
	// free is when a call may begin that leaves so many to others; it is not in the
	// past of what the meter allows, and now at the soonest.
	free(now time.Time, leave int) time.Time
	// take begins a call; what it returns is told of the call's end.
	take(now time.Time) (end func(now time.Time))
	// idle is true when the meter is as good as a new one.
	idle(now time.Time) bool
}

// Window is a sliding window: in any span no more than most calls reach the far side. A
// call arrives at some moment between its begin and its end, so its place stays taken
// from the one until a span after the other.
type Window struct {
	most int
	span time.Duration

	mu    sync.Mutex
	taken []*time.Time // when each place is free again
}

// NewWindow lets most calls arrive in any span; most 0 is no limit.
func NewWindow(most int, span time.Duration) *Window { return &Window{most: most, span: span} }

func (w *Window) free(now time.Time, leave int) time.Time {
	if w.most <= 0 {
		return now
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.drop(now)
	over := len(w.taken) + min(leave, w.most-1) - w.most // places that must come free, less one
	if over < 0 {
		return now
	}
	slices.SortFunc(w.taken, func(a, b *time.Time) int { return a.Compare(*b) })
	return *w.taken[min(over, len(w.taken)-1)]
}

// drop forgets what was long enough ago; the lock is held.
func (w *Window) drop(now time.Time) {
	w.taken = slices.DeleteFunc(w.taken, func(t *time.Time) bool { return !t.After(now) })
}

func (w *Window) take(now time.Time) func(time.Time) {
	if w.most <= 0 {
		return func(time.Time) {}
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	free := now.Add(hung + w.span)
	w.taken = append(w.taken, &free)
	return func(now time.Time) {
		w.mu.Lock()
		defer w.mu.Unlock()
		if at := now.Add(w.span); at.Before(free) {
			free = at
		}
	}
}

func (w *Window) idle(now time.Time) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.drop(now)
	return len(w.taken) == 0
}

// Begin takes a place if one is free and returns what to call at the end; else how long
// until one may be.
func (w *Window) Begin(now time.Time) (end func(time.Time), wait time.Duration) {
	if at := w.free(now, 0); at.After(now) {
		return nil, at.Sub(now)
	}
	return w.take(now), 0
}

// join takes over the places that are taken in another window of the same span; calls that
// run there go on to be told of.
func (w *Window) join(other *Window) {
	other.mu.Lock()
	defer other.mu.Unlock()
	w.mu.Lock()
	defer w.mu.Unlock()
	w.taken = append(w.taken, other.taken...)
}

// before notes calls of before the start; none counts as later than now.
func (w *Window) before(now time.Time, calls []bot.Call) {
	if w.most <= 0 {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, c := range calls {
		free := slices.MinFunc([]time.Time{c.At, now}, time.Time.Compare).Add(w.span)
		w.taken = append(w.taken, &free)
	}
	w.drop(now)
}

// pace lets a burst go at once and then one a second.
type pace struct{ limiter *rate.Limiter }

func newPace(burst int) pace {
	if burst <= 0 {
		return pace{rate.NewLimiter(rate.Inf, 1)}
	}
	return pace{rate.NewLimiter(1, burst)}
}

func (p pace) free(now time.Time, leave int) time.Time {
	if p.limiter.Limit() == rate.Inf {
		return now
	}
	lacks := float64(1+min(leave, p.limiter.Burst()-1)) - p.limiter.TokensAt(now)
	if lacks <= 0 {
		return now
	}
	return now.Add(time.Duration(lacks*float64(time.Second)) + time.Millisecond) // no rounding may bring it here again at once
}

func (p pace) take(now time.Time) func(time.Time) {
	p.limiter.AllowN(now, 1)
	return func(time.Time) {}
}

func (p pace) idle(now time.Time) bool {
	return p.limiter.Limit() == rate.Inf || p.limiter.TokensAt(now) >= float64(p.limiter.Burst())
}

// meterOf is the limit of one chat.
func (l Limits) meterOf(group bool) meter {
	if group {
		return NewWindow(l.GroupMinute, time.Minute)
	}
	return newPace(l.Burst)
}

// mostOf is how many calls the limit of one chat lets go at once.
func (l Limits) mostOf(group bool) int {
	if group {
		return cmp.Or(l.GroupMinute, math.MaxInt)
	}
	return cmp.Or(l.Burst, math.MaxInt)
}
