package importer

import (
	"fmt"
	"regexp"
	"strings"
	"time"
)

// checkFill refuses a day for rows without one that is no day.
func checkFill(date string) error {
	if date == "" {
		return nil
	}
	if _, ok := partOfDate(date); ok {
		return nil
	}
	if _, err := time.Parse(time.DateOnly, date); err != nil {
		return fmt.Errorf("%w: --date %q is no day; write it as 2016-07-01, 2016-07 or 2016", ErrOption, date)
	}
	return nil
}

var (
	yearForm      = regexp.MustCompile(`^(\d{4})(?:\.0)?$`)
	yearMonthForm = regexp.MustCompile(`^(\d{4})[-/. ](\d{1,2}|[a-z]{3,})$`)
	monthYearForm = regexp.MustCompile(`^(\d{1,2}|[a-z]{3,})[-/. ](\d{4})$`)
)

// partOfDate reads a year, or a year and a month; what is not told is 0.
func partOfDate(text string) (civil, bool) {
	text = fold(text)
	year, month := "", ""
	if m := yearForm.FindStringSubmatch(text); m != nil {
		year, month = m[1], "1"
	} else if m := yearMonthForm.FindStringSubmatch(text); m != nil {
		year, month = m[1], m[2]
	} else if m := monthYearForm.FindStringSubmatch(text); m != nil {
		year, month = m[2], m[1]
	}
	if named, ok := known().words["month"][month]; ok {
		month = named
	}
	c := civil{atoi(year), atoi(month), 1}
	if c.year < oldestYear || !c.valid() {
		return civil{}, false
	}
	c.day = 0
	if yearForm.MatchString(text) {
		c.month = 0
	}
	return c, true
}

// filledDay is the day of a row that tells none, or only a part of it; ok is false,
// with a problem, when year, month or day is told nowhere.
func (b *builder) filledDay() (civil, bool) {
	day := b.toldParts()
	fill, part := partOfDate(b.Date)
	if !part {
		t, _ := time.Parse(time.DateOnly, b.Date) // checked by checkFill
		fill = civilOf(t)
	}
	if day.year == 0 {
		day.year = fill.year
	}
	if day.month == 0 {
		day.month = fill.month
	}
	if day.day == 0 {
		day.day = min(fill.day, lastDay(day))
	}
	if !day.valid() || day.year < oldestYear {
		b.problem(nil, "", "the date is not whole; --date must tell year, month and day, as 2016-07-01")
		return civil{}, false
	}
	return day, true
}

// lastDay is the last day of a month.
func lastDay(c civil) int {
	return time.Date(c.year, time.Month(c.month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// toldParts are the parts of the date that the row tells.
func (b *builder) toldParts() civil {
	if _, text, told := b.cell(fieldDate); told {
		day, _ := partOfDate(text)
		return day
	}
	var parts [3]int
	for i, f := range []field{fieldYear, fieldMonth, fieldDay} {
		c, text, told := b.cell(f)
		if !told {
			continue
		}
		if m, ok := known().words["month"][spaced(text)]; ok && f == fieldMonth {
			text = m
		}
		n, err := parseWhole(strings.TrimSpace(text))
		if err != nil || n < 1 {
			b.problem(c, text, "%s", errNoDate.Error())
		}
		parts[i] = n
	}
	if parts[0] > 0 && parts[0] < 100 {
		parts[0] = century(parts[0], b.year())
	}
	return civil{parts[0], parts[1], parts[2]}
}
