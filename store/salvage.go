package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// Salvaged is what Salvage could take.
type Salvaged struct {
	// Reports is how many were taken, Lost the numbers of those that were not.
	Reports int
	Lost    []uint64
	// Others is how many other entries (settings, seasons, waiting replies) could not
	// be taken.
	Others int
}

// Salvage takes what can be read of a damaged store into a fresh one that is not
// there yet, under the same key. The damaged file is only read. What follows from the
// reports is built anew.
func Salvage(ctx context.Context, from, to string, o Options) (saved Salvaged, err error) {
	o = o.withDefaults()
	if _, err := os.Lstat(to); !errors.Is(err, fs.ErrNotExist) {
		return saved, explain(to, errOccupied)
	}
	key, err := loadKey(o.KeyFile, false)
	if err != nil {
		return saved, fmt.Errorf("%s: %w", o.KeyFile, err)
	}
	var db *bolt.DB
	if err := guarded(func() (err error) { db, err = openRaw(from, true); return err }); err != nil {
		return saved, explain(from, err)
	}
	defer db.Close()
	fresh, err := Open(to, o)
	if err != nil {
		return saved, err
	}
	defer func() { err = errors.Join(err, fresh.Close()) }()
	err = overPages(func() error {
		return db.View(func(tx *bolt.Tx) error {
			s := &salvager{from: (&Store{db: db, sealer: newSealer(key), now: o.Now}).begin(tx, o.Now()), saved: &saved, logs: map[catch.ClubID]uint64{}}
			return fresh.Update(func(t *Tx) error { return s.run(ctx, t) })
		})
	})
	if err != nil {
		return saved, err
	}
	return saved, fresh.Check(ctx)
}

// salvager copies one store into another.
type salvager struct {
	from  *Tx
	saved *Salvaged
	last  uint64 // the highest report number that was seen
	// logs are the highest numbers that were seen in the logs of clubs.
	logs map[catch.ClubID]uint64
}

func (s *salvager) run(ctx context.Context, t *Tx) error {
	if err := s.meta(t); err != nil {
		return err
	}
	err := s.each(ctx, bucketReports, func(k, v []byte) error { return s.report(t, v) })
	if err != nil {
		return err
	}
	if err := s.byNumber(ctx, t); err != nil {
		return err
	}
	for _, name := range salvagedBuckets {
		err := s.each(ctx, name, func(k, v []byte) error { return s.other(t, name, k, v) })
		if err != nil {
			return err
		}
		if err := t.bucket(name).SetSequence(max(s.sequence(name), t.bucket(name).Sequence())); err != nil {
			return err
		}
	}
	for club, last := range s.logs { // a number that was given is not given again
		if err := t.reach(logKind(club), last); err != nil {
			return err
		}
	}
	return s.count(t)
}

// salvagedBuckets are taken entry by entry; those that lead to reports are built anew.
var salvagedBuckets = [][]byte{
	bucketHistory, bucketChats, bucketChatsBack, bucketState, bucketSequences, bucketSeen, bucketSeenTimes,
	bucketOutbox, bucketSeasons, bucketImported, bucketOrigins, bucketOrigin,
}

// meta keeps the name of the store, by which other stores know its reports.
func (s *salvager) meta(t *Tx) error {
	_ = guarded(func() error {
		meta := s.from.bucket(bucketMeta)
		id, sealed := bytes.Clone(meta.Get(metaStoreID)), bytes.Clone(meta.Get(metaKeyCheck))
		if plain, err := s.from.s.sealer.open(sealed, metaKeyCheck); err != nil || !bytes.Equal(plain, id) {
			return ErrKeyWrong
		}
		if secret := meta.Get(metaHashes); secret != nil { // people are known by it
			if err := t.bucket(bucketMeta).Put(metaHashes, bytes.Clone(secret)); err != nil {
				return err
			}
		}
		return errors.Join(t.bucket(bucketMeta).Put(metaStoreID, id), t.bucket(bucketMeta).Put(metaKeyCheck, sealed))
	})
	return nil // a fresh name will do
}

