package store

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"iter"
	"slices"
	"time"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// seenFor is how long the number of an update is remembered; Telegram delivers
// again for 24 hours at most.
const seenFor = 48 * time.Hour

// seenPruned is how many old numbers are dropped with each new one, so that
// remembering never takes a scan.
const seenPruned = 4

// Seen reports whether an update of that date was handled: one of that number, not more
// than 48 hours before it. Numbers are kept as a set: after a quiet week Telegram starts
// them anew, so a lower one may be new, and so may one that was seen long ago. The date is
// the sender's, which no clock of this machine moves.
func (t *Tx) Seen(update catch.UpdateID, at time.Time) bool {
	when := t.bucket(bucketSeen).Get(signed64(update))
	return when != nil && bytes.Compare(when, signed64(at.Add(-seenFor).Unix())) >= 0
}

// MarkSeen remembers an update by its date. What is more than 48 hours older is dropped
// where the date is sure: one of a clock here could be days ahead.
func (t *Tx) MarkSeen(update catch.UpdateID, at time.Time, sure bool) error {
	when := signed64(at.Unix())
	if err := t.bucket(bucketSeen).Put(signed64(update), when); err != nil {
		return err
	}
	if err := t.bucket(bucketSeenTimes).Put(append(when, signed64(update)...), []byte{}); err != nil {
		return err
	}
	if !sure {
		return nil
	}
	return t.pruneSeen(at.Add(-seenFor))
}

func (t *Tx) pruneSeen(before time.Time) error {
	limit := signed64(before.Unix())
	for range seenPruned {
		k, _ := t.bucket(bucketSeenTimes).Cursor().First()
		if k == nil || bytes.Compare(k[:8], limit) >= 0 {
			return nil
		}
		if err := t.forgetSeen(bytes.Clone(k)); err != nil {
			return err
		}
	}
	return nil
}

// forgetSeen drops one entry by its time and number; a number that was seen
// again since stays.
func (t *Tx) forgetSeen(key []byte) error {
	when, update := key[:8], key[8:]
	if err := t.bucket(bucketSeenTimes).Delete(key); err != nil {
		return err
	}
	if !bytes.Equal(t.bucket(bucketSeen).Get(update), when) {
		return nil
	}
	return t.bucket(bucketSeen).Delete(update)
}

// Outgoing is a reply that waits to be delivered.
type Outgoing struct {
	// ID is set by Queue; within a chat a lower one goes out first.
	ID uint64
	// Chat is the number on the transport, where it goes now.
	Chat catch.ChatID
	// Data is the reply; it is sealed in the store.
	Data []byte
	// Tries counts the failed deliveries, NotBefore is when to try again.
	Tries     int
	NotBefore time.Time
	QueuedAt  time.Time
	// Stated is true when the far side asked for that wait.
	Stated bool
}

// waiting is an Outgoing as it is stored; the key holds chat and number.
type waiting struct {
	Data      []byte    `cbor:"1,keyasint"` // sealed
	Tries     int       `cbor:"2,keyasint,omitempty"`
	NotBefore time.Time `cbor:"3,keyasint,omitzero"`
	QueuedAt  time.Time `cbor:"4,keyasint,omitzero"`
	Stated    bool      `cbor:"5,keyasint,omitempty"`
}

// Queue puts a reply behind those that wait for the same chat.
func (t *Tx) Queue(o Outgoing) (uint64, error) {
	chat, err := t.ChatNumber(o.Chat)
	if err != nil {
		return 0, err
	}
	n, err := t.bucket(bucketOutbox).NextSequence()
	if err != nil {
		return 0, err
	}
	key := append(signed64(chat), number64(n)...)
	w := waiting{Data: t.s.sealer.seal(o.Data, outboxPlace(n)), QueuedAt: o.QueuedAt, NotBefore: o.NotBefore, Stated: o.Stated}
	return n, t.putWaiting(key, w)
}

// outboxPlace is the place of a reply wherever its chat moves.
func outboxPlace(id uint64) []byte { return place(bucketOutbox, number64(id)) }

