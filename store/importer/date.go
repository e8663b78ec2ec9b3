package importer

import (
	"errors"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/xuri/excelize/v2"
)

var (
	errNoDate  = errors.New("is no date")
	errNoDay   = errors.New("has no day")
	errNoClock = errors.New("is no time of day")
	errOrder   = errors.New("does not fit the order of day and month")
)

// moment is a date as found, perhaps with a time of day.
type moment struct {
	parts [3]int // as they stand; all figures
	wide  int    // which of them has four digits, -1 if none
	day   civil  // once it is sure; zero while the order matters
	clock clock
}

// civil is a day of the calendar.
type civil struct{ year, month, day int }

func (c civil) valid() bool {
	if c.month < 1 || c.month > 12 || c.day < 1 {
		return false
	}
	t := time.Date(c.year, time.Month(c.month), c.day, 0, 0, 0, 0, time.UTC)
	return t.Day() == c.day && c.year > 0
}

func civilOf(t time.Time) civil {
	y, m, d := t.Date()
	return civil{y, int(m), d}
}

func (c civil) before(o civil) bool {
	return c.year < o.year || c.year == o.year && (c.month < o.month || c.month == o.month && c.day < o.day)
}

// clock is a time of day; known is false when none was given.
type clock struct {
	seconds int
	known   bool
	zone    *time.Location // nil if not said
}

var clockForm = regexp.MustCompile(`(?:^|[t\s])(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?\s*([ap])?\.?m?\.?\s*(z|utc|gmt|[+-]\d{2}:?\d{2})?$`)

// cutClock takes a time of day off the end.
func cutClock(text string) (rest string, c clock, err error) {
	m := clockForm.FindStringSubmatchIndex(text)
	if m == nil {
		return text, c, nil
	}
	part := func(i int) string {
		if m[2*i] < 0 {
			return ""
		}
		return text[m[2*i]:m[2*i+1]]
	}
	hour, minute, second := atoi(part(1)), atoi(part(2)), atoi(part(3))
	if half := part(4); half != "" {
		if hour < 1 || hour > 12 {
			return text, c, errNoClock
		}
		hour %= 12
		if half == "p" {
			hour += 12
		}
	}
	if hour > 23 || minute > 59 || second > 59 {
		return text, c, errNoClock
	}
	c = clock{hour*3600 + minute*60 + second, true, zoneOf(part(5))}
	return strings.TrimSpace(text[:m[0]]), c, nil
}

func atoi(digits string) int {
	n, _ := strconv.Atoi(digits) // "" is 0
	return n
}

func zoneOf(text string) *time.Location {
	switch {
	case text == "":
		return nil
	case text[0] == '+' || text[0] == '-':
		digits := strings.ReplaceAll(text[1:], ":", "")
		offset := atoi(digits[:2])*3600 + atoi(digits[2:])*60
		if text[0] == '-' {
			offset = -offset
		}
		return time.FixedZone("", offset)
	default:
		return time.UTC
	}
}

// readClock reads a cell that is a time of day alone: 14:20, 2:20 pm, 1420, 2 pm.
func readClock(cell string, serials bool) (clock, error) {
	text := fold(cell)
	if x, err := strconv.ParseFloat(text, 64); err == nil && serials && x >= 0 && x < 1 {
		return clock{int(math.Round(x*86400)) % 86400, true, nil}, nil
	}
	if hourForm.MatchString(text) {
		text = hourForm.ReplaceAllString(text, "$1:00 $2")
	} else if len(text) == 4 && strings.Trim(text, "0123456789") == "" {
		text = text[:2] + ":" + text[2:]
	}
	rest, c, err := cutClock(strings.Replace(text, "h", ":", 1))
	if err != nil || rest != "" || !c.known {
		return clock{}, errNoClock
	}
	return c, nil
}

var hourForm = regexp.MustCompile(`^(\d{1,2})\s*([ap])\.?m\.?$`)

// readMoment reads a date without deciding what only an order can decide.
func readMoment(cell string, t *table) (m moment, err error) {
	text := fold(cell)
	if t.serials {
		if x, err := strconv.ParseFloat(text, 64); err == nil && x >= firstSerial && x <= lastSerial {
			return serialMoment(x, t.since1904)
		}
	}
	if text, m.clock, err = cutClock(text); err != nil {
		return m, err
	}
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	words = splitMonths(words)
	words = slices.DeleteFunc(words, func(w string) bool { return w == "de" || w == "of" || weekday(w) })
	switch len(words) {
	case 1:
		if w := words[0]; len(w) == 8 && strings.Trim(w, "0123456789") == "" {
			m.day = civil{atoi(w[:4]), atoi(w[4:6]), atoi(w[6:])}
			return m, validDay(m.day)
		}
		return m, errNoDate
	case 2:
		return m, errNoDay
	case 3:
		return m.of(words)
	default:
		return m, errNoDate
	}
}

