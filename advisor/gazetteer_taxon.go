package advisor

import (
	"strings"
	"sync"
)

// taxa are the rows of the gazetteer by scientific name. They are read when the first
// fish outside the catalogue is asked for.
var taxa = sync.OnceValue(func() map[string]*Species {
	table := make(map[string]*Species, 5000)
	mustReadRows("gazetteer taxa", gazetteerTaxaCSV, func(r *tableRow) {
		s := r.gazetteerTaxon()
		table[s.ScientificName] = s
	})
	return table
})

// gazetteerTaxon is a fish that is in no catalogue: what is known of it is its kin, its
// kind of bladder and its greatest size; its weight goes by the usual shape of a fish.
func (r *tableRow) gazetteerTaxon() *Species {
	return &Species{
		ScientificName: r.text("taxon"),
		EnglishName:    r.text("taxon"),
		Rank:           r.text("rank"),
		Family:         r.text("family"),
		Bladder:        Bladder(strings.TrimPrefix(r.text("bladder"), "unknown")),
		BladderSource:  r.text("bladder_basis"),
		MaxLengthCm:    r.number("max_length_cm"),
		MaxLengthType:  LengthType(r.text("length_type")),
		DepthMinM:      r.number("depth_min_m"),
		DepthMaxM:      r.number("depth_max_m"),
	}
}

// OfGazetteer is a fish of the gazetteer by its exact scientific name, nil where it has no
// row or where nobody knows what bladder it has.
func OfGazetteer(scientificName string) *Species {
	s := taxa()[scientificName]
	if s == nil || s.Bladder == "" {
		return nil
	}
	return s
}

// fishNamed is a fish of the catalogue or of the gazetteer, nil where nobody knows it.
func fishNamed(scientificName string) *Species {
	if s := LookUp(scientificName); s != nil || scientificName == "" {
		return s
	}
	return OfGazetteer(scientificName)
}
