package understand

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var sortNames = flag.Bool("sort-names", false, "write the keys of the gazetteer anew, and its rows in their order")

// The rows of the gazetteer stand in the order of their keys, so that one is found without
// reading the others. After a change of the rows or of how keys are made, -sort-names
// puts them right.
func TestTheGazetteerIsInTheOrderOfItsKeys(t *testing.T) {
	const path = "../../advisor/data/gazetteer_names.csv"
	file, err := os.ReadFile(path)
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(file)).ReadAll()
	require.NoError(t, err)
	want := slices.Clone(rows[1:])
	for i, row := range want {
		want[i] = append([]string{joinedKey(row[1])}, row[1:]...)
	}
	slices.SortFunc(want, slices.Compare[[]string])
	if *sortNames {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		require.NoError(t, w.WriteAll(append(rows[:1], want...)))
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
		t.Log("written: now go generate ./advisor, which packs it")
		return
	}
	for i, row := range rows[1:] {
		require.Equal(t, want[i], row, "run go test -run TheGazetteerIsInTheOrder -sort-names")
		require.NotContains(t, strings.Join(row, ""), "\n")
	}
}

// A name is marked for the learned reader as it was when it learned.
func TestNamesAreMarkedAsTheyWereLearned(t *testing.T) {
	all := NameMarks()
	assert.Greater(t, len(all), 70000)
	wrong := 0
	for phrase, mark := range all {
		if nameMark(phrase) != mark {
			if wrong++; wrong < 30 {
				t.Errorf("%q is %d, learned as %d", phrase, nameMark(phrase), mark)
			}
		}
	}
	assert.Zero(t, wrong)
	assert.Zero(t, nameMark("nobody"))
}
