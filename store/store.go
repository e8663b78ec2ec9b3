package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"deepward/store/catch"
	"deepward/store/unfinished"
)

// The ways in which a store cannot be opened or written; each message says what
// to do next.
var (
	// ErrInUse: another process has the file open.
	ErrInUse = errors.New("the store is in use by another deepward; stop it first, or work on a backup")
	// ErrKeyLost: the store is there, the key that seals it is not.
	ErrKeyLost = errors.New("the key file is missing; put it back, or name it with DEEPWARD_KEY_FILE")
	// ErrKeyWrong: the key is not the one that sealed this store.
	ErrKeyWrong = errors.New("the key file does not belong to this store; name the right one with DEEPWARD_KEY_FILE")
	// ErrNotAStore: the file is no store, or it is damaged.
	ErrNotAStore = errors.New("the file is not a deepward store, or it is damaged; restore a backup with deepward backup --restore, or take what can be read with --salvage")
	// ErrNewerSchema: the store was written by a newer program.
	ErrNewerSchema = errors.New("the store was written by a newer deepward; update this program")
	// ErrOlderSchema: the store must be brought up to date, which needs the right to write.
	ErrOlderSchema = errors.New("the store was written by an older deepward; open it once for writing, as deepward backup --check does")
	// ErrNoStore: there is nothing at the path to read.
	ErrNoStore = errors.New("there is no store there; check the path")
	// ErrSameFile: a copy was asked for in the place of what is copied.
	ErrSameFile = errors.New("that is the store itself; name another file")
	// errOccupied: a fresh store cannot be made where something is.
	errOccupied = errors.New("there is a file already; name one that is not there yet")
	// ErrReadOnly: the file may not be written.
	ErrReadOnly = errors.New("the store may not be written; give this user write permission on it and its folder")
	// ErrDiskFull: nothing more fits on the disk.
	ErrDiskFull = errors.New("the disk is full; make room, nothing that was confirmed is lost")
	// ErrNoReport: there is no report of that number.
	ErrNoReport = errors.New("no such report")
)

// Options change how a store is opened; the zero value is what most want.
type Options struct {
	// KeyFile holds the key that seals names and places; DefaultKeyFile if empty.
	KeyFile string
	// Now is the clock; time.Now if nil.
	Now func() time.Time
	// ReadOnly opens without the right to write, beside other readers.
	ReadOnly bool
	// Scratch is for a store that nobody misses: no commit waits for the disk.
	Scratch bool
	// Log takes what an operator should know; nothing is logged if nil.
	Log *slog.Logger
}

// lockWait is how long to wait for another process to let go of the file.
const lockWait = 500 * time.Millisecond

// Store is one open file.
type Store struct {
	db     *bolt.DB
	sealer *sealer
	now    func() time.Time
	log    *slog.Logger
	path   string
	health health
	// touched counts the bytes that transactions wrote since the pages of the file that were
	// read for them were let go; only the one that writes has it.
	touched int
	// scrubAt is the page from which pages are still to be overwritten, 0 for none;
	// scrubFor the mark in the store that this is done for.
	scrubAt  atomic.Int64
	scrubFor []byte
}

// Open opens the store at path, making it and the key on first use.
func Open(path string, o Options) (*Store, error) {
	o = o.withDefaults()
	fresh, err := missing(path)
	if err == nil && fresh && o.ReadOnly {
		err = ErrNoStore
	}
	if err != nil {
		return nil, explain(path, err)
	}
	// The key comes first: a store is never made without the key that opens it.
	key, err := loadKey(o.KeyFile, fresh)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.KeyFile, err)
	}
	if fresh {
		if err := create(path); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, explain(path, err)
		}
	}
	db, err := openBolt(path, o)
	if err != nil {
		return nil, explain(path, err)
	}
	db.NoSync = o.Scratch
	s := &Store{db: db, sealer: newSealer(key), now: o.Now, log: o.Log, path: path}
	err = guarded(func() error { return s.begun(o) })
	if errors.Is(err, ErrKeyWrong) {
		err = guarded(func() error { return s.finishNewKey(o) })
	}
	if err != nil {
		return nil, errors.Join(explain(path, err), db.Close())
	}
	return s, nil
}

