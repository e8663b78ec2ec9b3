package store

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"time"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// migrations bring a store from the version of their place to the next, each in
// one transaction: a program that is stopped in the middle leaves the old store. One
// that says errMore goes on in another, and is begun anew after a stop without harm.
// A migration that was released is never changed again.
func migrations() []func(*bolt.Tx, *sealer) error {
	return []func(*bolt.Tx, *sealer) error{makeBuckets, bindToBuckets, sealWhole, sealNames, numberLogs(numberStep), numberFish}
}

// migrate checks that the key is the store's own and brings the file to the
// present schema.
func (s *Store) migrate(readOnly bool) error {
	version, err := s.version()
	switch {
	case err != nil:
		return err
	case version > schema:
		return fmt.Errorf("%w (schema %d, this program knows %d)", ErrNewerSchema, version, schema)
	case version < schema && readOnly:
		return fmt.Errorf("%w (schema %d, this program writes %d)", ErrOlderSchema, version, schema)
	}
	if version == 0 {
		return s.db.Update(born(s.sealer))
	}
	if err := s.checkKey(); err != nil {
		return err
	}
	for ; version < schema; version++ {
		if err := s.step(version); err != nil {
			return err
		}
		s.log.Info("the store was brought up to date", "schema", version+1)
	}
	return nil
}

// born makes the present schema in an empty file: nothing is there to be brought up to date.
func born(sealer *sealer) func(*bolt.Tx) error {
	return func(tx *bolt.Tx) error {
		for _, m := range migrations() {
			if err := m(tx, sealer); err != nil {
				return err
			}
		}
		return tx.Bucket(bucketMeta).Put(metaSchema, number64(schema))
	}
}

// step runs the migration from one version to the next.
func (s *Store) step(version int) error {
	for {
		more := false
		err := s.db.Update(func(tx *bolt.Tx) error {
			err := migrations()[version](tx, s.sealer)
			if more = errors.Is(err, errMore); more {
				return nil
			}
			if err != nil {
				return fmt.Errorf("bringing the store from schema %d to %d: %w", version, version+1, err)
			}
			return tx.Bucket(bucketMeta).Put(metaSchema, number64(uint64(version)+1))
		})
		if err != nil || !more {
			return err
		}
	}
}

// makeBuckets makes schema 1 in an empty file.
func makeBuckets(tx *bolt.Tx, sealer *sealer) error {
	for _, name := range [][]byte{
		bucketMeta, bucketReports, bucketNumbers, bucketMessages, bucketPeople, bucketTags, bucketHistory,
		bucketChats, bucketChatsBack, bucketState, bucketSequences, bucketSeen, bucketSeenTimes,
		bucketOutbox, bucketSeasons, bucketImported,
	} {
		if _, err := tx.CreateBucketIfNotExists(name); err != nil {
			return err
		}
	}
	id := make([]byte, 16)
	rand.Read(id)
	meta := tx.Bucket(bucketMeta)
	if err := meta.Put(metaStoreID, id); err != nil {
		return err
	}
	return meta.Put(metaKeyCheck, sealer.seal(id, metaKeyCheck))
}

// bindToBuckets makes schema 2 of schema 1.
func bindToBuckets(tx *bolt.Tx, sealer *sealer) error {
	for _, name := range [][]byte{bucketOrigins, bucketOrigin} {
		if _, err := tx.CreateBucketIfNotExists(name); err != nil {
			return err
		}
	}
	t := (&Store{sealer: sealer}).begin(tx, time.Time{})
	for _, b := range []struct {
		name   []byte
		change func(k, v []byte) ([]byte, []byte, error)
	}{
		{bucketState, sealer.rebind(bucketState)},
		{bucketChatsBack, sealer.rebind(bucketChatsBack)},
		{bucketOutbox, t.rebindWaiting},
		{bucketImported, t.hideImport},
	} {
		if err := rewrite(tx.Bucket(b.name), b.change); err != nil {
			return fmt.Errorf("%s: %w", b.name, err)
		}
	}
	return nil
}

