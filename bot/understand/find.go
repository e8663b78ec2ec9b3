package understand

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// Found is what a name may mean.
type Found struct {
	// Species are the fish it fits, best first; empty when nobody knows it.
	Species []*advisor.Species
	// Ambiguous is true when more than one is plausible here.
	Ambiguous bool
	// Typo is true when the name was misspelt.
	Typo bool
	// Unsure is true when the misspelt name is as near to one fish as to another.
	Unsure bool
	// Weak is true for an ordinary word that is also a fish.
	Weak bool
}

// FindSpecies finds the fish of a name as anglers write it; region is one of
// Regions, or "".
func (r *Reader) FindSpecies(name, region string) Found {
	tokens := scan(fold(name))
	if takeOutside(tokens) != "" {
		return Found{}
	}
	hits := findNames(tokens, region, true)
	if len(hits) == 0 {
		return Found{}
	}
	return hits[0].Found
}

// longestName is how many words the name of a fish has at most; a longer one is not
// looked at word by word.
const longestName = 6

// SpeciesNamed is the scientific name of the fish of a whole name, as it stands in a
// table, "" if nobody knows it; sure is false where it fits several. A name that fits
// several although it has a word that tells nothing here is that of another fish:
// "rougheye rockfish" is not the first of all rockfish.
func (r *Reader) SpeciesNamed(name, region string) (scientific string, sure bool) {
	found := r.FindSpecies(name, region)
	if len(found.Species) == 0 {
		return "", false
	}
	sure = !found.Ambiguous && !found.Unsure
	if words := strings.Fields(name); !sure && len(words) > 1 && len(words) <= longestName {
		for i := range words {
			without := strings.Join(slices.Delete(slices.Clone(words), i, i+1), " ")
			if rest := r.FindSpecies(without, region); rest.Ambiguous && slices.Equal(rest.Species, found.Species) {
				return "", false
			}
		}
	}
	return found.Species[0].ScientificName, sure
}

// nameHit is a name found in a message.
type nameHit struct {
	Found
	from, to int
	// words is the name as it was folded.
	words string
}

// findNames reads the names of fish in a message and marks their words as used.
// Sure names come first, then misspelt ones, then ordinary words, if evidence
// says that the message is about a fish at all.
func findNames(tokens []token, region string, evidence bool) []nameHit {
	var hits []nameHit
	for i := 0; i < len(tokens); i++ {
		if h, ok := exactName(tokens, i, region); ok && !h.Weak {
			if better, ok := widened(tokens, h, region); ok {
				h = better
			}
			h.to += kindAfter(tokens, h)
			use(tokens, h.from, h.to)
			hits = append(hits, h)
			i = h.to - 1
		}
	}
	if len(hits) > 0 {
		return withKin(tokens, hits)
	}
	if evidence {
		if h, ok := misspeltName(tokens, region); ok {
			use(tokens, h.from, h.to)
			return []nameHit{h}
		}
		for i := range tokens {
			if h, ok := exactName(tokens, i, region); ok {
				use(tokens, h.from, h.to)
				return []nameHit{h}
			}
		}
	}
	return hits
}

// inLanguage puts first what an ambiguous name means first of all in a language.
func inLanguage(hits []nameHit, language string) {
	for i, h := range hits {
		e := lookUp(h.words)
		if !h.Ambiguous || e == nil || e.firstIn[language] == nil || !slices.Contains(h.Species, e.firstIn[language]) {
			continue
		}
		hits[i].Species = distinct(append([]*advisor.Species{e.firstIn[language]}, h.Species...))
	}
}

// kindAfter is 1 where the kind of the fish follows a name that is whole without it,
// as in "goliath grouper": no second fish, else 0.
func kindAfter(tokens []token, h nameHit) int {
	text, to, ok := window(tokens, h.to, 1)
	if !ok || to != h.to+1 || len(h.Species) != 1 {
		return 0
	}
	e := lookUp(text)
	if e == nil || !e.generic || !slices.ContainsFunc(e.claims, func(c claim) bool { return c.species == h.Species[0] }) {
		return 0
	}
	return 1
}

// withKin adds the fish that are called by half their name because one of their
// genus was named in full, where figures or the end of a clause follow.
func withKin(tokens []token, hits []nameHit) []nameHit {
	sure := hits
	for i, t := range tokens {
		if t.kind != tokenWord || t.used || i+1 < len(tokens) && tokens[i+1].kind == tokenWord && !tokens[i+1].used {
			continue
		}
		if s := oneOfKin(t.text, sure); s != nil {
			use(tokens, i, i+1)
			hits = append(hits, nameHit{Found{Species: []*advisor.Species{s}}, i, i + 1, t.text})
		}
	}
	slices.SortFunc(hits, func(a, b nameHit) int { return a.from - b.from })
	return hits
}

// oneOfKin is the only fish of that half name in the genus of a fish that is sure.
func oneOfKin(half string, sure []nameHit) *advisor.Species {
	var one *advisor.Species
	for _, s := range names().kin[half] {
		kin := slices.ContainsFunc(sure, func(h nameHit) bool { return genus(h.Species[0]) == genus(s) && h.Species[0] != s })
		if kin && one != nil {
			return nil
		}
		if kin {
			one = s
		}
	}
	return one
}

func genus(s *advisor.Species) string {
	first, _, _ := strings.Cut(s.ScientificName, " ")
	return first
}

// takeOutside reads the name of a fish that the catalogue does not have but that is
// called by the name of one it has: an almaco jack is no amberjack. "" if there is none.
func takeOutside(tokens []token) string {
	for i := range tokens {
		for n := 2; n >= 1; n-- {
			if text, to, ok := window(tokens, i, n); ok && names().outside[singular(text)] {
				use(tokens, i, to)
				return singular(text)
			}
		}
	}
	return ""
}