// begun does what comes before the first use.
func (s *Store) begun(o Options) error {
	if err := s.migrate(o.ReadOnly); err != nil {
		return err
	}
	if err := s.takeHashSecret(); err != nil {
		return err
	}
	if !o.ReadOnly {
		s.dropUnfinished(filepath.Dir(s.path))
		s.dropUnfinished(filepath.Dir(o.KeyFile))
	}
	return s.resumeScrub()
}

func (o Options) withDefaults() Options {
	if o.KeyFile == "" {
		o.KeyFile = DefaultKeyFile()
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return o
}

// dropUnfinished removes what killed processes left in a folder.
func (s *Store) dropUnfinished(dir string) {
	if err := unfinished.Drop(dir); err != nil {
		s.log.Warn("a file that a killed process left cannot be removed", "error", err)
	}
}

// missing reports whether there is no file yet; an empty file or a folder is no
// store, and is not made one.
func missing(path string) (bool, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return true, nil
	case err != nil:
		return false, err
	case info.IsDir() || info.Size() == 0:
		return false, ErrNotAStore
	default:
		return false, nil
	}
}

// present is nil where a store may be, and says why not where none is.
func present(path string) error {
	none, err := missing(path)
	if err == nil && none {
		err = ErrNoStore
	}
	return explain(path, err)
}

// create makes an empty file that gets its name only when it is whole: the first
// creation is the one moment at which a power cut can leave a broken file.
func create(path string) error { return begunAnew(func() error { return createOnce(path) }) }

func createOnce(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	temp, err := unfinished.Beside(path, unfinished.Store)
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name())
	if err := temp.Close(); err != nil {
		return err
	}
	db, err := bolt.Open(temp.Name(), 0o600, nil)
	if err != nil {
		return err
	}
	if err := errors.Join(db.Sync(), db.Close()); err != nil {
		return err
	}
	return publishNew(temp.Name(), path)
}

// openBolt opens the file. One that was cut short is found out before anything
// touches its lost pages.
func openBolt(path string, o Options) (db *bolt.DB, err error) {
	probe, err := openRaw(path, true)
	if err != nil {
		return nil, err
	}
	whole, err := isWhole(probe)
	if err := errors.Join(err, probe.Close()); err != nil {
		return nil, err
	}
	if !whole {
		return nil, fmt.Errorf("%w (it was cut short)", ErrNotAStore)
	}
	err = guarded(func() (err error) { db, err = openRaw(path, o.ReadOnly); return err })
	return db, err
}

// overPages runs a transaction. Pages that are damaged end it with ErrNotAStore; a
// panic of the function that runs in it goes on as it is.
func overPages(run func() error) (err error) {
	finished := false
	defer func() {
		if !finished && PanicOverPages() {
			recover()
			err = errPages
		}
	}()
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	err = run()
	finished = true
	return err
}

// errPages is damage below what is stored.
var errPages = fmt.Errorf("%w (a page of it makes no sense)", ErrNotAStore)

// PanicOverPages reports, to a deferred function that has not recovered yet, whether the
// panic under way is over damaged pages: it began in bbolt, or where memory was touched
// that the file no longer fills.
func PanicOverPages() bool {
	var pcs [32]uintptr
	frames := runtime.CallersFrames(pcs[:runtime.Callers(2, pcs[:])])
	inPanic := false
	for {
		f, more := frames.Next()
		switch {
		case f.Function == "runtime.gopanic":
			inPanic = true
		case f.Function == "runtime.panicmemAddr" && inPanic:
			return true
		case inPanic && !strings.HasPrefix(f.Function, "runtime."):
			return strings.HasPrefix(f.Function, "go.etcd.io/bbolt")
		}
		if !more {
			return false
		}
	}
}

// guarded runs what may meet damaged pages, which make bbolt panic, or touch what
// is not there, which would end the program: both become ErrNotAStore.
func guarded(fn func() error) (err error) {
	defer damaged(&err)
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	return fn()
}

// damaged turns a panic into ErrNotAStore.
func damaged(err *error) {
	if recover() != nil {
		*err = errPages
	}
}

// isWhole compares the size that the file says it has with the one it has.
func isWhole(db *bolt.DB) (whole bool, err error) {
	info, err := os.Stat(db.Path())
	if err != nil {
		return false, err
	}
	err = db.View(func(tx *bolt.Tx) error { whole = info.Size() >= tx.Size(); return nil })
	return whole, err
}

// growth is how much a file grows by at a time, in bytes: a new club's store stays small to
// keep and to copy, and a large import still waits for few syncs of its growth.
const growth = 2 << 20

