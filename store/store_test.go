package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"deepward/advisor"
	"deepward/store"
)

// TestMain lets the test binary be the program that is killed.
func TestMain(m *testing.M) {
	if dir := os.Getenv("DEEPWARD_KILL_ME"); dir != "" {
		writeUntilKilled(dir)
	}
	os.Exit(m.Run())
}

var noon = time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)

func open(t testing.TB, dir string) *store.Store {
	t.Helper()
	s, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{
		KeyFile: filepath.Join(dir, "config", "key"), Now: func() time.Time { return noon },
	})
	require.NoError(t, err)
	return s
}

// opened is a store that is checked and closed when the test ends.
func opened(t testing.TB) *store.Store {
	t.Helper()
	s := open(t, t.TempDir())
	t.Cleanup(func() {
		assert.NoError(t, s.Check(context.Background()))
		assert.NoError(t, s.Close())
	})
	return s
}

func report(person int64, at time.Time) *store.Report {
	return &store.Report{
		Chat: 3, Message: 41, CaughtAt: at, Species: "Mycteroperca microlepis", SpeciesSure: true,
		DepthM: new(40.0), Method: advisor.Recompressed, WeightsOz: []float64{40},
		Personal: store.Personal{Person: person, Name: "Ada Fenwright", Words: "log gag by the wreck", Lat: new(-31.23456), Lon: new(-18.65432)},
	}
}

func add(t testing.TB, s *store.Store, list ...*store.Report) {
	t.Helper()
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, r := range list {
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
}

func all(t testing.TB, s *store.Store, f store.Filter) (list []store.Report) {
	t.Helper()
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(f) {
			if err != nil {
				return err
			}
			list = append(list, *r)
		}
		return nil
	}))
	return list
}

func TestReportComesBackWhole(t *testing.T) {
	s := opened(t)
	r := report(501, noon)
	add(t, s, r)
	got := all(t, s, store.Filter{Personal: true})
	require.Len(t, got, 1)
	assert.Equal(t, r.Personal, got[0].Personal)
	assert.Equal(t, store.Cell{Lat: -313, Lon: -187}, *got[0].Cell)
	assert.True(t, got[0].CaughtAt.Equal(noon))
	assert.Zero(t, all(t, s, store.Filter{})[0].Personal, "sealed unless asked for")
}

// What names a person or an exact place must not stand in the file.
func TestFileTellsNoNamesWordsNumbersOrPlaces(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(7700123456, noon))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		if _, err := tx.ChatNumber(-1001234567); err != nil {
			return err
		}
		if err := tx.Put("person", tx.PersonKey(7700123456), map[string]string{"name": "Ada Fenwright"}); err != nil {
			return err
		}
		_, err := tx.Queue(store.Outgoing{Chat: -1001234567, Data: []byte("reply to Ada Fenwright")})
		return err
	}))
	require.NoError(t, s.Close())
	data, err := os.ReadFile(filepath.Join(dir, "data", "t.db"))
	require.NoError(t, err)
	for _, secret := range []string{"Fenwright", "wreck", "7700123456", "1001234567", "31.23456"} {
		assert.NotContains(t, string(data), secret)
	}
	for _, n := range []int64{7700123456, -1001234567} {
		var big [8]byte
		for i := range big {
			big[i] = byte(uint64(n) >> (56 - 8*i))
		}
		assert.NotContains(t, string(data), string(big[:]), "number in binary")
	}
	assert.Contains(t, string(data), "Mycteroperca", "the test would see clear text")
}

func TestSecondProcessIsTurnedAwayWithinASecond(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	defer s.Close()
	started := time.Now()
	_, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	assert.ErrorIs(t, err, store.ErrInUse)
	assert.Less(t, time.Since(started), time.Second)
}

func TestKeyLostOrWrongIsSaidAndNothingIsHurt(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon))
	require.NoError(t, s.Close())
	db, key := filepath.Join(dir, "data", "t.db"), filepath.Join(dir, "config", "key")
	kept, err := os.ReadFile(key)
	require.NoError(t, err)
	require.NoError(t, os.Remove(key))
	_, err = store.Open(db, store.Options{KeyFile: key})
	require.ErrorIs(t, err, store.ErrKeyLost)
	assert.NoFileExists(t, key, "no new key is made silently")
	require.NoError(t, os.WriteFile(key, make([]byte, 32), 0o600))
	_, err = store.Open(db, store.Options{KeyFile: key})
	require.ErrorIs(t, err, store.ErrKeyWrong)
	require.NoError(t, os.WriteFile(key, kept, 0o600))
	s = open(t, dir)
	assert.Len(t, all(t, s, store.Filter{Personal: true}), 1)
	require.NoError(t, s.Close())
}

