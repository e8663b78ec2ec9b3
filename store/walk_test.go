package store_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// bbolt makes a writer that must map more of the file wait for every reader; with
// room in the address space it need not map anew.
func TestSlowReaderDoesNotHoldUpAWriter(t *testing.T) {
	s := opened(t)
	add(t, s, report(501, noon))
	reading, done := make(chan struct{}), make(chan struct{})
	go func() {
		_ = s.View(func(*store.Tx) error { close(reading); <-done; return nil })
	}()
	<-reading
	written := make(chan error, 1)
	go func() {
		var err error
		for i := range 40 {
			batch := make([]*catch.Report, 100)
			for j := range batch {
				batch[j] = report(catch.PersonID(600+i), noon)
			}
			err = errors.Join(err, s.Update(func(tx *store.Tx) error {
				for _, r := range batch {
					if _, err := tx.AddReport(r); err != nil {
						return err
					}
				}
				return nil
			}))
		}
		written <- err
	}()
	select {
	case err := <-written:
		assert.NoError(t, err)
	case <-time.After(20 * time.Second):
		assert.Fail(t, "the writer waits for the reader")
	}
	close(done)
}

// season is n reports in order of time, a minute apart.
func season(n int) []*catch.Report {
	list := make([]*catch.Report, n)
	for i := range list {
		list[i] = report(catch.PersonID(500+i%7), noon.Add(time.Duration(i)*time.Minute))
		list[i].Message = i + 1
	}
	return list
}

// The first reports are read alone, the rest ahead on two other goroutines.
func TestReportsComeInOrderHoweverManyThereAre(t *testing.T) {
	t.Parallel()
	for _, n := range []int{0, 1, 255, 256, 257, 256 + 128, 256 + 129, 2000} {
		s := opened(t)
		add(t, s, season(n)...)
		for _, personal := range []bool{false, true} {
			list := all(t, s, catch.Filter{Personal: personal})
			require.Len(t, list, n)
			for i, r := range list {
				require.Equal(t, uint64(i+1), r.Number)
				require.Equal(t, personal, r.Personal.Name != "")
			}
		}
	}
}

func TestFilterBoundsAreBothIncluded(t *testing.T) {
	s := opened(t)
	add(t, s, season(1000)...)
	f := catch.Filter{From: noon.Add(300 * time.Minute), To: noon.Add(900 * time.Minute)}
	list := all(t, s, f)
	require.Len(t, list, 601)
	assert.True(t, list[0].CaughtAt.Equal(f.From) && list[600].CaughtAt.Equal(f.To))
}

// stacks are those of all goroutines.
func stacks() string {
	list := make([]byte, 1<<16)
	return string(list[:runtime.Stack(list, true)])
}

// The other goroutines must be gone when the loop is left: the file's pages are
// no longer there after the transaction.
func TestLoopMayBeLeftAnywhere(t *testing.T) {
	s := opened(t)
	add(t, s, season(1500)...)
	for _, stop := range []int{1, 256, 257, 300, 384, 385, 1499, 1500} {
		synctest.Test(t, func(t *testing.T) { // fails when a goroutine is left behind
			assert.Equal(t, stop, walkTo(s, stop, func() {}))
		})
	}
	for chunk := range 9 { // left when the others have just been given more to read
		walkTo(s, 256+128*(chunk+1)+1, func() {})
		running := stacks()
		assert.NotContains(t, running, "(*walk).gather", "nothing reads the file any more")
		assert.NotContains(t, running, "(*walk).fill")
		require.Eventually(t, func() bool { // who has closed a channel may take a moment to be gone
			running = stacks()
			return !strings.Contains(running, "(*walk).along") && !strings.Contains(running, "(*walk).through")
		}, 5*time.Second, time.Millisecond)
	}
	synctest.Test(t, func(t *testing.T) {
		assert.PanicsWithValue(t, "left", func() { walkTo(s, 700, func() { panic("left") }) })
	})
}

// walkTo leaves the loop at a report, after doing something there.
func walkTo(s *store.Store, stop int, there func()) (n int) {
	_ = s.View(func(tx *store.Tx) error {
		for _, err := range tx.Reports(catch.Filter{}) {
			if err != nil {
				return err
			}
			if n++; n == stop {
				there()
				break
			}
		}
		return nil
	})
	return n
}

