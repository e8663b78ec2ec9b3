package importer

import (
	"slices"
	"strings"
	"time"

	"deepward/store/catch"
)

// date sets when the fish was caught.
func (b *builder) date() {
	if b.seenAgainOnly() {
		return
	}
	day, at, ok := b.day(slot{field: fieldDate})
	switch {
	case !ok && b.splitDate() && (b.Date == "" || b.tellsWholeDay()):
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
		} else if at, err = b.clock(text); err != nil {
			b.notUnderstood(c, text)
		}
	}
	b.r.CaughtAt, b.r.DateOnly = b.instant(day, at), !at.known
	if at.known && at.zone == nil && !b.zoneTold {
		b.r.Flags = append(b.r.Flags, catch.ZoneUnknown)
	}
	if b.toCome(b.r.CaughtAt) {
		b.problem(nil, "", "the day %s is still to come", b.r.CaughtAt.Format(time.DateOnly))
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
	m, err := b.moment(text)
	if err != nil && b.Date != "" && s.again == 0 {
		if _, part := partOfDate(text); part {
			return day, at, false // the rest is filled
		}
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
		b.problem(c, text, "%s", err.Error())
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
			b.problem(c, text, "%s", errNoDate.Error())
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

// tellsWholeDay is true when no part of a day in several columns is blank.
func (b *builder) tellsWholeDay() bool {
	for _, f := range []field{fieldYear, fieldMonth, fieldDay, fieldYearDay} {
		if c, _, told := b.cell(f); c != nil && !told {
			return false
		}
	}
	return true
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
		b.problem(c, text, "%s", errNoDate.Error())
		return civil{}, false
	}
	t := time.Date(year, 1, n, 0, 0, 0, 0, time.UTC)
	return civilOf(t), t.Year() == year
}
