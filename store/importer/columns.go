package importer

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// reading is one file on its way from cells to reports.
type reading struct {
	Options
	table *table
	// zoneTold is true when somebody told in which zone times were written down.
	zoneTold bool
	sheet    *Sheet
	// rows are the lines below the headings.
	rows []line
	// columns by what they hold.
	columns map[slot][]*Column
	style   decimalStyle
	// unitAsked has the columns whose unit is in question.
	unitAsked map[*Column]bool
	// groupsAbove is the line above the headings where it groups them, with each group
	// over all its columns; unitsBelow is the line below them where it has their units.
	groupsAbove, unitsBelow line
	// around are the lines above and below the table.
	around []line
	// said is what cells of columns are to be read as.
	said map[*Column]map[string]string
	// firsts are the first line of each tag, where later ones are its recaptures.
	firsts map[string]firstLine
	// pairs has the first tag of fish that wear two, by the second.
	pairs map[string]string
	// fates is true when a column such as "Fate" was taken for that of recaptures.
	fates bool
	// fish by the names in the file.
	fish map[string]fish
	// notFish has whether such a name is of no fish at all.
	notFish map[string]bool
	// later is true when a yes under recaptured means the fish was seen later.
	later bool
	memory
	// text is where rows are written together.
	text []byte
}

// slot is a field of the release (again is 0) or of one of the recaptures that the
// row tells of, counted from 1.
type slot struct {
	field field
	again int
}

func (in *reading) run() error {
	at, ok := in.table.findHeadings(in.Columns)
	if !ok {
		return ErrNoHeadings
	}
	in.rows = slices.Clone(in.table.lines[at+1:])
	in.around = slices.Clone(in.table.lines[:at])
	headings := in.headingsAround(at)
	if l := in.table.carried; l != nil {
		in.sheet.note("a day on a line of its own, as in line %d (%s), is taken for that of the lines below it", l.number, l.begins())
	}
	in.assign(headings)
	in.leaveFooters(headings)
	in.checkNamed()
	in.findRowUnits()
	in.askCounts()
	in.findSeenOn()
	in.findOutcomes()
	in.findFates()
	in.findMethods()
	in.leaveMisfits()
	in.giveToRelease()
	in.askUnused()
	in.askDates()
	in.readValues()
	in.leaveNumbers()
	in.decideComma()
	in.askReleaseDepth()
	in.decideUnits()
	in.decideAngles()
	in.decideDates()
	in.pairTags()
	in.findEvents()
	in.noteCounts()
	in.decideRecaptures()
	in.giveToRecapture()
	in.decideRepeats()
	in.noteReadings()
	in.readRows()
	for i := range in.sheet.Columns {
		in.sheet.Columns[i].Says = in.sheet.Columns[i].says(in)
	}
	in.askForWords()
	in.countWords()
	in.sheet.reading = in.understood()
	return nil
}

// understood is how the columns are read, in one line.
func (in *reading) understood() string {
	var parts []string
	for _, c := range in.sheet.Columns {
		if c.Says != "" {
			parts = append(parts, fmt.Sprintf("%q: %s", c.Heading, c.Says))
		}
	}
	if in.later {
		parts = append(parts, "a recapture in a line is a later catch of its fish")
	}
	return strings.Join(parts, ", ")
}

// has is true when some column holds the field.
func (in *reading) has(f field) bool { return len(in.columns[slot{field: f}]) > 0 }

func (in *reading) hasLater(f field) bool { return len(in.columns[slot{f, 1}]) > 0 }

func (in *reading) hasLaterDate(n int) bool { return len(in.columns[slot{fieldDate, n}]) > 0 }

// assign finds what each column holds. What is exact goes first; a guess is used
// only where it is the only one for a field that has no better.
func (in *reading) assign(headings line) {
	in.columns = map[slot][]*Column{}
	in.sheet.Columns = make([]Column, len(headings.cells))
	guesses := map[slot][]*Column{}
	exact := map[slot][]*Column{}
	for i := range headings.cells {
		c := &in.sheet.Columns[i]
		*c = Column{Heading: headings.cell(i), index: i, unread: map[string]int{}}
		text := renamed(c.Heading, in.Columns)
		c.renamed = text != c.Heading
		if text == "" || text == leaveOut {
			c.nothing = text == "" && in.emptyColumn(i)
			continue
		}
		h, sure, ok := in.headingOf(c, text)
		if !ok {
			continue
		}
		c.heading = h
		c.order = orderSaid(text + " " + in.unitsBelow.cell(i))
		if sure {
			exact[h.slot()] = append(exact[h.slot()], c)
		} else {
			guesses[h.slot()] = append(guesses[h.slot()], c)
		}
	}
	for s, list := range exact {
		in.take(s, list)
	}
	for _, s := range slices.SortedFunc(maps.Keys(guesses), slot.compare) {
		in.guess(s, guesses[s])
	}
	in.takeReturns()
	in.takeBareUnits()
	in.takeWholeDays()
	if !in.dated() {
		in.askForDate(guesses[slot{field: fieldDate}])
	}
}

