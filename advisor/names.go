package advisor

import (
	_ "embed"
	"slices"
	"sync"
)

//go:embed data/common_names.csv
var commonNamesCSV string

// nameLanguages are the columns of the table of common names.
var nameLanguages = BaseLanguages()[1:]

var commonNames = sync.OnceValue(func() map[string]map[string]string {
	table := map[string]map[string]string{}
	mustReadRows("common names", commonNamesCSV, func(r *tableRow) {
		names := map[string]string{}
		for _, language := range nameLanguages {
			if name := r.text(language); name != "" {
				names[language] = name
			}
		}
		table[r.text("scientific_name")] = names
	})
	return table
})

// NameIn is what the species is called in a language, "es", "pt" or "fr"; its
// English name where none is known there, and for any other language.
func (s *Species) NameIn(language string) string {
	if name, ok := s.namesAbroad()[language]; ok {
		return name
	}
	return s.EnglishName
}

// namesAbroad are the names in other languages, by language.
func (s *Species) namesAbroad() map[string]string {
	if s.abroad != nil {
		return s.abroad
	}
	return commonNames()[s.ScientificName]
}

// NamedIn reports whether NameIn has a name of that language, rather than the English
// one in its place.
func (s *Species) NamedIn(language string) bool {
	_, ok := s.namesAbroad()[language]
	return ok || language == "en"
}

// NamesAbroad are the names of the species in other languages, in no order.
func (s *Species) NamesAbroad() (list []string) {
	for _, name := range s.namesAbroad() {
		list = append(list, name)
	}
	return list
}

var byEnglishName = sync.OnceValue(func() map[string]*Species {
	index := map[string]*Species{}
	for _, s := range slices.Concat(Catalogue(), HigherTaxa()) {
		index[s.EnglishName] = s
	}
	return index
})

// InEnglish returns the species or higher taxon of that exact English name, or nil; of
// several kinds the catalogue's comes first.
func InEnglish(name string) *Species {
	if s, ok := byEnglishName()[name]; ok {
		return s
	}
	return taxonNamed(gazetteerInEnglish()[name])
}
