package store

import (
	"bytes"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"deepward/advisor"
	"deepward/store/catch"
)

func fullReport() *catch.Report {
	return &catch.Report{
		Number: 7, Chat: -3, Message: 41, CaughtAt: time.Date(2026, 5, 2, 12, 0, 0, 5, time.FixedZone("", 3600)), SavedAt: time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC),
		Species: "Mycteroperca microlepis", Capture: advisor.Capture{DepthM: new(40.25), Signs: nil}, Release: advisor.Release{WeightsOz: []float64{20, 40}, Tag: "SK-1"}, Cell: &catch.Cell{Lat: -313, Lon: -187}, Who: 99,
		Personal: catch.Personal{Person: 501, Name: "Ada Fenwright", Words: "log gag", Lat: new(-31.23456), Lon: new(-18.65432)},
	}
}

func TestRecordIsTheSameBytesForTheSameReport(t *testing.T) {
	s := newSealer(make([]byte, keySize))
	a, err := s.encodeRecord(fullReport())
	require.NoError(t, err)
	b, err := s.encodeRecord(fullReport())
	require.NoError(t, err)
	clearA, sealedA, err := splitRecord(a)
	require.NoError(t, err)
	clearB, sealedB, err := splitRecord(b)
	require.NoError(t, err)
	assert.Equal(t, clearA, clearB)
	assert.NotEqual(t, sealedA, sealedB, "sealed with another nonce each time")
}

// The record of one report must not open as another's, nor one sealed value in
// the place of another.
func TestSealedPartOpensOnlyInItsPlace(t *testing.T) {
	s := newSealer(make([]byte, keySize))
	record, err := s.encodeRecord(fullReport())
	require.NoError(t, err)
	clear, sealed, err := splitRecord(record)
	require.NoError(t, err)
	other := bytes.Replace(clear, []byte{0x01, 0x07}, []byte{0x01, 0x08}, 1) // field 1, the number
	require.NotEqual(t, clear, other)
	moved := append(other, sealed...)
	require.Error(t, s.decodeRecord(moved, new(catch.Report), true))
	require.NoError(t, s.decodeRecord(record, new(catch.Report), true))
	for _, wrong := range [][]byte{place(bucketState, []byte("k")), place(bucketOutbox, []byte("q")), []byte("k")} {
		_, err := s.open(s.seal([]byte("x"), place(bucketOutbox, []byte("k"))), wrong)
		assert.Error(t, err)
	}
}

func TestReusedReportKeepsNothingOfTheOneBefore(t *testing.T) {
	s := newSealer(make([]byte, keySize))
	record, err := s.encodeRecord(&catch.Report{Number: 8})
	require.NoError(t, err)
	r := fullReport()
	require.NoError(t, s.decodeRecord(record, r, true))
	assert.Equal(t, &catch.Report{Number: 8, CaughtAt: r.CaughtAt, SavedAt: r.SavedAt}, r)
	assert.True(t, r.CaughtAt.IsZero() && r.SavedAt.IsZero())
}

func FuzzRecord(f *testing.F) {
	s := newSealer(make([]byte, keySize))
	whole, err := s.encodeRecord(fullReport())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	f.Add(whole[:len(whole)/2])
	f.Add([]byte{0, 0, 0, 1, 0xa0})
	f.Add([]byte{0xff, 0xff, 0xff, 0xff})
	f.Fuzz(func(t *testing.T, record []byte) {
		_ = s.decodeRecord(record, new(catch.Report), true) // must not panic
		bound, _, err := splitRecord(record)
		r := new(catch.Report)
		if err != nil || decMode.Unmarshal(bound[recordHead:], r) != nil {
			return
		}
		once, err := encMode.Marshal(r)
		if err != nil {
			return // a year that cannot be written, as 10000
		}
		again := new(catch.Report)
		require.NoError(t, decMode.Unmarshal(once, again))
		twice, err := encMode.Marshal(again)
		require.NoError(t, err)
		require.Equal(t, once, twice, "what was read can be kept and read again")
	})
}

// No bit of a record can change without its being seen.
func TestNoBitOfARecordChangesUnseen(t *testing.T) {
	s := newSealer(make([]byte, keySize))
	record, err := s.encodeRecord(fullReport())
	require.NoError(t, err)
	for i := range len(record) * 8 {
		flipped := bytes.Clone(record)
		flipped[i/8] ^= 1 << (i % 8)
		require.ErrorIs(t, s.decodeRecord(flipped, new(catch.Report), false), errRecord, "bit %d", i)
	}
}

func FuzzWaiting(f *testing.F) {
	value, err := encMode.Marshal(waiting{Data: []byte("sealed"), Tries: 2, QueuedAt: time.Unix(1, 0).UTC()})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(value)
	f.Add([]byte{0xa1, 0x01})
	f.Fuzz(func(t *testing.T, value []byte) {
		var w waiting
		_ = decMode.Unmarshal(value, &w)
		_ = decMode.Unmarshal(value, new(catch.Season))
	})
}

func TestNewerStoreIsRefusedAndLeftAlone(t *testing.T) {
	dir := t.TempDir()
	path, o := filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")}
	s, err := Open(path, o)
	require.NoError(t, err)
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketMeta).Put(metaSchema, number64(schema+1))
	}))
	require.NoError(t, s.Close())
	_, err = Open(path, o)
	require.ErrorIs(t, err, ErrNewerSchema)
	_, err = Open(path, Options{KeyFile: o.KeyFile, ReadOnly: true})
	require.ErrorIs(t, err, ErrNewerSchema)
}

