package understand

import (
	"strings"

	"deepward/advisor"
)

// shortestUnscreened is the length from which a single word of the names that were not
// looked through for everyday words is taken for the name of a fish.
const shortestUnscreened = 5

// addNames puts the names of the gazetteer and of the catalogue into the marks of the
// learned reader: 1 for a plain name, 2 for one that is an everyday word too.
func addNames(marks map[string]uint8) {
	for _, n := range advisor.GazetteerNames() {
		words := wordsOf(n.Name)
		if n.Taxon == "-" || len(words) == 0 || !n.Screened && len(words) == 1 && len(words[0]) < shortestUnscreened {
			continue
		}
		mark := uint8(1)
		if n.Everyday == "high" || n.Everyday == "medium" {
			mark = 2
		}
		addMark(marks, words, mark)
	}
	for name := range names().entries {
		if words := wordsOf(name); len(words) > 0 {
			addMark(marks, words, 1)
		}
	}
}

// addMark marks a name and its plural; the stronger warning stands.
func addMark(marks map[string]uint8, words []string, mark uint8) {
	name := strings.Join(words, " ")
	for _, form := range []string{name, name + "s"} {
		marks[form] = max(marks[form], mark)
	}
}
