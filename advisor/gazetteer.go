package advisor

import (
	_ "embed"
	"strings"
	"sync"

	"deepward/advisor/packed"
)

//go:generate go run ./pack data/gazetteer_names.csv data/gazetteer_taxa.csv data/species.csv data/evidence.csv

//go:embed data/gazetteer_names.csv.gz
var gazetteerNamesGzip []byte

//go:embed data/gazetteer_taxa.csv.gz
var gazetteerTaxaGzip []byte

// gazetteerNamesCSV and gazetteerTaxaCSV unpack their tables at the first question, which
// takes some 20 ms: packed, they make the program four megabytes smaller.
var (
	gazetteerNamesCSV = sync.OnceValue(func() string { return packed.Text(gazetteerNamesGzip) })
	gazetteerTaxaCSV  = sync.OnceValue(func() string { return packed.Text(gazetteerTaxaGzip) })
)

//go:embed data/synonyms.csv
var synonymsCSV string

// GazetteerName is one name of a fish somewhere, folded to plain lower-case letters.
type GazetteerName struct {
	// Key is the name as it is looked up: without plurals, blanks and marks.
	Key  string
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

// GazetteerNames returns every name of the gazetteer, in the order of their keys. It takes
// a quarter of a second at first; GazetteerNamed finds one at once. The entries are
// shared: do not change them.
var GazetteerNames = sync.OnceValue(func() (list []GazetteerName) {
	list = make([]GazetteerName, 0, 50000)
	mustReadRows("gazetteer names", gazetteerNamesCSV(), func(r *tableRow) { list = append(list, r.gazetteerName()) })
	return list
})

func (r *tableRow) gazetteerName() GazetteerName {
	return GazetteerName{
		Key: r.text("key"), Name: r.text("name"), Display: r.text("display"), Language: r.text("language"), Place: r.text("place"),
		Taxon: r.text("taxon"), Screened: r.text("list") == "main", Everyday: r.text("everyday"), Bait: r.text("bait") != "",
	}
}

// nameColumns are the columns of the table of names.
var nameColumns = sync.OnceValue(func() map[string]int { return headOf(gazetteerNamesCSV()) })

// GazetteerNamed returns the names of the gazetteer that have this key, nil if none has.
func GazetteerNamed(key string) (list []GazetteerName) {
	rows := rowsBeginning(gazetteerNamesCSV(), key)
	if rows == "" {
		return nil
	}
	list = make([]GazetteerName, 0, strings.Count(rows, "\n"))
	r := tableRow{column: nameColumns()}
	for line := range strings.Lines(rows) {
		r.read(line)
		list = append(list, r.gazetteerName())
	}
	return list
}

// GazetteerSpellings are the names of the gazetteer as they were folded, each once for
// each thing that it means; those that were quoted in the table are left out.
func GazetteerSpellings() (list []string) {
	for line := range strings.Lines(gazetteerNamesCSV()) {
		_, rest, _ := strings.Cut(line, ",")
		if name, _, _ := strings.Cut(rest, ","); name != "" && name[0] != '"' {
			list = append(list, name)
		}
	}
	return list[1:]
}

// SeasOf are the seas in which a fish of the gazetteer lives, by FAO areas; nil where
// nobody knows.
func SeasOf(taxon string) []string {
	_, rest, _ := strings.Cut(rowsBeginning(gazetteerTaxaCSV(), taxon), ",")
	seas, _, _ := strings.Cut(rest, ",")
	if seas == "" {
		return nil
	}
	return strings.Split(seas, ";")
}

// BladderOf is the kind of bladder of a fish of the catalogue or the gazetteer, "" for
// what is neither. It makes no fish: names are weighed by it.
func BladderOf(taxon string) Bladder {
	if Catalogued(taxon) {
		return LookUp(taxon).Bladder
	}
	fields := strings.SplitN(rowsBeginning(gazetteerTaxaCSV(), taxon), ",", 4)
	if len(fields) < 4 {
		return ""
	}
	return Bladder(fields[2])
}

// synonyms are scientific names by others that mean the same fish, or one so near that
// all that is known here holds for it.
var synonyms = sync.OnceValue(func() map[string]string {
	table := map[string]string{}
	mustReadRows("synonyms", synonymsCSV, func(r *tableRow) { table[r.text("taxon")] = r.text("accepted") })
	return table
})

// Accepted is the scientific name under which a fish stands here.
func Accepted(taxon string) string {
	if name, ok := synonyms()[taxon]; ok {
		return name
	}
	return taxon
}

// headOf are the columns of a table whose rows are looked up one by one.
func headOf(table string) map[string]int {
	head, _, _ := strings.Cut(table, "\n")
	return columnsOf(strings.Split(head, ","))
}

// rowsBeginning finds the rows of a table whose first cell is this, by halves; "" if
// there are none. The rows must be in the order of their first cells, which are never
// quoted, and no cell may have a line end in it: then no others than those on the way
// are looked at, and a question does not wait for thousands of fish that it is not about.
func rowsBeginning(table, first string) string {
	if first == "" || strings.ContainsAny(first, ",\"\n") {
		return ""
	}
	low, high := strings.IndexByte(table, '\n')+1, len(table)
	for low < high {
		start := low + (high-low)/2
		start = low + strings.LastIndexByte(table[low:start], '\n') + 1
		if cell, _, _ := strings.Cut(table[start:], ","); cell < first {
			low = start + strings.IndexByte(table[start:], '\n') + 1
		} else {
			high = start
		}
	}
	end := low
	for strings.HasPrefix(table[end:], first) && strings.HasPrefix(table[end+len(first):], ",") {
		end += strings.IndexByte(table[end:], '\n') + 1
	}
	return table[low:end]
}
