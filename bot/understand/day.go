package understand

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"
)

//go:embed data/months.csv
var monthsCSV []byte

// Day is the day on which a fish was caught, as far as the words tell it: they know no
// calendar, so whoever keeps the report finds out which day that is, and whether there
// is one.
type Day struct {
	// Ago is how many days before the message it was, for "yesterday"; 0 if a date was told.
	Ago int
	// Year is 0 if none was told. Month and DayOfMonth may be no day of any calendar.
	Year, Month, DayOfMonth int
	// Swapped is true when the figures may as well be the month and the day: 05/06.
	Swapped bool
	// Words is the day as typed, folded.
	Words string
}

// saidDay is a day that was said, and its tokens.
type saidDay struct {
	Day
	from, to int
}

// month is a word for a month. A loose one is also another word and needs the head of
// a line around it; a short one is an abbreviation.
type month struct {
	number int
	form   string
}

var months = sync.OnceValue(func() map[string]month {
	table := map[string]month{}
	for _, row := range mustRows(monthsCSV) {
		number, err := strconv.Atoi(row[2])
		if err != nil {
			panic("understand: embedded table: " + err.Error())
		}
		table[row[1]] = month{number, row[3]}
	}
	return table
})

// aheadOfDay are words that may stand between the beginning of a line and its date.
var aheadOfDay = wordSet(`log logged report notes note catch trip from on of the for day dated date our my this it was that
	notas nota registro fecha dia el la lo del de capturas captura fue era
	data do da no em o a os foi pesca
	notes journal date du le les prises sortie cetait
	mon monday tue tues tuesday wed wednesday thu thur thurs thursday fri friday sat saturday sun sunday
	lunes martes miercoles jueves viernes sabado domingo lun mie jue vie sab dom
	segunda terca quarta quinta sexta feira seg ter qua qui sex
	lundi mardi mercredi jeudi vendredi samedi dimanche mer jeu ven sam dim`)

// afterLoose are words after which the month before was another word: "may have",
// "out of", "set free".
var afterLoose = wordSet(`have be been not of the a it i he she they we swim die free back down loose to from there and
	adentro afuera abierto calmo liso picado`)

// noDay are words after a fraction that make it no date: "1/2 day trip".
var noDay = wordSet("day days hour hours a an of full speed tide moon dia hora jour heure jornada")

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		set[w] = true
	}
	return set
}

// findDays reads the dates of a message and marks their tokens as used: their figures
// are none of a fish.
func (p *parsing) findDays() {
	for i := 0; i < len(p.tokens); i++ {
		if p.tokens[i].used {
			continue
		}
		day, to, ok := p.dayAt(i)
		if !ok {
			continue
		}
		day.Words = p.text[p.tokens[i].from:p.tokens[to-1].to]
		use(p.tokens, i, to)
		p.days = append(p.days, saidDay{day, i, to})
		i = to - 1
	}
}

// dayAt reads the date that begins at a token, in any of the ways it is written.
func (p *parsing) dayAt(i int) (Day, int, bool) {
	switch t := p.tokens[i]; {
	case t.kind == tokenWord:
		if day, to, ok := p.monthFirst(i); ok {
			return day, to, true
		}
	case t.kind == tokenNumber && strings.Contains(t.text, "/"):
		return p.fractionAsDay(i)
	case t.kind == tokenNumber:
		for _, read := range []func(int) (Day, int, bool){p.threeFigures, p.pointed, p.twoFigures, p.dayFirst, p.daysAgo} {
			if day, to, ok := read(i); ok {
				return day, to, true
			}
		}
	}
	return Day{}, 0, false
}

// figure is a whole number written with so many digits at most.
func (p *parsing) figure(i, digits int) (int, bool) {
	if i < 0 || i >= len(p.tokens) || p.tokens[i].kind != tokenNumber || p.tokens[i].used || len(p.tokens[i].text) > digits {
		return 0, false
	}
	n, err := strconv.Atoi(p.tokens[i].text)
	return n, err == nil
}

// atHead is true where nothing but words of a heading stands before on the line.
func (p *parsing) atHead(i int) bool {
	for i--; i >= 0; i-- {
		switch t := p.tokens[i]; {
		case t.kind == tokenMark && t.text == "\n":
			return true
		case t.kind == tokenNumber, t.kind == tokenWord && !aheadOfDay[t.text]:
			return false
		}
	}
	return true
}

