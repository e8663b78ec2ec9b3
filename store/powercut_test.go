package store

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// disk stands between bbolt and the file. What was written is only durable once it was
// synced; at a power cut of the rest each write is there, is not, or is torn between two
// sectors, whatever the order. bbolt syncs twice in a commit: before it writes the page
// that makes the transaction count, and after.
type disk struct {
	t       *testing.T
	rng     *rand.Rand
	path    string
	dir     string // of the images
	options Options
	write   func(b []byte, off int64) (int, error)
	page    int64
	durable []byte
	pending []written
	// kept is how many reports are acknowledged, coming how many the transaction under
	// way adds.
	kept, coming int
	cuts         int
}

type written struct {
	off  int64
	data []byte
}

const sector = 512

// under puts a disk under an open store. bbolt has no place for one: its write function is
// reached by reflection, in this test alone.
func under(t *testing.T, s *Store, o Options, rng *rand.Rand) *disk {
	t.Helper()
	field := reflect.ValueOf(s.db).Elem().FieldByName("ops").FieldByName("writeAt")
	require.True(t, field.IsValid(), "bbolt writes in another way now: mend this test")
	hook := (*func([]byte, int64) (int, error))(unsafe.Pointer(field.UnsafeAddr()))
	d := &disk{t: t, rng: rng, path: s.path, dir: t.TempDir(), options: o, write: *hook, page: int64(s.db.Info().PageSize)}
	*hook = d.writeAt
	var err error
	d.durable, err = os.ReadFile(s.path)
	require.NoError(t, err)
	d.durable = bytes.TrimRight(d.durable, "\x00") // bbolt grows by 16 MiB: a cut sets the size alone
	require.False(t, s.db.NoSync, "without its syncs nothing here holds")
	return d
}

func (d *disk) writeAt(b []byte, off int64) (int, error) {
	if off < 2*d.page {
		d.synced()
	}
	d.pending = append(d.pending, written{off, bytes.Clone(b)})
	if d.rng.IntN(4) == 0 {
		if err := d.cut(); err != nil {
			return 0, err
		}
	}
	return d.write(b, off)
}

// synced makes what was written durable.
func (d *disk) synced() {
	for _, w := range d.pending {
		d.durable = laid(d.durable, w.off, w.data)
	}
	d.pending = nil
}

// laid is the image with data at its place.
func laid(image []byte, off int64, data []byte) []byte {
	if short := off + int64(len(data)) - int64(len(image)); short > 0 {
		image = append(image, make([]byte, short)...)
	}
	copy(image[off:], data)
	return image
}

// image is what is on the disk after a power cut at this moment.
func (d *disk) image() []byte {
	image := bytes.Clone(d.durable)
	for _, i := range d.rng.Perm(len(d.pending)) {
		w := d.pending[i]
		switch d.rng.IntN(3) {
		case 0: // it was lost
		case 1:
			image = laid(image, w.off, w.data)
		default: // each sector by itself
			for at := 0; at < len(w.data); at += sector {
				if d.rng.IntN(2) == 0 {
					image = laid(image, w.off+int64(at), w.data[at:min(at+sector, len(w.data))])
				}
			}
		}
	}
	return image
}

// cut pulls the plug: the store must open, be sound, and hold all that was acknowledged
// and all or nothing of the transaction that was under way. What is wrong is returned, so
// that the commit under way fails: ending the test inside it would leave the store locked.
func (d *disk) cut() error {
	d.cuts++
	path := filepath.Join(d.dir, "cut.db")
	defer os.Remove(path)
	if err := d.leave(path); err != nil {
		return err
	}
	o := d.options
	o.Scratch = true
	s, err := Open(path, o)
	if err != nil {
		return fmt.Errorf("cut %d: %w", d.cuts, err)
	}
	defer s.Close()
	if err := s.Check(d.t.Context()); err != nil {
		return fmt.Errorf("cut %d: %w", d.cuts, err)
	}
	return s.View(d.holds)
}

