package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	bolt "go.etcd.io/bbolt"

	"deepward/store/unfinished"
)

// Backup copies the store while it is in use: to a temporary file first, which
// is opened and checked before it gets its name. The key is not in the copy.
func (s *Store) Backup(ctx context.Context, path string) error {
	return s.copyTo(ctx, path, func(temp *os.File) error {
		return s.db.View(func(tx *bolt.Tx) error { _, err := tx.WriteTo(temp); return err })
	})
}

// Compact copies a store into a new file without the room that deleted values
// left; the store itself stays as it is.
func (s *Store) Compact(ctx context.Context, path string) error {
	return s.copyTo(ctx, path, func(temp *os.File) error {
		unlock(temp) // for bbolt to write it
		defer unfinished.Hold(temp)
		to, err := bolt.Open(temp.Name(), 0o600, &bolt.Options{Timeout: lockWait})
		if err != nil {
			return err
		}
		const chunk = 1 << 20 // bytes in one transaction
		return errors.Join(bolt.Compact(to, s.db, chunk), to.Sync(), to.Close())
	})
}

// copyTo has a temporary file written beside path, checks it, and gives it its name.
func (s *Store) copyTo(ctx context.Context, path string, write func(*os.File) error) error {
	if sameFile(path, s.path) {
		return explain(path, ErrSameFile)
	}
	if err := MayReplace(path); err != nil {
		return err
	}
	s.dropUnfinished(filepath.Dir(path))
	temp, err := unfinished.Beside(path, unfinished.Copy)
	if err != nil {
		return explain(path, err)
	}
	defer os.Remove(temp.Name())
	defer temp.Close()
	err = guarded(func() error { return write(temp) })
	if err := errors.Join(err, temp.Sync()); err != nil {
		return explain(path, err)
	}
	if err := errors.Join(s.checkCopy(ctx, temp.Name()), temp.Close()); err != nil {
		return fmt.Errorf("the copy did not pass its check: %w", err)
	}
	return publish(temp.Name(), path)
}

// checkCopy checks a copy with the key of this store.
func (s *Store) checkCopy(ctx context.Context, path string) error {
	db, err := openBolt(path, Options{ReadOnly: true})
	if err != nil {
		return explain(path, err)
	}
	twin := &Store{db: db, sealer: s.sealer, now: s.now, log: s.log, path: path}
	return errors.Join(twin.checkKey(), twin.Check(ctx), db.Close())
}

// Restore puts a backup in the place of a store that is not in use. The backup
// stays as it is, and the store that was there stays beside it, under its name
// with ".before" and, from the second time on, a number. Nothing is changed
// before the copy has passed its check. Whom the store that was there forgot since
// the backup is forgotten in the copy too; it returns how many people that are, -1
// where that store cannot be read or there is none.
func Restore(ctx context.Context, backup, path string, o Options) (forgotten int, err error) {
	if sameFile(backup, path) {
		return 0, explain(path, ErrSameFile)
	}
	temp, err := copyBackup(backup, path)
	if err != nil {
		return 0, err
	}
	defer os.Remove(temp)
	if forgotten, err = checkRestored(ctx, temp, path, o); err != nil {
		return 0, fmt.Errorf("%s cannot be restored, nothing was changed: %w", backup, err)
	}
	keepOwner(temp, path)
	if err := setAside(path); err != nil {
		return 0, explain(path, err)
	}
	return forgotten, explain(path, publish(temp, path))
}

// copyBackup copies the backup to a temporary file where the store is to be.
func copyBackup(backup, path string) (temp string, err error) {
	if err := present(backup); err != nil {
		return "", err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return "", explain(path, err)
	}
	db, err := openBolt(backup, Options{ReadOnly: true})
	if err != nil {
		return "", explain(backup, err)
	}
	defer db.Close()
	file, err := unfinished.Beside(path, unfinished.Copy)
	if err != nil {
		return "", explain(path, err)
	}
	err = db.View(func(tx *bolt.Tx) error { _, err := tx.WriteTo(file); return err })
	if err := errors.Join(err, file.Sync(), file.Close()); err != nil {
		os.Remove(file.Name())
		return "", explain(path, err)
	}
	return file.Name(), nil
}

// checkRestored brings the copy up to date, forgets whom the store that is there
// has forgotten, and checks it.
func checkRestored(ctx context.Context, temp, path string, o Options) (forgotten int, err error) {
	s, err := Open(temp, o)
	if err != nil {
		return 0, err
	}
	forgotten, err = s.forgetAsIn(path, o)
	return forgotten, errors.Join(err, s.Check(ctx), s.Close())
}

// forgetAsIn forgets whom the store at path has forgotten; -1 where it cannot be read.
func (s *Store) forgetAsIn(path string, o Options) (people int, err error) {
	o.ReadOnly = true
	there, err := Open(path, o)
	if errors.Is(err, ErrInUse) {
		return 0, err
	}
	if err != nil {
		return -1, nil // just what a backup is for
	}
	var list []forgotten
	err = guarded(func() error {
		return there.View(func(t *Tx) (err error) { list, err = t.forgottenPeople(); return err })
	})
	if err := errors.Join(err, there.Close()); err != nil {
		return -1, nil
	}
	err = s.Update(func(t *Tx) (err error) { people, err = t.forgetAgain(list); return err })
	return people, err
}

// setAside gives the store that is there a second name, unless it is in use. One
// that cannot be opened for another reason is just what a backup is for.
func setAside(path string) error {
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return nil
	}
	db, err := openBolt(path, Options{})
	if errors.Is(explain(path, err), ErrInUse) {
		return err
	}
	if err == nil {
		if err := db.Close(); err != nil {
			return err
		}
	}
	_, err = standAside(path)
	return err
}

// standAside gives a file a second name that is free: its own and ".before", and from the
// second time on a number.
func standAside(path string) (before string, err error) {
	before = path + ".before"
	for n := 2; ; n++ {
		if _, err := os.Lstat(before); errors.Is(err, os.ErrNotExist) {
			break
		}
		before = fmt.Sprintf("%s.before%d", path, n)
	}
	if os.Link(path, before) == nil {
		return before, nil
	}
	return before, os.Rename(path, before) // a file system without links
}
