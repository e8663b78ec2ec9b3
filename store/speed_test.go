package store_test

import (
	"encoding/binary"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/catch"
)

// Reports kept durably, beside what bbolt can do with the same bytes: one transaction
// each, and a hundred in one as updates come from a poll. A report is written with its
// sealed part, its indexes and the mark of its update; the bare one is a single put.
func BenchmarkKeep(b *testing.B) {
	for name, each := range map[string]int{"alone": 1, "hundred together": 100} {
		b.Run(name, func(b *testing.B) {
			dir := b.TempDir()
			s, err := store.Open(filepath.Join(dir, "b.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
			require.NoError(b, err)
			defer s.Close()
			n := catch.UpdateID(0)
			for b.Loop() {
				require.NoError(b, s.Update(func(tx *store.Tx) error {
					for range each {
						n++
						if err := keepOne(tx, n); err != nil {
							return err
						}
					}
					return nil
				}))
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "reports/s")
		})
	}
}

func keepOne(tx *store.Tx, n catch.UpdateID) error {
	at := time.Unix(1_900_000_000+int64(n), 0).UTC()
	if err := tx.MarkSeen(n, at, true); err != nil {
		return err
	}
	_, err := tx.AddReport(&catch.Report{
		Chat: 1, Message: int(n), CaughtAt: at, SavedAt: at, Species: "Mycteroperca microlepis", SpeciesSure: true,
		Capture: advisor.Capture{DepthM: new(45.0), WeightKg: new(3.0)}, Release: advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{40}, Outcome: advisor.SwamDown},
		Personal: catch.Personal{Person: catch.PersonID(500 + n%200), Name: "Ada", Words: "gag 45 m 3 kg sent down 40 oz swam off"},
	})
	return err
}

func BenchmarkBareBolt(b *testing.B) {
	value := make([]byte, 400) // about what a report with its sealed part takes
	put := func(db *bolt.DB, n uint64) error {
		return db.Update(func(tx *bolt.Tx) error { return putBare(tx, n, value) })
	}
	for name, run := range map[string]func(b *testing.B, db *bolt.DB) uint64{
		"Update, alone": func(b *testing.B, db *bolt.DB) (n uint64) {
			for b.Loop() {
				n++
				require.NoError(b, put(db, n))
			}
			return n
		},
		"Update, hundred together": func(b *testing.B, db *bolt.DB) (n uint64) {
			for b.Loop() {
				require.NoError(b, db.Update(func(tx *bolt.Tx) error {
					for range 100 {
						n++
						if err := putBare(tx, n, value); err != nil {
							return err
						}
					}
					return nil
				}))
			}
			return n
		},
		"Batch, 100 writers": func(b *testing.B, db *bolt.DB) (n uint64) {
			for b.Loop() {
				done := make(chan error, 100)
				for i := range uint64(100) {
					go func() { done <- db.Batch(func(tx *bolt.Tx) error { return putBare(tx, n+i, value) }) }()
				}
				for range 100 {
					require.NoError(b, <-done)
				}
				n += 100
			}
			return n
		},
	} {
		b.Run(name, func(b *testing.B) {
			db, err := bolt.Open(filepath.Join(b.TempDir(), "bare.db"), 0o600, nil)
			require.NoError(b, err)
			defer db.Close()
			n := run(b, db)
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "puts/s")
		})
	}
}

func putBare(tx *bolt.Tx, n uint64, value []byte) error {
	bucket, err := tx.CreateBucketIfNotExists([]byte("r"))
	if err != nil {
		return err
	}
	return bucket.Put(binary.BigEndian.AppendUint64(nil, n), value)
}
