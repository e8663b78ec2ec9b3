package delivery

import (
	"cmp"
	"math"
	"slices"
	"time"

	"deepward/bot"
)

// Job is a reply on its way out, which may go in several parts.
type Job struct {
	bot.Sending
	// Parts are what is still to send, for the transport to fill; Begun is true once
	// one of them has arrived or was exchanged for others.
	Parts []bot.Reply
	Begun bool
	// Last is the number that the last part got, Moves how often its chat moved.
	Last, Moves int
	// Calls are when calls were made since the last result was noted, for groups.
	Calls []bot.Call

	class    class
	surplus  bool // more than a flooding person's share of a group
	outdated bool // there were newer words in its place when its chat moved
	file     bool // the call under way sends a file
	// Of the call under way.
	started time.Time
	chat    *chat
	lane    *lane
	end     func(time.Time)
	troubled
}

// troubled is what is known of a reply that is not taken.
type troubled struct {
	// since is when it was first refused by a far side that took others, lastFailed
	// when it failed last.
	since, lastFailed time.Time
}

// next is the part whose turn it is.
func (j *Job) next() bot.Reply {
	if len(j.Parts) > 0 {
		return j.Parts[0]
	}
	return j.Reply
}

func (j *Job) isFile() bool { return j.next().Attach != nil }

// confirms is true for the message that tells that a report was kept. These keep their
// order in a chat: nobody is in a hurry for one, and who is told of no. 9 after no. 10
// looks for what went wrong.
func (j *Job) confirms() bool { return j.Reply.Confirms() && j.Reply.Edit == 0 }

// rank orders what waits in a lane: what was begun goes on, then by class.
func (j *Job) rank() class {
	if j.Begun {
		return -1
	}
	return j.class
}

