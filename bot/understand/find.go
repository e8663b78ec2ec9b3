package understand

import (
	"strings"

	"deepward/advisor"
)

// SpeciesNamed is the scientific name of the fish of a whole name, as it stands in a
// table, "" if nobody knows it; sure is false where it fits several. A name with a word
// that nobody knows is that of another fish: "mauve grouper" is not the first of all
// groupers. region is one of Regions, or "".
func (r *Reader) SpeciesNamed(name, region string) (taxon string, sure bool) {
	if taxon = scientific(firstWords(name, 2)); taxon != "" {
		return taxon, true // whoever described it may follow: "Pagrus pagrus (Linnaeus, 1758)"
	}
	found := Resolve(name, Setting{Region: region})
	if len(found.Taxa) == 0 || found.Qualifier {
		return "", false
	}
	return found.Taxa[0], found.Sure
}

// FindSpecies finds the fish of a name as anglers write it, the likeliest first; sure is
// false where more than one is plausible.
func (r *Reader) FindSpecies(name string, s Setting) (fish []*advisor.Species, sure bool) {
	found := Resolve(name, s)
	if anywhere := Resolve(name, Setting{Language: s.Language}); !found.Sure && anywhere.Sure {
		found = anywhere // no fish of the region, and so of another
	}
	for _, taxon := range found.Taxa {
		if f := advisor.LookUp(taxon); f != nil {
			fish = append(fish, f)
		}
	}
	return fish, found.Sure
}

// firstWords are the first n words of a text.
func firstWords(text string, n int) string {
	words := strings.Fields(text)
	return strings.Join(words[:min(n, len(words))], " ")
}
