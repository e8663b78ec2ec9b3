package delivery

import (
	"time"

	"deepward/store/catch"
)

// Verdict is what a try means for a reply.
type Verdict int

const (
	// Delivered: there is nothing left to do, or another part.
	Delivered Verdict = iota
	// Later: the same again may work.
	Later
	// Never: the same again changes nothing.
	Never
	// Gone: the chat is closed to us.
	Gone
	// Moved: the group has another number.
	Moved
)

// Result is what became of one try.
type Result struct {
	Verdict Verdict
	// More is true when parts are left to send at once.
	More bool
	// Message is the number that the message got, 0 if none.
	Message int
	// Wait is what the far side asks to wait, with Later; 0 if it does not.
	Wait time.Duration
	// Silent is true, with Later, when nothing came back: the network may be down.
	Silent bool
	// MovedTo is the new number of the chat, with Moved.
	MovedTo catch.ChatID
	// Again is when to try again; zero when it is settled. The sender fills it.
	Again time.Duration
	// Dropped is true when it is given up because it was refused for too long.
	Dropped bool
	Err     error

	down bool // the network is down for all
}

const (
	// refusedFor is how long a reply is tried that is refused without a stated wait,
	// by a far side that takes others.
	refusedFor = 5 * time.Minute
	// ackFor is how long an acknowledgement is worth trying: nobody waits longer.
	ackFor = time.Minute
	// mostMoves is how often a reply follows a group to a new number.
	mostMoves = 5
)

// decide says whether and when a reply is tried again. lastGood is when the far side
// last did what it was asked, down is true while the network is.
func (j *Job) decide(r *Result, now, lastGood time.Time, down bool, backoff func(tries int) time.Duration) {
	switch r.Verdict {
	case Moved:
		if j.Moves++; j.Moves > mostMoves {
			r.Verdict = Never
			return
		}
		r.More = true
	case Later:
		j.decideLater(r, now, lastGood, down, backoff)
	}
}

func (j *Job) decideLater(r *Result, now, lastGood time.Time, down bool, backoff func(tries int) time.Duration) {
	r.down = down && r.Wait == 0
	from := j.lastFailed
	if from.IsZero() {
		from = j.started
	}
	takesOthers := !r.down && (!r.Silent || lastGood.After(from))
	j.lastFailed = now
	switch {
	case r.Wait > 0 || !takesOthers:
		j.since = time.Time{}
	case j.since.IsZero():
		j.since = j.started
	case now.Sub(j.since) > refusedFor:
		r.Verdict, r.Dropped = Never, true
		return
	}
	if (j.Reply.PressID != "" || j.Reply.InlineID != "") && now.Sub(j.QueuedAt) > ackFor {
		r.Verdict = Never
		return
	}
	if r.Again = r.Wait; r.Wait == 0 {
		r.Again = backoff(j.Tries)
	}
}
