package store_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// secrets are what must not stand in a file that holds what fill put in: words,
// and numbers and places in each form in which they could be written.
func secrets() map[string][]byte {
	list := map[string][]byte{}
	for _, s := range []string{"Fenwright", "Ada F", "wreck", "reply to", "row of", "7700123456", "1001234567", "-31.23456", "31.234", "18.654"} {
		list[s] = []byte(s)
	}
	for _, n := range []int64{7700123456, -1001234567} {
		list[fmt.Sprint(n, " as big-endian")] = binary.BigEndian.AppendUint64(nil, uint64(n))
		list[fmt.Sprint(n, " as little-endian")] = binary.LittleEndian.AppendUint64(nil, uint64(n))
		list[fmt.Sprint(n, " as a sortable key")] = binary.BigEndian.AppendUint64(nil, uint64(n)^1<<63)
		list[fmt.Sprint(n, " as negative CBOR")] = binary.BigEndian.AppendUint32(nil, uint32(-1-n))
	}
	for _, x := range []float64{-31.23456, -18.65432} {
		list[fmt.Sprint(x, " as float64")] = binary.BigEndian.AppendUint64(nil, math.Float64bits(x))
		list[fmt.Sprint(x, " as float32")] = binary.BigEndian.AppendUint32(nil, math.Float32bits(float32(x)))
	}
	return list
}

// What names a person or an exact place, and people's words, must not stand in
// the file: not while it is used, nor after it was compacted, nor in a backup.
func TestFileTellsNoNamesWordsNumbersOrPlaces(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	fill(t, s)
	add(t, s, report(7700123456, noon))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		private, err := tx.ChatNumber(7700123456)
		require.NoError(t, err)
		assert.NotZero(t, private)
		_, err = tx.Queue(store.Outgoing{Chat: 7700123456, Data: []byte("reply to Ada Fenwright")})
		return errors.Join(err, tx.Put("session", tx.PersonKey(7700123456)+"/3", "the wreck"), tx.MoveChat(-1001234567, -1009))
	}))
	require.NoError(t, s.Compact(t.Context(), filepath.Join(dir, "data", "compact.db")))
	require.NoError(t, s.Backup(t.Context(), filepath.Join(dir, "data", "backup.db")))
	require.NoError(t, s.Close())
	for _, name := range []string{"t.db", "compact.db", "backup.db"} {
		data, err := os.ReadFile(filepath.Join(dir, "data", name))
		require.NoError(t, err)
		for what, secret := range secrets() {
			assert.False(t, bytes.Contains(data, secret), "%s holds %s", name, what)
		}
		assert.True(t, bytes.Contains(data, []byte("Mycteroperca")), "the test would see clear text")
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
	list := all(t, s, catch.Filter{Personal: true})
	require.Len(t, list, 2)
	assert.Zero(t, list[0].Personal)
	assert.Zero(t, list[0].Message, "a message leads to who wrote it")
	assert.Zero(t, list[0].Who)
	assert.Equal(t, catch.PersonID(502), list[1].Personal.Person)
	require.NoError(t, s.View(func(tx *store.Tx) error {
		mine, err := tx.ReportsByPerson(501, 0)
		assert.Empty(t, mine)
		for key := range tx.Keys("session", "") {
			assert.Fail(t, "state left", key)
		}
		return err
	}))
}

// A report that was somebody else's before it was corrected still has their words
// in its older version.
func TestForgottenPersonIsGoneFromOlderVersionsToo(t *testing.T) {
	s := opened(t)
	r := report(501, noon)
	add(t, s, r)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		r.Personal = catch.Personal{Person: 502, Name: "Bruno Quill"}
		require.NoError(t, tx.PutReport(r))
		require.Equal(t, 1, tx.Versions(r.Number))
		n, err := tx.ForgetPerson(501)
		require.NoError(t, err)
		assert.Zero(t, n)
		assert.Zero(t, tx.Versions(r.Number))
		kept, err := tx.Report(r.Number)
		require.NoError(t, err)
		assert.Equal(t, "Bruno Quill", kept.Personal.Name)
		return nil
	}))
}