func (t *Tx) putWaiting(key []byte, w waiting) error {
	value, err := encMode.Marshal(w)
	if err != nil {
		return fmt.Errorf("packing a reply: %w", err)
	}
	return t.bucket(bucketOutbox).Put(key, value)
}

// Delivered takes a reply to that chat out; one that is gone is no error.
func (t *Tx) Delivered(chat catch.ChatID, id uint64) error {
	key, _, err := t.findWaiting(chat, id)
	if key == nil || err != nil {
		return err
	}
	return t.bucket(bucketOutbox).Delete(key)
}

// Postpone counts a failed delivery and says when to try again; stated is true when the
// far side asked for that wait.
func (t *Tx) Postpone(chat catch.ChatID, id uint64, notBefore time.Time, stated bool) error {
	key, value, err := t.findWaiting(chat, id)
	if key == nil || err != nil {
		return err
	}
	var w waiting
	if err := decMode.Unmarshal(value, &w); err != nil {
		return err
	}
	w.Tries, w.NotBefore, w.Stated = w.Tries+1, notBefore, stated
	return t.putWaiting(key, w)
}

// findWaiting finds a reply by its chat and number; key is nil if it is gone.
func (t *Tx) findWaiting(chat catch.ChatID, id uint64) (key, value []byte, err error) {
	n, err := t.ChatNumber(chat)
	if err != nil {
		return nil, nil, err
	}
	key = append(signed64(n), number64(id)...)
	value = bytes.Clone(t.bucket(bucketOutbox).Get(key))
	if value == nil {
		return nil, nil, nil
	}
	return key, value, nil
}

// Outbox walks what waits, chat by chat and in order within each; chat 0 is all. A
// reply that cannot be read comes with an error, and the walk goes on after it.
func (t *Tx) Outbox(chat catch.ChatID) iter.Seq2[Outgoing, error] {
	return func(yield func(Outgoing, error) bool) {
		var prefix []byte
		if chat != 0 {
			n, err := t.ChatNumber(chat)
			if err != nil {
				yield(Outgoing{}, err)
				return
			}
			prefix = signed64(n)
		}
		c := t.bucket(bucketOutbox).Cursor()
		for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
			if !yield(t.outgoing(k, v)) {
				return
			}
		}
	}
}

func (t *Tx) outgoing(key, value []byte) (Outgoing, error) {
	var w waiting
	id := numberAt(key)
	if err := decMode.Unmarshal(value, &w); err != nil {
		return Outgoing{ID: id}, fmt.Errorf("waiting reply %d: %w", id, err)
	}
	o := Outgoing{ID: id, Tries: w.Tries, NotBefore: w.NotBefore, QueuedAt: w.QueuedAt, Stated: w.Stated}
	var err error
	if o.Data, err = t.s.sealer.open(w.Data, outboxPlace(id)); err != nil {
		return Outgoing{ID: id}, fmt.Errorf("waiting reply %d (the next deepward serve sets it aside): %w", id, err)
	}
	o.Chat, _ = t.TransportChat(catch.ClubID(binary.BigEndian.Uint64(key[:8]) ^ 1<<63))
	return o, nil
}

// OutboxLen is how many replies wait.
func (t *Tx) OutboxLen() (n int) {
	c := t.bucket(bucketOutbox).Cursor() // bbolt's own count leaves out what this transaction did
	for k, _ := c.First(); k != nil; k, _ = c.Next() {
		n++
	}
	return n
}

// moveWaiting puts the replies of one internal chat number behind another's.
func (t *Tx) moveWaiting(from, to catch.ClubID) error {
	b := t.bucket(bucketOutbox)
	prefix := signed64(from)
	moved := map[string][]byte{}
	c := b.Cursor()
	for k, v := c.Seek(prefix); bytes.HasPrefix(k, prefix); k, v = c.Next() {
		moved[string(k)] = bytes.Clone(v)
	}
	for k, v := range moved {
		if err := move(b, []byte(k), slices.Concat(signed64(to), []byte(k[8:])), v); err != nil {
			return err
		}
	}
	return nil
}

func move(b *bolt.Bucket, from, to, value []byte) error {
	if err := b.Delete(from); err != nil {
		return err
	}
	return b.Put(to, value)
}
