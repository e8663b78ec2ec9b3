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

// FindRegion reads a region as people write it: "the Gulf", "NSW", "Hawaii".
func FindRegion(text string) (string, bool) {
	text = strings.TrimPrefix(strings.Join(strings.Fields(fold(text)), " "), "the ")
	r, ok := regions()[text]
	return r, ok
}
