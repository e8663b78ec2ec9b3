package advisor

import (
	_ "embed"
	"slices"
	"sync"

	"deepward/advisor/packed"
)

// Bladder is the kind of swim bladder a species has.
type Bladder string

// The kinds of swim bladder, by the names used in data.
const (
	// BladderClosed has no duct: the gas cannot get out on the way up.
	BladderClosed Bladder = "closed"
	// BladderOpen has a duct to the gut.
	BladderOpen Bladder = "open"
	// BladderNone: the adult has no bladder.
	BladderNone Bladder = "none"
	// BladderReduced: the bladder is too small to matter; treated as none.
	BladderReduced Bladder = "reduced"
)

// Species is one row of the catalogue, one of the HigherTaxa, or a fish of the gazetteer. The text fields keep the provenance that
// stands in the data file; a source of "memory" was not read on any page.
type Species struct {
	ScientificName string
	// Rank is the taxonomic rank of the name: "species", but for the HigherTaxa.
	Rank   string
	Family string
	// ASFIS is the three-letter FAO code, "" if there is none.
	ASFIS string
	// AphiaID is the WoRMS identifier, 0 if unknown.
	AphiaID     int
	EnglishName string
	OtherNames  []string
	// Regions are the seas in which anglers meet the species.
	Regions []string
	// Seas are those in which a fish of the gazetteer lives, by FAO areas; nil for the
	// catalogue.
	Seas          []string
	Bladder       Bladder
	BladderSource string

	// LWa and LWb give weight in grams from length in centimetres, W = a·L^b,
	// with the length measured as LWType; 0 where no relation is known at all.
	LWa, LWb float64
	LWType   LengthType
	LWSource string
	// MaxLengthCm is the greatest length on record, measured as MaxLengthType.
	MaxLengthCm     float64
	MaxLengthType   LengthType
	MaxLengthSource string
	// RecordKg is the greatest weight on record of a fish of the gazetteer; 0 where
	// none is.
	RecordKg float64
	// DepthMinM and DepthMaxM are the depths in metres in which it is met, the
	// usual ones or all on record, as DepthSource says; a minimum of 0 may be unknown.
	DepthMinM, DepthMaxM float64
	DepthSource          string

	Hazard        string
	HazardSource  string
	ProtectedNote string
	// Danger is what of the hazards needs care before anything else.
	Danger Danger

	// abroad are the names of a fish of the gazetteer in other languages.
	abroad map[string]string
}

//go:embed data/species.csv.gz
var speciesGzip []byte

//go:embed data/species_extra.csv
var speciesExtraCSV string

// Catalogue returns every species, in the order of the data files. The entries
// are shared: do not change them.
var Catalogue = sync.OnceValue(func() []*Species {
	return append(mustParseSpecies(packed.Text(speciesGzip)), mustParseSpecies(speciesExtraCSV)...)
})

//go:embed data/higher_taxa.csv
var higherTaxaCSV string

// HigherTaxa returns whole groups that anglers name without the species, such as
// sharks: no fish of them traps gas, so none is sent down for that. The entries are
// shared: do not change them.
var HigherTaxa = sync.OnceValue(func() (list []*Species) {
	mustReadRows("higher taxa", higherTaxaCSV, func(r *tableRow) {
		s := r.higherTaxon()
		s.Danger = s.dangerOf()
		list = append(list, s)
	})
	return list
})

var byScientificName = sync.OnceValue(func() map[string]*Species {
	index := make(map[string]*Species, len(Catalogue())+len(HigherTaxa()))
	for _, s := range slices.Concat(Catalogue(), HigherTaxa()) {
		index[s.ScientificName] = s
	}
	return index
})

// LookUp returns the species or higher taxon of that exact scientific name, or nil. A
// fish outside the catalogue is made anew from the gazetteer each time: its bladder may be
// unknown, its shape, gas and dangers are those of its family.
func LookUp(scientificName string) *Species {
	if s, ok := byScientificName()[scientificName]; ok {
		return s
	}
	if s := taxonNamed(scientificName); s != nil {
		return s
	}
	if accepted := Accepted(scientificName); accepted != scientificName {
		return LookUp(accepted)
	}
	return nil
}

// Catalogued is true for the scientific name of a species of the catalogue or of a
// higher taxon, false for a fish of the gazetteer and for what is no name.
func Catalogued(scientificName string) bool { return byScientificName()[scientificName] != nil }

func mustParseSpecies(table string) (list []*Species) {
	mustReadRows("species", table, func(r *tableRow) {
		s := r.species()
		s.Danger = s.dangerOf()
		list = append(list, s)
	})
	return list
}

func (r *tableRow) species() *Species {
	return &Species{
		ScientificName:  r.text("scientific_name"),
		Rank:            "species",
		Family:          r.text("family"),
		ASFIS:           r.text("asfis_3alpha"),
		AphiaID:         int(r.number("aphia_id")),
		EnglishName:     r.text("english_name"),
		OtherNames:      r.list("other_common_names"),
		Regions:         r.list("regions"),
		Bladder:         Bladder(r.text("bladder")),
		BladderSource:   r.text("bladder_source"),
		LWa:             r.number("lw_a"),
		LWb:             r.number("lw_b"),
		LWType:          LengthType(r.text("lw_length_type")),
		LWSource:        r.text("lw_source"),
		MaxLengthCm:     r.number("max_length_cm"),
		MaxLengthType:   LengthType(r.text("max_length_type")),
		MaxLengthSource: r.text("max_length_source"),
		DepthMinM:       r.number("typical_depth_min_m"),
		DepthMaxM:       r.number("typical_depth_max_m"),
		DepthSource:     r.text("depth_source"),
		Hazard:          r.text("handling_hazard"),
		HazardSource:    r.text("hazard_source"),
		ProtectedNote:   r.text("protected_note"),
	}
}

func (r *tableRow) higherTaxon() *Species {
	return &Species{
		ScientificName:  r.text("scientific_name"),
		Rank:            r.text("rank"),
		EnglishName:     r.text("english_name"),
		OtherNames:      r.list("other_common_names"),
		Bladder:         Bladder(r.text("bladder")),
		BladderSource:   r.text("bladder_source"),
		MaxLengthCm:     r.number("max_length_cm"),
		MaxLengthType:   TotalLength,
		MaxLengthSource: r.text("max_length_source"),
		Hazard:          r.text("handling_hazard"),
		HazardSource:    r.text("hazard_source"),
	}
}