// A migration that fails, or a program that ends in it, leaves the store as it was.
func TestMigrationIsAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	path, o := filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")}
	s, err := Open(path, o)
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error { // as schema 1, with one value that cannot be opened
		return errors.Join(
			tx.Bucket(bucketMeta).Put(metaSchema, number64(1)),
			tx.DeleteBucket(bucketOrigins),
			tx.Bucket(bucketChatsBack).Put([]byte("good"), s.sealer.seal([]byte("x"), []byte("good"))),
			tx.Bucket(bucketChatsBack).Put([]byte("wrong"), []byte("not sealed at all, but long enough to be")))
	}))
	require.ErrorContains(t, s.migrate(false), "from schema 1 to 2")
	require.NoError(t, s.db.View(func(tx *bolt.Tx) error {
		assert.Equal(t, number64(1), tx.Bucket(bucketMeta).Get(metaSchema))
		assert.Nil(t, tx.Bucket(bucketOrigins))
		plain, err := s.sealer.open(tx.Bucket(bucketChatsBack).Get([]byte("good")), []byte("good"))
		assert.NoError(t, err, "still bound as in schema 1")
		assert.Equal(t, "x", string(plain))
		return nil
	}))
}

// A bbolt file of some other program must not become a store.
func TestForeignBboltFileIsRefused(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "theirs.db")
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bolt.Tx) error { _, err := tx.CreateBucket([]byte("theirs")); return err }))
	require.NoError(t, db.Close())
	key := filepath.Join(dir, "key")
	_, err = makeKey(key)
	require.NoError(t, err)
	_, err = Open(path, Options{KeyFile: key})
	require.ErrorIs(t, err, ErrNotAStore)
}

// Each damage to an index must be found.
func TestCheckFindsWhatDoesNotFit(t *testing.T) {
	for name, harm := range map[string]func(tx *bolt.Tx) error{
		"index entry too many": func(tx *bolt.Tx) error {
			return tx.Bucket(bucketTags).Put(append([]byte("other\x00"), number64(1)...), nil)
		},
		"index entry to nowhere": func(tx *bolt.Tx) error {
			return tx.Bucket(bucketPeople).Put(append(number64(5), number64(77)...), nil)
		},
		"index entry missing": func(tx *bolt.Tx) error {
			k, _ := tx.Bucket(bucketMessages).Cursor().First()
			return tx.Bucket(bucketMessages).Delete(bytes.Clone(k))
		},
		"number missing": func(tx *bolt.Tx) error { return tx.Bucket(bucketNumbers).Delete(number64(1)) },
		"report missing": func(tx *bolt.Tx) error {
			k, _ := tx.Bucket(bucketReports).Cursor().First()
			return tx.Bucket(bucketReports).Delete(bytes.Clone(k))
		},
		"sealed value moved": func(tx *bolt.Tx) error {
			_, v := tx.Bucket(bucketState).Cursor().First()
			return tx.Bucket(bucketState).Put([]byte("club\x009"), bytes.Clone(v))
		},
		"bucket missing": func(tx *bolt.Tx) error { return tx.DeleteBucket(bucketHistory) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := Open(filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")})
			require.NoError(t, err)
			defer s.Close()
			require.NoError(t, s.Update(func(tx *Tx) error {
				_, err := tx.AddReport(fullReport())
				return errors.Join(err, tx.Put("club", "3", "x"))
			}))
			require.NoError(t, s.Check(t.Context()))
			require.NoError(t, s.db.Update(harm))
			assert.Error(t, s.Check(t.Context()))
		})
	}
}

// A large store is numbered in several transactions: a stop between two leaves no report
// without a number, and none with two.
func TestALargeStoreIsNumberedInSteps(t *testing.T) {
	s := opened(t, 25)
	require.NoError(t, s.Update(func(tx *Tx) error { // as schema 4
		for n := uint64(1); n <= 25; n++ {
			r, err := tx.Report(n)
			require.NoError(t, err)
			r.LogNo, r.ClubNo = 0, 0
			record, err := s.sealer.encodeRecord(r)
			require.NoError(t, err)
			require.NoError(t, tx.bucket(bucketReports).Put(reportKey(r), record))
			require.NoError(t, tx.bucket(bucketSequences).Delete([]byte(logKind(r.Chat))))
		}
		return nil
	}))
	steps := 0
	for more := true; more; steps++ {
		require.NoError(t, s.db.Update(func(tx *bolt.Tx) error {
			err := numberLogs(10)(tx, s.sealer)
			if more = errors.Is(err, errMore); more {
				return nil
			}
			return err
		}))
	}
	assert.Equal(t, 3, steps)
	require.NoError(t, s.View(func(tx *Tx) error {
		last := map[catch.ClubID]uint64{}
		for n := uint64(1); n <= 25; n++ {
			r, err := tx.Report(n)
			require.NoError(t, err)
			last[r.Chat]++
			assert.Equal(t, last[r.Chat], r.LogNo)
		}
		assert.Nil(t, tx.bucket(bucketMeta).Get(metaNumbered))
		return nil
	}))
	require.NoError(t, s.Check(t.Context()))
}
