package advisor

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every region lies in seas that the gazetteer knows, and a larger one holds it whole.
func TestRegionsLieInSeasThatFishLiveIn(t *testing.T) {
	for _, r := range Regions() {
		assert.NotEmpty(t, r.Seas, r.Name)
		assert.GreaterOrEqual(t, r.HoursAhead, -12, r.Name)
		assert.LessOrEqual(t, r.HoursAhead, 13, r.Name)
		if r.Within != "" {
			assert.NotEmpty(t, RegionNamed(r.Within).Seas, r.Within)
		}
		for _, sea := range r.Seas {
			lives := false
			for _, name := range taxa(t) {
				if lives = (Region{Seas: []string{sea}}).Has(SeasOf(name)); lives {
					break
				}
			}
			assert.True(t, lives, "%s: nothing lives in %s", r.Name, sea)
		}
	}
}

// A region of which the catalogue's own column says nothing has the species of its seas.
func TestSpeciesOfARegionThatTheCatalogueDoesNotName(t *testing.T) {
	list := SpeciesIn("Brazil")
	assert.Contains(t, list, LookUp("Pagrus pagrus"))
	assert.NotContains(t, list, LookUp("Sebastes pinniger"))
}

// A table is searched by halves: the first row, the last, and what would lie between.
func TestRowsBeginning(t *testing.T) {
	table := "name,x\na,1\nb,2\nb,3\nd,4\n"
	assert.Equal(t, "a,1\n", rowsBeginning(table, "a"))
	assert.Equal(t, "b,2\nb,3\n", rowsBeginning(table, "b"))
	assert.Equal(t, "d,4\n", rowsBeginning(table, "d"))
	for _, none := range []string{"", "c", "e", "0", "name", "a,1", "b\n"} {
		assert.Empty(t, rowsBeginning(table, none), none)
	}
}
