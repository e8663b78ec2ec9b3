package understand

import (
	_ "embed"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

//go:embed data/concepts.csv
var conceptsCSV string

// closed are the values of the closed vocabulary by the beginning of their concepts.
var closed = map[string][]string{
	"sign:": codes(advisor.Signs[:]), "hook:": codes(advisor.Hooks[:]), "behaviour:": codes(advisor.Behaviours[:]),
	"method:": codes(advisor.Methods[:]), "outcome:": codes(advisor.Outcomes[:]), "length:": codes(advisor.LengthTypes[:]),
	dayConcept: {"1", "2"},
}

func codes[T ~string](list []T) (out []string) {
	for _, x := range list {
		out = append(out, string(x))
	}
	return out
}

// rolesOf are the concepts of the lists besides words.csv, as the rules take them.
var rolesOf = map[string][]string{
	"again": {"spot", "deed", "all", "size", "species", "another", "back", "put back", "result", "as told", "lightest", "heaviest", "together", "is", "last", "last but one", "alone", "returned", "otherwise", "1", "2", "3", "4"},
	"hurt":  {"body", "whose", "harm", "alone"}, "requests": {"opener", "article", "undo", "last", "report", "appeal"},
	"which":   {"1", "2", "3", "4", "last", "other", "rest", "each", "small", "middle", "big", "bulging_eyes", "bloated_belly", "everted_stomach"},
	"lessons": {"how", "why", "when", "which", "weight", "carry", "deed", "vent", "depth", "small", "fish"},
}

// Every concept of the word lists is in a table, and every concept of a table has words.
func TestEveryConceptIsInATable(t *testing.T) {
	var plain, used []string
	for _, row := range mustRows(conceptsCSV) {
		plain = append(plain, row[0])
		assert.NotEmpty(t, row[1], row[0])
	}
	for _, row := range mustRows(wordsCSV()) {
		if !slices.Contains(used, row[1]) {
			used = append(used, row[1])
		}
		kind, value, _ := strings.Cut(row[1], ":")
		if values, ok := closed[kind+":"]; ok {
			assert.Contains(t, values, value, "words.csv says %q by %q, which no table has", row[1], row[2])
			continue
		}
		assert.Contains(t, plain, row[1], "words.csv has a concept that concepts.csv lacks, for %q", row[2])
	}
	for kind, values := range closed {
		for _, value := range values {
			assert.Contains(t, used, kind+value, "nobody can say it")
		}
	}
	for _, concept := range plain {
		assert.Contains(t, used, concept)
	}
	for list, file := range map[string]string{"again": againCSV, "which": whichCSV, "hurt": hurtCSV, "requests": requestsCSV, "lessons": lessonsCSV} {
		for _, row := range mustRows(file) {
			assert.Contains(t, rolesOf[list], row[1], "%s.csv", list)
		}
	}
}

// Every language of a list is one that is spoken, and words stand in each.
func TestListsAreInTheLanguagesSpoken(t *testing.T) {
	for list, file := range map[string]string{"words": wordsCSV(), "which": whichCSV, "commands": commandsCSV, "again": againCSV, "hurt": hurtCSV, "requests": requestsCSV, "lessons": lessonsCSV, "months": monthsCSV} {
		var found []string
		for _, row := range mustRows(file) {
			if !slices.Contains(found, row[0]) {
				found = append(found, row[0])
			}
		}
		assert.Subset(t, found, advisor.BaseLanguages(), list)
		assert.Subset(t, append(advisor.BaseLanguages(), "*"), found, list)
	}
}

// What the learned reader can say is what the tables have, and no more.
func TestLearnedReaderSpeaksTheClosedVocabulary(t *testing.T) {
	net := learned.Trained()
	for _, act := range net.Acts {
		assert.Contains(t, []Act{ActQuestion, ActReport, ActCorrection, ActCommand, ActOther}, Act(act))
	}
	for _, want := range net.Wants {
		_, ok := RequestOf(Want(want))
		assert.True(t, ok || want == "-", "a request that no table has: %q", want)
	}
	told := map[string]bool{}
	for _, layer := range []learned.Layer{learned.States, learned.Deeds, learned.Ends} {
		for _, tag := range net.Tags[layer] {
			kind, value, of := strings.Cut(strings.TrimPrefix(strings.TrimPrefix(tag, "B-"), "I-"), ".")
			if of {
				assert.Contains(t, closed[kind+":"], value, tag)
				told[kind+":"+value] = true
			}
		}
	}
	for kind, values := range closed {
		for _, value := range values {
			if kind != "length:" && kind != dayConcept {
				assert.True(t, told[kind+value], "it was not learned to hear %s%s", kind, value)
			}
		}
	}
}
