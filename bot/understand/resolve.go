package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
)

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
	// Taught is true where the name means this by what the person or the club taught.
	Taught bool
}

// Resolve finds what a name means in a region and a language, either of which may be "".
// The whole name comes first, then a slip of the pen in one of its words, then the name
// without words that only describe the fish.
func Resolve(name string, s Setting) Resolved {
	if r, ok := s.Names.resolve(name); ok {
		return r
	}
	return theNameBook().resolve(name, s)
}

func (b *nameBook) resolve(name string, s Setting) Resolved {
	key := nameKey(name)
	words := strings.Fields(key)
	if len(words) == 0 {
		return Resolved{}
	}
	if taxon := scientific(name); taxon != "" {
		return Resolved{Taxa: []string{taxon}, Sure: true}
	}
	for _, form := range []string{key, b.wholeKind(words), strings.Join(undescribed(words), " "), otherPlural(words)} {
		if r, ok := b.exact(form, s); ok {
			return r
		}
	}
	if r, ok := b.misspelt(words, s); ok {
		return r
	}
	r, _ := b.shorter(words, s)
	return r
}

// scientific is the taxon of a scientific name of two words, or three of a subspecies,
// however its letters are, "" for another name.
func scientific(name string) string {
	words := strings.Fields(strings.ToLower(name))
	if len(words) != 2 && len(words) != 3 {
		return ""
	}
	words[0] = strings.ToUpper(words[0][:1]) + words[0][1:]
	taxon := strings.Join(words, " ")
	if taxon = advisor.Accepted(taxon); advisor.BladderOf(taxon) == "" {
		return ""
	}
	return taxon
}

// shortestKind is how many letters of a kind people write at least: "mutton snap".
const shortestKind = 4

// wholeKind is a known name of which the kind at its end was cut short: "widow rock"; "" if
// there is none, or more than one.
func (b *nameBook) wholeKind(words []string) (whole string) {
	last := len(words) - 1
	if last < 1 || len(words[last]) < shortestKind {
		return ""
	}
	for _, kind := range kinds {
		name := strings.Join(words[:last], " ") + " " + kind
		if strings.HasPrefix(kind, words[last]) && b.knows(name) {
			if whole != "" {
				return ""
			}
			whole = name
		}
	}
	return whole
}

// otherPlurals are endings that are left of plurals once their s is off, and what stands
// there in the singular: canaries, peixões, salmones.
var otherPlurals = [...][2]string{{"ie", "y"}, {"oe", "ao"}, {"ae", "ao"}, {"e", ""}}

// otherPlural is a name whose words have the plurals of some languages only.
func otherPlural(words []string) string {
	out := slices.Clone(words)
	for i, w := range words {
		for _, p := range otherPlurals {
			if stem, ok := strings.CutSuffix(w, p[0]); ok && len(stem) > 2 {
				out[i] = stem + p[1]
				break
			}
		}
	}
	return strings.Join(out, " ")
}

// exact looks a whole name up.
func (b *nameBook) exact(key string, s Setting) (Resolved, bool) {
	senses := b.senses(key)
	if len(senses) == 0 {
		return Resolved{}, false
	}
	return b.weigh(key, senses, s), true
}

// Where one meaning of a name stands out.
const (
	// clearLead is how far the best must be ahead of the next.
	clearLead = 1.35
	// heardHereBonus is what it counts that a name was used so where the message comes
	// from, heardBonus that it was in that language.
	heardHereBonus = 30
	heardBonus     = 5
	// openShare is the share of texts in which nobody could tell, from which a name is
	// never sure.
	openShare = 0.51
	// heardShare is that of one fish, from which the name of a whole kind is sure here.
	heardShare = 0.7
)

// weighed are the meanings of a name with what they count.
type weighed struct {
	total map[string]float64
	order []string
	// heard is how often it meant what in texts from here.
	heard map[string]int
}

func (w *weighed) add(taxon string, score float64) {
	if _, seen := w.total[taxon]; !seen {
		w.order = append(w.order, taxon)
	}
	w.total[taxon] = max(w.total[taxon], score)
}

// bonus adds to what was heard by how often it was, and keeps of what was only heard
// elsewhere what is there already.
func (w *weighed) bonus(heard map[string]int, bonus float64) {
	all := 0
	for _, n := range heard {
		all += n
	}
	for taxon, n := range heard {
		if _, seen := w.total[taxon]; seen {
			w.total[taxon] += bonus * float64(n) / float64(all)
		}
	}
}

// weigh puts the senses of a name in order for a place.
func (b *nameBook) weigh(key string, senses []sense, s Setting) Resolved {
	w := &weighed{total: map[string]float64{}}
	for _, x := range usable(senses, s.Region) {
		w.add(x.taxon, x.score(s))
	}
	key = strings.ReplaceAll(key, " ", "")
	w.heard = b.heardHere(key, s.Region)
	if w.heard != nil {
		w.bonus(w.heard, heardHereBonus)
	} else if s.Language != "" {
		w.bonus(b.heardAt(key, s.Language), heardBonus)
	}
	slices.SortFunc(w.order, func(a, c string) int {
		switch {
		case w.total[a] > w.total[c]:
			return -1
		case w.total[a] < w.total[c]:
			return 1
		}
		return strings.Compare(a, c)
	})
	kindOnly := b.kinds[key] && w.share(w.order[0]) < heardShare
	return Resolved{Taxa: w.order, Sure: w.sure(s.Region) && !kindOnly}
}

