package advisor

import (
	_ "embed"
	"strings"
	"sync"
)

// BladderUnknown is a kind of which nobody knows whether its gas can get out. It is
// answered as the fish that nobody knows: as if the gas were trapped.
const BladderUnknown Bladder = "unknown"

// taxonColumns are the columns of the table of taxa.
var taxonColumns = sync.OnceValue(func() map[string]int { return headOf(gazetteerTaxaCSV()) })

// taxonNamed makes the species of one row of the gazetteer, nil if there is none.
func taxonNamed(scientificName string) *Species {
	line := rowsBeginning(gazetteerTaxaCSV(), scientificName)
	if line == "" {
		return nil
	}
	r := &tableRow{column: taxonColumns()}
	r.read(line)
	s := r.taxon()
	if r.err != nil {
		panic("advisor: embedded table of taxa: " + r.err.Error())
	}
	return s
}

// taxon reads one row of the gazetteer. What it does not have is borrowed from the
// family, and its source says so.
func (r *tableRow) taxon() *Species {
	s := &Species{
		ScientificName: r.text("taxon"), Rank: r.text("rank"), Family: r.text("family"), EnglishName: r.text("en"),
		Bladder: Bladder(r.text("bladder")), BladderSource: r.text("bladder_basis"),
		MaxLengthCm: r.number("max_length_cm"), MaxLengthType: lengthType(r.text("length_type")), MaxLengthSource: fishBase,
		RecordKg:  r.number("max_weight_kg"),
		DepthMinM: r.number("depth_min_m"), DepthMaxM: r.number("depth_max_m"), DepthSource: fishBase,
		Seas:          r.list("regions"),
		ProtectedNote: "check local rules [memory]",
		abroad:        map[string]string{},
	}
	for _, language := range nameLanguages {
		if name := r.text(language); name != "" {
			s.abroad[language] = name
		}
	}
	s.borrow(s.lineage(r.text("order")))
	return s
}

// fishBase is the source of what the gazetteer tells of sizes and depths.
const fishBase = "FishBase 0.2.1, whole recorded range; of a genus or family the largest member listed"

// lengthType keeps the ways of measuring that can be converted; "" for another, such
// as the width of a ray's disc.
func lengthType(t string) LengthType {
	switch LengthType(t) {
	case TotalLength, ForkLength, StandardLength:
		return LengthType(t)
	}
	return ""
}

// lineage are the names by which tables speak of a fish, the narrowest first: itself,
// its genus, its family, its order, sharks or rays as a whole.
func (s *Species) lineage(order string) []string {
	genus, _, _ := strings.Cut(s.ScientificName, " ")
	return []string{s.ScientificName, genus, s.Family, order, division[order]}
}

// division names the sharks and the rays among the orders.
var division = map[string]string{
	"Carcharhiniformes": "Selachimorpha", "Squaliformes": "Selachimorpha", "Hexanchiformes": "Selachimorpha",
	"Lamniformes": "Selachimorpha", "Orectolobiformes": "Selachimorpha",
	"Rajiformes": "Batoidea", "Myliobatiformes": "Batoidea", "Rhinopristiformes": "Batoidea",
}

// borrow takes shape and dangers from the nearest kin of which they are known.
func (s *Species) borrow(lineage []string) {
	for _, name := range lineage {
		if shape, ok := shapes()[name]; ok && s.LWa == 0 && name != "" {
			s.LWa, s.LWb, s.LWType = shape.a, shape.b, shape.measured
			s.LWSource = "BORROWED from " + name + ": " + shape.source
		}
		if d, ok := dangers()[name]; ok && s.Hazard == "" && name != "" {
			s.Hazard, s.HazardSource, s.Danger = d.hazard, name+": "+d.source, d.kind
		}
	}
}

//go:embed data/shapes.csv
var shapesCSV string

// shape is the usual relation of weight and length in a family or of a body form.
type shape struct {
	a, b     float64
	measured LengthType
	source   string
}

var shapes = sync.OnceValue(func() map[string]shape {
	table := map[string]shape{}
	mustReadRows("shapes", shapesCSV, func(r *tableRow) {
		table[r.text("taxon")] = shape{r.number("lw_a"), r.number("lw_b"), LengthType(r.text("lw_length_type")), r.text("source")}
	})
	return table
})

// gazetteerInEnglish finds the taxa of the gazetteer by their English names, which are
// no one else's.
var gazetteerInEnglish = sync.OnceValue(func() map[string]string {
	table := make(map[string]string, 5000)
	mustReadRows("gazetteer taxa", gazetteerTaxaCSV(), func(r *tableRow) { table[r.text("en")] = r.text("taxon") })
	return table
})
