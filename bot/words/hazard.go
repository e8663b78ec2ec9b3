package words

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed hazards.csv
var hazardsCSV string

//go:embed regions.csv
var regionsCSV string

// phrases are English phrases of the core's tables in other languages, by language and
// English phrase.
type phrases map[string]map[string]string

// readPhrases reads a table with one column a language, English first.
func readPhrases(table string) phrases {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic("words: embedded phrases: " + err.Error())
	}
	list := phrases{}
	for i, language := range rows[0] {
		list[language] = map[string]string{}
		for _, row := range rows[1:] {
			if row[i] != "" { // a country's column has only what differs
				list[language][row[0]] = row[i]
			}
		}
	}
	return list
}

// in is the phrase for a voice; as it stands where there is no translation.
func (p phrases) in(v Voice, english string) string {
	for _, language := range []string{v.Tag(), v.Language()} {
		if said, ok := p[language][english]; ok {
			return said
		}
	}
	return english
}

var (
	hazards = sync.OnceValue(func() phrases { return readPhrases(hazardsCSV) })
	regions = sync.OnceValue(func() phrases { return readPhrases(regionsCSV) })
)

// Hazard says what can hurt the hand, from the English phrases of the species table
// with semicolons between; a phrase that has no translation is said as it stands.
func (v Voice) Hazard(english string) string { return v.Clauses(v.Hazards(english)...) }

// Hazards are the phrases of [Voice.Hazard] one by one.
func (v Voice) Hazards(english string) []string {
	parts := strings.Split(english, ";")
	for i, p := range parts {
		parts[i] = hazards().in(v, strings.TrimSpace(p))
	}
	return parts
}

// Region is what a region of the species table is called.
func (v Voice) Region(english string) string { return regions().in(v, english) }
