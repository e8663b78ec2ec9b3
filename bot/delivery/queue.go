package delivery

import (
	"cmp"
	"container/heap"
	"slices"
	"time"

	"deepward/bot"
	"deepward/store/catch"
)

// idleChats is how many chats with nothing to do are kept before a sweep.
const idleChats = 1000

// queue holds what waits for all chats and says what goes next. It has no clock and
// calls nobody; whoever uses it keeps it to one goroutine at a time.
type queue struct {
	limits  Limits
	overall *Window
	chats   map[place]*chat
	ready   chatHeap // those that may send now
	resting chatHeap // those that may later
	turns   int
	files   int                           // calls under way that send files
	sweepAt int                           // how many chats there are at the next sweep
	newHome map[catch.ChatID]catch.ChatID // the new number of a group that moved
	shelved []*Job                        // left for the next start
	stale   []*Job                        // not to be sent: there are newer words in their place
}

func newQueue(l Limits, overall *Window) *queue {
	return &queue{
		limits: l, overall: overall, chats: map[place]*chat{}, newHome: map[catch.ChatID]catch.ChatID{},
		ready:   chatHeap{less: func(a, b *chat) bool { return cmp.Or(cmp.Compare(a.best.rank(), b.best.rank()), a.turn-b.turn) < 0 }},
		resting: chatHeap{less: func(a, b *chat) bool { return a.at.Before(b.at) }},
	}
}

// place is where a reply waits: a chat, and for what needs neither order nor the limit
// of a chat, the acknowledgement of a tap or the answer to an inline query, that alone.
type place struct {
	chat catch.ChatID
	ack  string
}

func (q *queue) placeOf(r bot.Reply) place { return place{q.whereIs(r.Chat), r.PressID + r.InlineID} }

// add puts a reply where it waits.
func (q *queue) add(j *Job, now time.Time) {
	if j.class = classOf(j.Reply); j.Tries > 0 && !j.Stated {
		j.class = refused
	}
	c := q.chatOf(j.Reply, now)
	j.Reply = j.Reply.MovedTo(c.place.chat)
	l := c.laneOf(j)
	if c.group && q.limits.GroupMinute > 0 {
		l.judge(j)
	}
	if j.Stated && j.NotBefore.After(now) {
		c.notBefore = later(c.notBefore, j.NotBefore)
	}
	c.noteEdit(j)
	l.insert(j)
	q.dropStale(c, l, j)
	q.look(c, now)
}

// dropStale takes out the words for which there are newer ones by now, where one that
// came or came back replaces a message.
func (q *queue) dropStale(c *chat, l *lane, j *Job) {
	if j.Reply.Edit == 0 && !j.outdated {
		return
	}
	l.waiting = slices.DeleteFunc(l.waiting, func(j *Job) bool {
		stale := c.stale(j)
		if stale {
			q.stale = append(q.stale, j)
		}
		return stale
	})
}

// chatOf finds or makes what holds the replies to a chat.
func (q *queue) chatOf(r bot.Reply, now time.Time) *chat {
	at := q.placeOf(r)
	c := q.chats[at]
	if c == nil {
		q.sweep(now)
		c = &chat{place: at, group: r.Group && at.ack == "", heap: -1}
		c.meter, c.most = q.limits.meterOf(c.group), q.limits.mostOf(c.group)
		if at.ack != "" {
			c.meter = newPace(0)
		}
		q.chats[at] = c
	}
	return c
}

// sweep forgets chats that have been quiet so long that their limits are full again.
func (q *queue) sweep(now time.Time) {
	if len(q.chats) < max(idleChats, q.sweepAt) {
		return
	}
	defer func() { q.sweepAt = 2 * len(q.chats) }() // a flood of chats is not looked through for each of them
	for at, c := range q.chats {
		if c.empty(now) {
			delete(q.chats, at)
		}
	}
}

// look finds out anew where a chat stands.
func (q *queue) look(c *chat, now time.Time) {
	q.rest(c)
	c.look(now, q.filesFrom)
	switch {
	case c.best == nil:
	case c.ready:
		q.turns++
		c.turn = q.turns
		heap.Push(&q.ready, c)
	default:
		heap.Push(&q.resting, c)
	}
}

// rest takes a chat out of the heaps.
func (q *queue) rest(c *chat) {
	if c.heap < 0 {
		return
	}
	if c.ready {
		heap.Remove(&q.ready, c.heap)
	} else {
		heap.Remove(&q.resting, c.heap)
	}
}

// next takes out the reply that goes now; j nil says to look again after the wait, or
// when something changes if it is 0.
func (q *queue) next(now time.Time) (j *Job, end func(time.Time), wait time.Duration) {
	q.wake(now)
	for q.ready.Len() > 0 && q.ready.chats[0].best.isFile() && q.filesFrom(now).After(now) {
		q.look(q.ready.chats[0], now) // others took the room since it was looked at
	}
	if q.ready.Len() > 0 {
		if end, wait = q.overall.Begin(now); end == nil {
			return nil, nil, wait
		}
		return q.begin(q.ready.chats[0], now), end, 0
	}
	if q.resting.Len() > 0 {
		return nil, nil, max(q.resting.chats[0].at.Sub(now), time.Nanosecond)
	}
	return nil, nil, 0
}

// filesFrom is when a call for a file may begin. Files leave half of all that may go, and of
// the calls that run together, to words: a far side that takes no file holds nobody else.
func (q *queue) filesFrom(now time.Time) time.Time {
	if q.files >= mostCalls/2 {
		return now.Add(filesPause)
	}
	return q.overall.free(now, q.overall.most/2)
}

