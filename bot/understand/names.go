package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"github.com/agnivade/levenshtein"

	"deepward/advisor"
)

//go:embed data/names.csv
var namesCSV string

//go:embed data/names_abroad.csv
var namesAbroadCSV string

// rank says how good a claim a species has to a name; lower is better.
type rank int

const (
	rankEnglish    rank = iota // its main English name
	rankScientific             // scientific, or with an abbreviated genus
	rankOther                  // another common name
	rankPart                   // the telling part of a name: "snowy" of snowy grouper
	rankKind                   // the kind at the end of a name: "grouper"
)

// claim is one species' claim to a name.
type claim struct {
	species *advisor.Species
	rank    rank
}

// entry is one name in the index.
type entry struct {
	claims []claim
	// generic names are a kind of fish.
	generic bool
	// first is the likeliest fish of a generic name, firstIn that in one language.
	first   *advisor.Species
	firstIn map[string]*advisor.Species
}

// nameIndex finds species by folded name; names are kept without blanks too.
type nameIndex struct {
	entries map[string]*entry
}

var names = sync.OnceValue(newNames)

func newNames() *nameIndex {
	x := &nameIndex{entries: make(map[string]*entry, namesAbout)}
	for _, s := range advisor.Catalogue() {
		x.addSpecies(s)
	}
	for _, s := range advisor.HigherTaxa() { // a species of its own has the better claim
		x.addTaxon(s)
	}
	for _, row := range mustRows(namesAbroadCSV) {
		x.add(fold(row[1]), advisor.LookUp(row[2]), rankOther)
	}
	x.addExceptions()
	return x
}

func (x *nameIndex) addSpecies(s *advisor.Species) {
	for _, name := range splitName(s.EnglishName) {
		x.add(name, s, rankEnglish)
		x.addParts(name, s)
	}
	for _, name := range s.OtherNames {
		x.add(fold(name), s, rankOther)
		x.addParts(fold(name), s)
	}
	for _, name := range s.NamesAbroad() {
		x.addAbroad(fold(name), s)
	}
	scientific := strings.ToLower(s.ScientificName)
	x.add(scientific, s, rankScientific)
	if genus, epithet, ok := strings.Cut(scientific, " "); ok {
		x.add(genus[:1]+" "+epithet, s, rankScientific)
		if len(epithet) > 5 {
			x.add(epithet, s, rankPart)
		}
	}
}

// addAbroad adds a name in a language that puts the kind first: "sériole couronnée".
func (x *nameIndex) addAbroad(name string, s *advisor.Species) {
	x.add(name, s, rankOther)
	if kind, _, ok := strings.Cut(strings.ReplaceAll(name, "-", " "), " "); ok && !noKind[kind] {
		x.add(kind, s, rankKind)
	}
}

// noKind are first words of names in other languages that tell no kind of fish.
var noKind = map[string]bool{
	"pez": true, "peixe": true, "poisson": true, "falso": true, "perna": true, "colas": true, "tile": true, "tambour": true,
	"doncella": true, "cuna": true,
}

// addTaxon adds the names of a whole group: the plain ones, and of the others those
// that no species has.
func (x *nameIndex) addTaxon(s *advisor.Species) {
	for _, name := range append(s.NamesAbroad(), s.EnglishName) {
		x.add(fold(name), s, rankEnglish)
	}
	for _, name := range append([]string{s.ScientificName}, s.OtherNames...) {
		if name = fold(name); x.entries[singular(name)] == nil {
			x.add(name, s, rankEnglish)
		}
	}
}

// splitName takes "Saithe / coalfish" and "Snapper (Australasian)" apart.
func splitName(name string) []string {
	var list []string
	outside, inside, bracket := strings.Cut(fold(name), "(")
	for part := range strings.SplitSeq(outside, "/") {
		list = append(list, strings.TrimSpace(part))
	}
	if bracket {
		list = append(list, strings.TrimSpace(strings.TrimSuffix(inside, ")")))
	}
	return list
}

