package advisor

import (
	_ "embed"
	"slices"
	"sync"
)

//go:embed data/regions.csv
var regionsCSV string

// Region is a stretch of coast, or a sea, in which names and fish are much the same.
type Region struct {
	Name string
	// Seas are the FAO areas it lies in, as the gazetteer calls them.
	Seas []string
	// Within is the larger region whose names of fish are used in it too, "" for none.
	Within string
	// HoursAhead is how far its clocks are ahead of UTC, summer time left out: near
	// enough to tell today from yesterday. From memory; of a wide sea the middle.
	HoursAhead int
	// Metric is true where anglers tell depths in metres and fish in kilograms as a rule;
	// from memory.
	Metric bool
}

// Regions are all regions that are told apart, in the order of their names.
var Regions = sync.OnceValue(func() (list []Region) {
	mustReadRows("regions", regionsCSV, func(r *tableRow) {
		list = append(list, Region{r.text("region"), r.list("seas"), r.text("within"), int(r.number("hours_ahead")), r.text("metric") == "yes"})
	})
	slices.SortFunc(list, func(a, b Region) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	return list
})

var regionsByName = sync.OnceValue(func() map[string]Region {
	table := map[string]Region{}
	for _, r := range Regions() {
		table[r.Name] = r
	}
	return table
})

// RegionNamed is the region of that exact name; one without seas for a name of none.
func RegionNamed(name string) Region { return regionsByName()[name] }

// Has is true where a fish that lives in these seas is met in the region.
func (r Region) Has(seas []string) bool {
	return slices.ContainsFunc(r.Seas, func(sea string) bool { return slices.Contains(seas, sea) })
}

// SpeciesIn lists the species of the catalogue that live in a region of that exact name,
// in the catalogue's order; none for an unknown region. Where the catalogue does not tell,
// they are those that live in its seas.
func SpeciesIn(region string) []*Species {
	list := catalogued(func(s *Species) bool { return slices.Contains(s.Regions, region) })
	if r := RegionNamed(region); len(list) == 0 && r.Name != "" {
		list = catalogued(func(s *Species) bool { return r.Has(SeasOf(s.ScientificName)) })
	}
	return list
}

// catalogued are the species of the catalogue of which this holds.
func catalogued(holds func(*Species) bool) (list []*Species) {
	for _, s := range Catalogue() {
		if holds(s) {
			list = append(list, s)
		}
	}
	return list
}
