package understand

import "deepward/advisor"

// name takes the name of a fish: what it is comes from the catalogue and the gazetteer.
func (h *hearing) name(s span) {
	typed := h.typed(s.from, s.to)
	found := (&Reader{}).FindSpecies(typed, h.setting.Region)
	h.each(s, func(f *Fish) {
		if f.Name != "" && (f.Query.Species != "" || len(found.Species) == 0) {
			return // the first name that is known tells the fish
		}
		f.Name = typed
		fillFound(&f.Query, typed, found)
	})
}

// fillFound puts what a name may mean into a question.
func fillFound(q *advisor.Query, typed string, found Found) {
	q.Species, q.Candidates, q.Ambiguous = "", []string{}, found.Ambiguous
	q.SpeciesName = fold(typed)
	if len(found.Species) == 0 {
		return
	}
	q.Species, q.SpeciesName = found.Species[0].ScientificName, found.Species[0].EnglishName
	for _, s := range found.Species {
		q.Candidates = append(q.Candidates, s.ScientificName)
	}
}