// A private chat has its person's number: the reports made there must not lead to
// it any more, while what waits to be said there still arrives.
func TestForgottenPersonsReportsDoNotLeadToTheirChat(t *testing.T) {
	s := opened(t)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		chat, err := tx.ChatNumber(501)
		require.NoError(t, err)
		r := report(501, noon)
		r.Chat = chat
		_, err = tx.AddReport(r)
		require.NoError(t, err)
		_, err = tx.Queue(store.Outgoing{Chat: 501, Data: []byte("waiting")})
		require.NoError(t, err)
		_, err = tx.ForgetPerson(501)
		require.NoError(t, err)
		id, err := tx.Queue(store.Outgoing{Chat: 501, Data: []byte("forgotten")})
		require.NoError(t, err)
		_, known := tx.TransportChat(chat)
		assert.False(t, known)
		fresh, err := tx.ChatNumber(501)
		require.NoError(t, err)
		assert.NotEqual(t, chat, fresh)
		var order []string
		for o, err := range tx.Outbox(501) {
			require.NoError(t, err)
			assert.EqualValues(t, 501, o.Chat)
			order = append(order, string(o.Data))
		}
		assert.Equal(t, []string{"waiting", "forgotten"}, order)
		require.NoError(t, tx.Delivered(501, id))
		assert.Equal(t, 1, tx.OutboxLen())
		return nil
	}))
	assert.Len(t, all(t, s, catch.Filter{}), 1, "the count stays")
}

func TestOthersKeepWhatIsTheirs(t *testing.T) {
	s := opened(t)
	add(t, s, report(501, noon), report(502, noon))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, person := range []catch.PersonID{501, 502} {
			require.NoError(t, tx.Put("person", tx.PersonKey(person), "profile"))
		}
		_, err := tx.ForgetPerson(501)
		require.NoError(t, err)
		var value string
		known, err := tx.Get("person", tx.PersonKey(502), &value)
		assert.True(t, known)
		return err
	}))
}

// A cursor skips entries when what it stands on is deleted, most of all what the
// same transaction wrote: of so much, forgetting must miss nothing.
func TestForgettingMuchMissesNothing(t *testing.T) {
	const reports = 1400 // of seven people in turn
	s := opened(t)
	list := season(reports)
	add(t, s, list...)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		var errs []error
		for i, r := range list {
			errs = append(errs, tx.PutReport(r), tx.Put("question", tx.PersonKey(r.Personal.Person)+"/"+strconv.Itoa(i), "x"))
		}
		n, err := tx.ForgetPerson(503)
		assert.Equal(t, reports/7, n)
		return errors.Join(append(errs, err)...)
	}))
	kept := 0
	for _, r := range all(t, s, catch.Filter{Personal: true}) {
		if r.Personal.Person != 0 {
			kept++
			assert.NotEqual(t, catch.PersonID(503), r.Personal.Person)
		}
	}
	assert.Equal(t, reports-reports/7, kept)
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for _, r := range list {
			want := 1
			if r.Personal.Person == 503 {
				want = 0
			}
			require.Equal(t, want, tx.Versions(r.Number))
		}
		assert.Empty(t, slices.Collect(tx.Keys("question", tx.PersonKey(503))))
		assert.Len(t, slices.Collect(tx.Keys("question", "")), kept)
		return nil
	}))
}

// A backup from before somebody was forgotten does not bring them back; what a
// backup of after holds of them, who wrote again, stays.
func TestRestoreForgetsWhoWasForgottenSince(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, report(501, noon))
	add(t, s, report(502, noon))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		_, err := tx.ChatNumber(501)
		return errors.Join(err, tx.Put("person", tx.PersonKey(501), "settings"))
	}))
	before, after, path := filepath.Join(dir, "before.db"), filepath.Join(dir, "after.db"), filepath.Join(dir, "data", "t.db")
	require.NoError(t, s.Backup(t.Context(), before))
	require.NoError(t, s.Update(func(tx *store.Tx) error { _, err := tx.ForgetPerson(501); return err }))
	add(t, s, report(501, noon.Add(time.Hour)))
	require.NoError(t, s.Backup(t.Context(), after))
	require.NoError(t, s.Close())

	for _, c := range []struct {
		backup           string
		forgotten, named int
	}{{before, 1, 0}, {after, 0, 1}, {before, 1, 0}, {before, 1, 0}} {
		n, err := store.Restore(t.Context(), c.backup, path, keyOf(dir))
		require.NoError(t, err)
		assert.Equal(t, c.forgotten, n, c.backup)
		s := open(t, dir)
		require.NoError(t, s.View(func(tx *store.Tx) error {
			list, err := tx.ReportsByPerson(501, 0)
			require.NoError(t, err)
			assert.Len(t, list, c.named, c.backup)
			var settings string
			found, err := tx.Get("person", tx.PersonKey(501), &settings)
			assert.False(t, found)
			list, _ = tx.ReportsByPerson(502, 0)
			assert.Len(t, list, 1, "others are left alone")
			return err
		}))
		require.NoError(t, s.Close())
	}

	require.NoError(t, os.WriteFile(path, []byte("no store any more"), 0o600))
	n, err := store.Restore(t.Context(), before, path, keyOf(dir))
	require.NoError(t, err)
	assert.Equal(t, -1, n, "it cannot be known")
}
