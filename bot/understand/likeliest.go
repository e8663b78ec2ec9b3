package understand

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
)

// What makes a fish likely for a name that nobody knows.
const (
	// soundsAlike is how near a name must sound to count, 0 to 1; soundWeight what that
	// counts against how often the fish is told of.
	soundsAlike = 0.55
	soundWeight = 4
	// leastStem is the shortest beginning of a word that two names can share.
	leastStem = 3
)

// Likeliest are the fish, by their scientific names and best first, that a name which
// nobody knows may mean: those whose names sound like it, and those that are most told of
// in that region or, where none is set, in that language.
func Likeliest(name string, s Setting, most int) []string {
	words := strings.Fields(nameKey(name))
	told := toldOf(s)
	score := map[string]float64{}
	for _, fish := range fishOf(s.Region) {
		taxon := fish.ScientificName
		likely := told[taxon]
		if fish.Rank == "" || strings.Contains(taxon, " ") {
			if a := alikeness(words, fish); a >= soundsAlike {
				likely += soundWeight * a
			}
		}
		if likely > 0 {
			score[taxon] = likely
		}
	}
	list := slices.SortedFunc(maps.Keys(score), func(a, b string) int {
		return cmp.Or(cmp.Compare(score[b], score[a]), cmp.Compare(a, b))
	})
	return list[:min(most, len(list))]
}

// fishOf are the fish of the catalogue that live in a region; all of them for none.
func fishOf(region string) []*advisor.Species {
	if region == "" {
		return advisor.Catalogue()
	}
	return advisor.SpeciesIn(region)
}

// alikeness is how near a name sounds to one of those of a fish, 0 to 1.
func alikeness(words []string, fish *advisor.Species) float64 {
	best := 0.0
	for _, known := range append(fish.NamesAbroad(), fish.EnglishName) {
		for v := range strings.FieldsSeq(nameKey(known)) {
			for _, w := range words {
				best = max(best, wordAlikeness(w, v))
			}
		}
	}
	return best
}

// wordAlikeness is the share of the longer word that both begin with, or that is left when
// what must be changed is taken off.
func wordAlikeness(a, b string) float64 {
	longest := float64(max(len(a), len(b)))
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	alike := 1 - float64(typos(a, b))/longest
	if n >= leastStem {
		alike = max(alike, float64(n)/longest, float64(n)/float64(min(len(a), len(b)))*0.8)
	}
	return alike
}

// tellings is how often each fish is told of in the labelled texts, as a share, by region
// or language.
var tellings = sync.OnceValue(func() map[string]map[string]float64 {
	times, all := map[string]map[string]float64{}, map[string]float64{}
	for _, heard := range theNameBook().heard {
		for _, h := range heard {
			if h.taxon == "" || !advisor.Catalogued(h.taxon) {
				continue
			}
			for _, where := range h.places() {
				if times[where] == nil {
					times[where] = map[string]float64{}
				}
				times[where][h.taxon] += float64(h.times)
				all[where] += float64(h.times)
			}
		}
	}
	for where, fish := range times {
		for taxon := range fish {
			fish[taxon] /= all[where]
		}
	}
	return times
})

// toldOf is how often each fish is told of where the message comes from.
func toldOf(s Setting) map[string]float64 {
	for _, where := range []string{s.Region, advisor.RegionNamed(s.Region).Within, s.Language} {
		if told := tellings()[where]; where != "" && len(told) > 0 {
			return told
		}
	}
	return nil
}
