package store

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

// TRAPS.md beside this file lists the traps of the store with the tests that show that
// they cannot bite.

func trapStore(t *testing.T) *Store {
	t.Helper()
	dir := t.TempDir()
	s, err := Open(filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")})
	require.NoError(t, err)
	t.Cleanup(func() { s.Close() })
	return s
}

// Trap: to write while the same goroutine reads blocks for ever once the file must
// be mapped anew.
func TestWritingWhileReadingDoesNotBlock(t *testing.T) {
	s := trapStore(t)
	done := make(chan error, 1)
	go func() {
		done <- s.View(func(*Tx) error {
			return s.Update(func(tx *Tx) error { // 40 MB: bbolt's own first map is 32 kB
				for i := range 400 {
					r := &catch.Report{Chat: 1, CaughtAt: time.Unix(int64(i), 0)}
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

// Trap of the transport: a group that moves numbers its messages anew. The move
// may be told twice, by both chats, and from either side.
func TestMessagesAfterAMoveHaveNumbersOfTheirOwn(t *testing.T) {
	s := trapStore(t)
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
	s := trapStore(t)
	require.NoError(t, s.Update(func(tx *Tx) error {
		require.NoError(t, tx.MarkSeen(900000, tx.now, true))
		require.NoError(t, tx.MarkSeen(17, tx.now.Add(-49*time.Hour), true))
		assert.True(t, tx.Seen(900000, tx.now))
		assert.False(t, tx.Seen(17, tx.now))
		require.NoError(t, tx.MarkSeen(17, tx.now, true))
		assert.True(t, tx.Seen(17, tx.now))
		return nil
	}))
}
