package importer

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// openStore is an empty store.
func openStore(t *testing.T) *store.Store {
	t.Helper()
	dir := t.TempDir()
	s, err := store.Open(filepath.Join(dir, "log.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}

func importInto(t *testing.T, s *store.Store, sheet *Sheet, leaveOut bool) (added, there int, err error) {
	t.Helper()
	err = s.Update(func(tx *store.Tx) (err error) {
		added, there, err = Into(tx, sheet, leaveOut)
		return err
	})
	return added, there, err
}

func kept(t *testing.T, s *store.Store) int {
	t.Helper()
	n := 0
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for _, err := range tx.Reports(catch.Filter{}) {
			if err != nil {
				return err
			}
			n++
		}
		return nil
	}))
	return n
}

func TestSameFileTwiceAddsNothing(t *testing.T) {
	s := openStore(t)
	data, err := os.ReadFile("testdata/release-table.csv")
	require.NoError(t, err)
	text := string(data)
	sheet := sheetOf(t, text, options())
	added, there, err := importInto(t, s, sheet, false)
	require.NoError(t, err)
	assert.Equal(t, 9, added, "two fish that look the same are two fish")
	assert.Zero(t, there)

	added, there, err = importInto(t, s, sheetOf(t, text, options()), false)
	require.NoError(t, err)
	assert.Zero(t, added)
	assert.Equal(t, 9, there)

	added, _, err = importInto(t, s, sheetOf(t, turned(text), options()), false)
	require.NoError(t, err)
	assert.Zero(t, added, "columns in another order, semicolons, other line ends: the same rows")

	grown := text + "Balistes capriscus,2022-03-01,29,340,1,0,NA,NA,good,circle,29.912,-87.432,19.3\n"
	added, _, err = importInto(t, s, sheetOf(t, grown, options()), false)
	require.NoError(t, err)
	assert.Equal(t, 1, added, "only what is new")
	assert.Equal(t, 10, kept(t, s))

	o := options()
	o.Chat = 8
	added, _, err = importInto(t, s, sheetOf(t, text, o), false)
	require.NoError(t, err)
	assert.Equal(t, 9, added, "another club's log is its own")
}

// turned is the same table with its columns from back to front.
func turned(text string) string {
	var b strings.Builder
	for row := range strings.SplitSeq(strings.TrimSpace(text), "\n") {
		cells := strings.Split(row, ",")
		slices.Reverse(cells)
		b.WriteString(strings.Join(cells, ";") + "\r\n")
	}
	return b.String()
}

func TestImportIsAllOrNothing(t *testing.T) {
	s := openStore(t)
	text := "Date,Fish,Depth m\n2025-03-04,gag,30\n2025-03-05,gag,3000\n"
	_, _, err := importInto(t, s, sheetOf(t, text, options()), false)
	assert.ErrorIs(t, err, ErrProblems)
	assert.Zero(t, kept(t, s))

	added, _, err := importInto(t, s, sheetOf(t, text, options()), true)
	require.NoError(t, err)
	assert.Equal(t, 1, added)

	_, _, err = importInto(t, s, sheetOf(t, "Date,Fish\n03/04/2025,gag\n", options()), true)
	assert.ErrorIs(t, err, ErrAsk, "a question is not left out")
	assert.Equal(t, 1, kept(t, s))
}

// failing is a log that breaks on the third report.
type failing struct {
	*store.Tx
	n int
}

var errBroken = errors.New("the disk went away")

func (f *failing) AddReport(r *catch.Report) (uint64, error) {
	if f.n++; f.n == 3 {
		return 0, errBroken
	}
	return f.Tx.AddReport(r)
}

func TestBrokenImportLeavesNothing(t *testing.T) {
	s := openStore(t)
	sheet := sheetOf(t, "Date,Fish\n2025-03-04,gag\n2025-03-05,gag\n2025-03-06,gag\n", options())
	err := s.Update(func(tx *store.Tx) error {
		_, _, err := Into(&failing{Tx: tx}, sheet, false)
		return err
	})
	assert.ErrorIs(t, err, errBroken)
	assert.Zero(t, kept(t, s))
	added, _, err := importInto(t, s, sheet, false)
	require.NoError(t, err)
	assert.Equal(t, 3, added)
}

func TestNamesAndPlacesAreKeptOnlyWhenSaid(t *testing.T) {
	text := "Date,Angler,Species,Lat,Lon,Notes\n2025-03-04,Ada Fenwright,gag,-31.2345,-18.3456,calm\n"
	r := only(t, text, options())
	assert.Empty(t, r.Personal.Name)
	assert.Nil(t, r.Personal.Lat)
	assert.Equal(t, &catch.Cell{Lat: -313, Lon: -184}, r.Cell)
	assert.Equal(t, "Date: 2025-03-04; Species: gag; Notes: calm", r.Personal.Words)

	o := options()
	o.KeepNames, o.KeepPlaces = true, true
	r = only(t, text, o)
	assert.Equal(t, "Ada Fenwright", r.Personal.Name)
	assert.InDelta(t, -31.2345, *r.Personal.Lat, 1e-12)
	assert.Contains(t, r.Personal.Words, "Ada Fenwright")
}

// The identity lies in the clear: it must not be a fingerprint of what is sealed.
func TestIdentityTellsNothingThatIsSealed(t *testing.T) {
	id := func(row string) string {
		s := sheetOf(t, "Date,Angler,Species,Lat,Lon,Notes\n"+row+"\n", options())
		require.NoError(t, s.Ready())
		return s.Rows[0].Entries[0].ID
	}
	a := id("2025-03-04,Ada Fenwright,gag,-31.2345,-18.3456,calm")
	assert.Equal(t, a, id("2025-03-04,Bruno Quill,gag,-31.2999,-18.3001,rough"))
	assert.NotEqual(t, a, id("2025-03-04,Ada Fenwright,gag,-31.1345,-18.3456,calm"))
	assert.NotEqual(t, a, id("2025-03-05,Ada Fenwright,gag,-31.2345,-18.3456,calm"))
}

func TestIdentitiesAreUnique(t *testing.T) {
	ids := map[string]bool{}
	s := sheetOf(t, "Date,Fish,Count\n2025-03-04,gag,3\n2025-03-04,gag,2\n2025-03-05,gag,1\n", options())
	require.NoError(t, s.Ready())
	n := 0
	for e := range s.Entries() {
		ids[e.ID] = true
		n++
	}
	assert.Equal(t, 6, n)
	assert.Len(t, slices.Collect(maps.Keys(ids)), 6)
}

func TestLargeSheetIsKeptInParts(t *testing.T) {
	s := openStore(t)
	var text strings.Builder
	text.WriteString("Date,Species,Depth m\n")
	for range AtOnce + 7 {
		text.WriteString("2024-03-04,gag,40\n")
	}
	sheet := sheetOf(t, text.String(), options())
	parts := 0
	update := func(do func(Log) error) error {
		parts++
		if parts == 2 {
			return errors.New("full")
		}
		return s.Update(func(tx *store.Tx) error { return do(tx) })
	}
	added, there, err := IntoParts(update, sheet, false)
	assert.EqualError(t, err, "full")
	assert.Equal(t, []int{AtOnce, 0, AtOnce}, []int{added, there, kept(t, s)})
	added, there, err = IntoParts(update, sheet, false)
	require.NoError(t, err)
	assert.Equal(t, []int{7, AtOnce, AtOnce + 7}, []int{added, there, kept(t, s)}, "the same sheet adds the rest")
}