// leave writes what is on the disk now.
func (d *disk) leave(path string) error {
	if err := os.WriteFile(path, d.image(), 0o600); err != nil {
		return err
	}
	info, err := os.Stat(d.path)
	if err != nil || info.Size() <= int64(len(d.durable)) {
		return err
	}
	return os.Truncate(path, info.Size()) // bbolt grows the file and syncs that
}

// holds is an error where a store lacks a report that was acknowledged, or has a part of a
// transaction.
func (d *disk) holds(tx *Tx) error {
	n := 0
	for _, err := range tx.Reports(catch.Filter{Personal: true, Undone: true}) {
		if err != nil {
			return fmt.Errorf("cut %d: %w", d.cuts, err)
		}
		n++
	}
	whole := n == d.kept+d.coming && len(d.pending) > 0 && d.pending[0].off < 2*d.page // only the page that makes it count does
	if n != d.kept && !whole {
		return fmt.Errorf("cut %d: %d reports of %d kept and %d coming", d.cuts, n, d.kept, d.coming)
	}
	return nil
}

// perStore is how many transactions one store sees: each cut reads it whole, so that the
// cost of one that only grew would rise with their square.
const perStore = 50

// TestPowerCutsLoseNothingThatWasAcknowledged cuts in the middle of commits of every kind;
// DEEPWARD_CUTS is how many transactions, the seed is printed and DEEPWARD_SEED sets it.
func TestPowerCutsLoseNothingThatWasAcknowledged(t *testing.T) {
	t.Parallel()
	times := 15
	if n, err := strconv.Atoi(os.Getenv("DEEPWARD_CUTS")); err == nil {
		times = n
	}
	seed, err := strconv.ParseUint(os.Getenv("DEEPWARD_SEED"), 10, 64)
	if err != nil {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 11))
	cuts, kept := 0, 0
	for left := times; left > 0; left -= perStore {
		d := workUnderCuts(t, rng, min(left, perStore))
		cuts, kept = cuts+d.cuts, kept+d.kept
	}
	require.Greater(t, cuts, times/2)
	t.Logf("%d transactions, %d cuts, %d reports, none lost and none half", times, cuts, kept)
}

// workUnderCuts does so many transactions with a new store of some size.
func workUnderCuts(t *testing.T, rng *rand.Rand, times int) *disk {
	t.Helper()
	kept := 20 + rng.IntN(100)
	path, o := filled(t, kept)
	s, err := Open(path, o)
	require.NoError(t, err)
	defer s.Close()
	d := under(t, s, o, rng)
	d.kept = kept
	for range times {
		d.coming = rng.IntN(4)
		require.NoError(t, s.Update(func(tx *Tx) error { return d.someWork(tx) }))
		d.synced()
		d.kept += d.coming
		d.coming = 0
	}
	require.NoError(t, d.cut())
	require.NoError(t, s.db.View(func(tx *bolt.Tx) error { return nil }))
	return d
}

// someWork adds what is coming, corrects one report, and queues and settles replies.
func (d *disk) someWork(tx *Tx) error {
	for range d.coming {
		r := fullReport()
		r.CaughtAt = r.CaughtAt.Add(time.Duration(d.rng.IntN(1e6)) * time.Minute)
		if _, err := tx.AddReport(r); err != nil {
			return err
		}
	}
	r, err := tx.Report(1 + d.rng.Uint64N(uint64(d.kept)))
	if err != nil {
		return err
	}
	r.Personal.Words = fmt.Sprint(d.rng.Uint64())
	if err := tx.PutReport(r); err != nil {
		return err
	}
	id, err := tx.Queue(Outgoing{Chat: 7, Data: make([]byte, d.rng.IntN(9000))})
	if err == nil && d.rng.IntN(2) == 0 {
		err = tx.Delivered(7, id)
	}
	return err
}
