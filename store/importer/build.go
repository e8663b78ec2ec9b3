package importer

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/store"
)

// What is believed of a fish at most, as the chat has it.
const (
	maxDepthM   = 1000
	maxKg       = 300
	maxCm       = 400
	minCm       = 2
	maxMinutes  = 180
	maxCount    = 60
	coldestC    = -2
	warmestC    = 40
	maxDays     = 60 * 365
	maxLeadOz   = 32 * 16
	overlong    = 1.25 // records understate
	oldestYear  = 1900
	tomorrow    = 24 * time.Hour
	justAfter   = time.Second
	maxTagBytes = 40
)

// Flags that the import puts on reports.
const (
	// FlagTagInvented: the row told whether the fish was seen again but no tag
	// number; one was made from the row.
	FlagTagInvented = "tag_invented"
	// FlagRecaptureDateUnknown: the day of the recapture was not told; the report
	// stands right after the release.
	FlagRecaptureDateUnknown = "recapture_date_unknown"
	// FlagDateFilled: the row told no day, or only the year or month; the rest is what
	// was said for the whole file.
	FlagDateFilled = "date_filled"
	// FlagAlsoVented: the fish was vented as well as sent down.
	FlagAlsoVented = "also_vented"
)

// builder makes reports of one row.
type builder struct {
	*reading
	line line
	row  *Row
	r    *store.Report
	// remarks are what has no place in a report.
	remarks []string
	// waiting is true when a question must be answered before the row is whole.
	waiting bool
}

func (in *reading) at(l line) *builder {
	return &builder{reading: in, line: l, row: &Row{Line: l.number}, r: new(store.Report)}
}

// cell is the cell of a field; told is false when it says nothing.
func (b *builder) cell(f field) (c *Column, text string, told bool) { return b.cellOf(slot{field: f}) }

func (b *builder) cellOf(s slot) (c *Column, text string, told bool) {
	list := b.columns[s]
	if len(list) == 0 {
		return nil, "", false
	}
	text = b.line.cell(list[0].index)
	return list[0], text, !known().blank(text)
}

func (b *builder) problem(c *Column, value, says string) {
	p := Problem{Line: b.line.number, Value: value, Says: says}
	if c != nil {
		p.Column = c.Heading
	}
	b.row.Problems = append(b.row.Problems, p)
}

// notUnderstood keeps a cell as a remark and counts it.
func (b *builder) notUnderstood(c *Column, text string) {
	c.unread[text]++
	b.remarks = append(b.remarks, c.Heading+": "+text)
}

func (in *reading) readRows() {
	for _, l := range in.rows {
		b := in.at(l)
		b.build()
		in.sheet.Rows = append(in.sheet.Rows, *b.row)
	}
	in.identify()
	in.checkTags()
	in.noteFish()
	in.noteMethods()
}

// noteMethods tells how many releases have no method: they are in no comparison.
func (in *reading) noteMethods() {
	without, releases := 0, 0
	for e := range in.sheet.Entries() {
		if e.Report.Recapture {
			continue
		}
		releases++
		if e.Report.Method == "" {
			without++
		}
	}
	if without > 0 {
		in.sheet.note("%d of %d fish have no release method: they are kept, and are in no comparison of methods", without, releases)
	}
}

// build fills the row's entries, or its problems.
func (b *builder) build() {
	b.r.Chat, b.r.Season, b.r.Origin = b.Chat, b.Season, b.Origin
	b.date()
	b.species()
	b.figures()
	b.method()
	b.signs()
	b.state()
	b.place()
	b.r.Tag = b.tag()
	if len(b.r.Tag) > maxTagBytes {
		b.problem(b.columns[slot{field: fieldTag}][0], b.r.Tag, "is too long for a tag number")
	}
	b.words()
	count := b.count()
	reports := b.withRecapture()
	if len(b.row.Problems) > 0 || b.waiting {
		return
	}
	for range count {
		for _, r := range reports {
			one := *r
			one.Signs, one.Flags, one.WeightsOz = slices.Clone(r.Signs), slices.Clone(r.Flags), slices.Clone(r.WeightsOz)
			if b.Doubts != nil {
				one.Flags = append(one.Flags, b.Doubts(&one)...)
			}
			b.row.Entries = append(b.row.Entries, Entry{Report: &one})
		}
	}
}