// emptyColumn is true where no line has a cell.
func (in *reading) emptyColumn(i int) bool {
	return !slices.ContainsFunc(in.rows, func(l line) bool { return l.raw(i) != "" })
}

// bareUnits are the units that people head a column with and nothing else, by what they then
// measure; only where no other column is of that.
var bareUnits = map[field][]string{
	fieldLength: {"in", "inch", "inches", "cm", "mm"},
	fieldWeight: {"lb", "lbs", "kg", "kgs", "oz", "pounds"},
	fieldDepth:  {"ft", "feet", "fm", "fathoms", "metres", "meters"},
}

// takeBareUnits takes a column of figures that is headed only by a unit for what is measured
// in it: "In." for the length.
func (in *reading) takeBareUnits() {
	for _, f := range []field{fieldLength, fieldWeight, fieldDepth} {
		var found []*Column
		for i := range in.sheet.Columns {
			c := &in.sheet.Columns[i]
			words := plainWords(c.Heading)
			if c.field == "" && !c.renamed && len(words) == 1 && slices.Contains(bareUnits[f], words[0]) && in.mostlyFigures(c) {
				found = append(found, c)
			}
		}
		if in.has(f) || len(found) != 1 {
			continue
		}
		c, word := found[0], plainWords(found[0].Heading)[0]
		c.heading = heading{field: f, unitWord: word, unit: known().units[f.measures()][word]}
		in.columns[c.slot()] = []*Column{c}
		in.sheet.note("%q is taken for the %s; if that is wrong, say what it is: --column \"%s=...\", or - to leave it out", c.Heading, f.says(), c.Heading)
	}
}

// mostlyFigures is true for a column half of whose cells begin with a figure.
func (in *reading) mostlyFigures(c *Column) bool {
	told, figures := 0, 0
	for text := range in.told(c, line.raw) {
		told++
		if strings.ContainsRune("0123456789.", rune(text[0])) {
			figures++
		}
	}
	return figures > 0 && 2*figures >= told
}

// takeWholeDays takes a column headed "Day" for the date where its cells are whole dates.
func (in *reading) takeWholeDays() {
	days := in.columns[slot{field: fieldDay}]
	if in.has(fieldDate) || in.has(fieldYear) || len(days) != 1 || days[0].renamed || !in.holdsDates(days[0]) {
		return
	}
	c := days[0]
	in.drop(c)
	c.heading = heading{field: fieldDate}
	in.columns[c.slot()] = []*Column{c}
	in.sheet.note("%q has whole dates and is taken for the date", c.Heading)
}

func (h heading) slot() slot { return slot{h.field, h.again} }

func (s slot) compare(o slot) int {
	return cmp.Or(strings.Compare(string(s.field), string(o.field)), s.again-o.again)
}

// glued reads a heading of one word that ends in a known one, such as "tripdate".
func glued(text string) (heading, bool, bool) {
	words := headingWords(text)
	if len(words) != 1 || len(words[0]) > longestGlued {
		return heading{}, false, false
	}
	const shortest = 4
	for n := 1; n <= len(words[0])-shortest; n++ {
		if h, sure, ok := readHeading(words[0][n:]); ok && sure {
			return h, false, true
		}
	}
	return heading{}, false, false
}

// take gives a slot its columns: the first, unless several make sense.
func (in *reading) take(s slot, list []*Column) {
	slices.SortStableFunc(list, func(a, b *Column) int { return a.place - b.place })
	in.columns[s] = list
	if s.field.many() || len(list) == 1 {
		return
	}
	if s.field == fieldTag {
		in.takeTags(list)
		return
	}
	in.columns[s] = list[:1]
	for _, c := range list[1:] {
		c.heading = heading{}
		if s.field == fieldDate {
			in.sheet.ask("%q and %q are both dates; leave one out with --column \"%s=-\"", list[0].Heading, c.Heading, c.Heading).column(c.Heading, "recapture date")
			continue
		}
		in.sheet.note("%q is not used: %q holds the %s", c.Heading, list[0].Heading, s.field.says())
	}
}

// guessable are the fields for which a heading that is only partly known will do.
func guessable(f field) bool {
	switch f {
	case fieldRemark, fieldSkip, fieldAngler, fieldCount, fieldReleased, fieldPosition:
		return false
	default:
		return f.sign() == ""
	}
}

