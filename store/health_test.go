package store

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"
)

func TestStateTellsOfAFullDiskAndOfItsEnd(t *testing.T) {
	s := &Store{path: filepath.Join(t.TempDir(), "s.db"), now: time.Now, log: slog.New(slog.DiscardHandler)}
	assert.NoError(t, s.State().Unwritable)
	s.health.wrote(time.Now(), explain(s.path, syscall.ENOSPC))
	assert.ErrorIs(t, s.State().Unwritable, ErrDiskFull)
	assert.Contains(t, s.State().Line(time.Now(), false, 0), "the disk is full; make room")
	s.health.wrote(time.Now(), ErrNoReport)
	assert.ErrorIs(t, s.State().Unwritable, ErrDiskFull, "another fault tells nothing of the disk")
	s.health.wrote(time.Now(), nil)
	assert.NoError(t, s.State().Unwritable)
}

func TestProbeLeavesNothingAndSeesADiskThatIsGone(t *testing.T) {
	dir := t.TempDir()
	s := &Store{path: filepath.Join(dir, "s.db"), now: time.Now, log: slog.New(slog.DiscardHandler)}
	require.NoError(t, s.probe())
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
	s.path = filepath.Join(dir, "gone", "s.db")
	assert.Error(t, s.probe())

	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { s.Probe(ctx, time.Millisecond); close(done) }()
	require.Eventually(t, func() bool { return s.State().Unwritable != nil }, 5*time.Second, time.Millisecond)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "gone"), 0o700))
	require.Eventually(t, func() bool { return s.State().Unwritable == nil }, 5*time.Second, time.Millisecond)
	cancel()
	<-done
}

func TestCopiesThatFailOrAreOldAreTold(t *testing.T) {
	at := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	s := State{CopyAt: at}
	assert.Empty(t, s.Line(at.Add(35*time.Hour), true, 36*time.Hour))
	assert.Equal(t, "the newest copy of the store is 40 hours old", s.Line(at.Add(40*time.Hour), true, 36*time.Hour))
	assert.Empty(t, s.Line(at.Add(40*time.Hour), false, 36*time.Hour), "no copies are asked for")
	s.CopyFailed = ErrDiskFull
	assert.Contains(t, s.Line(at, true, 36*time.Hour), "the last copy of the store failed: the disk is full")
}

func TestAPinnedCopyIsNeverRemoved(t *testing.T) {
	s := opened(t, 3)
	dir := t.TempDir()
	at := time.Date(2020, 5, 2, 12, 0, 0, 0, time.UTC)
	s.now = func() time.Time { return at }
	require.NoError(t, s.Rotate(t.Context(), dir, 1))
	copies, err := filepath.Glob(filepath.Join(dir, "*.db"))
	require.NoError(t, err)
	require.Len(t, copies, 1)
	kept, err := Pin(copies[0])
	require.NoError(t, err)
	assert.NoFileExists(t, copies[0])
	again, err := Pin(kept)
	require.NoError(t, err)
	assert.Equal(t, kept, again)
	assert.Equal(t, at, newestCopy(dir))
	require.NoError(t, s.rotateOnce(t.Context(), dir, 1), "the day has its copy")
	for range 5 {
		at = at.AddDate(1, 0, 0)
		require.NoError(t, s.Rotate(t.Context(), dir, 1))
	}
	assert.FileExists(t, kept)
	_, err = Pin(filepath.Join(dir, "mine.db"))
	assert.ErrorContains(t, err, "nothing need be done")
}

// What is damaged at an end of a bucket is seen at the start, what is damaged in the
// middle by the patrol; neither stops the store.
func TestDamageIsSeenAtTheStartAndInTheQuiet(t *testing.T) {
	s := opened(t, 2000)
	var said bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&said, nil))
	n, err := s.Glance(t.Context())
	require.NoError(t, err)
	assert.Zero(t, n)
	s.patrolOnce(t.Context(), 0)
	assert.Zero(t, s.State().Damaged)
	assert.False(t, s.State().CheckedAt.IsZero())

	spoil := func(number uint64) {
		require.NoError(t, s.db.Update(func(tx *bolt.Tx) error {
			key := bytes.Clone(tx.Bucket(bucketNumbers).Get(number64(number)))
			record := bytes.Clone(tx.Bucket(bucketReports).Get(key))
			record[len(record)-1] ^= 1
			return tx.Bucket(bucketReports).Put(key, record)
		}))
	}
	spoil(1000)
	n, err = s.Glance(t.Context())
	require.NoError(t, err)
	assert.Zero(t, n, "a million reports keep no start waiting")
	s.patrolOnce(t.Context(), 0)
	assert.Equal(t, 1, s.State().Damaged)
	assert.Contains(t, said.String(), "report 1000")
	spoil(2000)
	n, err = s.Glance(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1, n)

	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error { return tx.DeleteBucket(bucketSeasons) }))
	_, err = s.Glance(t.Context())
	assert.ErrorIs(t, err, ErrNotAStore)
}

func opened(t *testing.T, n int) *Store {
	t.Helper()
	path, o := filled(t, n)
	s, err := Open(path, o)
	require.NoError(t, err)
	t.Cleanup(func() { s.Close() })
	return s
}

// While the system tells of room nothing is written: flash wears by it. Where it tells of
// little, each probe writes.
func TestProbeWritesSeldomWhileThereIsRoom(t *testing.T) {
	t.Parallel()
	for room, seldom := range map[uint64]bool{plentyOfRoom + 1: true, plentyOfRoom: false} {
		dir := t.TempDir()
		s := &Store{path: filepath.Join(dir, "s.db"), now: time.Now, log: slog.New(slog.DiscardHandler)}
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan struct{})
		go func() {
			s.probeBy(ctx, time.Millisecond, func(asked string) uint64 { assert.Equal(t, dir, asked); return room })
			close(done)
		}()
		time.Sleep(100 * time.Millisecond)
		before, err := os.Stat(dir)
		require.NoError(t, err)
		time.Sleep(300 * time.Millisecond)
		after, err := os.Stat(dir)
		require.NoError(t, err)
		assert.Equal(t, seldom, before.ModTime().Equal(after.ModTime()), "no file came or went, with room for %d bytes", room)
		cancel()
		<-done
	}
}