// filesPause is how often it is looked whether a call for a file has ended.
const filesPause = time.Second

// wake lets the chats be ready whose time has come.
func (q *queue) wake(now time.Time) {
	for q.resting.Len() > 0 && !q.resting.chats[0].at.After(now) {
		q.look(q.resting.chats[0], now)
	}
}

// begin takes a chat's next reply out and notes it as under way.
func (q *queue) begin(c *chat, now time.Time) *Job {
	j := c.best
	l := c.laneOf(j)
	l.remove(j)
	l.underWay = append(l.underWay, j)
	j.started, j.chat, j.lane = now, c, l
	if j.file = j.isFile(); j.file {
		q.files++
	}
	j.end = c.meter.take(now)
	c.note(j, now)
	j.Reply = j.Reply.MovedTo(q.whereIs(j.Reply.Chat))
	q.look(c, now)
	return j
}

// done notes the end of a call. What is not settled waits again, where its chat is now.
func (q *queue) done(j *Job, r Result, now time.Time) {
	c := j.chat
	j.end(now)
	if j.file {
		q.files--
	}
	j.lane.underWay = slices.DeleteFunc(j.lane.underWay, func(u *Job) bool { return u == j })
	if r.More || r.Again > 0 {
		q.again(j, r, now)
	}
	q.look(c, now)
	if c.empty(now) && q.chats[c.place] == c && c.place.ack != "" {
		delete(q.chats, c.place)
	}
}

// again lets a reply wait for another call: the next part at once, what was refused
// behind what is newer. A wait that the far side stated holds the chat, a network that
// is down too; both keep the order.
func (q *queue) again(j *Job, r Result, now time.Time) {
	home := q.chatOf(j.Reply, now)
	j.Reply = j.Reply.MovedTo(home.place.chat)
	if r.Again > 0 {
		j.Tries++
		at := now.Add(r.Again)
		switch {
		case r.Wait > 0:
			home.notBefore = later(home.notBefore, at)
		case r.down:
			home.down = later(home.down, at)
		default:
			j.NotBefore, j.class, j.surplus = at, refused, false
		}
	}
	l := home.laneOf(j)
	l.insert(j)
	q.dropStale(home, l, j)
	q.look(home, now)
}

// up lets those go at once that waited for a network that was down.
func (q *queue) up(now time.Time) {
	for _, c := range q.chats {
		if c.down.After(now) {
			c.down = time.Time{}
			q.look(c, now)
		}
	}
}

// moved notes that a group has a new number: what waits for it goes there, and what is
// under way to it holds the others there.
func (q *queue) moved(from, to catch.ChatID, now time.Time) {
	if from == to {
		return
	}
	delete(q.newHome, to) // the newest move counts, and none leads in a circle
	q.newHome[from] = to
	old := q.chats[place{chat: from}]
	if old == nil {
		return
	}
	delete(q.chats, old.place)
	q.rest(old)
	fresh := q.chatOf(bot.Reply{Chat: to, Group: old.group}, now)
	fresh.notBefore = later(fresh.notBefore, old.notBefore)
	fresh.take(old)
	old.words.moveTo(&fresh.words, old, fresh)
	old.files.moveTo(&fresh.files, old, fresh)
	q.look(fresh, now)
}

// take goes on with the limit of a group where it went, and with what each there had.
func (c *chat) take(old *chat) {
	c.had = append(c.had, old.had...)
	if from, ok := old.meter.(*Window); ok {
		c.meter.(*Window).join(from)
	}
}

// whereIs follows the moves of a group.
func (q *queue) whereIs(chat catch.ChatID) catch.ChatID {
	for range len(q.newHome) {
		to, ok := q.newHome[chat]
		if !ok {
			break
		}
		chat = to
	}
	return chat
}

// shelve takes out what is put off; a stop does not wait for it.
func (q *queue) shelve(now time.Time) {
	for _, c := range q.chats {
		held := c.notBefore.After(now) || c.down.After(now)
		for _, l := range []*lane{&c.words, &c.files} {
			off := l.shelve(func(j *Job) bool { return held || j.NotBefore.After(now) })
			q.shelved = append(q.shelved, off...)
		}
		q.look(c, now)
	}
}

// backlog is how many replies wait or are under way, and since when the oldest does.
func (q *queue) backlog() (n int, oldest time.Time) {
	count := func(list []*Job) {
		n += len(list)
		for _, j := range list {
			if oldest.IsZero() || j.QueuedAt.Before(oldest) {
				oldest = j.QueuedAt
			}
		}
	}
	count(q.shelved)
	for _, c := range q.chats {
		for _, l := range []*lane{&c.words, &c.files} {
			count(l.waiting)
			count(l.underWay)
		}
	}
	return n, oldest
}

// chatHeap is a heap of chats that know their place in it.
type chatHeap struct {
	chats []*chat
	less  func(a, b *chat) bool
}

func (h *chatHeap) Len() int           { return len(h.chats) }
func (h *chatHeap) Less(i, j int) bool { return h.less(h.chats[i], h.chats[j]) }
func (h *chatHeap) Swap(i, j int) {
	h.chats[i], h.chats[j] = h.chats[j], h.chats[i]
	h.chats[i].heap, h.chats[j].heap = i, j
}
func (h *chatHeap) Push(x any) {
	c := x.(*chat)
	c.heap = len(h.chats)
	h.chats = append(h.chats, c)
}
func (h *chatHeap) Pop() any {
	c := h.chats[len(h.chats)-1]
	h.chats = h.chats[:len(h.chats)-1]
	c.heap = -1
	return c
}
