package understand

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"

	"deepward/store/catch"
)

//go:embed data/months.csv
var monthsCSV string

// Day is a day as the words tell it.
type Day = catch.Day

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

// dates finds the days in the words of a message.
type dates struct {
	text   string
	tokens []token
	said   []saidDay
}

// daysIn are the days that the words tell by the rules for dates, in their order. The
// tokens stay as they are.
func daysIn(text string, tokens []token) []saidDay {
	d := &dates{text: text, tokens: slices.Clone(tokens)}
	d.passOverTag()
	d.findDays()
	d.findRelativeDays()
	return d.said
}

// findDays reads the dates of a message and marks their tokens as used: their figures
// are none of a fish.
func (d *dates) findDays() {
	for i := 0; i < len(d.tokens); i++ {
		if d.tokens[i].used {
			continue
		}
		day, to, ok := d.dayAt(i)
		if !ok {
			continue
		}
		day.Words = d.text[d.tokens[i].from:d.tokens[to-1].to]
		use(d.tokens, i, to)
		d.said = append(d.said, saidDay{day, i, to})
		i = to - 1
	}
}

// dayAt reads the date that begins at a token, in any of the ways it is written.
func (d *dates) dayAt(i int) (Day, int, bool) {
	switch t := d.tokens[i]; {
	case t.kind == tokenWord:
		if day, to, ok := d.monthFirst(i); ok {
			return day, to, true
		}
	case t.kind == tokenNumber && strings.Contains(t.text, "/"):
		return d.fractionAsDay(i)
	case t.kind == tokenNumber:
		for _, read := range []func(int) (Day, int, bool){d.threeFigures, d.pointed, d.twoFigures, d.dayFirst, d.daysAgo} {
			if day, to, ok := read(i); ok {
				return day, to, true
			}
		}
	}
	return Day{}, 0, false
}

// figure is a whole number written with so many digits at most.
func (d *dates) figure(i, digits int) (int, bool) {
	if i < 0 || i >= len(d.tokens) || d.tokens[i].kind != tokenNumber || d.tokens[i].used || len(d.tokens[i].text) > digits {
		return 0, false
	}
	n, err := strconv.Atoi(d.tokens[i].text)
	return n, err == nil
}

// atHead is true where nothing but words of a heading stands before on the line.
func (d *dates) atHead(i int) bool {
	for i--; i >= 0; i-- {
		switch t := d.tokens[i]; {
		case t.kind == tokenMark && t.text == "\n":
			return true
		case t.kind == tokenNumber, t.kind == tokenWord && !aheadOfDay[t.text]:
			return false
		}
	}
	return true
}

// dayFirst reads "12 Nov", "12th of November 2026", "12 de noviembre", "1er mai".
func (d *dates) dayFirst(i int) (Day, int, bool) {
	n, ok := d.figure(i, 2)
	at := i + 1
	if w := word(d.tokens, at); ok && (w == "st" || w == "nd" || w == "rd" || w == "th" || w == "er" || w == "o") && d.tokens[i].touches(d.tokens[at]) {
		at++
	}
	if w := word(d.tokens, at); w == "of" || w == "de" || w == "do" || w == "d" {
		at++
	}
	m, isMonth := months()[word(d.tokens, at)]
	if !ok || !isMonth || n < 1 || n > 31 {
		return Day{}, 0, false
	}
	if m.form == "loose" && (!d.atHead(i) || afterLoose[word(d.tokens, at+1)]) {
		return Day{}, 0, false
	}
	day := Day{Month: m.number, DayOfMonth: n}
	at = d.year(&day, at+1)
	return day, at, true
}

// monthFirst reads "Nov 12", "November 12th, 2026": at the head of a line, or where the
// month is written out.
func (d *dates) monthFirst(i int) (Day, int, bool) {
	m, ok := months()[word(d.tokens, i)]
	if !ok || m.form != "full" && !d.atHead(i) {
		return Day{}, 0, false
	}
	at := i + 1
	if mark(d.tokens, at) == "." {
		at++
	}
	n, ok := d.figure(at, 2)
	if !ok || n < 1 || n > 31 || d.hasUnitAfter(at) || mark(d.tokens, at+1) == ":" && d.isFigure(at+2) {
		return Day{}, 0, false
	}
	at++
	if w := word(d.tokens, at); (w == "st" || w == "nd" || w == "rd" || w == "th") && d.tokens[at-1].touches(d.tokens[at]) {
		at++
	}
	day := Day{Month: m.number, DayOfMonth: n}
	at = d.year(&day, at)
	return day, at, true
}

