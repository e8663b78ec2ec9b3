package store

import (
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"syscall"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
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
	ErrNotAStore = errors.New("the file is not a deepward store, or it is damaged; restore a backup with deepward backup --restore")
	// ErrNewerSchema: the store was written by a newer program.
	ErrNewerSchema = errors.New("the store was written by a newer deepward; update this program")
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
	// Log takes what an operator should know; nothing is logged if nil.
	Log *slog.Logger
}

// lockWait is how long to wait for another process to let go of the file.
const lockWait = 500 * time.Millisecond

// addressSpace is reserved for the file at opening, so that a long reader does
// not hold up a writer that must grow the map. It costs no memory.
const addressSpace = 1 << 30

// Store is one open file.
type Store struct {
	db     *bolt.DB
	sealer *sealer
	now    func() time.Time
	log    *slog.Logger
	path   string
}

// Open opens the store at path, making it and the key on first use.
func Open(path string, o Options) (*Store, error) {
	o = o.withDefaults()
	fresh, err := missing(path)
	if err != nil {
		return nil, explain(path, err)
	}
	// The key comes first: a store is never made without the key that opens it.
	key, err := loadKey(o.KeyFile, fresh && !o.ReadOnly)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.KeyFile, err)
	}
	if fresh {
		if err := create(path, o); err != nil {
			return nil, explain(path, err)
		}
	}
	db, err := openBolt(path, o)
	if err != nil {
		return nil, explain(path, err)
	}
	s := &Store{db: db, sealer: newSealer(key), now: o.Now, log: o.Log, path: path}
	if err := s.migrate(o.ReadOnly); err != nil {
		return nil, errors.Join(explain(path, err), db.Close())
	}
	return s, nil
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

// create makes an empty file that gets its name only when it is whole: the first
// creation is the one moment at which a power cut can leave a broken file.
func create(path string, o Options) error {
	if o.ReadOnly {
		return fs.ErrNotExist
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".new-store-*")
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
	return publish(temp.Name(), path)
}

// publish gives a finished file its name and makes sure the name is on disk.
func publish(temp, path string) error {
	if err := os.Rename(temp, path); err != nil {
		return err
	}
	dir, err := os.Open(filepath.Dir(path))
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

// openBolt opens the file; a damaged one makes bbolt panic, which is caught here.
func openBolt(path string, o Options) (db *bolt.DB, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w (%v)", ErrNotAStore, r)
		}
	}()
	options := *bolt.DefaultOptions
	options.Timeout = lockWait
	options.ReadOnly = o.ReadOnly
	options.InitialMmapSize = addressSpace
	options.FreelistType = bolt.FreelistMapType
	db, err = bolt.Open(path, 0o600, &options)
	var system syscall.Errno
	if err != nil && !errors.Is(err, berrors.ErrTimeout) && !errors.As(err, &system) {
		err = fmt.Errorf("%w (%w)", ErrNotAStore, err) // bbolt read it and made no sense of it
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
		cause = ErrReadOnly
	case errors.Is(err, errNoSpace):
		cause = ErrDiskFull
	}
	return fmt.Errorf("%s: %w", path, cause)
}

// Close lets go of the file.
func (s *Store) Close() error { return s.db.Close() }

// Update runs fn in one transaction: all of it is on disk when Update returns
// nil, none of it otherwise. fn must not open another transaction.
func (s *Store) Update(fn func(*Tx) error) error {
	now := s.now()
	err := s.db.Update(func(tx *bolt.Tx) error { return fn(&Tx{tx: tx, s: s, now: now}) })
	if errors.Is(err, errNoSpace) || errors.Is(err, berrors.ErrDatabaseReadOnly) {
		return explain(s.path, err)
	}
	return err
}

// View runs fn on a consistent view that does not change under it.
func (s *Store) View(fn func(*Tx) error) error {
	now := s.now()
	return s.db.View(func(tx *bolt.Tx) error { return fn(&Tx{tx: tx, s: s, now: now}) })
}

// Tx is one transaction. It, and every slice it gives out, is good until the
// function that got it returns.
type Tx struct {
	tx  *bolt.Tx
	s   *Store
	now time.Time
}

func (t *Tx) bucket(name []byte) *bolt.Bucket { return t.tx.Bucket(name) }
