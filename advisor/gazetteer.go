package advisor

import (
	_ "embed"
	"sync"
)

//go:embed data/gazetteer_names.csv
var gazetteerNamesCSV []byte

//go:embed data/gazetteer_taxa.csv
var gazetteerTaxaCSV []byte

// GazetteerName is one name of a fish somewhere, folded to plain lower-case letters.
type GazetteerName struct {
	Name string
	// Display is the name as it is written, "" where that is Name.
	Display string
	// Language is en, es, pt or fr; Place is where the name is used, "" if anywhere.
	Language, Place string
	// Taxon is the scientific name of what it means, "-" for what is no fish.
	Taxon string
	// Screened is true for names of the main list, which were looked through for
	// everyday words; the others are only good to stop a wrong match or to tell a kind.
	Screened bool
	// Everyday tells how readily the name is an everyday word: "", low, medium, high.
	Everyday string
	// Bait is true for what is fished with.
	Bait bool
}

// GazetteerNames returns every name of the gazetteer. The entries are shared: do not
// change them.
var GazetteerNames = sync.OnceValue(func() (list []GazetteerName) {
	list = make([]GazetteerName, 0, 50000)
	mustReadRows("gazetteer names", gazetteerNamesCSV, func(r *tableRow) {
		list = append(list, GazetteerName{
			Name: r.text("name"), Display: r.text("display"), Language: r.text("language"), Place: r.text("place"),
			Taxon: r.text("taxon"), Screened: r.text("list") == "main", Everyday: r.text("everyday"), Bait: r.text("bait") != "",
		})
	})
	return list
})

// SeasOf are the seas in which a fish of the gazetteer lives, by FAO areas; nil where
// nobody knows.
func SeasOf(taxon string) []string {
	if s := taxonNamed(taxon); s != nil {
		return s.Seas
	}
	return nil
}

// accepted are scientific names by others that mean the same fish.
var accepted = map[string]string{
	"Pagrus auratus": "Chrysophrys auratus", "Epinephelus niveatus": "Hyporthodus niveatus",
}

// Accepted is the scientific name under which a fish stands here.
func Accepted(taxon string) string {
	if name, ok := accepted[taxon]; ok {
		return name
	}
	return taxon
}
