package understand

import (
	_ "embed"
	"iter"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"deepward/advisor"
	"deepward/advisor/packed"
)

//go:generate go run deepward/advisor/pack data/names_heard.csv

//go:embed data/names_heard.csv.gz
var namesHeardGzip []byte

var namesHeardCSV = sync.OnceValue(func() string { return packed.Text(namesHeardGzip) })

// namesHeard are the rows of names in labelled texts: language, name, place, species,
// times.
func namesHeard() iter.Seq2[int, []string] { return mustRows(namesHeardCSV()) }

// sense is one thing that a name means somewhere.
type sense struct {
	taxon, language, region string
	// weight says how good the source of the sense is; more is better.
	weight int
	// part is true where the name is only the telling part of a longer one.
	part bool
}

// The weights of the sources of a name; how they compare was tried on the sets to learn
// from (TestNamesHeardInHalfOfTheSets…).
const (
	weightMore     = 1 // names that were not looked through
	weightPart     = 2 // the telling part of a name of the catalogue
	weightScreened = 3
	weightName     = 5 // a name of the catalogue
	weightHeard    = 6 // used so in labelled texts
	weightMain     = 9 // the main English name in the catalogue, or the scientific one
)

// nameBook finds what names mean.
type nameBook struct {
	// own are the senses of the catalogue and of labelled texts by joined key; those of
	// the gazetteer are looked up where they stand.
	own map[string][]sense
	// heard is how often a name meant what where, by joined key.
	heard map[string][]heardName
	// kinds are the joined keys of names that tell no more than a kind of fish.
	kinds map[string]bool
}

// heardName is how often a name meant a fish in the texts of a region, which lies within
// another or none; the fish is "" where it could have been several.
type heardName struct {
	taxon, language, region, within string
	times                           int
}

var theNameBook = sync.OnceValue(func() *nameBook { return newNameBook(namesHeard()) })

// namesAbout is how many names the catalogue and the texts have, roughly.
const namesAbout = 4000

// newNameBook makes a book of the catalogue and of names heard in texts: rows of
// language, name, place, species, times.
func newNameBook(heard iter.Seq2[int, []string]) *nameBook {
	b := &nameBook{own: make(map[string][]sense, namesAbout), heard: make(map[string][]heardName, namesAbout), kinds: map[string]bool{}}
	b.addCatalogue()
	b.addHeard(heard)
	return b
}

// nameKey is a name as it is looked up: folded, without marks and plurals, however its
// genitives are written: "Ray's bream", "rays bream", "ray s bream".
func nameKey(name string) string {
	words := strings.FieldsFunc(strings.ReplaceAll(fold(name), "'", ""), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	kept := words[:0]
	for _, w := range words {
		if w != "s" {
			kept = append(kept, singularWord(w))
		}
	}
	return strings.Join(kept, " ")
}

// joinedKey is a name as it stands in the gazetteer: its key without blanks, for people
// set them as they please.
func joinedKey(name string) string { return strings.ReplaceAll(nameKey(name), " ", "") }

func (b *nameBook) addCatalogue() {
	for name, e := range names().entries {
		for _, c := range e.claims {
			x := sense{taxon: c.species.ScientificName, weight: weightName}
			switch c.rank {
			case rankPart, rankKind:
				x.weight, x.part = weightPart, true
			case rankEnglish - 1, rankEnglish, rankScientific:
				x.weight = weightMain
			}
			b.add(joinedKey(name), x)
		}
		b.addFirst(joinedKey(name), e)
	}
}

// addFirst puts the likeliest fish of a name first, as far as somebody judged it.
func (b *nameBook) addFirst(key string, e *entry) {
	if e.generic {
		b.kinds[key] = true
	}
	if e.first != nil {
		b.add(key, sense{taxon: e.first.ScientificName, weight: weightMain})
	}
	for language, first := range e.firstIn {
		b.add(key, sense{taxon: first.ScientificName, language: language, weight: weightMain})
	}
}

// addHeard learns what labelled texts mean by a name where they were written.
func (b *nameBook) addHeard(rows iter.Seq2[int, []string]) {
	regionOf := map[string]string{} // the same places come again and again
	for _, row := range rows {
		times, err := strconv.Atoi(row[4])
		if err != nil {
			panic("understand: embedded table: " + err.Error())
		}
		region, found := regionOf[row[2]]
		if !found {
			region, _ = FindRegion(row[2])
			regionOf[row[2]] = region
		}
		key, taxon := joinedKey(row[1]), advisor.Accepted(row[3])
		if taxon != "" {
			b.add(key, sense{taxon: taxon, language: row[0], region: region, weight: weightHeard})
		}
		b.heard[key] = append(b.heard[key], heardName{taxon, row[0], region, advisor.RegionNamed(region).Within, times})
	}
}

// heardAt is how often a name meant what in texts of a region or a language; nil where it
// was never heard there.
func (b *nameBook) heardAt(key, where string) (times map[string]int) {
	for _, h := range b.heard[key] {
		if slices.Contains(h.places(), where) && where != "" {
			if times == nil {
				times = map[string]int{}
			}
			times[h.taxon] += h.times
		}
	}
	return times
}

// places are where a name was heard, from language to the larger region; "" for no such.
func (h heardName) places() []string { return []string{h.language, h.region, h.within} }

func (b *nameBook) add(key string, x sense) {
	if key == "" {
		return
	}
	for i, other := range b.own[key] {
		if other.taxon == x.taxon && other.region == x.region && other.language == x.language {
			if x.weight > other.weight {
				b.own[key][i] = x
			}
			return
		}
	}
	b.own[key] = append(b.own[key], x)
}

// knows is true for a whole name.
func (b *nameBook) knows(name string) bool { return len(b.senses(joinedKey(name))) > 0 }

// senses are all that a name means somewhere, nil for a name that nobody knows. What the
// gazetteer lists goes before a part of another name, and before a whole kind.
func (b *nameBook) senses(key string) []sense {
	key = strings.ReplaceAll(key, " ", "")
	own, list := b.own[key], b.listed(key)
	if len(list) == 0 {
		return own
	}
	for _, x := range own {
		if !x.part && strings.Contains(x.taxon, " ") {
			list = append(list, x)
		}
	}
	return list
}

// listed are the senses of the gazetteer.
func (b *nameBook) listed(key string) (list []sense) {
	for _, n := range advisor.GazetteerNamed(key) {
		if n.Taxon == "-" {
			continue
		}
		x := sense{taxon: n.Taxon, language: n.Language, weight: weightMore}
		if n.Screened {
			x.weight = weightScreened
		}
		x.region, _ = FindRegion(n.Place)
		list = append(list, x)
	}
	return list
}