// Day numbers of a workbook that are taken for dates: 1930 to 2119.
const firstSerial, lastSerial = 11_000, 80_000

func serialMoment(x float64, since1904 bool) (m moment, err error) {
	day, err := excelize.ExcelDateToTime(x, since1904)
	if err != nil {
		return m, errNoDate
	}
	day = day.Round(time.Second)
	m.day = civilOf(day)
	if s := day.Hour()*3600 + day.Minute()*60 + day.Second(); s > 0 {
		m.clock = clock{s, true, nil}
	}
	return m, nil
}

var ordinalForm = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|er|o|a|º|ª|°)$`)

var gluedMonth = regexp.MustCompile(`^(\d{1,2})([a-z]{3,})(\d{2,4})?$`)

// splitMonths cuts "5mar2024".
func splitMonths(words []string) []string {
	var list []string
	for _, w := range words {
		w = ordinalForm.ReplaceAllString(w, "$1")
		if m := gluedMonth.FindStringSubmatch(w); m != nil {
			list = append(list, slices.DeleteFunc(m[1:], func(s string) bool { return s == "" })...)
			continue
		}
		list = append(list, w)
	}
	return list
}

func weekday(w string) bool {
	return slices.Contains([]string{
		"mon", "monday", "tue", "tues", "tuesday", "wed", "wednesday", "thu", "thur", "thurs", "thursday", "fri", "friday", "sat",
		"saturday", "sun", "sunday", "lunes", "martes", "miercoles", "jueves", "viernes", "sabado", "domingo", "segunda", "terca", "quarta",
		"quinta", "sexta", "feira", "lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche",
	}, w)
}

// of reads three words: with a month's name, or all figures.
func (m moment) of(words []string) (moment, error) {
	m.wide = -1
	month := -1
	for i, w := range words {
		if strings.Trim(w, "0123456789") == "" {
			m.parts[i] = atoi(w)
			if len(w) == 4 {
				m.wide = i
			} else if len(w) > 2 {
				return m, errNoDate
			}
			continue
		}
		n, ok := known().words["month"][w]
		if !ok || month >= 0 {
			return m, errNoDate
		}
		month = i
		m.parts[i] = atoi(n)
	}
	switch {
	case month == 0 || month == 1 && m.wide != 0:
		// March 5 24, 5 March 24: the year is last
		m.day = civil{m.parts[2], m.parts[month], m.parts[1-month]}
	case month == 1: // 2024 March 5
		m.day = civil{m.parts[0], m.parts[1], m.parts[2]}
	case month == 2:
		return m, errNoDate
	case m.wide == 0: // 2024-03-05
		m.day = civil{m.parts[0], m.parts[1], m.parts[2]}
	case m.wide == 1:
		return m, errNoDate
	default:
		return m, nil // the order decides
	}
	if month >= 0 && m.wide < 0 {
		m.day.year = -m.day.year - 1 // two digits: the century is open
		return m, validDay(civil{2000 + m.parts[2], m.day.month, m.day.day})
	}
	return m, validDay(m.day)
}

func validDay(c civil) error {
	if !c.valid() {
		return errNoDate
	}
	return nil
}

// orders are the orders that a date of figures can be read in.
func (m moment) orders() []DateOrder {
	if m.day != (civil{}) {
		return nil
	}
	var list []DateOrder
	for _, o := range []DateOrder{DayMonthYear, MonthDayYear, YearMonthDay} {
		if _, err := m.in(o, 2099); err == nil {
			list = append(list, o)
		}
	}
	return list
}

// in is the day in an order; a year of two digits is the last such year that is not
// after now.
func (m moment) in(o DateOrder, now int) (civil, error) {
	day := m.day
	if day == (civil{}) {
		switch o {
		case DayMonthYear:
			day = civil{m.parts[2], m.parts[1], m.parts[0]}
		case MonthDayYear:
			day = civil{m.parts[2], m.parts[0], m.parts[1]}
		case YearMonthDay:
			if m.wide == 2 {
				return day, errOrder
			}
			day = civil{m.parts[0], m.parts[1], m.parts[2]}
		default:
			return day, errOrder
		}
		if m.wide < 0 {
			day.year = century(day.year, now)
		}
		if !day.valid() {
			return day, m.unfit(o)
		}
		return day, nil
	}
	if day.year < 0 {
		day.year = century(-day.year-1, now)
	}
	return day, validDay(day)
}

// unfit tells a date that has another order from one that there never was.
func (m moment) unfit(o DateOrder) error {
	for _, other := range []DateOrder{DayMonthYear, MonthDayYear} {
		day := civil{2000 + m.parts[2]%100, m.parts[1], m.parts[0]}
		if other == MonthDayYear {
			day.month, day.day = day.day, day.month
		}
		if other != o && day.valid() {
			return errOrder
		}
	}
	return errNoDate
}

func century(two, now int) int {
	if two > 99 {
		return 0
	}
	year := now/100*100 + two
	if year > now {
		year -= 100
	}
	return year
}
