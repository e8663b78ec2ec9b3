package advisor

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"
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

// Species is one row of the catalogue. The text fields keep the provenance that
// stands in the data file; a source of "memory" was not read on any page.
type Species struct {
	ScientificName string
	Family         string
	// ASFIS is the three-letter FAO code, "" if there is none.
	ASFIS string
	// AphiaID is the WoRMS identifier, 0 if unknown.
	AphiaID     int
	EnglishName string
	OtherNames  []string
	// Regions are the seas in which anglers meet the species.
	Regions       []string
	Bladder       Bladder
	BladderSource string

	// LWa and LWb give weight in grams from length in centimetres, W = a·L^b,
	// with the length measured as LWType.
	LWa, LWb float64
	LWType   LengthType
	LWSource string
	// MaxLengthCm is the greatest length on record.
	MaxLengthCm     float64
	MaxLengthSource string
	// DepthMinM and DepthMaxM are the depths in which it lives.
	DepthMinM, DepthMaxM float64
	DepthSource          string

	Hazard        string
	HazardSource  string
	ProtectedNote string
}

//go:embed data/species.csv
var speciesCSV []byte

//go:embed data/species_extra.csv
var speciesExtraCSV []byte

// Catalogue returns every species, in the order of the data files. The entries
// are shared: do not change them.
var Catalogue = sync.OnceValue(func() []*Species {
	return append(mustParseSpecies(speciesCSV), mustParseSpecies(speciesExtraCSV)...)
})

var byScientificName = sync.OnceValue(func() map[string]*Species {
	index := make(map[string]*Species, len(Catalogue()))
	for _, s := range Catalogue() {
		index[s.ScientificName] = s
	}
	return index
})

// LookUp returns the species of that exact scientific name, or nil.
func LookUp(scientificName string) *Species { return byScientificName()[scientificName] }

// mustParseSpecies reads a species table that is compiled in: a fault in it is
// a fault of the build, and a test reads every row.
func mustParseSpecies(table []byte) []*Species {
	list, err := parseSpecies(table)
	if err != nil {
		panic("advisor: embedded species table: " + err.Error())
	}
	return list
}

func parseSpecies(table []byte) ([]*Species, error) {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		return nil, err
	}
	column := make(map[string]int, len(rows[0]))
	for i, name := range rows[0] {
		column[name] = i
	}
	list := make([]*Species, 0, len(rows)-1)
	for n, row := range rows[1:] {
		r := speciesRow{row: row, column: column}
		s := r.species()
		if r.err != nil {
			return nil, fmt.Errorf("row %d (%s): %w", n+2, s.ScientificName, r.err)
		}
		list = append(list, s)
	}
	return list, nil
}

// speciesRow reads the cells of one row by column name and keeps the first fault.
type speciesRow struct {
	row    []string
	column map[string]int
	err    error
}

func (r *speciesRow) species() *Species {
	return &Species{
		ScientificName:  r.text("scientific_name"),
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
		MaxLengthSource: r.text("max_length_source"),
		DepthMinM:       r.number("typical_depth_min_m"),
		DepthMaxM:       r.number("typical_depth_max_m"),
		DepthSource:     r.text("depth_source"),
		Hazard:          r.text("handling_hazard"),
		HazardSource:    r.text("hazard_source"),
		ProtectedNote:   r.text("protected_note"),
	}
}

func (r *speciesRow) text(name string) string {
	i, ok := r.column[name]
	if !ok {
		r.err = fmt.Errorf("no column %q", name)
		return ""
	}
	return strings.TrimSpace(r.row[i])
}

func (r *speciesRow) list(name string) []string {
	var list []string
	for part := range strings.SplitSeq(r.text(name), ";") {
		if part = strings.TrimSpace(part); part != "" {
			list = append(list, part)
		}
	}
	return list
}

func (r *speciesRow) number(name string) float64 {
	cell := r.text(name)
	if cell == "" {
		return 0
	}
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("column %q: %w", name, err)
	}
	return x
}