func (in *reading) guess(s slot, list []*Column) {
	split := s.field == fieldDate && in.splitDate()
	if len(in.columns[s]) > 0 || len(list) > 1 || !guessable(s.field) || split {
		if len(in.columns[s]) == 0 && len(list) > 1 {
			in.tellGuesses(s, list)
		}
		for _, c := range list {
			c.heading = heading{}
		}
		return
	}
	in.columns[s] = list
	in.sheet.note("%q is taken for the %s; if that is wrong, say what it is: --column \"%s=...\", or - to leave it out", list[0].Heading, s.field.says(), list[0].Heading)
}

// tellGuesses tells of several columns that may each be one field, where none surely
// is: left out unseen, depth or length would be missing from all fish.
func (in *reading) tellGuesses(s slot, list []*Column) {
	if s.again > 0 || !slices.Contains([]field{fieldDepth, fieldLength, fieldTag, fieldSpecies, fieldMethod, fieldRecaptured}, s.field) {
		return
	}
	var names []string
	for _, c := range list {
		names = append(names, fmt.Sprintf("%q", c.Heading))
	}
	in.sheet.note("%s may each be the %s, and none is used; say which is: --column \"%s=%s\"", strings.Join(names, ", "), s.field.says(), list[0].Heading, s.field.says())
}

// dated is true when some columns tell the day.
func (in *reading) dated() bool { return in.has(fieldDate) || in.splitDate() }

// splitDate is true when year, month and day have columns of their own.
func (in *reading) splitDate() bool {
	return !in.has(fieldDate) && in.has(fieldYear) && (in.has(fieldMonth) && in.has(fieldDay) || in.has(fieldYearDay))
}

func (in *reading) askForDate(guesses []*Column) {
	if len(guesses) == 0 && in.Date == "" && !in.hasLater(fieldDate) {
		guesses = in.undated()
	}
	switch {
	case in.Date != "":
		return
	case in.hasLater(fieldDate):
		in.sheet.ask("no column is the day of release, and %q is that of recaptures; say --recaptures only if each line is a recapture and the releases are in another file, or name the day of release: --column \"HEADING=date\"", in.columns[slot{fieldDate, 1}][0].Heading).offerRecaptures(ReturnsOnly)
		return
	case len(guesses) == 0 && in.has(fieldYear):
		in.sheet.ask("no column has the whole date; say the rest of it for all lines, as --date 2000-07-01: what a line tells, such as %q, is taken from the line", in.columns[slot{field: fieldYear}][0].Heading).own(Answer{Setting: SettingDate})
		return
	case len(guesses) == 0:
		in.sheet.ask("no column is the date; name it: --column \"HEADING=date\", or say a day for all fish: --date 2016-07-01").own(Answer{Setting: SettingDate})
		return
	}
	var names []string
	for _, c := range guesses {
		c.asked = true
		names = append(names, fmt.Sprintf("%q", c.Heading))
	}
	in.sheet.ask("%s may be the date; say which: --column \"%s=date\"", strings.Join(names, " or "), guesses[0].Heading).dateColumns(guesses)
}

// undated are the columns that hold dates under a heading that does not say so, such as "Day".
func (in *reading) undated() (list []*Column) {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if (c.field == "" || c.field == fieldDay) && !c.renamed && c.Heading != "" && !c.tellsEntry() && in.holdsDates(c) {
			list = append(list, c)
		}
	}
	return list
}

// checkNamed asks about headings that were named and are not there, or whose
// meaning is not understood.
func (in *reading) checkNamed() {
	for _, from := range slices.Sorted(maps.Keys(in.Columns)) {
		to := strings.TrimSpace(in.Columns[from])
		if !slices.ContainsFunc(in.sheet.Columns, func(c Column) bool { return spaced(c.Heading) == spaced(from) }) {
			in.sheet.ask("there is no column %q; the headings are those of the file", from)
		} else if _, sure, ok := readHeading(to); to != leaveOut && (!ok || !sure) {
			in.sheet.ask("%q is not understood as what %q holds; use the words of a heading, such as depth ft, length cm FL, release method, or - to leave it out", to, from)
		}
	}
}

// figures walks the cells of all columns that measure something.
func (in *reading) figures(yield func(string) bool) {
	for _, c := range in.sheet.Columns {
		if c.field.measures() == "" && !c.field.angle() {
			continue
		}
		for _, l := range in.rows {
			if !yield(l.cell(c.index)) {
				return
			}
		}
	}
}

// says is what the column was taken for.
func (c *Column) says(in *reading) string {
	if c.field == "" || !slices.Contains(in.columns[c.slot()], c) {
		return ""
	}
	text := c.field.says()
	switch {
	case c.again == 1:
		text += " at the recapture"
	case c.again > 1:
		text += fmt.Sprintf(" at recapture %d", c.again)
	}
	if c.unitWord != "" {
		text += ", in " + c.unitWord
	}
	if c.lengthType != "" {
		text += ", " + string(c.lengthType)
	}
	if c.orderMatters && c.order != "" {
		text += ", " + string(c.order)
	}
	return text
}