// dayFirst reads "12 Nov", "12th of November 2026", "12 de noviembre", "1er mai".
func (p *parsing) dayFirst(i int) (Day, int, bool) {
	n, ok := p.figure(i, 2)
	at := i + 1
	if w := word(p.tokens, at); ok && (w == "st" || w == "nd" || w == "rd" || w == "th" || w == "er" || w == "o") && p.tokens[i].touches(p.tokens[at]) {
		at++
	}
	if w := word(p.tokens, at); w == "of" || w == "de" || w == "do" || w == "d" {
		at++
	}
	m, isMonth := months()[word(p.tokens, at)]
	if !ok || !isMonth || n < 1 || n > 31 {
		return Day{}, 0, false
	}
	if m.form == "loose" && (!p.atHead(i) || afterLoose[word(p.tokens, at+1)]) {
		return Day{}, 0, false
	}
	day := Day{Month: m.number, DayOfMonth: n}
	at = p.year(&day, at+1)
	return day, at, true
}

// monthFirst reads "Nov 12", "November 12th, 2026": at the head of a line, or where the
// month is written out.
func (p *parsing) monthFirst(i int) (Day, int, bool) {
	m, ok := months()[word(p.tokens, i)]
	if !ok || m.form != "full" && !p.atHead(i) {
		return Day{}, 0, false
	}
	at := i + 1
	if mark(p.tokens, at) == "." {
		at++
	}
	n, ok := p.figure(at, 2)
	if !ok || n < 1 || n > 31 || p.hasUnitAfter(at) || mark(p.tokens, at+1) == ":" && p.isFigure(at+2) {
		return Day{}, 0, false
	}
	at++
	if w := word(p.tokens, at); (w == "st" || w == "nd" || w == "rd" || w == "th") && p.tokens[at-1].touches(p.tokens[at]) {
		at++
	}
	day := Day{Month: m.number, DayOfMonth: n}
	at = p.year(&day, at)
	return day, at, true
}

func (p *parsing) isFigure(i int) bool { return i < len(p.tokens) && p.tokens[i].kind == tokenNumber }

// year reads a year of four digits that follows a day, and returns what comes after.
func (p *parsing) year(day *Day, at int) int {
	next := at
	if m := mark(p.tokens, next); m == "," || m == "." || m == "'" {
		next++
	}
	if w := word(p.tokens, next); w == "de" || w == "of" || w == "do" || w == "del" {
		next++
	}
	if y, ok := p.figure(next, 4); ok && y >= 1900 && y < 2200 && !p.hasUnitAfter(next) {
		day.Year = y
		return next + 1
	}
	return at
}

// threeFigures reads 2026-11-12, 12/11/2026 and 12-11-26.
func (p *parsing) threeFigures(i int) (Day, int, bool) {
	if !p.isDate(i) {
		return Day{}, 0, false
	}
	a, ok1 := p.figure(i, 4)
	b, ok2 := p.figure(i+2, 2)
	c, ok3 := p.figure(i+4, 4)
	if !ok1 || !ok2 || !ok3 {
		return Day{}, 0, false
	}
	if len(p.tokens[i].text) == 4 {
		return Day{Year: a, Month: b, DayOfMonth: c}, i + 5, true
	}
	day, ok := inOrder(a, b)
	day.Year = century(c)
	return day, i + 5, ok
}

// pointed reads 12.11.2026, which is scanned as one number.
func (p *parsing) pointed(i int) (Day, int, bool) {
	parts := strings.Split(p.tokens[i].text, ".")
	if len(parts) != 3 || p.hasUnitAfter(i) {
		return Day{}, 0, false
	}
	var n [3]int
	for j, part := range parts {
		x, err := strconv.Atoi(part)
		if err != nil || len(part) > 4 || j < 2 && len(part) > 2 {
			return Day{}, 0, false
		}
		n[j] = x
	}
	day, ok := inOrder(n[0], n[1])
	day.Year = century(n[2])
	return day, i + 1, ok
}

