package understand

import (
	_ "embed"
	"strings"
	"sync"

	"deepward/advisor"
)

//go:embed data/regions.csv
var regionsCSV string

// placeTable are the regions by the words for places in them, folded: wide are those for
// a whole country or sea, of which a part may lie elsewhere.
type placeTable struct{ narrow, wide map[string]string }

var regions = sync.OnceValue(func() placeTable {
	table := placeTable{map[string]string{}, map[string]string{}}
	for _, row := range mustRows(regionsCSV) {
		if row[2] == "" {
			table.narrow[row[0]] = row[1]
		} else {
			table.wide[row[0]] = row[1]
		}
	}
	for _, region := range Regions() {
		if words := strings.Join(placeWords(region), " "); table.wide[words] == "" {
			table.narrow[words] = region
		}
	}
	return table
})

// Regions are the names of the regions that are told apart, in order.
func Regions() (list []string) {
	for _, r := range advisor.Regions() {
		list = append(list, r.Name)
	}
	return list
}

// FindRegion reads a region as people write it, by any words for a coast, a country, a
// state, a sea or an island in it: "the Gulf", "NSW", "Bahia, Brazil". Of several words
// the longest tells, then the first, and those for a whole country only where no others do.
func FindRegion(text string) (string, bool) {
	words := placeWords(text)
	for _, table := range []map[string]string{regions().narrow, regions().wide} {
		for n := len(words); n > 0; n-- {
			for i := 0; i+n <= len(words); i++ {
				if r, ok := table[strings.Join(words[i:i+n], " ")]; ok {
					return r, true
				}
			}
		}
	}
	return "", false
}

// placeWords are the words of a place, folded, without marks.
func placeWords(text string) []string {
	return strings.FieldsFunc(fold(text), func(r rune) bool {
		return r == ' ' || r == '-' || r == '\'' || r == ',' || r == '.' || r == '(' || r == ')'
	})
}
