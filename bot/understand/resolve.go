package understand

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"

	"deepward/advisor"
)

//go:embed data/names_heard.csv
var namesHeardCSV []byte

// Resolved is what the words that name a fish mean.
type Resolved struct {
	// Taxa are the scientific names that it may mean, best first; empty for a name that
	// nobody knows.
	Taxa []string
	// Sure is true where the first one is meant beyond a reasonable doubt.
	Sure bool
	// Corrected is the name that a misspelt one was taken for, "" if it was not.
	Corrected string
	// Qualifier is true where a word of the name is not known: it may be another fish of
	// that kind.
	Qualifier bool
}

// sense is one thing that a name means somewhere.
type sense struct {
	taxon, language, region string
	// weight says how good the source of the sense is; more is better.
	weight int
}

// The weights of the sources of a name.
const (
	weightMore     = 1 // names that were not looked through
	weightScreened = 3
	weightPart     = 2 // the telling part of a name of the catalogue
	weightName     = 5 // a name of the catalogue
	weightMain     = 9 // its main English or its scientific name
	weightHeard    = 6 // used so in labelled texts, once; more for more times
)

// nameBook finds what names mean. Names are keys without accents, marks and plurals.
type nameBook struct {
	senses map[string][]sense
	// heard are the senses of labelled texts by name and region, and by name and language.
	heard map[string]map[string]int
	// byLength are the keys by their length, for the search of misspelt ones.
	byLength map[int][]string
}

// nameKey is a name as it is looked up.
func nameKey(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool {
		return r == ' ' || r == '-' || r == '\'' || r == '.' || r == ',' || r == '/' || r == '"' || r == '(' || r == ')' || r == '_' || r == '\n'
	})
	for i, w := range words {
		words[i] = singularWord(w)
	}
	return strings.Join(words, " ")
}

var theNameBook = sync.OnceValue(func() *nameBook {
	b := &nameBook{senses: map[string][]sense{}, heard: map[string]map[string]int{}, byLength: map[int][]string{}}
	b.addCatalogue()
	b.addGazetteer()
	b.addHeard()
	for key := range b.senses {
		b.byLength[len(key)] = append(b.byLength[len(key)], key)
	}
	for _, list := range b.byLength {
		slices.Sort(list)
	}
	return b
})

func (b *nameBook) addCatalogue() {
	for name, e := range names().entries {
		for _, c := range e.claims {
			weight := weightName
			switch c.rank {
			case rankPart, rankKind:
				weight = weightPart
			case rankEnglish - 1, rankEnglish, rankScientific:
				weight = weightMain
			}
			b.add(name, sense{taxon: c.species.ScientificName, weight: weight})
		}
	}
}

func (b *nameBook) addGazetteer() {
	for _, n := range advisor.GazetteerNames() {
		if n.Taxon == "-" {
			continue
		}
		weight := weightMore
		if n.Screened {
			weight = weightScreened
		}
		region, _ := FindRegion(n.Place)
		b.add(n.Name, sense{n.Taxon, n.Language, region, weight})
	}
}

// addHeard learns what labelled texts mean by a name where they were written.
func (b *nameBook) addHeard() {
	for _, row := range mustRows(namesHeardCSV) {
		times, err := strconv.Atoi(row[4])
		if err != nil {
			panic("understand: embedded table: " + err.Error())
		}
		region, _ := FindRegion(row[2])
		key, taxon := nameKey(row[1]), advisor.Accepted(row[3])
		b.add(row[1], sense{taxon, row[0], region, weightHeard})
		for _, where := range []string{key + "|" + region, key + "|" + row[0]} {
			if b.heard[where] == nil {
				b.heard[where] = map[string]int{}
			}
			b.heard[where][taxon] += times
		}
	}
}

func (b *nameBook) add(name string, s sense) {
	key := nameKey(name)
	if key == "" {
		return
	}
	b.put(key, s)
	if joined := strings.ReplaceAll(key, " ", ""); joined != key {
		b.put(joined, s)
	}
}

func (b *nameBook) put(key string, s sense) {
	for i, other := range b.senses[key] {
		if other.taxon == s.taxon && other.region == s.region && other.language == s.language {
			b.senses[key][i].weight = max(other.weight, s.weight)
			return
		}
	}
	b.senses[key] = append(b.senses[key], s)
}

// Resolve finds what a name means in a region and a language, either of which may be "".
// The whole name comes first, then the name without words that only describe, then the
// one that it is a slip of.
func Resolve(name string, s Setting) Resolved {
	b := theNameBook()
	key := nameKey(fold(name))
	if key == "" {
		return Resolved{}
	}
	if r, ok := b.exact(key, s); ok {
		return r
	}
	words := strings.Fields(key)
	if r, ok := b.shorter(words, s); ok {
		return r
	}
	return b.misspelt(key, s)
}

// exact looks a whole name up.
func (b *nameBook) exact(key string, s Setting) (Resolved, bool) {
	senses := b.senses[key]
	if len(senses) == 0 {
		if joined := strings.ReplaceAll(key, " ", ""); joined != key {
			senses = b.senses[joined]
		}
	}
	if len(senses) == 0 {
		return Resolved{}, false
	}
	return b.weigh(key, senses, s), true
}

// The shares by which one meaning of a name stands out.
const (
	heardShare = 0.7
	clearLead  = 1.35
)

