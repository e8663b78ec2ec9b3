package importer

import (
	_ "embed"
	"strings"
	"sync"

	"deepward/advisor"
)

// Names of what anglers catch and is no fish, by language ("la" are genera); from memory.
//
//go:embed data/notfish.csv
var notFishCSV []byte

// notFish are the names that stand last in a longer one, and those that stand first.
var notFish = sync.OnceValue(func() (list struct{ last, first map[string]bool }) {
	list.last, list.first = map[string]bool{}, map[string]bool{}
	for _, row := range advisor.Rows("names of what is no fish", notFishCSV) {
		name := strings.ReplaceAll(row[1], "-", " ")
		if row[0] == "en" {
			list.last[name], list.last[name+"s"] = true, true
		} else {
			list.first[name] = true
		}
	}
	return list
})

// isNoFish is true for a name of a turtle, bird, mammal or the like. In English the kind
// stands last, in the other languages and in Latin first: "bird wrasse" is a fish.
func isNoFish(name string) bool {
	words := plainWords(name)
	if len(words) == 0 || advisor.LookUp(strings.Join(strings.Fields(name), " ")) != nil {
		return false
	}
	for n := 1; n <= min(len(words), 3); n++ {
		if notFish().last[strings.Join(words[len(words)-n:], " ")] || notFish().first[strings.Join(words[:n], " ")] {
			return true
		}
	}
	return false
}
