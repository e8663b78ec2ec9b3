package importer

import (
	"slices"
	"strings"
)

// leaveMisfits leaves out columns whose cells are not what their headings say, and asks
// where the heading may mean two things: minutes in a livewell are no longitude.
func (in *reading) leaveMisfits() {
	in.leaveLonePlaces()
	dated := in.dated()
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		taken := slices.Contains(in.columns[c.slot()], c)
		switch {
		case c.renamed || !taken && c.field != "":
		case in.numbersEvents(c):
			in.drop(c)
			c.asked = true
			in.sheet.ask("%q may number the events, or tell which lines are recaptures; say what it is: --column \"%s=recaptured\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading).column(c.Heading, "recaptured")
		case in.returnedToWater(c):
			in.drop(c)
			c.asked = true
			in.sheet.ask("%q may mean that the fish was let go, or that its tag came back; say which: --column \"%s=released\", \"%s=recaptured\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "released", "recaptured")
		case taken && !in.fits(c):
			in.sheet.note("%q is not used: its cells are no %s; to use it, say what it is: --column \"%s=...\"", c.Heading, c.Field(), c.Heading)
			in.drop(c)
		}
	}
	if dated && !in.dated() {
		in.askForDate(nil)
	}
}

// Field is what the heading means, in words.
func (c *Column) Field() string { return c.field.says() }

// drop takes a column's meaning away.
func (in *reading) drop(c *Column) {
	s := c.slot()
	in.columns[s] = slices.DeleteFunc(slices.Clone(in.columns[s]), func(o *Column) bool { return o == c })
	if len(in.columns[s]) == 0 {
		delete(in.columns, s)
	}
	c.heading = heading{}
}

// leaveLonePlaces leaves out a latitude without a longitude, and the other way round.
func (in *reading) leaveLonePlaces() {
	for again := range mostRecaptures + 1 {
		for _, pair := range [...][2]field{{fieldLat, fieldLon}, {fieldLon, fieldLat}, {fieldLatMinutes, fieldLat}, {fieldLonMinutes, fieldLon}} {
			if len(in.columns[slot{pair[1], again}]) > 0 {
				continue
			}
			for _, c := range in.columns[slot{pair[0], again}] {
				in.sheet.note("%q is not used: no column has the %s that goes with it", c.Heading, pair[1].says())
				in.drop(c)
			}
		}
	}
}

// fits is true when most cells of a column can be what its heading says.
func (in *reading) fits(c *Column) bool {
	told, fit := 0, 0
	for text := range in.told(c, line.raw) {
		told++
		if c.field.takes(text) {
			fit++
		}
	}
	if c.field == fieldTag && in.onlyAnswers(c) {
		return false
	}
	return 2*fit >= told
}

// takes is true for a cell that may be of the field.
func (f field) takes(text string) bool {
	figure := strings.ContainsAny(text, "0123456789")
	switch {
	case f == fieldDay, f == fieldMonth, f == fieldYear:
		_, named := known().words["month"][spaced(text)]
		n, err := parseWhole(text)
		most := map[field]int{fieldDay: 99, fieldMonth: 99, fieldYear: 3000}[f]
		return named || err == nil && n >= 0 && n <= most
	case f == fieldLead:
		_, isAnswer := known().answer(text)
		return isAnswer || figure
	case f == fieldLengthType:
		_, ok := known().lengthType(spaced(text))
		return ok
	case f.angle(), f.measures() != "":
		return figure
	default:
		return true
	}
}

// onlyAnswers is true for a column of nothing but yes and no in several lines.
func (in *reading) onlyAnswers(c *Column) bool {
	lines := 0
	words := false
	for text := range in.told(c, line.raw) {
		if _, ok := known().answer(text); !ok {
			return false
		}
		words = words || strings.Trim(text, "01") != ""
		lines++
	}
	return lines > 1 && words
}

// numbersEvents is true for a column of events that has only numbers: of the trip, or 1
// for a tagging and 2 for a recapture.
func (in *reading) numbersEvents(c *Column) bool {
	if c.field != fieldRecaptured || !c.namesEvents() {
		return false
	}
	numbers := 0
	for text := range in.told(c, line.raw) {
		if _, err := parseWhole(text); err != nil {
			return false
		}
		numbers++
	}
	return numbers > 0
}

// returnedToWater is true for a yes or no about what "returned", and not about a tag.
func (in *reading) returnedToWater(c *Column) bool {
	words := headingWords(c.Heading)
	has := func(list ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(list, w) })
	}
	unclear := c.field == fieldRecaptured || c.field == fieldSpecies || c.field == ""
	return unclear && has("returned") && !has("tag", "tags") && in.onlyAnswers(c)
}

// askDates asks about columns that nobody knows and that hold dates: the day of the
// recapture may be among them.
func (in *reading) askDates() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field == "" && !c.renamed && !c.asked && c.Heading != "" && !c.tellsEntry() && in.holdsDates(c) {
			c.asked = true
			in.sheet.ask("%q has dates; say which: --column \"%s=recapture date\", \"%s=date\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "recapture date", "date")
		}
	}
}

// tellsEntry is true for the day on which a line was typed or changed.
func (c *Column) tellsEntry() bool {
	return slices.ContainsFunc(headingWords(c.Heading), func(w string) bool {
		return slices.Contains([]string{"entry", "entered", "typed", "edited", "modified", "updated", "uploaded", "keyed", "scanned"}, w)
	})
}

// holdsDates is true when all cells of a column are dates. In a workbook a bare figure is
// one only under a heading that says so.
func (in *reading) holdsDates(c *Column) bool {
	named := slices.ContainsFunc(headingWords(c.Heading), func(w string) bool {
		return slices.Contains([]string{"date", "day", "fecha", "data", "dia", "jour"}, w)
	})
	dates := 0
	for text := range in.told(c, line.raw) {
		if _, err := in.moment(text); err != nil {
			return false
		}
		if strings.Trim(text, "0123456789.") == "" && !named {
			return false
		}
		dates++
	}
	return dates > 0
}