func TestForeignTruncatedAndEmptyFilesAreRefused(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon))
	require.NoError(t, s.Close())
	whole, err := os.ReadFile(filepath.Join(dir, "data", "t.db"))
	require.NoError(t, err)
	for name, content := range map[string][]byte{
		"empty": {}, "text": []byte("not a store at all, just words\n"), "zeroes": make([]byte, 1<<16), "cut": whole[:5000],
	} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, content, 0o600))
		_, err := store.Open(path, store.Options{KeyFile: filepath.Join(dir, "config", "key")})
		assert.ErrorIs(t, err, store.ErrNotAStore, name)
		after, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, content, after, name)
	}
}

func TestForgottenPersonLeavesOnlyCounts(t *testing.T) {
	s := opened(t)
	r := report(501, noon)
	add(t, s, r, report(502, noon.Add(time.Hour)))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		r.DepthM = new(44.0)
		if err := tx.PutReport(r); err != nil {
			return err
		}
		if err := tx.Put("session", tx.PersonKey(501)+"/3", "talk"); err != nil {
			return err
		}
		n, err := tx.ForgetPerson(501)
		assert.Equal(t, 1, n)
		return err
	}))
	list := all(t, s, store.Filter{Personal: true})
	require.Len(t, list, 2)
	assert.Zero(t, list[0].Personal)
	assert.Zero(t, list[0].Who)
	assert.Equal(t, int64(502), list[1].Personal.Person)
	require.NoError(t, s.View(func(tx *store.Tx) error {
		mine, err := tx.ReportsByPerson(501, 0)
		assert.Empty(t, mine)
		for key := range tx.Keys("session", "") {
			assert.Fail(t, "state left", key)
		}
		return err
	}))
}

func TestMovedGroupKeepsItsNumberAndItsReplies(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		before, err := tx.ChatNumber(-100)
		require.NoError(t, err)
		_, err = tx.Queue(store.Outgoing{Chat: -100, Data: []byte("one")})
		require.NoError(t, err)
		_, err = tx.Queue(store.Outgoing{Chat: -1009, Data: []byte("two")}) // the new number was seen first
		require.NoError(t, err)
		require.NoError(t, tx.MoveChat(-100, -1009))
		for _, transport := range []int64{-100, -1009} {
			n, err := tx.ChatNumber(transport)
			require.NoError(t, err)
			assert.Equal(t, before, n)
		}
		var order []string
		for o, err := range tx.Outbox(0) {
			require.NoError(t, err)
			assert.Equal(t, int64(-1009), o.Chat)
			order = append(order, string(o.Data))
		}
		assert.Equal(t, []string{"one", "two"}, order)
		return nil
	}))
}

func TestSeenNumbersAreASetAndGoAfterTwoDays(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		require.NoError(t, tx.MarkSeen(900000, noon))
		assert.True(t, tx.Seen(900000))
		assert.False(t, tx.Seen(17), "a lower number is new")
		for i := range int64(3) {
			require.NoError(t, tx.MarkSeen(17+i, noon.Add(49*time.Hour)))
		}
		assert.False(t, tx.Seen(900000), "forgotten after 48 hours")
		return nil
	}))
}

// A report is never written while a slow reader holds its view, unless the file
// has room in the address space: the reader must not hold the writer up.
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
			batch := make([]*store.Report, 100)
			for j := range batch {
				batch[j] = report(int64(600+i), noon)
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

func TestBackupOfAStoreInUseOpensAndHoldsEverything(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon), report(502, noon))
	path := filepath.Join(dir, "copy.db")
	require.NoError(t, s.Backup(context.Background(), path))
	add(t, s, report(503, noon))
	require.NoError(t, s.Close())
	copied, err := store.Open(path, store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	require.NoError(t, err)
	assert.Len(t, all(t, copied, store.Filter{Personal: true}), 2)
	require.NoError(t, copied.Close())
}

