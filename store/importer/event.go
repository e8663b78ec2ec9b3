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
		return slices.Contains([]string{"times", "recaptures", "recaps", "veces", "vezes"}, w)
	})
}

// askCounts asks about columns that count the fish of a line, as "N released" and
// "N recaptured" do: read as yes, they would make one fish of many.
func (in *reading) askCounts() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.renamed || c.field == fieldCount || c.field == fieldTag || !headsCount(c.Heading) || !in.countsFish(c) {
			continue
		}
		in.sheet.ask("%q counts fish; here one line is one fish. Write one line a fish, or leave the column out with --column \"%s=-\"", c.Heading, c.Heading).column(c.Heading)
		delete(in.columns, c.slot())
		c.heading, c.asked = heading{}, true
	}
}

// headsCount is true for a heading such as "No. tagged".
func headsCount(text string) bool {
	words := headingWords(text)
	counts, fish := false, false
	for _, w := range words {
		counts = counts || slices.Contains([]string{"n", "no", "num", "number", "nr", "count", "total"}, w)
		fish = fish || slices.Contains([]string{"released", "tagged", "marked", "discarded", "recaptured", "vented", "descended", "caught"}, w)
	}
	return counts && fish && !slices.Contains(words, "times")
}

// countsFish is true where all cells are whole numbers, some of them above 1.
func (in *reading) countsFish(c *Column) bool {
	above := false
	for text := range in.told(c, line.raw) {
		n, err := parseWhole(text)
		if err != nil || n < 0 || n > mostCounted {
			return false
		}
		above = above || n > 1
	}
	return above
}

// mostCounted is how many fish of a kind a line counts at most; above it are numbers
// of tags.
const mostCounted = 1000

// findSeenOn takes a column headed "Recaptured" that has nothing but dates for the
// date of the recapture.
func (in *reading) findSeenOn() {
	s, on := slot{field: fieldRecaptured}, slot{fieldDate, 1}
	if !in.has(s.field) || len(in.columns[on]) > 0 {
		return
	}
	c := in.columns[s][0]
	dates := 0
	for text := range in.told(c, line.raw) {
		if _, err := in.moment(text); err != nil {
			return
		}
		dates++
	}
	if dates == 0 {
		return
	}
	delete(in.columns, s)
	c.field, c.again = fieldDate, 1
	in.columns[on] = []*Column{c}
	in.sheet.note("%q has dates and is taken for the date of the recapture", c.Heading)
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