// before is the order in which replies of a lane go.
func before(a, b *Job) int {
	return cmp.Or(cmp.Compare(a.rank(), b.rank()), compareBool(a.surplus, b.surplus), cmp.Compare(a.ID, b.ID))
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// lane is a queue of one chat: its words or its files.
type lane struct {
	waiting  []*Job // in order
	underWay []*Job
}

// How long a call under way holds the next of its lane: those to the same person keep
// their order unless it takes long; others need none and only give it a start.
const (
	holdsSame   = 700 * time.Millisecond
	holdsOthers = 200 * time.Millisecond
	// mostUnderWay is how many calls of one lane may hang at once.
	mostUnderWay = 8
	// looksAhead is how many that are due are looked at for one that may go now.
	looksAhead = 16
)

func (l *lane) insert(j *Job) {
	at, _ := slices.BinarySearchFunc(l.waiting, j, before)
	l.waiting = slices.Insert(l.waiting, at, j)
}

func (l *lane) remove(j *Job) {
	l.waiting = slices.DeleteFunc(l.waiting, func(w *Job) bool { return w == j })
}

// moveTo hands over what waits and what is under way, so that its end is noted there.
// What waits is moved by now: there its message to replace would be another.
func (l *lane) moveTo(to *lane, from, of *chat) {
	for _, j := range l.waiting {
		j.Reply = j.Reply.MovedTo(of.place.chat)
		to.insert(j)
	}
	for _, j := range l.underWay {
		j.outdated = from.stale(j)
		j.chat, j.lane = of, to
	}
	to.underWay = append(to.underWay, l.underWay...)
	*l = lane{}
}

// heldUntil is when the calls under way let this one begin.
func (l *lane) heldUntil(j *Job) (at time.Time, ok bool) {
	for _, u := range l.underWay {
		hold := holdsOthers
		if u.Reply.For == j.Reply.For {
			hold = holdsSame
		}
		if j.Reply.Edit != 0 && u.Reply.Edit == j.Reply.Edit {
			return at, false // the later words must come last
		}
		if j.confirms() && u.confirms() && u.ID < j.ID {
			return at, false
		}
		at = later(at, u.started.Add(hold))
	}
	return at, len(l.underWay) < mostUnderWay
}

// first is the reply that may go next and when; nil when there is none before a call
// under way has ended.
func (l *lane) first(now time.Time, may func(*Job) time.Time) (best *Job, at time.Time) {
	due, confirming := 0, l.refusedConfirmation()
	for _, j := range l.waiting {
		t, ok := l.heldUntil(j)
		if !ok || j.confirms() && j.ID > confirming {
			continue
		}
		if j.confirms() {
			confirming = j.ID
		}
		t = later(later(t, j.NotBefore), may(j))
		if best == nil || t.Before(at) {
			best, at = j, t
		}
		if due++; !at.After(now) || due >= looksAhead && !at.After(now.Add(holdsSame)) {
			break
		}
	}
	return best, at
}

// refusedConfirmation is the oldest confirmation that waits because it was refused: it
// stands behind all that is newer, but for newer confirmations.
func (l *lane) refusedConfirmation() uint64 {
	oldest := uint64(math.MaxUint64)
	for _, j := range slices.Backward(l.waiting) {
		if j.class != refused {
			break
		}
		if j.confirms() {
			oldest = min(oldest, j.ID)
		}
	}
	return oldest
}

// shelve takes out what is put off, and the confirmations behind it.
func (l *lane) shelve(isPutOff func(*Job) bool) (off []*Job) {
	from := uint64(math.MaxUint64)
	for _, j := range l.waiting {
		if j.confirms() && isPutOff(j) {
			from = min(from, j.ID)
		}
	}
	l.waiting = slices.DeleteFunc(l.waiting, func(j *Job) bool {
		shelved := isPutOff(j) || j.confirms() && j.ID > from
		if shelved {
			off = append(off, j)
		}
		return shelved
	})
	return off
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// chat is what waits for one chat, with its limit.
type chat struct {
	place        place
	words, files lane
	meter        meter
	most         int
	group        bool
	had          []bot.Call // of the last minute that answered somebody, of a group
	// notBefore is the wait that the far side stated; nothing goes sooner.
	notBefore time.Time
	// edits are the newest words for each message that is replaced: older ones would put
	// back what is no longer so.
	edits map[int]uint64
	// down is how long a network that is down lets it wait; it ends with the outage.
	down time.Time

	// Where it stands in the queue.
	heap  int // its index in the heap, -1 if in none
	ready bool
	best  *Job
	at    time.Time // when the best may go
	turn  int       // among those that may now, the lowest is next
}

// laneOf is where a reply waits.
func (c *chat) laneOf(j *Job) *lane {
	if j.isFile() {
		return &c.files
	}
	return &c.words
}

// mostEdits is how many replaced messages of a chat are remembered.
const mostEdits = 100

// noteEdit remembers the newest words for a message that is replaced.
func (c *chat) noteEdit(j *Job) {
	if j.Reply.Edit == 0 {
		return
	}
	if c.edits == nil || len(c.edits) >= mostEdits {
		c.edits = map[int]uint64{}
	}
	c.edits[j.Reply.Edit] = max(c.edits[j.Reply.Edit], j.ID)
}

// stale is true for words in the place of a message for which there are newer ones.
func (c *chat) stale(j *Job) bool {
	return j.outdated || j.Reply.Edit != 0 && !j.Begun && c.edits[j.Reply.Edit] > j.ID
}

// look finds what goes next and when; filesFrom is when a file may go at the soonest.
func (c *chat) look(now time.Time, filesFrom func(time.Time) time.Time) {
	parts := c.parts(now)
	may := func(j *Job) time.Time {
		return later(later(c.notBefore, c.down), c.meter.free(now, c.leaves(j, parts[j.Who])))
	}
	j, at := c.words.first(now, may)
	if len(c.files.waiting) > 0 {
		from := filesFrom(now)
		f, t := c.files.first(now, func(j *Job) time.Time { return later(may(j), from) })
		if f != nil && (j == nil || t.Before(at) || t.Equal(at) && before(f, j) < 0) {
			j, at = f, t
		}
	}
	c.best, c.at, c.ready = j, at, j != nil && !at.After(now)
}

// empty is true when nothing waits or is under way and its limit is as a new one's.
func (c *chat) empty(now time.Time) bool {
	return c.waits() == 0 && len(c.words.underWay)+len(c.files.underWay) == 0 && !c.notBefore.After(now) && c.meter.idle(now)
}

func (c *chat) waits() int { return len(c.words.waiting) + len(c.files.waiting) }