// The store against a plain map, over random operations.
func TestStoreDoesWhatAMapWould(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp("", "model")
		require.NoError(t, err)
		defer os.RemoveAll(dir)
		s := open(t, dir)
		defer s.Close()
		model := map[uint64]store.Report{}
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			step(rt, t, s, model)
		}
		list := all(t, s, store.Filter{Personal: true, Undone: true})
		require.Len(rt, list, len(model))
		for i, r := range list {
			want := model[r.Number]
			require.Equal(rt, want.Tag, r.Tag)
			require.Equal(rt, want.Undone, r.Undone)
			require.Equal(rt, want.Personal.Person, r.Personal.Person)
			require.True(rt, i == 0 || !r.CaughtAt.Before(list[i-1].CaughtAt), "by time")
		}
		require.NoError(rt, s.Check(context.Background()))
	})
}

func step(rt *rapid.T, t *testing.T, s *store.Store, model map[uint64]store.Report) {
	person := rapid.Int64Range(1, 4).Draw(rt, "person")
	at := noon.Add(time.Duration(rapid.IntRange(-1000, 1000).Draw(rt, "minutes")) * time.Minute)
	tag := "T" + strconv.Itoa(rapid.IntRange(0, 3).Draw(rt, "tag"))
	require.NoError(rt, s.Update(func(tx *store.Tx) error {
		switch rapid.SampledFrom([]string{"add", "add", "change", "undo", "forget"}).Draw(rt, "op") {
		case "add":
			r := report(person, at)
			r.Tag = tag
			n, err := tx.AddReport(r)
			model[n] = *r
			return err
		case "forget":
			for n, r := range model {
				if r.Personal.Person == person {
					r.Personal = store.Personal{}
					model[n] = r
				}
			}
			_, err := tx.ForgetPerson(person)
			return err
		default:
			for n := uint64(1); n <= uint64(len(model)); n++ {
				r, err := tx.Report(n)
				if err != nil {
					return err
				}
				if r.Personal.Person != person {
					continue
				}
				r.Tag, r.CaughtAt, r.Undone = tag, at, !r.Undone
				model[n] = *r
				return tx.PutReport(r)
			}
			return nil
		}
	}))
}

// writeUntilKilled adds reports and says so after each commit.
func writeUntilKilled(dir string) {
	s, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	for {
		r := report(501, time.Now())
		err := s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(r); return err })
		if err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		fmt.Println(r.Number)
	}
}

// kills is how often the crash test kills the writer; DEEPWARD_KILLS for the long run.
func kills() int {
	if n, err := strconv.Atoi(os.Getenv("DEEPWARD_KILLS")); err == nil {
		return n
	}
	return 10
}

func TestKilledWriterLosesNothingThatWasAcknowledged(t *testing.T) {
	dir := t.TempDir()
	acknowledged := uint64(0)
	for i := range kills() {
		acknowledged = max(acknowledged, killAfter(t, dir, time.Duration(15+7*i%60)*time.Millisecond))
		s := open(t, dir)
		require.NoError(t, s.Check(context.Background()))
		require.GreaterOrEqual(t, uint64(len(all(t, s, store.Filter{Personal: true}))), acknowledged)
		require.NoError(t, s.Close())
	}
	t.Logf("%d kills, %d reports acknowledged, none lost", kills(), acknowledged)
}

// killAfter runs the writer for a while, kills it, and returns the last number
// it had acknowledged.
func killAfter(t *testing.T, dir string, d time.Duration) (last uint64) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "DEEPWARD_KILL_ME="+dir)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	timer := time.AfterFunc(d+30*time.Millisecond, func() { _ = cmd.Process.Kill() })
	defer timer.Stop()
	var n uint64
	for {
		if _, err := fmt.Fscan(out, &n); err != nil {
			break
		}
		last = n
	}
	_ = cmd.Wait()
	return last
}

func BenchmarkReadReport(b *testing.B) {
	s := open(b, b.TempDir())
	defer s.Close()
	list := make([]*store.Report, 5000)
	for i := range list {
		list[i] = report(int64(i), noon)
	}
	add(b, s, list...)
	b.ReportAllocs()
	for b.Loop() {
		n := 0
		_ = s.View(func(tx *store.Tx) error {
			for range tx.Reports(store.Filter{}) {
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
