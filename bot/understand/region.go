package understand

import (
	_ "embed"
	"strings"
	"sync"

	"deepward/advisor"
)

//go:embed data/regions.csv
var regionsCSV []byte

// regions are the regions by the words for places in them, folded.
var regions = sync.OnceValue(func() map[string]string {
	table := map[string]string{}
	for _, row := range mustRows(regionsCSV) {
		table[row[0]] = row[1]
	}
	for _, region := range Regions() {
		table[strings.Join(placeWords(region), " ")] = region
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
// the longest tells, then the first.
func FindRegion(text string) (string, bool) {
	words := placeWords(text)
	for n := len(words); n > 0; n-- {
		for i := 0; i+n <= len(words); i++ {
			if r, ok := regions()[strings.Join(words[i:i+n], " ")]; ok {
				return r, true
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
