package store

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"
	"time"

	"deepward/store/catch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"
)

// asideStore is a store on a clock of its own, and a list of what is aside in it.
func asideStore(t *testing.T) (s *Store, now *time.Time, list func() []Aside) {
	t.Helper()
	dir, clock := t.TempDir(), time.Date(2026, 5, 9, 12, 0, 0, 0, time.UTC)
	now = &clock
	s, err := Open(filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key"), Now: func() time.Time { return *now }, Scratch: true})
	require.NoError(t, err)
	t.Cleanup(func() {
		require.NoError(t, s.Check(context.Background()))
		require.NoError(t, s.Close())
	})
	return s, now, func() (list []Aside) {
		require.NoError(t, s.View(func(tx *Tx) (err error) { list, err = tx.SetAsides(); return err }))
		return list
	}
}

func put(t *testing.T, s *Store, person catch.PersonID, a Aside) {
	t.Helper()
	require.NoError(t, s.Update(func(tx *Tx) error { return tx.SetAside(person, a) }))
}

func TestWhatIsSetAsideIsBounded(t *testing.T) {
	t.Parallel()
	s, now, list := asideStore(t)
	put(t, s, 7, Aside{Number: 1, Raw: bytes.Repeat([]byte("x"), 2*asideSize)})
	require.Len(t, list(), 1)
	assert.True(t, list()[0].Cut)
	assert.Len(t, list()[0].Raw, asideSize)
	for n := range asideMost + 10 {
		*now = now.Add(time.Minute)
		put(t, s, catch.PersonID(n%5), Aside{Number: int64(n + 10), Raw: []byte("y")})
		put(t, s, catch.PersonID(n%5), Aside{Number: int64(n + 10), Raw: []byte("y")}) // it broke again
	}
	kept := list()
	require.Len(t, kept, asideMost)
	assert.Equal(t, int64(asideMost+19), kept[len(kept)-1].Number, "the newest stay")
	*now = now.Add(asideFor - time.Minute)
	require.NoError(t, s.sweep(asides))
	assert.Len(t, list(), 1, "after 14 days it goes, whether anything else comes or not")
	*now = now.Add(time.Minute)
	require.NoError(t, s.sweep(asides))
	assert.Empty(t, list())
}

func TestWhatHasNoNumberIsKeptApart(t *testing.T) {
	s, now, list := asideStore(t)
	first := *now
	for _, raw := range []string{"null", "[]", "null"} {
		put(t, s, 0, Aside{Raw: []byte(raw)})
		*now = now.Add(time.Hour)
	}
	require.Len(t, list(), 2)
	assert.True(t, list()[0].At.Equal(first), "its days count from the first time on")
}

func TestWhatIsSetAsideGoesWithItsPerson(t *testing.T) {
	s, _, list := asideStore(t)
	put(t, s, 7, Aside{Number: 1, Raw: []byte("of 7")})
	put(t, s, 8, Aside{Number: 2, Raw: []byte("of 8")})
	put(t, s, 0, Aside{Number: 3, Raw: []byte("of nobody known")})
	require.NoError(t, s.View(func(tx *Tx) error {
		mine, err := tx.SetAsidesOf(7)
		require.Len(t, mine, 1)
		assert.Equal(t, "of 7", string(mine[0].Raw))
		return err
	}))
	require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.ForgetPerson(7); return err }))
	require.Len(t, list(), 2)
	for _, update := range []catch.UpdateID{2, 3} {
		require.NoError(t, s.Update(func(tx *Tx) error { return tx.TakeBack(8, update) }))
	}
	assert.Empty(t, list())
}

// A reply whose seal does not open, as after a fault of the disk, must not keep the
// service from starting, the others from being sent, or the store from being copied.
func TestDamagedReplyIsSetAsideAndHoldsNoOther(t *testing.T) {
	s, _, list := asideStore(t)
	require.NoError(t, s.Update(func(tx *Tx) error {
		for _, chat := range []catch.ChatID{7, 7, 8} {
			if _, err := tx.Queue(Outgoing{Chat: chat, Data: []byte("reply")}); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketOutbox)
		k, v := b.Cursor().First()
		v = bytes.Clone(v)
		v[len(v)/2] ^= 1
		return b.Put(bytes.Clone(k), v)
	}))
	assert.ErrorContains(t, s.Check(t.Context()), "waiting reply 1")
	numbers, err := s.SetAsideDamaged()
	require.NoError(t, err)
	assert.Equal(t, []uint64{1}, numbers)
	require.Len(t, list(), 1)
	assert.True(t, list()[0].Reply)
	var waiting []uint64
	require.NoError(t, s.View(func(tx *Tx) error {
		for o, err := range tx.Outbox(0) {
			require.NoError(t, err)
			waiting = append(waiting, o.ID)
		}
		return nil
	}))
	assert.Equal(t, []uint64{2, 3}, waiting)
	require.NoError(t, s.Check(t.Context()))
	numbers, err = s.SetAsideDamaged()
	require.NoError(t, err)
	assert.Empty(t, numbers)
}
