package importer

import (
	"fmt"
	"maps"
	"slices"

	"deepward/store/catch"
)

// takeReturns gives what headings tell of the recapture to the line itself, where each
// line is a recapture and nothing else.
func (in *reading) takeReturns() {
	if in.Recaptures != ReturnsOnly {
		return
	}
	for _, s := range slices.SortedFunc(maps.Keys(in.columns), slot.compare) {
		if s.again != 1 {
			continue
		}
		for _, of := range in.columns[slot{field: s.field}] {
			of.heading = heading{}
		}
		list := in.columns[s]
		delete(in.columns, s)
		for _, c := range list {
			c.again = 0
		}
		in.columns[slot{field: s.field}] = list
	}
}

// giveToRelease gives what stands under the heading of the recaptures to the release, where
// it is filled in for fish that were not caught again: such a heading has no end of its own.
func (in *reading) giveToRelease() {
	days := in.columns[slot{fieldDate, 1}]
	if len(days) == 0 {
		return
	}
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		own, _, ok := readHeading(c.Heading)
		if c.again != 1 || c.renamed || !tellsRecapture(in.groupsAbove.cell(i)) || !ok || own.again != 0 || own.field != c.field {
			continue
		}
		s := slot{field: c.field}
		if len(in.columns[s]) > 0 && !c.field.many() || !in.filledWithout(c, days[0]) {
			continue
		}
		h := c.heading
		in.drop(c)
		c.heading = h
		c.again = 0
		in.columns[s] = append(in.columns[s], c)
		in.sheet.note("%q is read as said of the release: it is filled in for fish that were not caught again", c.Heading)
	}
}

// filledWithout is true for a column that is filled in for many lines in which another is
// blank; remarks are few.
func (in *reading) filledWithout(c, other *Column) bool {
	filled, without := 0, 0
	for _, l := range in.rows {
		if !known().blank(l.cell(other.index)) {
			continue
		}
		without++
		if !known().blank(l.cell(c.index)) {
			filled++
		}
	}
	return filled > 0 && (c.field == fieldRemark || 2*filled >= without)
}

// giveToRecapture gives a column such as "Retained?" to the recapture, where it tells
// something only of fish that were caught again.
func (in *reading) giveToRecapture() {
	if !in.later {
		return
	}
	for _, f := range []field{fieldKept, fieldReleased} {
		list := in.columns[slot{field: f}]
		if len(list) == 0 || list[0].renamed || len(in.columns[slot{f, 1}]) > 0 || !in.toldOfRecaptures(list[0]) {
			continue
		}
		delete(in.columns, slot{field: f})
		list[0].again = 1
		in.columns[slot{f, 1}] = list
		in.sheet.note("%q is read as said of the recapture: it tells something only of fish that were caught again", list[0].Heading)
	}
}

// toldOfRecaptures is true for a column that is filled, or says that the fish was kept,
// only in lines with a recapture.
func (in *reading) toldOfRecaptures(c *Column) bool {
	var inside, outside, keptInside, keptOutside, without bool
	for b := range in.looking {
		text := b.line.cell(c.index)
		yes, isAnswer := known().answer(text)
		kept := isAnswer && yes == (c.field == fieldKept)
		filled, again := !known().blank(text), b.tellsRecapture()
		inside, outside = inside || again && filled, outside || !again && filled
		keptInside, keptOutside = keptInside || again && kept, keptOutside || !again && kept
		without = without || !again
	}
	return inside && (!outside && without || !keptOutside && keptInside)
}

// tellsRecapture is true when the line says that or when the fish was caught again.
func (b *builder) tellsRecapture() bool {
	_, _, dated := b.cellOf(slot{fieldDate, 1})
	_, days, free := b.cell(fieldLiberty)
	n, err := parseWhole(days)
	return dated || b.recaptured() == yesTold || free && (err != nil || n > 0)
}

// mergeReleases makes one release of lines that repeat it, each with a recapture of its
// own perhaps: same tag, same day.
func (in *reading) mergeReleases() {
	type release struct {
		tag string
		day civil
	}
	first := map[release]int{}
	repeated := 0
	for i := range in.sheet.Rows {
		row := &in.sheet.Rows[i]
		if len(row.Entries) == 0 || !row.Entries[0].release() {
			continue
		}
		key := release{row.Entries[0].Report.Tag, civilOf(row.Entries[0].Report.CaughtAt)}
		line, again := first[key]
		if !again {
			first[key] = i
			continue
		}
		repeated++
		row.Notes = append(row.Notes, fmt.Sprintf("it repeats the release in line %d, which counts once", in.sheet.Rows[line].Line))
		row.Entries = in.sheet.Rows[line].without(row.Entries[1:])
	}
	if repeated > 0 {
		in.sheet.note("%d lines repeat a release (same tag, same day): each is one release with its returns", repeated)
	}
}

// release is true for a fish that was let go with a tag of its own.
func (e Entry) release() bool {
	return e.Report.Tag != "" && e.Report.Tag != invented && !e.Report.Recapture
}

// without are the recaptures that the row does not have already.
func (r Row) without(list []Entry) (left []Entry) {
	for _, e := range list {
		if !slices.ContainsFunc(r.Entries, func(o Entry) bool {
			return o.Report.Recapture == e.Report.Recapture && o.Report.CaughtAt.Equal(e.Report.CaughtAt)
		}) {
			left = append(left, e)
		}
	}
	return left
}

// LetGoBefore is how many reports of another sheet have the tag of a fish that was let go in
// this one on an earlier day.
func (s *Sheet) LetGoBefore(other *Sheet) (n int) {
	put := s.releases()
	for e := range other.Entries() {
		if first, ok := put[e.Report.Tag]; ok && first.CaughtAt.Before(e.Report.CaughtAt) {
			n++
		}
	}
	return n
}

// releases are the reports of fish that were let go with a tag, by that.
func (s *Sheet) releases() map[string]*catch.Report {
	put := map[string]*catch.Report{}
	for e := range s.Entries() {
		if e.release() {
			put[e.Report.Tag] = e.Report
		}
	}
	return put
}

// Join adds the rows of a file of returns to those of its releases and tells how many
// returns have a release there. A return of a fish that its row does not name is of the
// species of the release.
func (s *Sheet) Join(returns *Sheet) (known, unknown int) {
	put := s.releases()
	for e := range returns.Entries() {
		first, ok := put[e.Report.Tag]
		if !ok {
			unknown++
			continue
		}
		known++
		if e.Report.SpeciesGiven == "" {
			e.Report.Species, e.Report.SpeciesGiven, e.Report.SpeciesSure = first.Species, first.SpeciesGiven, first.SpeciesSure
		}
	}
	for _, r := range returns.Rows {
		r.File = returns.Name
		s.Rows = append(s.Rows, r)
	}
	s.Questions = append(s.Questions, returns.Questions...)
	return known, unknown
}
