package importer

import (
	"errors"
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
)

// What is believed of a cell beside what the chat believes too.
const (
	minCm       = 2
	maxMinutes  = 180
	coldestC    = -2
	warmestC    = 40
	maxDays     = 60 * 365
	maxLeadOz   = 32 * 16
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
	r    *catch.Report
	// remarks are what has no place in a report.
	remarks []string
	// waiting is true when a question must be answered before the row is whole.
	waiting bool
}

func (in *reading) at(l line) *builder {
	return &builder{reading: in, line: l, row: &Row{File: l.sheet, Line: l.number}, r: new(catch.Report)}
}

// looking walks the rows with one builder, which is for reading: what it builds of a row is
// gone with the next.
func (in *reading) looking(yield func(*builder) bool) {
	b := in.at(line{})
	for _, l := range in.rows {
		b.line, b.remarks, b.waiting = l, nil, false
		*b.row, *b.r = Row{File: l.sheet, Line: l.number}, catch.Report{}
		if !yield(b) {
			return
		}
	}
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

func (b *builder) problem(c *Column, value, format string, args ...any) {
	p := Problem{File: b.line.sheet, Line: b.line.number, Value: value, Says: Said{format, args}}
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
	in.mergeReleases()
	in.identify()
	in.checkTags()
	in.noteFish()
	in.noteMethods()
	in.noteZone()
}

// noteZone tells that times of day are kept as they are, in no known zone.
func (in *reading) noteZone() {
	for e := range in.sheet.Entries() {
		if slices.Contains(e.Report.Flags, catch.ZoneUnknown) {
			in.sheet.note("times of day are kept as local times of no known zone; to tell it: --zone America/New_York, or --zone -05:00")
			return
		}
	}
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

// saying is the same sentence each time.
func saying(text string) func() Said { return func() Said { return Said{format: text} } }

// measured reads the figure of a slot; what is out of sense is a problem, of which says
// tells what is wrong.
func (b *builder) measured(s slot, low, high float64, says func() Said) (m measure, ok bool) {
	c, text, told := b.cellOf(s)
	if !told {
		return m, false
	}
	var fallback *unit
	kind, before := c.lengthType, len(b.row.Problems)
	if c.unitWord != "" {
		fallback = &c.unit
	} else {
		fallback, kind = b.unitOfRow(s.field.measures(), kind)
	}
	m, err := b.measure(text, s.field.measures(), fallback)
	if err != nil {
		switch noUnit := errors.Is(err, errNoUnit); {
		case noUnit && b.unitAsked[c]:
			b.waiting = true
		case noUnit && len(b.row.Problems) > before: // the unit of the row is told to be none
		default:
			b.problem(c, text, "%s", err.Error())
		}
		return m, false
	}
	if m.low < low || m.high > high {
		if positiveCode.MatchString(text) {
			b.problem(c, text, "%s (if it stands for not told: --value \"%s:%s=-\")", says(), c.Heading, text)
		} else {
			b.problem(c, text, "%s", says())
		}
		return m, false
	}
	if m.kind == "" {
		m.kind = kind
	}
	return m, true
}
