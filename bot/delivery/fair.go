package delivery

import (
	"slices"
	"time"

	"deepward/bot"
)

// A person floods a group when so many replies to them wait there, and they are so
// large a part of all that wait. Each needs both: in a lively hour many write, and
// what waits goes in its order.
const (
	floodWaiting = 10
	floodPart    = 4.0 / 5
)

// judge marks a reply to a group as more than its person's share, if it is: replies to
// the others go before it. Telegram limits what a group may get, and one person could
// use all of it. Replies to the same person keep their order.
func (l *lane) judge(j *Job) {
	if j.Reply.For == 0 {
		return
	}
	own, behind := 0, false
	for _, w := range l.waiting {
		if w.Reply.For == j.Reply.For && w.class == j.class {
			own, behind = own+1, behind || w.surplus
		}
	}
	j.surplus = behind || own >= floodWaiting && float64(own) >= floodPart*float64(len(l.waiting))
}

// part is how much of what a group may get in a minute one person had.
type part struct{ calls, answers int }

// parts are those of the last minute: what goes at once never waits, so a share of what
// waits alone would let one person use all of it before anybody else asks.
func (c *chat) parts(now time.Time) map[uint64]part {
	c.had = slices.DeleteFunc(c.had, func(h bot.Call) bool { return now.Sub(h.At) >= time.Minute })
	parts := map[uint64]part{}
	for _, h := range c.had {
		p := parts[h.Who]
		p.calls++
		if h.Asked {
			p.answers++
		}
		parts[h.Who] = p
	}
	return parts
}

// enough is how many questions of one person a minute may have before those of others who
// asked less have some places to themselves.
const enough = 3

// leaves is how many of the places of its chat a reply leaves to others. Whose questions
// had half of them leaves the other half: nobody means so many. Who asked enough, or had
// more than half by whatever it was, as an angler may who reports a good day by taps, leaves
// as many as a tap does: several who flood leave room too.
func (c *chat) leaves(j *Job, had part) int {
	own := 0
	switch {
	case j.class == answers && had.answers >= c.most/2:
		own = c.most / 2
	case j.class == answers && had.answers >= enough, had.calls > c.most/2:
		own = taps.leaves(c.most)
	}
	return max(j.class.leaves(c.most), own)
}

// note counts a call in the limit of a group, and for the person whom it answers; what is
// tried again is no more of them.
func (c *chat) note(j *Job, now time.Time) {
	if !c.group {
		return
	}
	call := bot.Call{At: now}
	if j.Tries == 0 && !j.Begun {
		call.Who, call.Asked = j.Who, j.class == answers
	}
	j.Calls = append(j.Calls, call)
	c.remember(call)
}

// remember keeps a call that answered somebody.
func (c *chat) remember(call bot.Call) {
	if call.Who != 0 {
		c.had = append(c.had, call)
	}
}