// usable leaves out what a name was heard to mean in some place where nobody knows what
// place this is, unless nothing else is known of it.
func usable(senses []sense, region string) []sense {
	if region != "" {
		return senses
	}
	listed := slices.DeleteFunc(slices.Clone(senses), func(x sense) bool { return x.weight == weightHeard })
	if len(listed) == 0 {
		return senses
	}
	return listed
}

// heardHere is how often a name meant what in texts from a region, or from the larger one
// that it lies in.
func (b *nameBook) heardHere(key, region string) map[string]int {
	if region == "" {
		return nil
	}
	if h := b.heardAt(key, region); h != nil {
		return h
	}
	return b.heardAt(key, advisor.RegionNamed(region).Within)
}

// share is how often of all a name meant this in texts from here, 0 to 1.
func (w *weighed) share(taxon string) float64 {
	all := 0
	for _, n := range w.heard {
		all += n
	}
	return float64(w.heard[taxon]) / float64(max(all, 1))
}

// sure is true where the best meaning stands out from those that are not just the kind
// that it belongs to, and lives here.
func (w *weighed) sure(region string) bool {
	best := w.order[0]
	if w.share("") >= openShare {
		return false
	}
	if region != "" && w.heard[best] == 0 && livesIn(best, region) == no {
		return false
	}
	for _, rival := range w.order[1:] {
		if w.total[best] <= clearLead*w.total[rival] && !belongs(best, rival) {
			return false
		}
	}
	return true
}

// belongs is true for a species and its genus or family.
func belongs(species, kind string) bool {
	if strings.Contains(kind, " ") {
		return false
	}
	genus, _, _ := strings.Cut(species, " ")
	if genus == kind {
		return true
	}
	s := advisor.LookUp(species)
	return s != nil && s.Family == kind
}

// score is how well a sense fits a place and a language.
func (x sense) score(s Setting) float64 {
	score := float64(x.weight)
	if advisor.Catalogued(x.taxon) {
		score *= 1.2 // the fish that anglers release most
	}
	if s.Region != "" {
		switch {
		case x.region == s.Region || x.region != "" && x.region == advisor.RegionNamed(s.Region).Within:
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

// answer is yes, no, or not known.
type answer int

const (
	unknown answer = iota
	yes
	no
)

// livesIn tells whether a fish is met in a region.
func livesIn(taxon, region string) answer {
	if advisor.Catalogued(taxon) && slices.Contains(advisor.LookUp(taxon).Regions, region) {
		return yes
	}
	switch seas := advisor.SeasOf(taxon); {
	case len(seas) == 0:
		return unknown
	case advisor.RegionNamed(region).Has(seas):
		return yes
	}
	return no
}

// shorter looks up parts of a name: the longest run of its words that names a fish, from
// the end at which the language has the kind: "venus tuskfish", "mero pintado". What is
// left over makes it unsure, for it may tell another fish of that kind.
func (b *nameBook) shorter(words []string, s Setting) (Resolved, bool) {
	for n := len(words) - 1; n > 0; n-- {
		for i := range len(words) - n + 1 {
			if s.Language == "" || s.Language == "en" {
				i = len(words) - n - i
			}
			part := strings.Join(words[i:i+n], " ")
			if n == 1 && (len(part) < 3 || describing()[part]) {
				continue
			}
			if r, ok := b.exact(part, s); ok {
				if len(undescribed(words[:i])) > 0 || len(undescribed(words[i+n:])) > 0 {
					r.Qualifier, r.Sure = true, false
					kindFirst(r.Taxa)
				}
				return r, true
			}
		}
	}
	return Resolved{}, false
}

// kindFirst puts the best whole kind of fish before the species: a grouper of which
// nobody knows is no one grouper that somebody does.
func kindFirst(taxa []string) {
	i := slices.IndexFunc(taxa, func(taxon string) bool { return !strings.Contains(taxon, " ") })
	if i > 0 {
		kind := taxa[i]
		copy(taxa[1:], taxa[:i])
		taxa[0] = kind
	}
}

// undescribed are the words that do not merely describe the fish.
func undescribed(words []string) (list []string) {
	for _, w := range words {
		if !describing()[w] && !isNumberWord(w) && (w[0] < '0' || w[0] > '9') {
			list = append(list, w)
		}
	}
	return list
}

//go:embed data/describing.csv
var describingCSV string

// describing are words that stand beside the name of a fish and make no other fish of it.
var describing = sync.OnceValue(func() map[string]bool {
	set := map[string]bool{}
	for _, row := range mustRows(describingCSV) {
		set[singularWord(row[1])] = true
	}
	return set
})