// weigh puts the senses of a name in order for a place.
func (b *nameBook) weigh(key string, senses []sense, s Setting) Resolved {
	total := map[string]float64{}
	var order []string
	for _, x := range senses {
		if _, seen := total[x.taxon]; !seen {
			order = append(order, x.taxon)
		}
		total[x.taxon] = max(total[x.taxon], x.score(s))
	}
	heard := b.heardHere(key, s)
	all := 0
	for _, n := range heard {
		all += n
	}
	for taxon, n := range heard {
		if _, seen := total[taxon]; !seen {
			order = append(order, taxon)
		}
		total[taxon] += heardBonus * float64(n) / float64(all)
	}
	slices.SortStableFunc(order, func(a, c string) int {
		switch {
		case total[a] > total[c]:
			return -1
		case total[a] < total[c]:
			return 1
		}
		return strings.Compare(a, c)
	})
	r := Resolved{Taxa: order, Sure: len(order) == 1 || total[order[0]] > clearLead*total[order[1]]}
	return r
}

// heardBonus is what it counts that a name was used so where the message comes from.
const heardBonus = 30

// heardHere is how often texts from this region, else of this language, meant what.
func (b *nameBook) heardHere(key string, s Setting) map[string]int {
	if s.Region != "" {
		if h := b.heard[key+"|"+s.Region]; h != nil {
			return h
		}
	}
	return nil
}

// score is how well a sense fits a place and a language.
func (x sense) score(s Setting) float64 {
	score := float64(x.weight)
	if catalogued()[x.taxon] {
		score *= 1.2 // the fish that anglers release most
	}
	if s.Region != "" {
		switch {
		case x.region == s.Region:
			score *= 3
		case x.region != "":
			score *= 0.4
		}
		switch livesIn(x.taxon, s.Region) {
		case yes:
			score *= 3
		case no:
			score *= 0.3
		}
	}
	if s.Language != "" && x.language != "" && x.language != s.Language {
		score *= 0.5
	}
	return score
}

// catalogued are the fish of the catalogue.
var catalogued = sync.OnceValue(func() map[string]bool {
	set := map[string]bool{}
	for _, s := range advisor.Catalogue() {
		set[s.ScientificName] = true
	}
	return set
})

// answer is yes, no, or not known.
type answer int

const (
	unknown answer = iota
	yes
	no
)

// livesIn tells whether a fish is met in a region.
func livesIn(taxon, region string) answer {
	if s := advisor.LookUp(taxon); s != nil && len(s.Regions) > 0 {
		if slices.Contains(s.Regions, region) {
			return yes
		}
	}
	seas := advisor.SeasOf(taxon)
	if len(seas) == 0 {
		return unknown
	}
	for _, sea := range regionSeas()[region] {
		if slices.Contains(seas, sea) {
			return yes
		}
	}
	return no
}

// shorter looks up parts of a name: the longest run of its words that names a fish. What
// is left over only describes it, or makes it unsure.
func (b *nameBook) shorter(words []string, s Setting) (Resolved, bool) {
	for n := len(words) - 1; n > 0; n-- {
		for i := range len(words) - n + 1 {
			part := strings.Join(words[i:i+n], " ")
			if n == 1 && len(part) < 3 {
				continue
			}
			r, ok := b.exact(part, s)
			if !ok {
				continue
			}
			if b.strange(words[:i]) || b.strange(words[i+n:]) {
				r.Qualifier, r.Sure = true, false
			}
			return r, true
		}
	}
	return Resolved{}, false
}

// strange is true for words beside a name that do not merely describe the fish.
func (b *nameBook) strange(words []string) bool {
	for _, w := range words {
		if !describing()[w] && !isNumberWord(w) && (w[0] < '0' || w[0] > '9') {
			return true
		}
	}
	return false
}

//go:embed data/describing.csv
var describingCSV []byte

// describing are words that stand beside the name of a fish and make no other fish of it.
var describing = sync.OnceValue(func() map[string]bool {
	set := map[string]bool{}
	for _, row := range mustRows(describingCSV) {
		set[singularWord(row[1])] = true
	}
	return set
})

// misspelt finds the names that a name is a slip of. Only where all of them mean one fish
// is it taken for that.
func (b *nameBook) misspelt(key string, s Setting) Resolved {
	near, distance := b.near(key)
	if distance == 0 {
		return Resolved{}
	}
	var senses []sense
	for _, n := range near {
		senses = append(senses, b.senses[n]...)
	}
	r := b.weigh(near[0], senses, s)
	r.Corrected = near[0]
	if len(near) > 1 && !r.Sure {
		r.Corrected = ""
	}
	return r
}

// near are the names at the least distance from a misspelt one.
func (b *nameBook) near(name string) (found []string, distance int) {
	allowed := distanceAllowed(len(name))
	best := allowed + 1
	for d := -allowed; d <= allowed; d++ {
		for _, candidate := range b.byLength[len(name)+d] {
			if candidate == "" || distanceAllowed(len(candidate)) < max(1, abs(d)) || !alike(name, candidate) {
				continue
			}
			n := typos(name, candidate)
			if n > min(best, allowed) || !wordByWord(name, candidate) {
				continue
			}
			if n < best {
				best, found = n, nil
			}
			found = append(found, candidate)
		}
	}
	if best > allowed {
		return nil, 0
	}
	return found, best
}
