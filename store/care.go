package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	bolt "go.etcd.io/bbolt"
)

// Check reads the whole store: the file itself, that every report can be read
// and opened, and that every index entry leads to a report. It changes nothing.
func (s *Store) Check(ctx context.Context) error {
	return s.db.View(func(tx *bolt.Tx) error {
		var faults []error
		for err := range tx.Check() {
			faults = append(faults, err)
		}
		t := &Tx{tx: tx, s: s, now: s.now()}
		return errors.Join(append(faults, t.checkReports(ctx), t.checkIndexes())...)
	})
}

func (t *Tx) checkReports(ctx context.Context) error {
	var r Report
	return t.bucket(bucketReports).ForEach(func(k, v []byte) error {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err := t.s.sealer.decodeRecord(v, &r, true); err != nil {
			return fmt.Errorf("report %d: %w", numberAt(k), err)
		}
		if !bytes.Equal(t.bucket(bucketNumbers).Get(number64(r.Number)), k) || !bytes.Equal(reportKey(&r), k) {
			return fmt.Errorf("report %d is not where its number leads", r.Number)
		}
		for _, link := range links(&r) {
			if t.bucket(link.bucket).Get(link.key) == nil {
				return fmt.Errorf("report %d is missing in %s", r.Number, link.bucket)
			}
		}
		return nil
	})
}

func (t *Tx) checkIndexes() error {
	for _, name := range [][]byte{bucketMessages, bucketPeople, bucketTags} {
		err := t.bucket(name).ForEach(func(k, _ []byte) error {
			if t.bucket(bucketNumbers).Get(number64(numberAt(k))) == nil {
				return fmt.Errorf("%s leads to report %d, which is not there", name, numberAt(k))
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// Backup copies the store while it is in use: to a temporary file first, which
// is opened and checked before it gets its name. The key is not in the copy.
func (s *Store) Backup(ctx context.Context, path string) (err error) {
	temp, err := os.CreateTemp(filepath.Dir(path), ".backup-*")
	if err != nil {
		return fmt.Errorf("the backup cannot be written there: %w", err)
	}
	defer os.Remove(temp.Name())
	err = s.db.View(func(tx *bolt.Tx) error { _, err := tx.WriteTo(temp); return err })
	if err := errors.Join(err, temp.Sync(), temp.Close()); err != nil {
		return explain(path, err)
	}
	if err := s.checkCopy(ctx, temp.Name()); err != nil {
		return fmt.Errorf("the backup did not pass its check: %w", err)
	}
	return publish(temp.Name(), path)
}

func (s *Store) checkCopy(ctx context.Context, path string) error {
	db, err := openBolt(path, Options{ReadOnly: true})
	if err != nil {
		return err
	}
	twin := &Store{db: db, sealer: s.sealer, now: s.now, log: s.log, path: path}
	return errors.Join(twin.checkKey(), twin.Check(ctx), db.Close())
}

// Restore puts a backup in the place of a store that is not in use. The store
// that was there is kept beside it under the name it gets with ".before".
func Restore(ctx context.Context, backup, path string, o Options) error {
	s, err := Open(backup, Options{KeyFile: o.KeyFile, Now: o.Now, Log: o.Log, ReadOnly: true})
	if err != nil {
		return err
	}
	defer s.Close()
	if err := s.Check(ctx); err != nil {
		return fmt.Errorf("the backup did not pass its check, nothing was changed: %w", err)
	}
	if _, err := os.Stat(path); err == nil {
		there, err := Open(path, o) // fails while another process uses it
		if err != nil && !errors.Is(err, ErrNotAStore) {
			return err
		}
		if err == nil {
			if err := there.Close(); err != nil {
				return err
			}
		}
		if err := os.Rename(path, path+".before"); err != nil {
			return err
		}
	}
	return s.Backup(ctx, path)
}

// Compact copies a store into a new file without the room that deleted values
// left; the store itself stays as it is.
func (s *Store) Compact(ctx context.Context, path string) error {
	temp := path + ".part"
	defer os.Remove(temp)
	to, err := bolt.Open(temp, 0o600, nil)
	if err != nil {
		return explain(path, err)
	}
	const chunk = 1 << 20 // bytes in one transaction
	if err := errors.Join(bolt.Compact(to, s.db, chunk), to.Sync(), to.Close()); err != nil {
		return explain(path, err)
	}
	if err := s.checkCopy(ctx, temp); err != nil {
		return err
	}
	return publish(temp, path)
}