// date sets when the fish was caught.
func (b *builder) date() {
	if b.seenAgainOnly() {
		return
	}
	day, at, ok := b.day(slot{field: fieldDate})
	switch {
	case !ok && b.splitDate():
		day, ok = b.splitDay()
	case !ok && b.Date != "" && len(b.row.Problems) == 0:
		if day, ok = b.filledDay(); ok {
			b.r.Flags = append(b.r.Flags, FlagDateFilled)
		}
	}
	if !ok {
		return
	}
	if c, text, told := b.cell(fieldTime); told && !at.known {
		var err error
		if len(text) == 3 && b.fourFigures(c) {
			text = "0" + text // 915, as a spreadsheet leaves 0915
		}
		if hour, isWhole := parseWhole(text); isWhole == nil && c.tellsHour() && hour >= 0 && hour < 24 {
			at = clock{known: true, seconds: hour * 3600}
		} else if at, err = readClock(text, b.table.serials); err != nil {
			b.notUnderstood(c, text)
		}
	}
	b.r.CaughtAt, b.r.DateOnly = b.instant(day, at), !at.known
	if !b.Now.IsZero() && b.r.CaughtAt.After(b.Now.Add(tomorrow)) {
		b.problem(nil, "", "the day "+b.r.CaughtAt.Format(time.DateOnly)+" is still to come")
	}
}

// fourFigures is true for a column of times that has some of four figures, as 1040.
func (in *reading) fourFigures(c *Column) bool {
	return slices.ContainsFunc(in.rows, func(l line) bool {
		text := l.cell(c.index)
		return len(text) == 4 && strings.Trim(text, "0123456789") == ""
	})
}

// tellsHour is true for a column of whole hours.
func (c *Column) tellsHour() bool {
	return slices.ContainsFunc(headingWords(c.Heading), func(w string) bool {
		return slices.Contains([]string{"hour", "hr", "hora", "heure"}, w)
	})
}

func (in *reading) instant(day civil, at clock) time.Time {
	zone := in.Zone
	if at.zone != nil {
		zone = at.zone
	}
	return time.Date(day.year, time.Month(day.month), day.day, 0, 0, at.seconds, 0, zone)
}

// day reads the date of a slot; what cannot be is a problem.
func (b *builder) day(s slot) (day civil, at clock, ok bool) {
	c, text, told := b.cellOf(s)
	switch {
	case c == nil && s.again == 0 && !b.splitDate():
		b.waiting = b.Date == "" // then there is a question about it
		return day, at, false
	case !told:
		if s.again == 0 && c != nil && b.Date == "" {
			b.problem(c, "", "the date is missing; a day for lines without one can be said: --date 2016-07-01")
		}
		return day, at, false
	}
	m, err := readMoment(text, b.table)
	if _, part := partOfDate(text); err != nil && part && b.Date != "" && s.again == 0 {
		return day, at, false // the rest is filled
	}
	if err == nil {
		if c.order == "" {
			b.waiting = true
			return day, at, false
		}
		day, err = m.in(c.order, b.year())
	}
	if err == nil && day.year < oldestYear {
		err = errNoDate
	}
	if err != nil {
		b.problem(c, text, err.Error())
		return day, at, false
	}
	return day, m.clock, true
}

// year is the year that a date of two digits may not be after.
func (in *reading) year() int {
	if in.Now.IsZero() {
		return 2069
	}
	return in.Now.Year()
}

func (b *builder) splitDay() (civil, bool) {
	if !b.has(fieldMonth) || !b.has(fieldDay) {
		return b.yearDay()
	}
	var parts [3]int
	for i, f := range []field{fieldYear, fieldMonth, fieldDay} {
		c, text, told := b.cell(f)
		n, err := parseWhole(text)
		if m, ok := known().words["month"][spaced(text)]; ok && f == fieldMonth {
			n, err = parseWhole(m)
		}
		if !told || err != nil {
			b.problem(c, text, errNoDate.Error())
			return civil{}, false
		}
		parts[i] = n
	}
	day := civil{parts[0], parts[1], parts[2]}
	if day.year < 100 {
		day.year = century(day.year, b.year())
	}
	if !day.valid() || day.year < oldestYear {
		b.problem(b.columns[slot{field: fieldDay}][0], "", "year, month and day make no date")
		return civil{}, false
	}
	return day, true
}

// yearDay is the day that a year and the day of the year make.
func (b *builder) yearDay() (civil, bool) {
	_, yearText, _ := b.cell(fieldYear)
	c, text, _ := b.cell(fieldYearDay)
	year, err := parseWhole(yearText)
	n, err2 := parseWhole(text)
	if year < 100 {
		year = century(year, b.year())
	}
	if err != nil || err2 != nil || n < 1 || n > 366 || year < oldestYear {
		b.problem(c, text, errNoDate.Error())
		return civil{}, false
	}
	t := time.Date(year, 1, n, 0, 0, 0, 0, time.UTC)
	return civil{t.Year(), int(t.Month()), t.Day()}, t.Year() == year
}

