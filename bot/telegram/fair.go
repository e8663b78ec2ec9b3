package telegram

import (
	"slices"

	"golang.org/x/time/rate"
)

// A person floods a group when so many replies to them wait there, and they are so
// large a part of all that wait. Each needs both: in a lively hour many write, and
// what waits goes in its order.
const (
	floodWaiting = 10
	floodPart    = 4.0 / 5
)

// add puts a reply behind what waits. What is more than a flooding person's share
// lets the replies to others of the group go first: Telegram limits what a group may
// get, and one person could use all of it. Replies to the same person keep their
// order.
func (l *lane) add(j *job) {
	at := len(l.waiting)
	if l.shared() && j.Reply.For != 0 {
		at = l.placeOf(j)
	}
	l.waiting = slices.Insert(l.waiting, at, j)
}

// shared is true for the queue of a group whose messages are limited.
func (l *lane) shared() bool {
	return l.key.chat < 0 && l.limiter != nil && l.limiter.Limit() != rate.Inf
}

// placeOf is where a reply goes, and marks one that is more than its person's share.
func (l *lane) placeOf(j *job) int {
	own, lastOwn, firstSurplus := 0, -1, len(l.waiting)
	for i, w := range l.waiting {
		if w.Reply.For == j.Reply.For {
			own, lastOwn = own+1, i
		}
		// One that is on its way, in part or put off by the server, keeps its place.
		if w.surplus && i >= l.underWay() && !w.begun && i < firstSurplus {
			firstSurplus = i
		}
	}
	floods := own >= floodWaiting && float64(own) >= floodPart*float64(len(l.waiting))
	j.surplus = floods || lastOwn >= firstSurplus // behind what is more than their share
	if j.surplus {
		return len(l.waiting)
	}
	return firstSurplus
}
