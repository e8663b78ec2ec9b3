package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// reports is how many reports the measure of durable ones takes.
const reports = 2000

// together is how many come with one poll.
const together = 100

// durable measures reports kept on disk with their confirmations queued, beside
// bbolt writing the same keys and values in as many transactions, and with Batch.
func (b *bench) durable() error {
	for _, c := range []struct {
		what, peer string
		size       int
		write      func(db *bolt.DB, list []pair) error
	}{
		{"durable reports, one at a time", "bbolt, one Update each", 1, apart},
		{"durable reports, 100 from one poll", "bbolt, one Update for 100", together, updates},
		{"the same", "bbolt, Batch from 100 goroutines", together, batches},
	} {
		var own, other []float64
		for range b.runs {
			mine, theirs, err := b.kept(c.size, c.write)
			if err != nil {
				return fmt.Errorf("%s: %w", c.what, err)
			}
			own, other = append(own, mine), append(other, theirs)
		}
		b.table.add(row{what: c.what, figure: median(own), unit: "reports/s", peer: c.peer, other: median(other), note: "the same keys and values; ours understands and words them too"})
	}
	return nil
}

// kept lets the desk take the reports, and bbolt write what came of it.
func (b *bench) kept(size int, write func(*bolt.DB, []pair) error) (mine, theirs float64, err error) {
	dir := filepath.Join(b.dir, fmt.Sprint("kept", time.Now().UnixNano()))
	path := filepath.Join(dir, "t.db")
	s, err := store.Open(path, store.Options{KeyFile: filepath.Join(dir, "k", "key")})
	if err != nil {
		return 0, 0, err
	}
	mine, err = speed(func() error { return take(s, size) })
	if err := errors.Join(err, s.Close()); err != nil {
		return 0, 0, err
	}
	list, err := pairs(path)
	if err != nil {
		return 0, 0, err
	}
	db, err := bolt.Open(filepath.Join(dir, "bare.db"), 0o600, nil)
	if err != nil {
		return 0, 0, err
	}
	if err := makeBuckets(db, list); err != nil {
		return 0, 0, err
	}
	theirs, err = speed(func() error { return write(db, list) })
	return mine, theirs, errors.Join(err, db.Close())
}

// speed is how many reports a second something keeps.
func speed(do func() error) (float64, error) {
	began := time.Now()
	err := do()
	return reports / time.Since(began).Seconds(), err
}

// take hands in reports, so many at a time.
func take(s *store.Store, size int) error {
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Log: slog.New(slog.DiscardHandler)}
	at := time.Unix(1.9e9, 0)
	for done := 0; done < reports; done += size {
		var batch []bot.Message
		for i := range size {
			n := done + i
			person := catch.PersonID(5000 + n%together)
			at = at.Add(time.Minute)
			batch = append(batch, bot.Message{
				Update: catch.UpdateID(n + 1), Chat: bot.Chat{ID: catch.ChatID(person)}, Sender: bot.Person{ID: person, Name: "Angler"}, ID: n + 1,
				Text: fmt.Sprintf("log gag 40 m %d cm sent down 40 oz", 40+n%40), SentAt: at, ReceivedAt: at, Addressed: true,
			})
		}
		sendings, err := desk.Take(context.Background(), batch)
		if err != nil || len(sendings) != size {
			return fmt.Errorf("%d confirmations to %d reports: %w", len(sendings), size, err)
		}
	}
	return nil
}

// pair is a key with its value and its bucket.
type pair struct{ bucket, key, value []byte }

// pairs reads all that a store holds, dealt out so that each report's share has
// some of each bucket.
func pairs(path string) ([]pair, error) {
	db, err := bolt.Open(path, 0o600, &bolt.Options{ReadOnly: true})
	if err != nil {
		return nil, err
	}
	defer db.Close()
	var buckets [][]pair
	err = db.View(func(tx *bolt.Tx) error {
		return tx.ForEach(func(name []byte, b *bolt.Bucket) error {
			var list []pair
			err := b.ForEach(func(k, v []byte) error {
				list = append(list, pair{clone(name), clone(k), clone(v)})
				return nil
			})
			buckets = append(buckets, list)
			return err
		})
	})
	var all []pair
	for share := range reports {
		for _, list := range buckets {
			all = append(all, list[len(list)*share/reports:len(list)*(share+1)/reports]...)
		}
	}
	return all, err
}

func clone(b []byte) []byte { return append([]byte{}, b...) }

func makeBuckets(db *bolt.DB, list []pair) error {
	return db.Update(func(tx *bolt.Tx) error {
		for _, p := range list {
			if _, err := tx.CreateBucketIfNotExists(p.bucket); err != nil {
				return err
			}
		}
		return nil
	})
}

// shareOf is what belongs to the reports from one to another.
func shareOf(list []pair, from, to int) []pair {
	return list[len(list)*from/reports : len(list)*to/reports]
}

func put(list []pair) func(*bolt.Tx) error {
	return func(tx *bolt.Tx) error {
		for _, p := range list {
			if err := tx.Bucket(p.bucket).Put(p.key, p.value); err != nil {
				return err
			}
		}
		return nil
	}
}

func apart(db *bolt.DB, list []pair) error {
	for n := range reports {
		if err := db.Update(put(shareOf(list, n, n+1))); err != nil {
			return err
		}
	}
	return nil
}

func updates(db *bolt.DB, list []pair) error {
	for n := 0; n < reports; n += together {
		if err := db.Update(put(shareOf(list, n, n+together))); err != nil {
			return err
		}
	}
	return nil
}

// batches lets 100 callers write at once, each one report at a time.
func batches(db *bolt.DB, list []pair) error {
	var all sync.WaitGroup
	faults := make(chan error, together)
	for caller := range together {
		all.Go(func() {
			for n := caller; n < reports; n += together {
				if err := db.Batch(put(shareOf(list, n, n+1))); err != nil {
					faults <- err
					return
				}
			}
		})
	}
	all.Wait()
	close(faults)
	return <-faults
}
