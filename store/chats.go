package store

import (
	"bytes"
	"encoding/binary"
	"strconv"
)

// ChatNumber is the internal number of a chat, made on first sight. A group that
// gets a new number on the transport keeps its internal one.
func (t *Tx) ChatNumber(transport int64) (int64, error) {
	alias := t.chatAlias(transport)
	if v := t.bucket(bucketChats).Get(alias); len(v) == 8 {
		return int64(binary.BigEndian.Uint64(v)), nil
	}
	if !t.tx.Writable() {
		return 0, nil // nothing was ever kept for this chat
	}
	return t.newChat(alias, transport)
}

// newChat makes a number for the chat that alias stands for.
func (t *Tx) newChat(alias []byte, transport int64) (int64, error) {
	n, err := t.bucket(bucketChats).NextSequence()
	if err != nil {
		return 0, err
	}
	if err := t.bucket(bucketChats).Put(alias, number64(n)); err != nil {
		return 0, err
	}
	return int64(n), t.pointBack(int64(n), transport)
}

func (t *Tx) chatAlias(transport int64) []byte {
	return t.s.sealer.digest("chat", strconv.FormatInt(transport, 10))
}

// pointBack keeps, sealed, where a chat can be written to.
func (t *Tx) pointBack(number, transport int64) error {
	key := signed64(number)
	return t.bucket(bucketChatsBack).Put(key, t.s.sealer.seal(signed64(transport), place(bucketChatsBack, key)))
}

// TransportChat is where a chat can be written to now.
func (t *Tx) TransportChat(number int64) (int64, bool) {
	key := signed64(number)
	plain, err := t.s.sealer.open(t.bucket(bucketChatsBack).Get(key), place(bucketChatsBack, key))
	if err != nil || len(plain) != 8 {
		return 0, false
	}
	return int64(binary.BigEndian.Uint64(plain) ^ 1<<63), true
}

// MoveChat gives a chat a new number on the transport; both numbers lead to it
// from then on, and replies that wait go to the new one. Where the new number was
// seen already, both, and all that led to either before, lead to the older chat.
func (t *Tx) MoveChat(from, to int64) error {
	number, err := t.ChatNumber(from)
	if err != nil {
		return err
	}
	if v := t.bucket(bucketChats).Get(t.chatAlias(to)); len(v) == 8 {
		other := int64(binary.BigEndian.Uint64(v))
		older, younger := min(number, other), max(number, other)
		if err := t.joinChats(younger, older, to); err != nil {
			return err
		}
		number = older
	}
	for _, transport := range []int64{from, to} {
		if err := t.bucket(bucketChats).Put(t.chatAlias(transport), number64(uint64(number))); err != nil {
			return err
		}
	}
	return t.pointBack(number, to)
}

// joinChats makes every way that leads to the younger chat lead to the older, and
// what is known of the younger lead to where both are now.
func (t *Tx) joinChats(younger, older, transport int64) error {
	if younger == older {
		return nil
	}
	lead := func(k, v []byte) ([]byte, []byte, error) {
		if bytes.Equal(v, number64(uint64(younger))) {
			v = number64(uint64(older))
		}
		return k, v, nil
	}
	if err := rewrite(t.bucket(bucketChats), lead); err != nil {
		return err
	}
	if err := t.moveWaiting(younger, older); err != nil {
		return err
	}
	return t.pointBack(younger, transport)
}

// forgetChat cuts a person's private chat, which has the person's own number on
// the transport, off from its past: the reports made there keep the old internal
// number, which no longer leads to anybody, and the chat goes on under a new one.
func (t *Tx) forgetChat(transport int64) error {
	alias := t.chatAlias(transport)
	v := t.bucket(bucketChats).Get(alias)
	if len(v) != 8 {
		return nil // never wrote in private
	}
	old := int64(binary.BigEndian.Uint64(v))
	fresh, err := t.newChat(alias, transport)
	if err != nil {
		return err
	}
	if err := t.bucket(bucketChatsBack).Delete(signed64(old)); err != nil {
		return err
	}
	return t.moveWaiting(old, fresh)
}
