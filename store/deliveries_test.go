package store_test

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

func TestMovedGroupKeepsItsNumberAndItsReplies(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		before, err := tx.ChatNumber(-100)
		require.NoError(t, err)
		_, err = tx.Queue(store.Outgoing{Chat: -100, Data: []byte("one")})
		require.NoError(t, err)
		_, err = tx.Queue(store.Outgoing{Chat: -1009, Data: []byte("two")}) // the new number was seen first
		require.NoError(t, err)
		require.NoError(t, tx.MoveChat(-100, -1009))
		for _, transport := range []catch.ChatID{-100, -1009} {
			n, err := tx.ChatNumber(transport)
			require.NoError(t, err)
			assert.Equal(t, before, n)
		}
		var order []string
		for o, err := range tx.Outbox(0) {
			require.NoError(t, err)
			assert.Equal(t, catch.ChatID(-1009), o.Chat)
			order = append(order, string(o.Data))
		}
		assert.Equal(t, []string{"one", "two"}, order)
		return nil
	}))
}

func TestSeenNumbersAreASetAndGoAfterTwoDays(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		require.NoError(t, tx.MarkSeen(900000, noon, true))
		assert.True(t, tx.Seen(900000, noon))
		assert.False(t, tx.Seen(17, noon), "a lower number is new")
		for i := range catch.UpdateID(3) {
			require.NoError(t, tx.MarkSeen(17+i, noon.Add(49*time.Hour), true))
		}
		assert.False(t, tx.Seen(900000, noon), "forgotten after 48 hours")
		return nil
	}))
}

// An update that came again later is remembered from then on.
func TestNumberSeenAgainIsKeptFromTheLaterTime(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		require.NoError(t, tx.MarkSeen(7, noon, true))
		require.NoError(t, tx.MarkSeen(7, noon.Add(40*time.Hour), true))
		require.NoError(t, tx.MarkSeen(8, noon.Add(50*time.Hour), true))
		assert.True(t, tx.Seen(7, noon.Add(50*time.Hour)))
		require.NoError(t, tx.MarkSeen(9, noon.Add(90*time.Hour), true))
		assert.False(t, tx.Seen(7, noon.Add(90*time.Hour)))
		return nil
	}))
}

// Pruning is a few with each new one, and must still keep up.
func TestSeenNumbersDoNotPileUp(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for i := range catch.UpdateID(5000) {
			require.NoError(t, tx.MarkSeen(i, noon.Add(time.Duration(i)*time.Minute), true))
		}
		for i := range catch.UpdateID(5000) {
			within := 4999-i <= 48*60
			require.Equal(t, within, tx.Seen(i, noon.Add(4999*time.Minute)), "update %d", i)
		}
		return nil
	}))
}

func TestReplyKeepsItsPlaceUntilItIsDelivered(t *testing.T) {
	s := opened(t)
	var first, second uint64
	require.NoError(t, s.Update(func(tx *store.Tx) (err error) {
		first, err = tx.Queue(store.Outgoing{Chat: -100, Data: []byte("one"), QueuedAt: noon})
		require.NoError(t, err)
		second, err = tx.Queue(store.Outgoing{Chat: -100, Data: []byte("two"), QueuedAt: noon})
		require.NoError(t, err)
		_, err = tx.Queue(store.Outgoing{Chat: 501, Data: []byte("elsewhere"), QueuedAt: noon})
		require.NoError(t, err)
		return tx.Postpone(-100, first, noon.Add(time.Minute), false)
	}))
	require.NoError(t, s.View(func(tx *store.Tx) error {
		var list []store.Outgoing
		for o, err := range tx.Outbox(-100) {
			require.NoError(t, err)
			list = append(list, o)
		}
		require.Len(t, list, 2)
		assert.Equal(t, []uint64{first, second}, []uint64{list[0].ID, list[1].ID})
		assert.Equal(t, 1, list[0].Tries)
		assert.True(t, list[0].NotBefore.Equal(noon.Add(time.Minute)))
		assert.True(t, list[0].QueuedAt.Equal(noon))
		assert.Equal(t, 3, tx.OutboxLen())
		return nil
	}))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		require.NoError(t, tx.Delivered(-100, first))
		require.NoError(t, tx.Delivered(-100, first), "gone is no error")
		require.NoError(t, tx.Postpone(-100, first, noon, false))
		assert.Equal(t, 2, tx.OutboxLen())
		return nil
	}))
}

func TestImportedRowIsKnownAgain(t *testing.T) {
	s := opened(t)
	add(t, s, report(501, noon))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		require.NoError(t, tx.MarkImported("2024-05-02;gag;40", 1))
		assert.True(t, tx.Imported("2024-05-02;gag;40"))
		assert.False(t, tx.Imported("2024-05-02;gag;41"))
		assert.False(t, tx.Imported(""))
		return nil
	}))
}

// Three numbers of one club, of which the last was seen first.
func TestEveryNumberOfAClubLeadsToTheSameOne(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		first, err := tx.ChatNumber(-3)
		require.NoError(t, err)
		second, err := tx.ChatNumber(-2)
		require.NoError(t, err)
		require.NoError(t, tx.MoveChat(-2, -1))
		require.NoError(t, tx.MoveChat(-1, -3))
		for _, transport := range []catch.ChatID{-1, -2, -3} {
			n, err := tx.ChatNumber(transport)
			require.NoError(t, err)
			assert.Equal(t, first, n, transport)
		}
		for _, number := range []catch.ClubID{first, second} {
			transport, known := tx.TransportChat(number)
			assert.True(t, known)
			assert.EqualValues(t, -3, transport)
		}
		return nil
	}))
}

// A cursor skips entries when what it stands on is deleted, most of all what the
// same transaction wrote: all of so many replies must move, to a lower number as
// when a group moves, and to a higher one as when a person is forgotten.
func TestMoveOfAFloodOfRepliesLosesNone(t *testing.T) {
	const replies = 3000
	for name, c := range map[string]struct {
		from, to catch.ChatID
		move     func(tx *store.Tx) error
	}{
		"group that moved":  {-100, -1009, func(tx *store.Tx) error { return tx.MoveChat(-100, -1009) }},
		"person who leaves": {501, 501, func(tx *store.Tx) error { _, err := tx.ForgetPerson(501); return err }},
	} {
		s := opened(t)
		require.NoError(t, s.Update(func(tx *store.Tx) error {
			_, err := tx.ChatNumber(-1009) // seen first: the replies of -100 move to it
			require.NoError(t, err)
			for i := range replies {
				_, err := tx.Queue(store.Outgoing{Chat: c.from, Data: []byte(strconv.Itoa(i))})
				require.NoError(t, err)
			}
			return c.move(tx)
		}), name)
		require.NoError(t, s.View(func(tx *store.Tx) error {
			n := 0
			for o, err := range tx.Outbox(c.to) {
				require.NoError(t, err)
				require.Equal(t, strconv.Itoa(n), string(o.Data), "%s: in order", name)
				require.Equal(t, c.to, o.Chat)
				n++
			}
			assert.Equal(t, replies, n, name)
			assert.Equal(t, replies, tx.OutboxLen(), "%s: none is left", name)
			return nil
		}))
	}
}