// twoFigures reads the 14/11 that heads a line of notes.
func (p *parsing) twoFigures(i int) (Day, int, bool) {
	a, ok1 := p.figure(i, 2)
	b, ok2 := p.figure(i+2, 2)
	if !ok1 || !ok2 || mark(p.tokens, i+1) != "/" || mark(p.tokens, i+3) == "/" || !p.atHead(i) || p.hasUnitAfter(i+2) {
		return Day{}, 0, false
	}
	day, ok := inOrder(a, b)
	return day, i + 3, ok
}

// fractionAsDay reads a 1/2 at the head of a line that is half of nothing.
func (p *parsing) fractionAsDay(i int) (Day, int, bool) {
	if !p.atHead(i) || p.hasUnitAfter(i) || noDay[word(p.tokens, i+1)] {
		return Day{}, 0, false
	}
	top, bottom, _ := strings.Cut(p.tokens[i].text, "/")
	a, err1 := strconv.Atoi(top)
	b, err2 := strconv.Atoi(bottom)
	if err1 != nil || err2 != nil {
		return Day{}, 0, false
	}
	day, ok := inOrder(a, b)
	return day, i + 1, ok
}

// inOrder tells which of two figures is the day and which the month; where both may be
// either, they are taken as day and month and marked.
func inOrder(a, b int) (Day, bool) {
	switch {
	case a < 1 || b < 1 || a > 31 || b > 31 || a > 12 && b > 12:
		return Day{}, false
	case b > 12:
		return Day{Month: a, DayOfMonth: b}, true
	default:
		return Day{Month: b, DayOfMonth: a, Swapped: a <= 12 && a != b}, true
	}
}

// century makes a year of two digits one of this century.
func century(year int) int {
	if year < 100 {
		return 2000 + year
	}
	return year
}

// daysAgo reads "2 days ago", "hace 2 dias", "há 2 dias", "il y a 2 jours".
func (p *parsing) daysAgo(i int) (Day, int, bool) {
	n, ok := p.figure(i, 3)
	unit := word(p.tokens, i+1)
	if !ok || n < 1 || n > 366 || unit != "days" && unit != "day" && unit != "dias" && unit != "dia" && unit != "jours" && unit != "jour" {
		return Day{}, 0, false
	}
	before, after := word(p.tokens, i-1), word(p.tokens, i+2)
	switch {
	case after == "ago", after == "atras":
		return Day{Ago: n}, i + 3, true
	case before == "hace", before == "ha", before == "a" && word(p.tokens, i-2) == "y":
		return Day{Ago: n}, i + 2, true
	}
	return Day{}, 0, false
}

// findRelativeDays adds the days that are told by a word, such as yesterday.
func (p *parsing) findRelativeDays() {
	for _, h := range p.hits {
		if ago, ok := strings.CutPrefix(h.concept, "day:"); ok && !h.negated {
			n, err := strconv.Atoi(ago)
			if err != nil {
				continue
			}
			p.days = append(p.days, saidDay{Day{Ago: n, Words: p.text[p.tokens[h.from].from:p.tokens[h.to-1].to]}, h.from, h.to})
		}
	}
	slices.SortStableFunc(p.days, func(a, b saidDay) int { return a.from - b.from })
}

// dayOf is the day under which a fish was noted: the last one said before its name, or
// the only one of the message; nil if there is none.
func (p *parsing) dayOf(s segment) *Day {
	if !p.severalDays() {
		if len(p.days) == 0 {
			return nil
		}
		return &p.days[0].Day
	}
	at := s.from
	if s.name >= 0 {
		at = p.names[s.name].from
	}
	var day *Day
	for i := range p.days {
		if p.days[i].from <= at {
			day = &p.days[i].Day
		}
	}
	return day
}

// severalDays is true for notes of more than one day.
func (p *parsing) severalDays() bool {
	return slices.ContainsFunc(p.days, func(d saidDay) bool {
		a, b := d.Day, p.days[0].Day
		a.Words, b.Words = "", ""
		return a != b
	})
}

// withoutDays is the text of a segment with its dates left out.
func (p *parsing) withoutDays(s segment) string {
	var parts []string
	at := s.from
	cut := func(to int) {
		if to > at {
			parts = append(parts, p.text[p.tokens[at].from:p.tokens[to-1].to])
		}
	}
	for _, d := range p.days {
		if d.from >= s.from && d.from < s.to {
			cut(d.from)
			at = max(at, d.to)
		}
	}
	cut(s.to)
	return strings.Join(parts, " ")
}
