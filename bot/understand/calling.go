package understand

import (
	"slices"

	"deepward/advisor"
)

// name takes the name of a fish: what it is comes from the catalogue and the gazetteer.
func (h *hearing) name(s span) {
	typed := h.typed(s.from, s.to)
	found := Resolve(typed, h.setting)
	h.each(s, func(f *Fish) {
		if f.Name != "" && (f.Query.Species != "" || len(found.Taxa) == 0) {
			return // the first name that is known tells the fish
		}
		f.Name = typed
		fillResolved(&f.Query, typed, found)
	})
}

// fillResolved puts what a name means into a question.
func fillResolved(q *advisor.Query, typed string, r Resolved) {
	q.Species, q.Candidates, q.Ambiguous = "", []string{}, false
	q.SpeciesName = fold(typed)
	if len(r.Taxa) == 0 {
		return
	}
	q.Species, q.Ambiguous = r.Taxa[0], !r.Sure
	if s := advisor.LookUp(q.Species); s != nil {
		q.SpeciesName = s.EnglishName
	}
	q.Candidates = slices.Clone(r.Taxa[:min(len(r.Taxa), mostCandidates)])
}

// mostCandidates is how many fish a name may mean are told.
const mostCandidates = 8
