package understand

import (
	"slices"
	"strings"
	"unicode"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// name takes the name of a fish: what it is comes from the catalogue and the gazetteer.
func (h *hearing) name(s span) {
	if h.isPlace(s) {
		return
	}
	if h.called[s.from] == "" {
		s.from, s.to = h.widened(s)
	}
	typed := h.typed(s.from, s.to)
	if called, ok := h.called[s.from]; ok {
		typed = called
	}
	found := Resolve(typed, h.setting)
	if closer := h.closer(s); closer != "" && !found.Taught {
		found = Resolve(closer, h.setting)
	}
	h.each(s, func(f *Fish) {
		if f.Name != "" && (f.Query.Species != "" || len(found.Taxa) == 0) {
			return // the first name that is known tells the fish
		}
		f.Name = typed
		fillResolved(&f.Query, typed, found)
	})
}

// isPlace is true for a name with a capital behind a word for where, beside another name: "soy
// de Santa Cruz, un bacalao".
func (h *hearing) isPlace(s span) bool {
	first := []rune(h.typed(s.from, s.to))[0]
	return unicode.IsUpper(first) && wheres[word(h.tokens, s.from-1)] && len(h.namesAt()) > 1
}

// wheres stand before a place.
var wheres = wordSet("in at off near en em no na ao a au vers chez frente")

// How far the words of a name may reach beyond what the learned reader took for it.
const (
	widenBefore, widenAfter = 2, 4
	shortestWidened         = 3
)

// widened is a name with the words beside it that make a longer known name: a fish is
// never another one because half of its name was heard.
func (h *hearing) widened(s span) (from, to int) {
	from, to = s.from, s.to
	for f := max(0, s.from-widenBefore); f <= s.from; f++ {
		for t := min(len(h.tokens), s.to+widenAfter); t >= s.to; t-- {
			if t-f > to-from && h.reaches(s, f, t) {
				from, to = f, t
			}
		}
	}
	return from, to
}

// reaches is true where a name may be widened so far: to one that is known, over words that no
// other piece of the message claims, and not to end in a small one but where it is a
// scientific name.
func (h *hearing) reaches(s span, from, to int) bool {
	if !h.free(from, s.from) || !h.free(s.to, to) {
		return false
	}
	long := func(i int) bool { return len(h.tokens[i].text) >= shortestWidened }
	name := h.typed(from, to)
	return scientific(name) != "" || (from == s.from || long(from)) && (to == s.to || long(to-1)) && h.knows(name)
}

// free is true for words and hyphens that no other piece of the message claims.
func (h *hearing) free(from, to int) bool {
	figures := h.scores.Tags[learned.Figures]
	if to > len(figures) { // so far it was not read
		return false
	}
	for i := from; i < to; i++ {
		tag := figures[i]
		if tag != "O" && !strings.HasSuffix(tag, "-name") || h.tokens[i].kind != tokenWord && h.tokens[i].text != "-" {
			return false
		}
	}
	return true
}

// fillResolved puts what a name means into a question.
func fillResolved(q *advisor.Query, typed string, r Resolved) {
	q.Species, q.Candidates, q.Ambiguous = "", []string{}, false
	q.SpeciesName = strings.ToLower(typed)
	if len(r.Taxa) == 0 {
		return
	}
	q.Species, q.Ambiguous = r.Taxa[0], !r.Sure
	if q.Given, q.Unfamiliar = "", r.Qualifier; r.Qualifier || r.Taught || r.Corrected != "" {
		q.Given = typed
	}
	if s := advisor.LookUp(q.Species); s != nil {
		q.SpeciesName = s.EnglishName
	}
	q.Candidates = slices.Clone(r.Taxa[:min(len(r.Taxa), mostCandidates)])
}

// mostCandidates is how many fish a name may mean are told.
const mostCandidates = 8