// While a walk is on, the same view answers other questions.
func TestViewMayBeAskedDuringAWalk(t *testing.T) {
	s := opened(t)
	add(t, s, season(1200)...)
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{}) {
			require.NoError(t, err)
			same, err := tx.ReportsByMessage(r.Chat, r.Message)
			require.NoError(t, err)
			require.Len(t, same, 1)
			require.Equal(t, r.Number, same[0].Number)
		}
		return nil
	}))
}

func TestWalkInAnUpdateSeesWhatTheUpdateAdded(t *testing.T) {
	s := opened(t)
	add(t, s, season(400)...)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		_, err := tx.AddReport(report(501, noon))
		require.NoError(t, err)
		n := 0
		for _, err := range tx.Reports(catch.Filter{}) {
			require.NoError(t, err)
			n++
		}
		assert.Equal(t, 401, n)
		return nil
	}))
}

func BenchmarkReadReport(b *testing.B) {
	s := open(b, b.TempDir())
	defer s.Close()
	list := make([]*catch.Report, 5000)
	for i := range list {
		list[i] = report(catch.PersonID(i), noon)
	}
	add(b, s, list...)
	b.ReportAllocs()
	for b.Loop() {
		n := 0
		_ = s.View(func(tx *store.Tx) error {
			for range tx.Reports(catch.Filter{}) {
				n++
			}
			return nil
		})
		if n != len(list) {
			b.Fatal(n)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(list)), "ns/report")
}

// reading is everything that a transaction gives out.
type reading struct {
	Reports, ByPerson, ByTag, ByMessage []*catch.Report
	Seasons                             []catch.Season
	Waiting                             []store.Outgoing
	Keys                                []string
	Kept                                map[string]string
}

func readAll(tx *store.Tx) (r reading, err error) {
	for report, err := range tx.Reports(catch.Filter{Personal: true}) {
		if err != nil {
			return r, err
		}
		kept := *report
		r.Reports = append(r.Reports, &kept)
	}
	for o, err := range tx.Outbox(0) {
		if err != nil {
			return r, err
		}
		r.Waiting = append(r.Waiting, o)
	}
	r.Keys = slices.Collect(tx.Keys("person", ""))
	var errs [5]error
	r.ByPerson, errs[0] = tx.ReportsByPerson(501, 0)
	r.ByTag, errs[1] = tx.ReportsByTag("SK-1")
	r.ByMessage, errs[2] = tx.ReportsByMessage(3, 2)
	r.Seasons, errs[3] = tx.Seasons(0)
	_, errs[4] = tx.Get("person", tx.PersonKey(501), &r.Kept)
	return r, errors.Join(errs[:]...)
}

// What bbolt gives out lies in the mapped file and is gone after the transaction.
// What the store gives out is a copy: it stays as it was when the file changes,
// and when it is not there any more.
func TestWhatWasReadOutlastsTheTransactionAndTheFile(t *testing.T) {
	t.Parallel()
	s := open(t, t.TempDir())
	fill(t, s)
	require.NoError(t, s.Update(func(tx *store.Tx) (err error) {
		for i := range 300 { // so much that no bucket lies within another's page
			_, queued := tx.Queue(store.Outgoing{Chat: -100, Data: []byte("reply")})
			season := catch.Season{Name: fmt.Sprintf("Season %d", i), Chat: 3, Opens: noon, Closes: noon}
			err = errors.Join(err, queued, tx.PutSeason(season), tx.Put("person", fmt.Sprint(i), "x"))
		}
		return err
	}))
	var kept reading
	var before []byte
	require.NoError(t, s.View(func(tx *store.Tx) (err error) {
		if kept, err = readAll(tx); err != nil {
			return err
		}
		before, err = json.Marshal(kept)
		return err
	}))
	for _, list := range []int{len(kept.Reports), len(kept.ByPerson), len(kept.ByTag), len(kept.ByMessage), len(kept.Seasons), len(kept.Waiting), len(kept.Keys), len(kept.Kept)} {
		require.Positive(t, list, "something of each kind")
	}
	for range 20 { // writes over the pages that were read
		add(t, s, season(60)...)
	}
	require.NoError(t, s.Close())
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true)) // the file is not mapped any more
	after, err := json.Marshal(kept)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
}
