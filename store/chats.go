package store

import (
	"crypto/rand"
	"encoding/binary"
	"strconv"

	"deepward/store/catch"
)

// ChatNumber is the internal number of a chat, made on first sight. A group that
// gets a new number on the transport keeps its internal one.
func (t *Tx) ChatNumber(transport catch.ChatID) (catch.ClubID, error) {
	alias := t.chatAlias(transport)
	if number, _, known := chatOf(t.bucket(bucketChats).Get(alias)); known {
		return number, nil
	}
	if !t.tx.Writable() {
		return 0, nil // nothing was ever kept for this chat
	}
	return t.newChat(alias, transport)
}

// newChat makes a number for the chat that alias stands for.
func (t *Tx) newChat(alias []byte, transport catch.ChatID) (catch.ClubID, error) {
	n, err := t.bucket(bucketChats).NextSequence()
	if err != nil {
		return 0, err
	}
	if err := t.bucket(bucketChats).Put(alias, number64(n)); err != nil {
		return 0, err
	}
	return catch.ClubID(n), t.pointBack(catch.ClubID(n), transport)
}

// offTransport begins the numbers of clubs that are on no transport; below it, no
// transport has any.
const offTransport = -1 << 60

// NewClub makes a number for a club that is on no transport: one that has its log in
// the store and no chat. Drawn at random, so that the clubs of two stores that are
// merged stay two.
func (t *Tx) NewClub() (catch.ClubID, error) {
	var drawn [8]byte
	_, _ = rand.Read(drawn[:]) // it does not fail
	transport := offTransport - catch.ChatID(binary.BigEndian.Uint64(drawn[:])>>16)
	return t.ChatNumber(transport)
}

// cameByMove follows the number of a chat in the value of a transport number
// that a group got by moving.
const cameByMove = 1

// chatOf reads the value of a transport number: the chat it leads to, and
// whether a group got it by moving.
func chatOf(v []byte) (number catch.ClubID, moved, known bool) {
	if len(v) < 8 {
		return 0, false, false
	}
	return catch.ClubID(binary.BigEndian.Uint64(v)), len(v) > 8, true
}

// MessageNumber is the number that a message of a transport chat has in the store.
// A group that moves begins to number its messages anew; those after the move are
// negative here, so that none is taken for one of before. A group moves once.
func (t *Tx) MessageNumber(transport catch.ChatID, message int) int {
	if _, moved, _ := chatOf(t.bucket(bucketChats).Get(t.chatAlias(transport))); moved {
		return -message
	}
	return message
}

func (t *Tx) chatAlias(transport catch.ChatID) []byte {
	alias, known := t.aliases[transport]
	if !known {
		alias = t.s.sealer.digest("chat", strconv.FormatInt(int64(transport), 10))
		t.aliases[transport] = alias
	}
	return alias
}

// pointBack keeps, sealed, where a chat can be written to.
func (t *Tx) pointBack(number catch.ClubID, transport catch.ChatID) error {
	key := signed64(number)
	return t.bucket(bucketChatsBack).Put(key, t.s.sealer.seal(signed64(transport), place(bucketChatsBack, key)))
}

// TransportChat is where a chat can be written to now.
func (t *Tx) TransportChat(number catch.ClubID) (catch.ChatID, bool) {
	key := signed64(number)
	plain, err := t.s.sealer.open(t.bucket(bucketChatsBack).Get(key), place(bucketChatsBack, key))
	if err != nil || len(plain) != 8 {
		return 0, false
	}
	return catch.ChatID(binary.BigEndian.Uint64(plain) ^ 1<<63), true
}

// MoveChat gives a chat a new number on the transport; both numbers lead to it
// from then on, and replies that wait go to the new one. Where the new number was
// seen already, both, and all that led to either before, lead to the older chat.
func (t *Tx) MoveChat(from, to catch.ChatID) error {
	number, err := t.ChatNumber(from)
	if err != nil {
		return err
	}
	other, _, known := chatOf(t.bucket(bucketChats).Get(t.chatAlias(to)))
	if known && other == number {
		return t.pointBack(number, to) // both chats tell of a move
	}
	if known {
		older, younger := min(number, other), max(number, other)
		if err := t.joinChats(younger, older, to); err != nil {
			return err
		}
		number = older
	}
	value := append(number64(uint64(number)), cameByMove)
	if err := t.bucket(bucketChats).Put(t.chatAlias(to), value); err != nil {
		return err
	}
	return t.pointBack(number, to)
}

// joinChats makes every way that leads to the younger chat lead to the older, and
// what is known of the younger lead to where both are now.
func (t *Tx) joinChats(younger, older catch.ClubID, transport catch.ChatID) error {
	if younger == older {
		return nil
	}
	lead := func(k, v []byte) ([]byte, []byte, error) {
		if number, _, known := chatOf(v); known && number == younger {
			v = append(number64(uint64(older)), v[8:]...)
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
func (t *Tx) forgetChat(alias []byte, transport catch.ChatID) error {
	old, _, known := chatOf(t.bucket(bucketChats).Get(alias))
	if !known {
		return nil // never wrote in private
	}
	fresh, err := t.newChat(alias, transport)
	if err != nil {
		return err
	}
	if err := t.bucket(bucketChatsBack).Delete(signed64(old)); err != nil {
		return err
	}
	return t.moveWaiting(old, fresh)
}