// openRaw opens the file with bbolt. Where that panics, the file is let go of
// here: it would stay locked until the program ends.
func openRaw(path string, readOnly bool) (*bolt.DB, error) {
	var file *os.File
	options := *bolt.DefaultOptions
	options.Timeout = lockWait
	options.ReadOnly = readOnly
	options.InitialMmapSize = addressSpace
	options.FreelistType = bolt.FreelistMapType
	options.OpenFile = func(name string, flag int, mode os.FileMode) (f *os.File, err error) {
		file, err = os.OpenFile(name, flag, mode)
		return file, err
	}
	opened := false
	defer func() {
		if !opened && file != nil {
			unlock(file)
			file.Close()
		}
	}()
	db, err := bolt.Open(path, 0o600, &options)
	opened = err == nil
	var system syscall.Errno
	if err != nil && !errors.Is(err, berrors.ErrTimeout) && !errors.As(err, &system) {
		err = fmt.Errorf("%w (%w)", ErrNotAStore, err) // bbolt read it and made no sense of it
	}
	if opened {
		db.AllocSize = growth
	}
	return db, err
}

// explain turns what went wrong below into a line that says what to do.
func explain(path string, err error) error {
	cause := err
	switch {
	case err == nil:
		return nil
	case errors.Is(err, berrors.ErrTimeout):
		cause = ErrInUse
	case errors.Is(err, fs.ErrPermission), errors.Is(err, errReadOnlyDisk), errors.Is(err, berrors.ErrDatabaseReadOnly):
		cause = notWritable(path)
	case noRoom(err):
		cause = ErrDiskFull
	}
	return fmt.Errorf("%s: %w", path, cause)
}

// notWritable is ErrReadOnly; where the file or its folder belongs to another user, as
// after a restore by root, it names the command that mends it.
func notWritable(path string) error {
	if hint := giveBack(path); hint != "" {
		return fmt.Errorf("%w: %s", ErrReadOnly, hint)
	}
	return ErrReadOnly
}

// Close lets go of the file.
func (s *Store) Close() error { return s.db.Close() }

// Update runs fn in one transaction: all of it is on disk when Update returns
// nil, none of it otherwise. fn must not open another transaction.
func (s *Store) Update(fn func(*Tx) error) error {
	now, forgot := s.now(), false
	err := overPages(func() error {
		return s.db.Update(func(tx *bolt.Tx) error {
			t := s.begin(tx, now)
			err := fn(t)
			forgot = t.forgot
			t.letGo()
			return err
		})
	})
	if noRoom(err) || errors.Is(err, berrors.ErrDatabaseReadOnly) {
		err = explain(s.path, err)
	}
	s.health.wrote(now, err)
	if forgot && err == nil {
		s.scrubAt.Store(firstPage)
		s.scrub(context.Background(), scrubAtOnce, 0)
	}
	return err
}

// View runs fn on a consistent view that does not change under it.
func (s *Store) View(fn func(*Tx) error) error {
	now := s.now()
	return overPages(func() error {
		return s.db.View(func(tx *bolt.Tx) error { return fn(s.begin(tx, now)) })
	})
}

// Tx is one transaction. It, and every slice it gives out, is good until the
// function that got it returns.
type Tx struct {
	tx  *bolt.Tx
	s   *Store
	now time.Time
	// people and aliases are the keyed hashes of this transaction so far: a message
	// needs those of its person and its chat several times.
	people  map[catch.PersonID]uint64
	aliases map[catch.ChatID][]byte
	// forgot is true after somebody was forgotten.
	forgot bool
	// importKeys are the keys of rows of an import that were looked up.
	importKeys map[string][]byte
}

func (s *Store) begin(tx *bolt.Tx, now time.Time) *Tx {
	return &Tx{tx: tx, s: s, now: now, people: map[catch.PersonID]uint64{}, aliases: map[catch.ChatID][]byte{}}
}

func (t *Tx) bucket(name []byte) *bolt.Bucket { return t.tx.Bucket(name) }

// pageFill is how full the pages of a growing bucket are when they are split.
const pageFill = 0.9

// growing is a bucket whose keys mostly come in order: bbolt's own way, to split
// pages in the middle, would leave them half empty for ever.
func (t *Tx) growing(name []byte) *bolt.Bucket {
	b := t.bucket(name)
	b.FillPercent = pageFill
	return b
}
