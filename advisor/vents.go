package advisor

import (
	_ "embed"
	"sync"
)

// The table data/vents_itself.csv holds what is known of kinds that let their gas
// out by themselves although no duct leads out of the bladder: it bursts, and the gas
// leaves by the vent, the gills or a torn gut wall. The column share is ours: 1 for a
// kind whose source says that it vents itself, 0.5 for one called less prone or seen
// to get down all the same, 0 for one of which it was only asked.

//go:embed data/vents_itself.csv
var ventsCSV string

// venters are the shares in (0, 1] by scientific name of a species or by family.
var venters = sync.OnceValue(func() map[string]float64 {
	table := map[string]float64{}
	mustReadRows("fish that vent themselves", ventsCSV, func(r *tableRow) {
		name, share := r.text("scientific_name"), r.number("share")
		table[name] = max(table[name], share)
	})
	return table
})

// VentsItself says how far a closed-bladder kind lets its gas out by itself on the way
// up, and so gets down unaided: 1 fully, 0.5 in part (called less prone), 0 not known
// to. Published: data/vents_itself.csv.
func (s *Species) VentsItself() float64 {
	if !s.trapsGas() {
		return 0
	}
	return VentsItself(s.ScientificName, s.Family)
}

// VentsItself is [Species.VentsItself] by names, for a kind that is not in the
// catalogue; what is said of the species goes before what is said of the family.
func VentsItself(scientificName, family string) float64 {
	if share, ok := venters()[scientificName]; ok && scientificName != "" {
		return share
	}
	return venters()[family]
}