func (d *dates) isFigure(i int) bool { return i < len(d.tokens) && d.tokens[i].kind == tokenNumber }

// year reads a year of four digits that follows a day, and returns what comes after.
func (d *dates) year(day *Day, at int) int {
	next := at
	if m := mark(d.tokens, next); m == "," || m == "." || m == "'" {
		next++
	}
	if w := word(d.tokens, next); w == "de" || w == "of" || w == "do" || w == "del" {
		next++
	}
	if y, ok := d.figure(next, 4); ok && y >= 1900 && y < 2200 && !d.hasUnitAfter(next) {
		day.Year = y
		return next + 1
	}
	return at
}

// threeFigures reads 2026-11-12, 12/11/2026 and 12-11-26.
func (d *dates) threeFigures(i int) (Day, int, bool) {
	if !d.isDate(i) {
		return Day{}, 0, false
	}
	a, ok1 := d.figure(i, 4)
	b, ok2 := d.figure(i+2, 2)
	c, ok3 := d.figure(i+4, 4)
	if !ok1 || !ok2 || !ok3 {
		return Day{}, 0, false
	}
	if len(d.tokens[i].text) == 4 {
		return Day{Year: a, Month: b, DayOfMonth: c}, i + 5, true
	}
	day, ok := inOrder(a, b)
	day.Year = century(c)
	return day, i + 5, ok
}

// pointed reads 12.11.2026, which is scanned as one number.
func (d *dates) pointed(i int) (Day, int, bool) {
	parts := strings.Split(d.tokens[i].text, ".")
	if len(parts) != 3 || d.hasUnitAfter(i) {
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
func (d *dates) twoFigures(i int) (Day, int, bool) {
	a, ok1 := d.figure(i, 2)
	b, ok2 := d.figure(i+2, 2)
	if !ok1 || !ok2 || mark(d.tokens, i+1) != "/" || mark(d.tokens, i+3) == "/" || !d.atHead(i) || d.hasUnitAfter(i+2) {
		return Day{}, 0, false
	}
	day, ok := inOrder(a, b)
	return day, i + 3, ok
}

// fractionAsDay reads a 1/2 at the head of a line that is half of nothing.
func (d *dates) fractionAsDay(i int) (Day, int, bool) {
	if !d.atHead(i) || d.hasUnitAfter(i) || noDay[word(d.tokens, i+1)] {
		return Day{}, 0, false
	}
	top, bottom, _ := strings.Cut(d.tokens[i].text, "/")
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
func (d *dates) daysAgo(i int) (Day, int, bool) {
	n, ok := d.figure(i, 3)
	unit := word(d.tokens, i+1)
	if !ok || n < 1 || n > 366 || unit != "days" && unit != "day" && unit != "dias" && unit != "dia" && unit != "jours" && unit != "jour" {
		return Day{}, 0, false
	}
	before, after := word(d.tokens, i-1), word(d.tokens, i+2)
	switch {
	case after == "ago", after == "atras":
		return Day{Ago: n}, i + 3, true
	case before == "hace", before == "ha", before == "a" && word(d.tokens, i-2) == "y":
		return Day{Ago: n}, i + 2, true
	}
	return Day{}, 0, false
}

// findRelativeDays adds the days that are told by a word, such as yesterday.
func (d *dates) findRelativeDays() {
	for i := 0; i < len(d.tokens); {
		ago, to, ok := dayPhrase(d.tokens, i)
		if !ok {
			i++
			continue
		}
		d.said = append(d.said, saidDay{Day{Ago: ago, Words: d.text[d.tokens[i].from:d.tokens[to-1].to]}, i, to})
		i = to
	}
	slices.SortStableFunc(d.said, func(a, b saidDay) int { return a.from - b.from })
}

func (d *dates) hasUnitAfter(i int) bool {
	_, _, ok := readUnit(d.tokens, number{next: i + 1})
	return ok
}

// isDate is true for three numbers joined by dashes or slashes.
func (d *dates) isDate(i int) bool {
	if i+4 >= len(d.tokens) {
		return false
	}
	a, b := mark(d.tokens, i+1), mark(d.tokens, i+3)
	return a == b && (a == "-" || a == "/") && d.tokens[i+2].kind == tokenNumber && d.tokens[i+4].kind == tokenNumber && !d.hasUnitAfter(i+4)
}
