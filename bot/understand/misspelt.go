package understand

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
)

// spellings are the keys of all names, for the search of misspelt ones. They are read at
// the first name that nobody knows.
type spellings struct {
	byLength map[int][]string
	// words are those of which names are made.
	words map[string]bool
}

var theSpellings = sync.OnceValue(func() *spellings {
	x := &spellings{byLength: map[int][]string{}, words: map[string]bool{}}
	seen := map[string]bool{}
	for _, name := range advisor.GazetteerSpellings() {
		x.add(nameKey(name), seen)
	}
	for name := range names().entries {
		x.add(nameKey(name), seen)
	}
	correct := maps.Clone(x.words)
	for _, row := range namesHeard() { // which have slips of their own
		x.add(nameKey(row[1]), seen)
	}
	x.words = correct
	for _, list := range x.byLength {
		slices.Sort(list)
	}
	return x
})

func (x *spellings) add(key string, seen map[string]bool) {
	if key == "" || seen[key] {
		return
	}
	seen[key] = true
	x.byLength[len(key)] = append(x.byLength[len(key)], key)
	for w := range strings.FieldsSeq(key) {
		x.words[w] = true
	}
}

// misspelt finds what a name is a slip of. Words that are known, as a part of names or as
// ordinary ones, are never corrected; and where the nearest names are not one fish, or
// differ in their bladder, it is not sure.
func (b *nameBook) misspelt(words []string, s Setting) (Resolved, bool) {
	near, distance := theSpellings().near(words)
	if distance == 0 {
		return Resolved{}, false
	}
	var senses []sense
	for _, n := range near {
		senses = append(senses, b.senses(n)...)
	}
	if len(senses) == 0 {
		return Resolved{}, false
	}
	r := b.weigh(near[0], senses, s)
	r.Corrected = near[0]
	r.Sure = r.Sure && oneBladder(r.Taxa)
	if len(near) > 1 && !r.Sure {
		r.Corrected = ""
	}
	return r, true
}

// oneBladder is true where all these fish have the same kind of bladder.
func oneBladder(taxa []string) bool {
	for _, taxon := range taxa {
		if advisor.BladderOf(taxon) != advisor.BladderOf(taxa[0]) {
			return false
		}
	}
	return true
}

// near are the names at the least distance from a misspelt one that differ from it in
// words that nobody knows.
func (x *spellings) near(words []string) (found []string, distance int) {
	return nearestNames(x.byLength, strings.Join(words, " "), func(candidate string) bool { return x.changes(words, candidate) })
}

// plainWord is how long a word is that one wrong letter makes no other word of.
const plainWord = 8

// changes is true where a name has lost a word that is known, as a part of names or as an
// ordinary one; in a word that was set together it is not lost. A long word that is not a
// name by itself may be one letter off: "vermillion" is written in some names.
func (x *spellings) changes(words []string, candidate string) bool {
	kept := strings.Fields(candidate)
	return slices.ContainsFunc(words, func(w string) bool {
		inside := slices.ContainsFunc(kept, func(k string) bool { return k == w || len(w) >= shortestWidened && strings.Contains(k, w) })
		slip := len(w) >= plainWord && len(words) == 1 && typos(w, candidate) == 1
		return !inside && !slip && (x.words[w] || ordinary(w))
	})
}

// ordinary is true for a word of the word lists.
func ordinary(word string) bool {
	_, listed := lexicon().Phrases[word]
	return listed || describing()[word]
}
