package store

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// These are traps of bbolt, from its README and its issues; DEVELOPERS.md lists
// them all with the tests that show that they cannot bite.

func trapStore(t *testing.T) (s *Store, again func() *Store) {
	t.Helper()
	dir := t.TempDir()
	again = func() *Store {
		s, err := Open(filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")})
		require.NoError(t, err)
		t.Cleanup(func() { s.Close() })
		return s
	}
	return again(), again
}

// Trap: bytes that bbolt gives out are good only until their transaction ends;
// later writes put something else there.
func TestWhatWasReadOutlivesItsTransaction(t *testing.T) {
	s, _ := trapStore(t)
	want := fullReport()
	require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.AddReport(want); return err }))
	require.NoError(t, s.Update(func(tx *Tx) error {
		_, err := tx.Queue(Outgoing{Chat: 7, Data: []byte("a reply"), QueuedAt: time.Unix(1e9, 0)})
		return err
	}))
	var got *Report
	var waits []Outgoing
	require.NoError(t, s.View(func(tx *Tx) (err error) {
		for o, err := range tx.Outbox(0) {
			require.NoError(t, err)
			waits = append(waits, o)
		}
		got, err = tx.Report(want.Number)
		return err
	}))
	for i := range 200 { // the pages that were read are written anew
		require.NoError(t, s.Update(func(tx *Tx) error {
			r := *want
			r.Personal.Words, r.Tag = strings.Repeat("other ", 300), "OTHER"
			if err := tx.PutReport(&r); err != nil {
				return err
			}
			_, err := tx.Queue(Outgoing{Chat: int64(i), Data: bytes.Repeat([]byte{0xff}, 500)})
			return err
		}))
	}
	assert.Equal(t, want.Personal.Words, got.Personal.Words)
	assert.Equal(t, want.Tag, got.Tag)
	assert.Equal(t, want.Signs, got.Signs)
	assert.Equal(t, "a reply", string(waits[0].Data))
}

// Trap: keys sort by their bytes, and numbers of groups are negative.
func TestNegativeNumbersSortBeforePositiveOnes(t *testing.T) {
	list := []int64{-1 << 63, -1001234567890, -1, 0, 1, 7, 1<<63 - 1}
	for i := 1; i < len(list); i++ {
		assert.Negative(t, bytes.Compare(signed64(list[i-1]), signed64(list[i])), "%d and %d", list[i-1], list[i])
	}
}

// Trap: to write while the same goroutine reads blocks for ever once the file must
// be mapped anew.
func TestWritingWhileReadingDoesNotBlock(t *testing.T) {
	s, _ := trapStore(t)
	done := make(chan error, 1)
	go func() {
		done <- s.View(func(*Tx) error {
			return s.Update(func(tx *Tx) error { // 40 MB: bbolt's own first map is 32 kB
				for i := range 400 {
					r := &Report{Chat: 1, CaughtAt: time.Unix(int64(i), 0)}
					r.Personal.Words = strings.Repeat("x", 100_000)
					if _, err := tx.AddReport(r); err != nil {
						return err
					}
				}
				return nil
			})
		})
	}()
	select {
	case err := <-done:
		require.NoError(t, err)
	case <-time.After(30 * time.Second):
		t.Fatal("the writer waits for its own reader")
	}
}

// Trap: a value of no bytes reads back as empty, not as missing, and an index has
// nothing but such.
func TestIndexEntriesWithoutAValueAreFoundAfterReopening(t *testing.T) {
	s, again := trapStore(t)
	r := &Report{Chat: 1, Message: 5, Tag: "A1", CaughtAt: time.Unix(1, 0)}
	require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.AddReport(r); return err }))
	require.NoError(t, s.Close())
	require.NoError(t, again().View(func(tx *Tx) error {
		byMessage, err := tx.ReportsByMessage(1, 5)
		require.NoError(t, err)
		byTag, err := tx.ReportsByTag("A1")
		require.NoError(t, err)
		assert.Len(t, byMessage, 1)
		assert.Len(t, byTag, 1)
		return nil
	}))
}

// Trap: to delete under a running cursor skips entries.
func TestAllThatWaitsMovesWithItsGroup(t *testing.T) {
	s, _ := trapStore(t)
	const n = 2000
	require.NoError(t, s.Update(func(tx *Tx) error {
		for range n {
			if _, err := tx.Queue(Outgoing{Chat: -100, Data: []byte("x")}); err != nil {
				return err
			}
		}
		_, err := tx.ChatNumber(-1009) // seen before the move is told: the two are joined
		return err
	}))
	require.NoError(t, s.Update(func(tx *Tx) error { return tx.MoveChat(-1009, -100) }))
	require.NoError(t, s.View(func(tx *Tx) error {
		seen, last := 0, uint64(0)
		for o, err := range tx.Outbox(-100) {
			require.NoError(t, err)
			assert.Greater(t, o.ID, last, "in order")
			seen, last = seen+1, o.ID
		}
		assert.Equal(t, n, seen)
		return nil
	}))
}

// Trap of the transport: a group that moves numbers its messages anew. The move
// may be told twice, by both chats, and from either side.
func TestMessagesAfterAMoveHaveNumbersOfTheirOwn(t *testing.T) {
	s, _ := trapStore(t)
	require.NoError(t, s.Update(func(tx *Tx) error {
		_, err := tx.ChatNumber(-100)
		require.NoError(t, err)
		assert.Equal(t, 5, tx.MessageNumber(-100, 5))
		for range 3 {
			require.NoError(t, tx.MoveChat(-100, -1009))
		}
		assert.Equal(t, 5, tx.MessageNumber(-100, 5), "what was told of before still leads there")
		assert.Equal(t, -5, tx.MessageNumber(-1009, 5))
		assert.Equal(t, 5, tx.MessageNumber(777, 5), "a chat that never moved")
		return nil
	}))
}

// Trap of the transport: after a quiet week updates are numbered anew, at random;
// a number may come again that was seen in another season and never dropped.
func TestNumberSeenLongAgoIsNew(t *testing.T) {
	s, _ := trapStore(t)
	require.NoError(t, s.Update(func(tx *Tx) error {
		require.NoError(t, tx.MarkSeen(900000, tx.now))
		require.NoError(t, tx.MarkSeen(17, tx.now.Add(-49*time.Hour)))
		assert.True(t, tx.Seen(900000))
		assert.False(t, tx.Seen(17))
		require.NoError(t, tx.MarkSeen(17, tx.now))
		assert.True(t, tx.Seen(17))
		return nil
	}))
}
