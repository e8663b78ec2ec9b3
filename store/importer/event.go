package importer

import "slices"

// event is what a cell of the column of recaptures says in words or in the letters of
// a code, "recapture", "release" or "unseen" (not caught again); "" for a plain yes or no and for what is not
// understood. In a column that calls some rows recaptures, T is a tagging and no
// "true", and N a new fish.
func (c *Column) event(text string) string {
	if c.events {
		if m, ok := known().words["event whole"][spaced(text)]; ok {
			return m
		}
	} else if _, isAnswer := known().answer(text); isAnswer {
		return ""
	}
	m, _ := known().meaning("event", text)
	return m
}

// namesEvents is true for a heading that says that each row is an event.
func (c *Column) namesEvents() bool {
	return slices.ContainsFunc(headingWords(c.Heading), func(w string) bool {
		return slices.Contains([]string{"event", "events", "activity", "evento"}, w)
	})
}

// recapturedIn is what a cell of the column of recaptures says.
func (c *Column) recapturedIn(text string) reply {
	switch c.event(text) {
	case "recapture":
		return yesTold
	case "release", "unseen":
		return no
	}
	if yes, ok := known().answer(text); ok {
		if yes {
			return yesTold
		}
		return no
	}
	if n, err := parseWhole(text); err == nil && c.countsRecaptures() && n > 0 && n <= mostRecaptures {
		return yesTold
	}
	return notTold
}

// countsRecaptures is true for a column such as "Times recaptured". A figure in another
// one may be a code, and is asked about.
func (c *Column) countsRecaptures() bool {
	words := headingWords(c.Heading)
	return slices.ContainsFunc(words, func(w string) bool {
		return slices.Contains([]string{"times", "number", "num", "n", "recaptures", "recaps", "veces", "vezes"}, w)
	})
}

// findEvents finds out whether the column of recaptures calls the rows by what
// happened, as tagging and recapture.
func (in *reading) findEvents() {
	for _, c := range in.columns[slot{field: fieldRecaptured}] {
		for _, l := range in.rows {
			text := l.cell(c.index)
			if _, isAnswer := known().answer(text); isAnswer {
				continue
			}
			if m, ok := known().meaning("event", text); ok && m == "recapture" {
				c.events = true
			}
		}
	}
}

// noteCounts tells that a fish seen again several times counts once, where only the
// number of times is told.
func (in *reading) noteCounts() {
	for _, c := range in.columns[slot{field: fieldRecaptured}] {
		if !c.countsRecaptures() {
			continue
		}
		several := 0
		for _, l := range in.rows {
			if n, err := parseWhole(l.cell(c.index)); err == nil && n > 1 && n <= mostRecaptures {
				several++
			}
		}
		if several > 0 {
			in.sheet.note("%q counts how often a fish was recaptured; %d lines have more than one, and each is taken as one recapture", c.Heading, several)
		}
	}
}
