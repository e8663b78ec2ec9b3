package store_test

import (
	"bytes"
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/catch"
)

// The files in testdata/stores were written by the program when that schema was
// its own; each has its key beside it, which a real store never has.
const oldStores = "../testdata/stores"

// oldStore is a copy of a kept store of an earlier schema.
func oldStore(t *testing.T, name string) (path, key string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(oldStores, name+".db"))
	require.NoError(t, err)
	path = filepath.Join(t.TempDir(), name+".db")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path, filepath.Join(oldStores, name+".key")
}

func TestOldStoreOpensWithAllItHeld(t *testing.T) {
	for _, name := range []string{"schema1", "schema2"} {
		t.Run(name, func(t *testing.T) { opensWithAllItHeld(t, name) })
	}
}

func opensWithAllItHeld(t *testing.T, name string) {
	path, key := oldStore(t, name)
	s, err := store.Open(path, store.Options{KeyFile: key, Now: func() time.Time { return noon }})
	require.NoError(t, err)
	require.NoError(t, s.Check(t.Context()))
	assert.Equal(t, 6, s.Stats().Schema)
	require.Len(t, all(t, s, catch.Filter{Personal: true, Undone: true}), 42)
	require.Len(t, all(t, s, catch.Filter{}), 41, "one was taken back")
	require.NoError(t, s.View(func(tx *store.Tx) error {
		r, err := tx.Report(41)
		require.NoError(t, err)
		assertSchema1Report(t, r)
		assertSchema1State(t, tx)
		return nil
	}))
	require.NoError(t, s.Close())
	s, err = store.Open(path, store.Options{KeyFile: key})
	require.NoError(t, err, "a second opening finds nothing to do")
	require.NoError(t, s.Close())
}

// A name that nobody knows as a fish may be a person's: it is sealed, also in reports of
// before.
func TestNamesThatNobodyKnowsAreSealed(t *testing.T) {
	path, key := oldStore(t, "schema3")
	clear := func(path string) bool {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		return bytes.Contains(bytes.ToLower(data), []byte("smith"))
	}
	require.True(t, clear(path), "schema 3 had it in the clear")
	s, err := store.Open(path, store.Options{KeyFile: key})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Check(t.Context()))
	compacted := filepath.Join(t.TempDir(), "compacted.db")
	require.NoError(t, s.Compact(t.Context(), compacted))
	assert.False(t, clear(compacted))
	require.NoError(t, s.View(func(tx *store.Tx) error {
		r, err := tx.Report(43)
		require.NoError(t, err)
		assert.Equal(t, "smith", r.SpeciesGiven, "who may see what was written still does")
		return nil
	}))
	for _, r := range all(t, s, catch.Filter{Undone: true}) {
		assert.NotEqual(t, "smith", r.SpeciesGiven)
	}
}

// assertSchema1Report compares with what was put in when the file was made.
func assertSchema1Report(t *testing.T, r *catch.Report) {
	t.Helper()
	_, offset := r.CaughtAt.Zone()
	assert.Equal(t, -3*3600, offset, "the zone is kept")
	assert.True(t, r.CaughtAt.Equal(time.Date(2026, 4, 30, 9, 15, 0, 0, time.UTC)))
	assert.False(t, r.ChangedAt.IsZero())
	who := r.Who
	assert.NotZero(t, who)
	r.Who, r.CaughtAt, r.SavedAt, r.ChangedAt = 0, time.Time{}, time.Time{}, time.Time{}
	want := &catch.Report{
		Number: 41, Chat: 1, Thread: 3, Message: 41, Part: 1, DateOnly: true, Season: "Skerrow 2026",
		Species: "Mycteroperca microlepis", SpeciesGiven: "gag", SpeciesSure: true, Capture: advisor.Capture{DepthM: new(41.5), WeightKg: new(3.2), LengthCm: new(61.5), LengthType: "TL", Signs: r.Signs, Hook: "lip", Bleeding: true, MinutesOnDeck: new(2.5), Behaviour: "weak"}, DepthMinM: new(38.0), Release: advisor.Release{Method: "recompressed", WeightsOz: []float64{20, 40}, ReleaseDepthM: new(30.0), Outcome: "swam_down", Tag: "SK-0042", Recapture: true}, SignsLooked: true, Predators: true, SurfaceTempC: new(24.5), Advised: "recompress 40",
		Flags: []string{"size_for_length"}, Origin: "paper log", Named: true, Club: 1, LogNo: 41, ClubNo: 41, Cell: &catch.Cell{Lat: -313, Lon: -187},
		Personal: catch.Personal{Person: 7700123456, Name: "Ada Fenwright", Words: "log gag 40 m by the wreck", Lat: new(-31.23456), Lon: new(-18.65432), Note: "took the small hook"},
	}
	assert.Equal(t, want, r)
	assert.EqualValues(t, []string{"bulging_eyes", "bloated_belly"}, []string{string(r.Signs[0]), string(r.Signs[1])})
}

