package words

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed hazards.csv
var hazardsCSV string

// hazards are the phrases of the species table about what can hurt the hand, by
// language and English phrase.
var hazards = sync.OnceValue(func() map[string]map[string]string {
	rows, err := csv.NewReader(strings.NewReader(hazardsCSV)).ReadAll()
	if err != nil {
		panic("words: embedded hazards: " + err.Error())
	}
	table := map[string]map[string]string{}
	for i, language := range rows[0] {
		table[language] = map[string]string{}
		for _, row := range rows[1:] {
			table[language][row[0]] = row[i]
		}
	}
	return table
})

// Hazard says what can hurt the hand, from the English phrases of the species table
// with semicolons between; a phrase that has no translation is said as it stands.
func (v Voice) Hazard(english string) string {
	phrases := strings.Split(english, ";")
	for i, p := range phrases {
		p = strings.TrimSpace(p)
		if said, ok := hazards()[v.Language()][p]; ok {
			p = said
		}
		phrases[i] = p
	}
	return v.Clauses(phrases...)
}