// exactName takes the longest name that begins at token i.
func exactName(tokens []token, i int, region string) (nameHit, bool) {
	for n := names().longest; n >= 1; n-- {
		text, to, ok := window(tokens, i, n)
		if !ok {
			continue
		}
		if e := lookUp(text); e != nil {
			return nameHit{e.found(region), i, to, text}, true
		}
	}
	return nameHit{}, false
}

// lookUp finds a name as written, without its plural, or without its blanks:
// the form with the best claim, so that "yellow eye" is first a yelloweye.
func lookUp(text string) *entry {
	x := names()
	plain := singular(text)
	var best *entry
	for _, form := range []string{text, plain, strings.ReplaceAll(plain, " ", "")} {
		if e := x.entries[form]; e != nil && (best == nil || e.bestRank() < best.bestRank()) {
			best = e
		}
	}
	return best
}

func (e *entry) bestRank() rank {
	best := rankKind
	for _, c := range e.claims {
		best = min(best, c.rank)
	}
	return best
}

// window joins n free words from token i on; hyphens and the point of an
// abbreviated genus between them do not count.
func window(tokens []token, i, n int) (text string, to int, ok bool) {
	if i >= len(tokens) || tokens[i].kind != tokenWord || tokens[i].used {
		return "", 0, false
	}
	var b strings.Builder
	for to = i; to < len(tokens) && n > 0; to++ {
		t := tokens[to]
		switch {
		case t.used:
			return "", 0, false
		case t.kind == tokenWord:
			if b.Len() > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(t.text)
			n--
		case t.text == "-" || t.text == "." && to == i+1 && len(tokens[i].text) == 1:
		default:
			return "", 0, false
		}
	}
	return b.String(), to, n == 0
}

// widened looks whether a name with the word beside it is a misspelt longer
// name: "vermilion rokfish" is no vermilion snapper.
func widened(tokens []token, h nameHit, region string) (nameHit, bool) {
	if len(h.Species) == 1 && !h.Ambiguous {
		return h, false
	}
	for _, from := range []int{h.from, h.from - 1} {
		to := h.to
		if from == h.from {
			to++
		}
		if from < 0 || to > len(tokens) || hasFiller(tokens, from, to) {
			continue
		}
		text, end, ok := window(tokens, from, to-from)
		if !ok || end != to {
			continue
		}
		if better, ok := nearest(text, region); ok && !better.Unsure && !better.Ambiguous {
			return nameHit{better, from, to, text}, true
		}
	}
	return h, false
}

func hasFiller(tokens []token, from, to int) bool {
	for i := from; i < to; i++ {
		if tokens[i].kind != tokenWord || book().filler[tokens[i].text] {
			return true
		}
	}
	return false
}

// misspeltName finds the name that needs the fewest letters changed, over the
// words that mean nothing else.
func misspeltName(tokens []token, region string) (nameHit, bool) {
	for n := 3; n >= 1; n-- {
		for i := range tokens {
			text, to, ok := window(tokens, i, n)
			if !ok || hasFiller(tokens, i, to) || n == 1 && book().known[text] {
				continue // a word that is known is no misspelt fish
			}
			if f, ok := nearest(text, region); ok {
				return nameHit{f, i, to, text}, true
			}
		}
	}
	return nameHit{}, false
}

// nearest finds what a misspelt name means. Two different fish that are equally
// near are not chosen between.
func nearest(text, region string) (Found, bool) {
	if len(text) < 2 {
		return Found{}, false
	}
	candidates, _ := names().near(singular(text))
	if len(candidates) == 0 {
		return Found{}, false
	}
	f := names().entries[candidates[0]].found(region)
	f.Typo = true
	for _, other := range candidates[1:] {
		g := names().entries[other].found(region)
		if len(f.Species) > 0 && len(g.Species) > 0 && f.Species[0] != g.Species[0] {
			f.Unsure = true
			f.Species = append(slices.Clone(f.Species), g.Species...)
		}
	}
	if f.Unsure {
		f.Species = distinct(f.Species)
		f.Ambiguous = true
	}
	return f, !f.Weak
}

func distinct(list []*advisor.Species) []*advisor.Species {
	var out []*advisor.Species
	for _, s := range list {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// found puts the claimants in order and says whether more than one is plausible:
// those of the region first, then those with the best claim. One species whose
// main name it is stands alone, unless the name is a kind.
func (e *entry) found(region string) Found {
	claims := slices.Clone(e.claims)
	if local := inRegion(claims, region); len(local) > 0 {
		claims = local
	}
	slices.SortStableFunc(claims, func(a, b claim) int { return int(a.rank) - int(b.rank) })
	f := Found{Weak: e.weak}
	for _, c := range claims {
		if c.species == e.first {
			f.Species = append([]*advisor.Species{c.species}, f.Species...)
		} else {
			f.Species = append(f.Species, c.species)
		}
	}
	switch {
	case len(claims) == 1:
	case e.generic:
		// Where a region is set, the one fish that bears the bare name there is meant.
		f.Ambiguous = region == "" || claims[0].rank > rankOther || claims[1].rank <= rankOther
		if !f.Ambiguous {
			f.Species = append([]*advisor.Species{claims[0].species}, f.Species...)
			f.Species = distinct(f.Species)
		}
	default:
		f.Ambiguous = claims[1].rank == claims[0].rank
	}
	return f
}

func inRegion(claims []claim, region string) []claim {
	if region == "" {
		return nil
	}
	var local []claim
	for _, c := range claims {
		if slices.Contains(c.species.Regions, region) || slices.Contains(c.species.Regions, "Worldwide") {
			local = append(local, c)
		}
	}
	return local
}