// species resolves the name; the words given are kept.
func (b *builder) species() {
	_, common, _ := b.cell(fieldSpecies)
	_, scientific, _ := b.cell(fieldScientific)
	if known().blank(common) {
		common = ""
	}
	if known().blank(scientific) {
		scientific = ""
	}
	given := common
	if given == "" {
		given = scientific
	}
	if given == "" {
		given = b.Species
	}
	b.r.SpeciesGiven = strings.Join(strings.Fields(given), " ")
	for _, name := range []string{scientific, given} {
		if name == "" || b.r.Species != "" {
			continue
		}
		b.r.Species, b.r.SpeciesSure = b.find(name)
	}
}

// find resolves a name once for the whole file: misspelt names cost a search.
func (in *reading) find(name string) (string, bool) {
	if in.fish == nil {
		in.fish = map[string]fish{}
	}
	f, known := in.fish[name]
	if !known {
		if s := advisor.LookUp(strings.Join(strings.Fields(name), " ")); s != nil {
			f.scientific, f.sure = s.ScientificName, true
		} else if in.FindSpecies != nil {
			f.scientific, f.sure = in.FindSpecies(name)
		}
		if !f.sure {
			f.turn(in, name)
		}
	}
	f.lines++
	in.fish[name] = f
	return f.scientific, f.sure
}

// fish is what a name stands for, and in how many lines.
type fish struct {
	scientific string
	sure       bool
	lines      int
}

// turn looks for a name in the order of an index, as "snapper, red"; it is taken only
// where that fits one fish.
func (f *fish) turn(in *reading, name string) {
	last, first, ok := strings.Cut(name, ",")
	if !ok || strings.Contains(first, ",") || strings.TrimSpace(first) == "" || in.FindSpecies == nil {
		return
	}
	first = strings.TrimSpace(first)
	for _, turned := range []string{first + " " + strings.TrimSpace(last), first} {
		if scientific, sure := in.FindSpecies(turned); sure {
			f.scientific, f.sure = scientific, true
			return
		}
	}
}

// noteFish tells which names are not known, or fit several fish, and that no column
// tells the fish.
func (in *reading) noteFish() {
	if !in.has(fieldSpecies) && !in.has(fieldScientific) && in.Species == "" {
		in.sheet.note("no column tells the species; name it: --column \"HEADING=species\", or say one for all fish: --species \"red snapper\"")
	}
	for _, name := range slices.Sorted(maps.Keys(in.fish)) {
		switch f := in.fish[name]; {
		case f.scientific == "":
			in.sheet.note("nobody here knows a fish called %q (%d lines); the name is kept; to say which fish it is: --value \"%s:%s=...\"", name, f.lines, in.speciesHeading(), name)
		case !f.sure:
			in.sheet.note("%q may be several fish (%d lines); perhaps %s, and marked as not sure", name, f.lines, f.scientific)
		}
	}
}

// unitOfRow is the unit that the row tells in a column of its own, nil if none, and
// how a length was measured.
func (b *builder) unitOfRow(q quantity, kind advisor.LengthType) (*unit, advisor.LengthType) {
	c, text, told := b.cell(unitField(q))
	if !told {
		return nil, kind
	}
	var found *unit
	for _, w := range plainWords(text) {
		if u, ok := known().units[q][w]; ok && found == nil {
			found = &u
		}
		if t, ok := known().lengthType(w); ok && kind == "" {
			kind = t
		}
	}
	if found == nil {
		b.problem(c, text, "is no unit that is known here")
	}
	return found, kind
}

func (in *reading) speciesHeading() string {
	for _, f := range []field{fieldSpecies, fieldScientific} {
		for _, c := range in.columns[slot{field: f}] {
			return c.Heading
		}
	}
	return "HEADING"
}

// measured reads the figure of a slot; what is out of sense is a problem.
func (b *builder) measured(s slot, low, high float64, says string) (m measure, ok bool) {
	c, text, told := b.cellOf(s)
	if !told {
		return m, false
	}
	var fallback *unit
	kind := c.lengthType
	if c.unitWord != "" {
		fallback = &c.unit
	} else {
		fallback, kind = b.unitOfRow(s.field.measures(), kind)
	}
	m, err := b.style.measure(text, s.field.measures(), fallback)
	if err != nil {
		if b.unitAsked[c] && errors.Is(err, errNoUnit) {
			b.waiting = true
			return m, false
		}
		b.problem(c, text, err.Error())
		return m, false
	}
	if m.low < low || m.high > high {
		if positiveCode.MatchString(text) {
			says += fmt.Sprintf(" (if it stands for not told: --value \"%s:%s=-\")", c.Heading, text)
		}
		b.problem(c, text, says)
		return m, false
	}
	if m.kind == "" {
		m.kind = kind
	}
	return m, true
}