// kinds are the last words of names that tell the kind of fish.
var kinds = []string{
	"snapper", "grouper", "rockfish", "cod", "rockcod", "bass", "perch", "bream", "seabream", "emperor", "trout",
	"shark", "flathead", "flounder", "halibut", "mackerel", "salmon", "groper", "jobfish", "porgy", "tilefish",
	"trevally", "steenbras", "wrasse", "seabass",
}

// plainParts are first words that say too little to stand for one fish.
var plainParts = map[string]bool{
	"red": true, "black": true, "blue": true, "white": true, "gray": true, "grey": true, "green": true, "golden": true,
	"silver": true, "brown": true, "yellow": true, "pink": true, "common": true, "european": true, "atlantic": true,
	"pacific": true, "summer": true, "sea": true, "rock": true, "giant": true, "king": true, "queen": true, "spring": true,
	"cape": true, "deep": true, "coral": true, "sand": true, "copper": true, "orange": true, "calico": true, "spotted": true,
	"northern": true, "black sea": true, "boston": true, "tiger": true, "chicken": true, "spanish": true, "reef": true,
	"american": true, "genuine": true, "grass": true, "flag": true, "flower": true, "strawberry": true, "wreck": true,
	"cow": true, "kelp": true, "china": true, "widow": true, "cat": true, "sow": true, "stone": true, "hard": true, "blue eye": true,
	"school": true, "mud": true, "candy": true, "day": true, "rainbow": true, "hog": true, "mangrove": true, "butterfly": true,
	"new zealand": true, "channel": true, "rat": true, "striped": true, "dusky": true, "lane": true, "red rock": true, "salmon": true,
	"rock salmon": true, "kingsnapper": true, "bull": true, "pin": true, "barred": true, "blackbelly": true, "chinaman": true,
	"scarlet sea": true, "dusky sea": true, "deep sea": true, "orange spotted": true, "squirrelfish": true, "catface": true,
}

// addParts lets the telling part of a name stand for the whole: "canary" for
// canary rockfish, and the kind at its end for all of the kind.
func (x *nameIndex) addParts(name string, s *advisor.Species) {
	i := strings.LastIndexByte(name, ' ')
	if i < 0 || !slices.Contains(kinds, name[i+1:]) {
		return
	}
	x.add(name[i+1:], s, rankKind)
	if first := name[:i]; !plainParts[first] && len(first) > 3 && !slices.Contains(kinds, first) {
		x.add(first, s, rankPart)
	}
}

func (x *nameIndex) add(name string, s *advisor.Species, r rank) {
	if head, ok := strings.CutSuffix(name, " rockfish"); ok {
		x.add(head+" rf", s, r) // as people text it
	}
	name = singular(strings.Join(strings.FieldsFunc(name, isNameBreak), " "))
	if name == "" {
		return
	}
	x.claim(name, s, r)
	if joined := strings.ReplaceAll(name, " ", ""); joined != name {
		x.claim(joined, s, r)
	}
}

func isNameBreak(r rune) bool { return r == ' ' || r == '-' || r == '\'' || r == '.' }

func (x *nameIndex) claim(name string, s *advisor.Species, r rank) {
	e := x.entries[name]
	if e == nil {
		e = &entry{}
		x.entries[name] = e
	}
	i := slices.IndexFunc(e.claims, func(c claim) bool { return c.species == s })
	switch {
	case i < 0:
		e.claims = append(e.claims, claim{s, r})
	case r < e.claims[i].rank:
		e.claims[i].rank = r
	}
}

// addExceptions puts in what the table of exceptions says, for the name with and
// without its blanks.
func (x *nameIndex) addExceptions() {
	for _, row := range mustRows(namesCSV) {
		name := singular(row[0])
		x.except(name, row[1], row[2])
		if joined := strings.ReplaceAll(name, " ", ""); joined != name {
			x.except(joined, row[1], row[2])
		}
	}
}