// each hands out the entries of a bucket that can be reached: from the front up to
// where its pages are damaged, and then from the back.
func (s *salvager) each(ctx context.Context, name []byte, take func(k, v []byte) error) error {
	var reached []byte
	whole := false
	var failed error
	forward := func() error {
		c := s.from.bucket(name).Cursor()
		for k, v := c.First(); k != nil; k, v = c.Next() {
			if !believable(k, v) || bytes.Compare(k, reached) <= 0 && reached != nil {
				return nil
			}
			key := bytes.Clone(k)
			if failed = errors.Join(ctx.Err(), take(key, bytes.Clone(v))); failed != nil {
				return nil
			}
			reached = key
		}
		whole = true
		return nil
	}
	if guarded(forward); whole || failed != nil {
		return failed
	}
	s.saved.Others++
	_ = guarded(func() error {
		c := s.from.bucket(name).Cursor()
		for k, v := c.Last(); k != nil && believable(k, v) && bytes.Compare(k, reached) > 0; k, v = c.Prev() {
			if failed = errors.Join(ctx.Err(), take(bytes.Clone(k), bytes.Clone(v))); failed != nil {
				return nil
			}
		}
		return nil
	})
	return failed
}

// believable is false for what only a damaged page can hold: bbolt takes no longer key,
// and nothing here is so large.
func believable(k, v []byte) bool { return len(k) <= bolt.MaxKeySize && len(v) <= 16<<20 }

// byNumber looks for the reports that lie between damaged pages.
func (s *salvager) byNumber(ctx context.Context, t *Tx) error {
	return s.each(ctx, bucketNumbers, func(n, key []byte) error {
		if t.bucket(bucketNumbers).Get(n) != nil {
			return nil
		}
		if number := numberAt(n); number < s.last+believedGap {
			s.last = max(s.last, number)
		}
		var record []byte
		_ = guarded(func() error { record = bytes.Clone(s.from.bucket(bucketReports).Get(key)); return nil })
		return s.report(t, record)
	})
}

// report takes one report whose seal opens, of this schema or the one before.
func (s *salvager) report(t *Tx, record []byte) error {
	var r catch.Report
	if s.from.s.sealer.decodeRecord(record, &r, true) != nil {
		record, _ = s.from.s.sealer.bindClear(nil, record)
		if s.from.s.sealer.decodeRecord(record, &r, true) != nil {
			return nil
		}
	}
	if t.bucket(bucketNumbers).Get(number64(r.Number)) != nil {
		return nil
	}
	s.saved.Reports++
	s.last = max(s.last, r.Number)
	if err := t.numberInLogs(&r); err != nil {
		return err
	}
	s.logs[r.Chat] = max(s.logs[r.Chat], r.LogNo)
	if r.Club != 0 {
		s.logs[r.Club] = max(s.logs[r.Club], r.ClubNo)
	}
	return t.write(&r)
}

// other takes one entry of another bucket, if it can be read.
func (s *salvager) other(t *Tx, name, k, v []byte) error {
	if !s.sound(t, name, k, v) {
		s.saved.Others++
		return nil
	}
	return t.bucket(name).Put(k, v)
}

func (s *salvager) sound(t *Tx, name, k, v []byte) bool {
	from := s.from
	var err error
	switch string(name) {
	case string(bucketHistory):
		err = from.s.sealer.decodeRecord(v, new(catch.Report), true)
	case string(bucketState), string(bucketChatsBack):
		_, err = from.s.sealer.open(v, place(name, k))
	case string(bucketSeasons):
		_, err = from.seasonOf(k, v)
	case string(bucketOutbox):
		_, err = from.outgoing(k, v)
	case string(bucketImported):
		var n uint64
		if _, n, err = from.importOf(k, v); err == nil && t.bucket(bucketNumbers).Get(number64(n)) == nil {
			return false
		}
	case string(bucketOrigins):
		return t.bucket(bucketNumbers).Get(v) != nil
	case string(bucketOrigin):
		return bytes.Equal(t.bucket(bucketOrigins).Get(v), k)
	case string(bucketChats):
		_, _, known := chatOf(v)
		return known
	}
	return err == nil
}

// sequence is the last number that a bucket gave; 0 where that cannot be read.
func (s *salvager) sequence(name []byte) (n uint64) {
	_ = guarded(func() error { n = s.from.bucket(name).Sequence(); return nil })
	if n > believedNumber {
		return 0
	}
	return n
}

// believedNumber is more than any store gives in its life; above it, a number is
// damage.
const believedNumber = 1 << 40

// count names what was lost: every number that was given belongs to a report.
func (s *salvager) count(t *Tx) error {
	if given := s.sequence(bucketReports); given < s.last+believedGap {
		s.last = max(s.last, given)
	}
	for n := uint64(1); n <= s.last; n++ {
		if t.bucket(bucketNumbers).Get(number64(n)) == nil {
			s.saved.Lost = append(s.saved.Lost, n)
		}
	}
	return t.bucket(bucketReports).SetSequence(s.last)
}

// believedGap is how many reports behind the last that was found may be lost; more
// is a damaged count.
const believedGap = 20_000
