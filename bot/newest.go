package bot

import (
	"time"

	"deepward/bot/talk"
	"deepward/bot/understand"
)

// listeningLasts is how long the friends of somebody who was answered in a group may go on
// about that fish without naming it.
const listeningLasts = 30 * time.Minute

// newestKey is where the reference to the question stands that was answered last in a chat.
// It goes with the person who asked it.
func (t *turn) newestKey() string { return key(t.chat, "newest") }

// keepNewest notes a question as the newest of a group.
func (t *turn) keepNewest(n uint64) error {
	if !t.m.Chat.Group {
		return nil
	}
	return t.tx.Put(kindSent, t.newestKey(), key(kindQuestion, t.m.Sender.ID, n))
}

// newest is the question that was answered last in this group, where another asked it and
// little time went by.
func (t *turn) newest() (Asked, bool) {
	if !t.m.Chat.Group {
		return Asked{}, false
	}
	ref, err := load[string](t.tx, kindSent, t.newestKey())
	if err != nil {
		return Asked{}, false
	}
	a, ok := t.askedHere(ref)
	quiet := t.m.SentAt.Sub(a.At)
	return a, ok && len(a.Reports) == 0 && a.Person != t.m.Sender.ID && quiet >= 0 && quiet <= listeningLasts
}

// listenIn lets somebody who talks of no fish of their own talk of the one that the group
// talks of, and takes up what a friend put right of theirs.
func (t *turn) listenIn(s *talk.State) {
	a, ok := t.newest()
	if !ok {
		return
	}
	if len(s.Fish) == 0 && len(s.Standing()) == 0 {
		t.followAsked(s, a)
		t.borrowed = true
		return
	}
	if n := len(s.Fish); n > 0 && a.At.After(t.session.At) {
		last := &s.Fish[n-1]
		if len(last.Rows) == 0 && last.Query.Species == a.Fish[0].Species && last.Query.Species != "" {
			last.Query = a.Fish[0]
		}
	}
}

// giveBack forgets a friend's fish where the message names one itself.
func (t *turn) giveBack(s talk.State, r understand.Reading) talk.State {
	if t.borrowed && len(r.Fish) > 0 && r.Fish[0].Name != "" && r.Act != understand.ActCorrection {
		s.Fish, t.borrowed = nil, false
		t.talk = s
	}
	return s
}
