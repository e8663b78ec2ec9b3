package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"

	bolt "go.etcd.io/bbolt"

	"deepward/store/unfinished"
)

// nextKeyFile is where a key lies that is to take the place of another: beside it, by the
// name of the store, for several stores may have one key.
func (s *Store) nextKeyFile(o Options) (path string) {
	_ = s.db.View(func(tx *bolt.Tx) error {
		if meta := tx.Bucket(bucketMeta); meta != nil {
			path = fmt.Sprintf("%s.new-%x", o.KeyFile, meta.Get(metaStoreID))
		}
		return nil
	})
	return path
}

// NewKey seals a store that is not in use anew, under a new key that takes the place of
// the one in the key file; the old one stays beside it, as before tells, for the copies
// made until now. The old key then opens nothing of the store. The keyed hashes by which
// people and chats are told apart stay as they are, for they cannot be made again without
// the numbers behind them: their secret moves into the store, sealed.
//
// A store in which anything does not open is refused; nothing is changed then. A process
// that is killed leaves the old store with the old key or the new one with the new, which
// the next Open puts in its place.
func NewKey(ctx context.Context, path string, o Options) (before string, err error) {
	o = o.withDefaults()
	if err := present(path); err != nil {
		return "", err
	}
	s, err := Open(path, o)
	if err != nil {
		return "", err
	}
	defer s.db.Close()
	next := s.nextKeyFile(o)
	_ = os.Remove(next) // of a change that was cut off before it counted
	key, err := makeKey(next)
	if err != nil {
		return "", explain(next, err)
	}
	keepOwner(next, o.KeyFile)
	temp, err := s.sealedCopy(ctx, newSealer(key))
	if err != nil {
		os.Remove(next)
		return "", fmt.Errorf("%s keeps its key, nothing was changed: %w", path, err)
	}
	defer os.Remove(temp)
	keepOwner(temp, path)
	if err := errors.Join(s.Close(), publish(temp, path)); err != nil {
		return "", explain(path, err)
	}
	return putNewKey(next, o.KeyFile)
}

// putNewKey gives the new key its place, and the old one a name that is free.
func putNewKey(next, path string) (before string, err error) {
	if before, err = standAside(path); err != nil {
		return "", err
	}
	return before, publish(next, path)
}

// finishNewKey goes on with a change of the key that was cut off, where the new one fits.
func (s *Store) finishNewKey(o Options) error {
	next := s.nextKeyFile(o)
	key, err := loadKey(next, false)
	if err != nil {
		return ErrKeyWrong
	}
	s.sealer = newSealer(key)
	if err := s.begun(o); err != nil || o.ReadOnly {
		return err
	}
	_, err = putNewKey(next, o.KeyFile)
	return err
}

// sealedCopy makes a copy beside the store that is sealed by another sealer, and checks it.
func (s *Store) sealedCopy(ctx context.Context, next *sealer) (temp string, err error) {
	next.hashWith(s.sealer.hashSecret)
	file, err := unfinished.Beside(s.path, unfinished.Copy)
	if err != nil {
		return "", err
	}
	temp = file.Name()
	unlock(file) // for bbolt to write it
	err = s.sealInto(ctx, temp, next)
	unfinished.Hold(file)
	if err == nil {
		err = s.like(next).checkCopy(ctx, temp)
	}
	if err := errors.Join(err, file.Close()); err != nil {
		os.Remove(temp)
		return "", err
	}
	return temp, nil
}

// like is a store beside this one with another sealer.
func (s *Store) like(sealer *sealer) *Store {
	return &Store{sealer: sealer, now: s.now, log: s.log, path: s.path}
}

// sealInto copies every bucket into a fresh file, sealed anew.
func (s *Store) sealInto(ctx context.Context, path string, next *sealer) error {
	db, err := bolt.Open(path, 0o600, &bolt.Options{Timeout: lockWait})
	if err != nil {
		return err
	}
	db.NoSync = true // once, at the end
	err = s.View(func(t *Tx) error {
		return t.tx.ForEach(func(name []byte, b *bolt.Bucket) error {
			err := copyBucket(ctx, db, name, b, func(k, v []byte) ([]byte, error) { return s.sealer.passOn(next, name, k, v) })
			if err != nil {
				return fmt.Errorf("%s: %w; take what can be read with deepward backup --salvage first", name, err)
			}
			return nil
		})
	})
	if err == nil {
		err = db.Update(func(tx *bolt.Tx) error {
			return tx.Bucket(bucketMeta).Put(metaHashes, next.seal(next.hashSecret, metaHashes))
		})
	}
	return errors.Join(err, db.Sync(), db.Close())
}

// copyBucket copies a bucket with other values, a step at a time.
func copyBucket(ctx context.Context, db *bolt.DB, name []byte, from *bolt.Bucket, change func(k, v []byte) ([]byte, error)) error {
	var after []byte
	for more := true; more; {
		keys, values := nextEntries(from, after, replaceStep)
		err := db.Update(func(tx *bolt.Tx) error {
			to, err := tx.CreateBucketIfNotExists(name)
			if err != nil {
				return err
			}
			to.FillPercent = pageFill
			for i, k := range keys {
				v, err := change(k, values[i])
				if err := errors.Join(err, ctx.Err()); err != nil {
					return err
				}
				if err := to.Put(k, v); err != nil {
					return err
				}
			}
			return to.SetSequence(from.Sequence())
		})
		if err != nil {
			return err
		}
		if more = len(keys) == replaceStep; more {
			after = keys[len(keys)-1]
		}
	}
	return nil
}

// passOn is a value of a bucket, sealed by another sealer.
func (s *sealer) passOn(next *sealer, bucket, k, v []byte) ([]byte, error) {
	again := func(sealed, place []byte) ([]byte, error) {
		plain, err := s.open(sealed, place)
		if err != nil {
			return nil, err
		}
		return next.seal(plain, place), nil
	}
	switch string(bucket) {
	case string(bucketReports), string(bucketHistory):
		bound, sealed, err := splitRecord(v)
		if err != nil {
			return nil, err
		}
		sealed, err = again(sealed, bound)
		return append(bytes.Clone(bound), sealed...), err
	case string(bucketState), string(bucketChatsBack), string(bucketSeasons):
		return again(v, place(bucket, k))
	case string(bucketImported):
		if len(v) < 8 {
			return nil, errRecord
		}
		sealed, err := again(v[8:], place(bucket, k))
		return append(bytes.Clone(v[:8]), sealed...), err
	case string(bucketOutbox):
		var w waiting
		err := decMode.Unmarshal(v, &w)
		if err == nil {
			w.Data, err = again(w.Data, outboxPlace(numberAt(k)))
		}
		if err != nil {
			return nil, err
		}
		return encMode.Marshal(w)
	case string(bucketMeta):
		if string(k) == string(metaKeyCheck) {
			return again(v, k)
		}
	}
	return v, nil
}

// takeHashSecret keeps the secret of the hashes in the store itself, from the first change
// of the key on; before it follows from the key.
func (s *Store) takeHashSecret() error {
	return s.db.View(func(tx *bolt.Tx) error {
		sealed := tx.Bucket(bucketMeta).Get(metaHashes)
		if sealed == nil {
			return nil
		}
		secret, err := s.sealer.open(sealed, metaHashes)
		if err != nil {
			return fmt.Errorf("%w (the secret of its hashes does not open)", ErrNotAStore)
		}
		s.sealer.hashWith(secret)
		return nil
	})
}
