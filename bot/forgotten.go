package bot

import (
	"slices"
	"time"
)

// editsLast is how long after it was sent an edited message is taken as a new one.
const editsLast = 24 * time.Hour

// noteForgotten keeps that this person was forgotten just now, by the keyed hash
// alone and for as long as an edit could bring back what was forgotten.
func (t *turn) noteForgotten() error {
	return t.tx.Put(kindForgotten, t.tx.PersonKey(t.m.Sender.ID), t.now)
}

// wasForgotten is true for an edit of a message from before its person was forgotten:
// its words are not taken up again.
func (t *turn) wasForgotten() (bool, error) {
	at, err := load[time.Time](t.tx, kindForgotten, t.tx.PersonKey(t.m.Sender.ID))
	return !at.IsZero() && !t.m.SentAt.After(at), err
}

// dropForgotten deletes the notes that no edit can need any more.
func (t *turn) dropForgotten() error {
	for _, who := range slices.Collect(t.tx.Keys(kindForgotten, "")) {
		at, err := load[time.Time](t.tx, kindForgotten, who)
		if err != nil {
			return err
		}
		if at.Add(editsLast).After(t.now) {
			continue
		}
		if err := t.tx.Delete(kindForgotten, who); err != nil {
			return err
		}
	}
	return nil
}
