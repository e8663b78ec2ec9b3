package importer

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A unit that nobody knows is asked about, also where the units of the table are told: taken
// for feet, braças would be wrong sixfold and unseen. Places that are no unit are not asked.
func TestUnknownUnitInAHeadingIsNotOverruled(t *testing.T) {
	o := options()
	o.Units = Imperial
	s := sheetOf(t, "Date,Species,Depth (braças)\n2024-03-04,gag,22\n", o)
	require.Len(t, s.Questions, 1)
	assert.Contains(t, s.Questions[0].Text, `("braças")`)
	assert.Equal(t, "depth fathoms", s.Questions[0].Choices[2].Answer.Value)
	o.Columns = map[string]string{"Depth (braças)": "depth fathoms"}
	list := reports(t, "Date,Species,Depth (braças)\n2024-03-04,gag,22\n", o)
	require.Len(t, list, 1)
	assert.InDelta(t, 22*6*0.3048, *list[0].DepthM, 1e-9)
	assert.Empty(t, sheetOf(t, "Date,Species,Length (FL),Depth\n2024-03-04,gag,22,90\n", Options{Units: Imperial}).Questions)
}

// Ways to write fathoms, of common practice, no source.
func TestFathomsInShort(t *testing.T) {
	for _, head := range []string{"Depth (fa)", "Depth (fths)", "Depth fm"} {
		r := row(t, head, "20", options())
		assert.InDelta(t, 36.576, *r.DepthM, 1e-9, head)
	}
}

// A column a fish is a table of counts, which is said: its lines would pass for one fish each.
func TestTableOfCountsIsTold(t *testing.T) {
	s := sheetOf(t, "Date,Depth (ft),red snapper,gag\n2024-03-04,90,4,1\n", options())
	var notes []string
	for _, n := range s.Notes {
		notes = append(notes, n.String())
		assert.NotEqual(t, n.String(), n.In("es"))
	}
	assert.Contains(t, strings.Join(notes, "\n"), `"red snapper", "gag" are fish`)
}