// sealWhole makes schema 3 of schema 2. A report whose seal does not open stays as it
// is, and is found out where it is read: one does not keep the others.
func sealWhole(tx *bolt.Tx, sealer *sealer) error {
	for _, name := range [][]byte{bucketReports, bucketHistory} {
		if err := replaceValues(tx.Bucket(name), sealer.bindClear); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return replaceValues(tx.Bucket(bucketSeasons), func(k, v []byte) ([]byte, error) {
		return sealer.seal(v, place(bucketSeasons, k)), nil
	})
}

// bindClear seals the personal part of a record again, together with the clear one;
// before, it was bound to the number of the report alone.
func (s *sealer) bindClear(_, record []byte) ([]byte, error) {
	bound, sealed, err := splitRecord(record)
	if err != nil {
		return record, nil
	}
	var r catch.Report
	if decMode.Unmarshal(bound[recordHead:], &r) != nil {
		return record, nil
	}
	plain, err := s.open(sealed, append([]byte("report"), number64(r.Number)...))
	if err != nil {
		return record, nil
	}
	return append(bytes.Clone(bound), s.seal(plain, bound)...), nil
}

// sealNames makes schema 4 of schema 3: names that nobody knows go to the personal part.
func sealNames(tx *bolt.Tx, sealer *sealer) error {
	for _, name := range [][]byte{bucketReports, bucketHistory} {
		if err := replaceValues(tx.Bucket(name), sealer.sealName); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

func (s *sealer) sealName(_, record []byte) ([]byte, error) {
	var r catch.Report
	if s.decodeRecord(record, &r, true) != nil || r.Species != "" || r.SpeciesGiven == "" {
		return record, nil
	}
	return s.encodeRecord(&r)
}

// errMore is what a migration says that goes on in another transaction.
var errMore = errors.New("the migration is not done")

// numberStep is how many reports are numbered in one transaction: all of a large store
// would not fit in the memory of a small machine.
const numberStep = 20_000

// numberLogs makes schema 5 of schema 4: reports get a number in the log of each club, in
// the order in which they came. One that cannot be read stays as it is. Where it got to
// stands in the store.
func numberLogs(step int) func(*bolt.Tx, *sealer) error {
	return func(tx *bolt.Tx, sealer *sealer) error {
		t := (&Store{sealer: sealer}).begin(tx, time.Time{})
		meta := tx.Bucket(bucketMeta)
		numbers, keys := nextEntries(tx.Bucket(bucketNumbers), bytes.Clone(meta.Get(metaNumbered)), step)
		for _, key := range keys {
			if err := t.numberOld(key); err != nil {
				return err
			}
		}
		if len(numbers) < step {
			return meta.Delete(metaNumbered)
		}
		return errors.Join(meta.Put(metaNumbered, numbers[len(numbers)-1]), errMore)
	}
}

// numberOld numbers the report that lies under a key.
func (t *Tx) numberOld(key []byte) error {
	var r catch.Report
	reports := t.bucket(bucketReports)
	if t.s.sealer.decodeRecord(reports.Get(key), &r, true) != nil {
		return nil
	}
	if err := t.numberInLogs(&r); err != nil {
		return err
	}
	record, err := t.s.sealer.encodeRecord(&r)
	if err != nil {
		return err
	}
	return reports.Put(key, record)
}

// fishFields are the names that the fields of a fish had in what a talk remembers, with
// their numbers in a report, by a name that no other piece of state has.
var fishFields = map[string]map[string]uint64{
	"species_name": {
		"depth_m": 14, "weight_kg": 16, "length_cm": 17, "length_type": 18, "signs": 22, "hook": 24, "bleeding": 25,
		"minutes_on_deck": 26, "behaviour": 27,
	},
	"ReleaseDepthM": {"Method": 19, "WeightsOz": 20, "ReleaseDepthM": 21, "Outcome": 28, "Tag": 31, "Recapture": 32},
}

// numberFish makes schema 6 of schema 5. A value that cannot be read stays as it is.
func numberFish(tx *bolt.Tx, sealer *sealer) error {
	return replaceValues(tx.Bucket(bucketState), func(k, v []byte) ([]byte, error) {
		var value any
		plain, err := sealer.open(v, place(bucketState, k))
		if err != nil || decMode.Unmarshal(plain, &value) != nil || !renumber(value) {
			return v, nil
		}
		if plain, err = encMode.Marshal(value); err != nil {
			return nil, err
		}
		return sealer.seal(plain, place(bucketState, k)), nil
	})
}

// renumber gives the fields of every fish within a value their numbers; false where there
// is none.
func renumber(value any) (found bool) {
	switch value := value.(type) {
	case []any:
		for _, v := range value {
			found = renumber(v) || found
		}
	case map[any]any:
		for _, v := range value {
			found = renumber(v) || found
		}
		for mark, fields := range fishFields {
			if _, is := value[mark]; is {
				rename(value, fields)
				found = true
			}
		}
	}
	return found
}

func rename(value map[any]any, fields map[string]uint64) {
	for name, number := range fields {
		if v, told := value[name]; told {
			delete(value, name)
			value[number] = v
		}
	}
}

// replaceStep is how many values are held at once while they are replaced.
const replaceStep = 1000

// replaceValues puts other values under the same keys, a step at a time: a bucket may
// hold a million.
func replaceValues(b *bolt.Bucket, change func(k, v []byte) ([]byte, error)) error {
	var after []byte
	for {
		keys, values := nextEntries(b, after, replaceStep)
		if len(keys) == 0 {
			return nil
		}
		for i, k := range keys {
			v, err := change(k, values[i])
			if err != nil {
				return err
			}
			if err := b.Put(k, v); err != nil {
				return err
			}
		}
		after = keys[len(keys)-1]
	}
}

// nextEntries copies at most n entries behind a key.
func nextEntries(b *bolt.Bucket, after []byte, n int) (keys, values [][]byte) {
	c := b.Cursor()
	k, v := c.Seek(after)
	if after != nil && bytes.Equal(k, after) {
		k, v = c.Next()
	}
	for ; k != nil && len(keys) < n; k, v = c.Next() {
		keys, values = append(keys, bytes.Clone(k)), append(values, bytes.Clone(v))
	}
	return keys, values
}

// rewrite puts changed entries in the place of all entries of a bucket.
func rewrite(b *bolt.Bucket, change func(k, v []byte) (key, value []byte, err error)) error {
	type entry struct{ key, value []byte }
	var old []entry
	err := b.ForEach(func(k, v []byte) error {
		old = append(old, entry{bytes.Clone(k), bytes.Clone(v)})
		return nil
	})
	if err != nil {
		return err
	}
	for _, e := range old {
		k, v, err := change(e.key, e.value)
		if err != nil {
			return err
		}
		if err := move(b, e.key, k, v); err != nil {
			return err
		}
	}
	return nil
}

// rebind seals a value again that was bound to its key alone.
func (s *sealer) rebind(bucket []byte) func(k, v []byte) ([]byte, []byte, error) {
	return func(k, v []byte) ([]byte, []byte, error) {
		plain, err := s.open(v, k)
		if err != nil {
			return nil, nil, err
		}
		return k, s.seal(plain, place(bucket, k)), nil
	}
}

// rebindWaiting does so for a waiting reply, which was bound to its number.
func (t *Tx) rebindWaiting(k, v []byte) ([]byte, []byte, error) {
	var w waiting
	if err := decMode.Unmarshal(v, &w); err != nil {
		return nil, nil, err
	}
	plain, err := t.s.sealer.open(w.Data, number64(numberAt(k)))
	if err != nil {
		return nil, nil, err
	}
	w.Data = t.s.sealer.seal(plain, outboxPlace(numberAt(k)))
	v, err = encMode.Marshal(w)
	return k, v, err
}

// hideImport hashes the id of an imported row, which was its key.
func (t *Tx) hideImport(k, v []byte) ([]byte, []byte, error) {
	key := t.importKey(string(k))
	return key, append(number64(numberAt(v)), t.s.sealer.seal(k, place(bucketImported, key))...), nil
}
