package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
)

//go:embed data/regions.csv
var regionsCSV []byte

var regions = sync.OnceValue(func() map[string]string {
	table := map[string]string{}
	for _, s := range advisor.Catalogue() {
		for _, r := range s.Regions {
			table[fold(r)] = r
		}
	}
	for _, row := range mustRows(regionsCSV) {
		table[row[0]] = row[1]
	}
	return table
})

// Regions are the names of the regions that the catalogue knows, in order.
func Regions() []string {
	var list []string
	for _, r := range regions() {
		if !slices.Contains(list, r) {
			list = append(list, r)
		}
	}
	slices.Sort(list)
	return list
}

// FindRegion reads a region as people write it: "the Gulf", "NSW", "Hawaii", or
// words that stand in one region's name only: "us gulf".
func FindRegion(text string) (string, bool) {
	words := strings.Fields(fold(text))
	if len(words) > 1 && regionArticles[words[0]] {
		words = words[1:]
	}
	if r, ok := regions()[strings.Join(words, " ")]; ok {
		return r, true
	}
	var fit []string
	for _, r := range Regions() {
		if slices.ContainsFunc(words, telling) && isSubset(words, strings.Fields(fold(r))) {
			fit = append(fit, r)
		}
	}
	if len(fit) != 1 {
		return "", false
	}
	return fit[0], true
}

// regionArticles may stand before a region.
var regionArticles = map[string]bool{"the": true, "el": true, "la": true, "o": true, "a": true, "as": true, "os": true, "le": true, "les": true}

func isSubset(words, of []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(of, w) })
}

// telling is false for words that say too little to name a place by: "of", "us".
func telling(word string) bool { return len(word) >= 4 }