func (x *nameIndex) except(name, kind, species string) {
	e := x.entries[name]
	if e == nil {
		e = &entry{}
		x.entries[name] = e
	}
	if language, ok := strings.CutPrefix(kind, "first:"); ok {
		if e.firstIn == nil {
			e.firstIn = map[string]*advisor.Species{}
		}
		e.firstIn[language] = advisor.LookUp(species)
	}
	switch kind {
	case "generic":
		e.generic, e.first = true, advisor.LookUp(species)
	case "never":
		e.claims = nil
	case "sure":
		x.prefer(e, species)
	}
	if len(e.claims) == 0 {
		delete(x.entries, name)
	}
}

// prefer makes one species the first claimant of a name.
func (x *nameIndex) prefer(e *entry, species string) {
	s := advisor.LookUp(species)
	e.claims = slices.DeleteFunc(e.claims, func(c claim) bool { return c.species == s })
	e.claims = append([]claim{{s, rankEnglish - 1}}, e.claims...)
}

// singular takes the plural off each word of a folded name.
func singular(name string) string {
	parts := strings.Split(name, " ")
	for i, w := range parts {
		parts[i] = singularWord(w)
	}
	return strings.Join(parts, " ")
}

func singularWord(w string) string {
	switch {
	case strings.HasSuffix(w, "eaux"), strings.HasSuffix(w, "ieus"), len(w) > 5 && (strings.HasSuffix(w, "ous") || strings.HasSuffix(w, "as")):
		return w[:len(w)-1]
	case len(w) > 5 && (strings.HasSuffix(w, "fishes") || strings.HasSuffix(w, "sses") || strings.HasSuffix(w, "ches")):
		return w[:len(w)-2]
	case len(w) > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") && !strings.HasSuffix(w, "us") && !strings.HasSuffix(w, "is") && !strings.HasSuffix(w, "as"):
		return w[:len(w)-1]
	default:
		return w
	}
}

// distanceAllowed is how many letters may be wrong in a name of that length.
func distanceAllowed(n int) int {
	switch {
	case n <= 4:
		return 0
	case n <= 7:
		return 1
	case n <= 13:
		return 2
	default:
		return 3
	}
}

// nearestNames finds the names at the least distance from a misspelt one; byLength are the
// names to choose from, without those that skip leaves out.
func nearestNames(byLength map[int][]string, name string, skip func(candidate string) bool) (found []string, distance int) {
	allowed := distanceAllowed(len(name))
	best := allowed + 1
	for d := -allowed; d <= allowed; d++ {
		for _, candidate := range byLength[len(name)+d] {
			if distanceAllowed(len(candidate)) < max(1, abs(d)) || !alike(name, candidate) {
				continue
			}
			n := typos(name, candidate)
			if n > min(best, allowed) || !wordByWord(name, candidate) || skip(candidate) {
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

func abs(n int) int { return max(n, -n) }

// alike spares the full comparison of names that share neither beginning nor
// second letter: people seldom miss both.
func alike(a, b string) bool { return a[0] == b[0] || a[1] == b[0] || a[0] == b[1] || a[1] == b[1] }

// wordByWord reports whether each word of a name may be the misspelt word of the
// other: "olive rockfish" is no "blue rockfish", though few letters differ.
func wordByWord(name, candidate string) bool {
	if strings.Count(name, " ") != strings.Count(candidate, " ") {
		return true
	}
	for name != "" {
		var a, b string
		a, name, _ = strings.Cut(name, " ")
		b, candidate, _ = strings.Cut(candidate, " ")
		if a != b && skeleton(a) != skeleton(b) && typos(a, b) > distanceAllowed(max(len(a), len(b))) {
			return false
		}
	}
	return true
}

// skeleton is a word as people shorten it: without the vowels after its first letter,
// each letter once in a row, so that "snapr" is a snapper.
func skeleton(word string) string {
	var b strings.Builder
	last := rune(0)
	for i, c := range word {
		if i > 0 && strings.ContainsRune("aeiou", c) || c == last {
			continue
		}
		b.WriteRune(c)
		last = c
	}
	return b.String()
}

// typos counts wrong letters; two letters that changed places are one slip.
func typos(a, b string) int {
	n := levenshtein.ComputeDistance(a, b)
	if n == 2 && swapped(a, b) {
		return 1
	}
	return n
}

func swapped(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range len(a) - 1 {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}
