package delivery

import (
	"slices"
	"time"

	"deepward/store/catch"
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

// had is a reply to a group that answered somebody.
type had struct {
	by catch.PersonID
	at time.Time
}

// flooder is who had more than half of what a group may get in the last minute, 0 if
// nobody: what goes at once never waits, so a share of what waits alone would let one
// person use all of it before anybody else asks.
func (c *chat) flooder(now time.Time) catch.PersonID {
	c.had = slices.DeleteFunc(c.had, func(h had) bool { return now.Sub(h.at) >= time.Minute })
	parts := map[catch.PersonID]int{}
	for _, h := range c.had {
		if parts[h.by]++; parts[h.by] > c.most/2 {
			return h.by
		}
	}
	return 0
}

// leaves is how many of the places of its chat a reply leaves to others: one to a person
// who floods the group leaves as many as a tap does.
func (c *chat) leaves(j *Job, flooder catch.PersonID) int {
	if flooder != 0 && j.Reply.For == flooder {
		return max(j.class.leaves(c.most), taps.leaves(c.most))
	}
	return j.class.leaves(c.most)
}

// note counts a reply for the person whom it answers; what is tried again is no more of them.
func (c *chat) note(j *Job, now time.Time) {
	if c.group && j.Reply.For != 0 && j.Tries == 0 && !j.Begun {
		c.had = append(c.had, had{j.Reply.For, now})
	}
}