func assertSchema1State(t *testing.T, tx *store.Tx) {
	t.Helper()
	var profile map[string]string
	known, err := tx.Get("person", tx.PersonKey(7700123456), &profile)
	require.NoError(t, err)
	assert.True(t, known)
	assert.Equal(t, "Ada Fenwright", profile["name"])
	transport, ok := tx.TransportChat(1)
	assert.True(t, ok)
	assert.EqualValues(t, -1001234567, transport)
	var waiting []string
	for o, err := range tx.Outbox(-1001234567) {
		require.NoError(t, err)
		waiting = append(waiting, string(o.Data))
	}
	assert.Equal(t, []string{"first", "second"}, waiting)
	assert.True(t, tx.Seen(900000, time.Time{}))
	assert.True(t, tx.Imported("row 17 of the paper log"))
	assert.False(t, tx.Imported("row 18 of the paper log"))
}

func TestOlderStoreIsNotChangedByReading(t *testing.T) {
	path, key := oldStore(t, "schema1")
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	_, err = store.Open(path, store.Options{KeyFile: key, ReadOnly: true})
	require.ErrorIs(t, err, store.ErrOlderSchema)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

func TestOlderStoreWithTheWrongKeyIsNotChanged(t *testing.T) {
	path, _ := oldStore(t, "schema1")
	key := filepath.Join(t.TempDir(), "key")
	require.NoError(t, os.WriteFile(key, make([]byte, 32), 0o600))
	_, err := store.Open(path, store.Options{KeyFile: key})
	require.ErrorIs(t, err, store.ErrKeyWrong)
	_, good := oldStore(t, "schema1")
	s, err := store.Open(path, store.Options{KeyFile: good})
	require.NoError(t, err)
	require.NoError(t, s.Close())
}

func TestBackupOfAnOlderSchemaCanBeRestored(t *testing.T) {
	backup, key := oldStore(t, "schema1")
	before, err := os.ReadFile(backup)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "fresh", "t.db")
	require.NoError(t, restore(t.Context(), backup, path, store.Options{KeyFile: key}))
	after, err := os.ReadFile(backup)
	require.NoError(t, err)
	assert.Equal(t, before, after, "the backup stays as it is")
	s, err := store.Open(path, store.Options{KeyFile: key})
	require.NoError(t, err)
	assert.Len(t, all(t, s, catch.Filter{Personal: true}), 41)
	require.NoError(t, s.Close())
}

// A new store is born at the newest schema: nothing of it is brought up to date.
func TestNewStoreIsBornAtTheNewestSchema(t *testing.T) {
	var log bytes.Buffer
	dir := t.TempDir()
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{
		KeyFile: filepath.Join(dir, "key"), Log: slog.New(slog.NewTextHandler(&log, nil)),
	})
	require.NoError(t, err)
	require.NoError(t, s.Check(t.Context()))
	require.NoError(t, s.Close())
	assert.Empty(t, log.String())
}
