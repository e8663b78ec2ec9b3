package importer

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"deepward/advisor"
)

// headingsAround are the headings of the line, put together with a line of groups
// above ("Release", "Recapture" over several columns); a line below that has nothing
// but units is kept for them and is no row.
func (in *reading) headingsAround(at int) line {
	headings := in.table.lines[at]
	if len(in.rows) > 0 && in.rows[0].onlyUnits() {
		in.unitsBelow = in.rows[0]
		in.rows = in.rows[1:]
		in.sheet.note("line %d is read as the units of the headings", in.unitsBelow.number)
	}
	if at > 0 && in.table.lines[at-1].groups(headings) {
		in.groupsAbove = in.table.lines[at-1].carried(len(headings.cells))
	}
	return headings
}

// headingOf reads a heading with the group above and the unit below it.
func (in *reading) headingOf(c *Column, text string) (h heading, sure, ok bool) {
	unit := in.unitsBelow.cell(c.index)
	group := in.groupsAbove.cell(c.index)
	if c.renamed || !tellsRecapture(group) {
		group = "" // a depth in the group of the release is no release depth
	}
	for _, whole := range []string{group + " " + text + " " + unit, text + " " + unit, text} {
		if h, sure, ok = readHeading(whole); ok && sure {
			return h, sure, ok
		}
	}
	if h, sure, ok = readHeading(text + " " + unit); ok {
		return h, sure, ok
	}
	return glued(text)
}

func tellsRecapture(group string) bool {
	return slices.ContainsFunc(plainWords(group), func(w string) bool { return known().roles[w] == "recapture" })
}

// onlyUnits is true for a line that has units, or how lengths and dates are written,
// and nothing else.
func (l line) onlyUnits() bool {
	units := 0
	for i := range l.cells {
		text := l.raw(i)
		switch {
		case text == "":
		case orderSaid(text) != "" && len(plainWords(text)) == 0:
			units++
		default:
			words := plainWords(text)
			if len(words) == 0 {
				if answerForm.MatchString(fold(text)) || known().blank(text) {
					continue
				}
				return false
			}
			for _, w := range words {
				if !isUnitWord(w) {
					return false
				}
			}
			units++
		}
	}
	return units > 0
}

func isUnitWord(w string) bool {
	v := known()
	if _, ok := v.lengthType(w); ok {
		return true
	}
	for _, units := range v.units {
		if _, ok := units[w]; ok {
			return true
		}
	}
	return false
}

// groups is true for a line above the headings that gives some columns to the release or
// the recapture. What stands in both lines is a heading over two.
func (l line) groups(headings line) bool {
	v := known()
	recapture, filled, others := false, 0, 0
	for i := range l.cells {
		text := l.raw(i)
		if text == "" || spaced(text) == spaced(headings.raw(i)) {
			continue
		}
		filled++
		ours, again := true, false
		for _, w := range plainWords(text) {
			role := v.roles[w]
			ours = ours && (role != "" || len(w) == 1 && w >= "1" && w <= "9" || w == "data" || w == "information" || w == "info")
			again = again || role == "recapture"
		}
		if !ours && again {
			return false // a title that speaks of recaptures
		}
		if !ours {
			others++
		}
		recapture = recapture || again
	}
	return recapture && (others == 0 || filled > 1)
}

// carried is the line with each group written over all its columns.
func (l line) carried(width int) line {
	cells := make([]string, max(width, len(l.cells)))
	last := ""
	for i := range cells {
		if text := l.raw(i); text != "" {
			last = text
		}
		cells[i] = last
	}
	return line{number: l.number, cells: cells}
}

// footerWords begin lines below a table that are no fish.
var footerWords = []string{
	"total", "totals", "sum", "mean", "average", "avg", "median", "min", "max", "sd", "se", "n", "note", "notes", "source", "key", "legend",
	"where", "data", "abbreviations", "suma", "media", "soma", "somme", "moyenne", "nota", "fuente", "fonte", "remarque", "subtotal", "subtotals", "sub", "promedio", "sous", "totaux", "totales", "totais", "grand",
}

// mostSumWords is how many words a text has at most that names a sum: "Day total".
const mostSumWords = 4

func isSum(w string) bool {
	return slices.Contains([]string{"total", "totals", "subtotal", "subtotals", "totales", "totais", "totaux"}, w)
}

// leaveFooters takes away the lines that are no fish: sums, means and notes below the table
// and amid it, and headings that stand there again, as on a new page.
func (in *reading) leaveFooters(headings line) {
	n := len(in.rows)
	for n > 0 && in.footer(in.rows[n-1]) {
		n--
	}
	for _, l := range in.rows[n:] {
		in.sheet.note("line %d%s at the end is no fish and is left out: %s", l.number, ofFile(l.sheet), l.begins())
	}
	in.around = append(in.around, in.rows[n:]...)
	in.rows = slices.DeleteFunc(in.rows[:n], func(l line) bool {
		again := l.repeats(headings)
		no := again || in.footer(l)
		if no {
			in.sheet.note("line %d%s is no fish and is left out: %s", l.number, ofFile(l.sheet), l.begins())
		}
		if no && !again {
			in.around = append(in.around, l)
		}
		return no
	})
}

// repeats is true for a line that has nothing but texts of another in the same places.
func (l line) repeats(other line) bool {
	same := 0
	for i := range l.cells {
		text := l.raw(i)
		if text != "" && !strings.EqualFold(text, other.raw(i)) {
			return false
		}
		if text != "" && text != dayHeading {
			same++
		}
	}
	return same > 1
}

// footer is true for a line that tells no date, or where no line does no tag and no
// method, and that is one text or begins as sums and notes do.
func (in *reading) footer(l line) bool {
	filled, first, at := 0, "", -1
	for i := range l.cells {
		text := l.raw(i)
		if text == "" || in.columnAt(i) == dayHeading {
			continue
		}
		if first == "" {
			first, at = text, i
		}
		filled++
	}
	must := []field{fieldDate, fieldYear}
	if !in.has(fieldDate) && !in.has(fieldYear) {
		must = []field{fieldTag, fieldMethod, fieldVented, fieldRecompressed}
	}
	for _, f := range must {
		for _, c := range in.columns[slot{field: f}] {
			if c.index != at && c.Heading != dayHeading && !known().blank(l.raw(c.index)) {
				return false
			}
		}
	}
	words := plainWords(first)
	switch {
	case strings.HasPrefix(first, "*"), strings.HasPrefix(first, "†"):
		return true
	case len(words) > 0 && slices.Contains(footerWords, words[0]), len(words) <= mostSumWords && slices.ContainsFunc(words, isSum):
		return true
	default:
		return filled == 1 && len(words) > 2
	}
}

func (in *reading) columnAt(i int) string {
	if i >= len(in.sheet.Columns) {
		return ""
	}
	return in.sheet.Columns[i].Heading
}

// begins is the first text of the line, shortened.
func (l line) begins() string {
	const longest = 40
	for i := range l.cells {
		if text := []rune(l.raw(i)); len(text) > longest {
			return fmt.Sprintf("%q…", string(text[:longest]))
		} else if len(text) > 0 {
			return fmt.Sprintf("%q", string(text))
		}
	}
	return ""
}

// told walks the cells of a column that tell something: as they stand, or as this
// import is to read them.
func (in *reading) told(c *Column, text func(line, int) string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, l := range in.rows {
			if cell := text(l, c.index); !known().blank(cell) && !yield(cell) {
				return
			}
		}
	}
}

// findFates takes a column such as "Fate" or "Status" for the one that tells of
// recaptures, where no other does and its cells say so.
func (in *reading) findFates() {
	if in.has(fieldRecaptured) || in.findRecaptured() || in.hasLater(fieldDate) || in.has(fieldLiberty) {
		return
	}
	conditions := in.columns[slot{field: fieldCondition}]
	for i, c := range conditions {
		if !in.tellsFates(c) {
			continue
		}
		in.turnCondition(i, fieldRecaptured)
		in.fates = true
		in.sheet.note("%q tells which fish were recaptured; if that is wrong, say --column \"%s=condition\"", c.Heading, c.Heading)
		return
	}
}

// turnCondition takes one of the columns of the condition for another field.
func (in *reading) turnCondition(i int, to field) {
	conditions := in.columns[slot{field: fieldCondition}]
	c := conditions[i]
	in.columns[slot{field: fieldCondition}] = slices.Delete(slices.Clone(conditions), i, i+1)
	c.field = to
	in.columns[c.slot()] = []*Column{c}
}

// findRecaptured takes a column that nobody knows for that of recaptures, where it
// calls every row a release or a recapture, or where its heading has no word but
// recapture and its cells are yes and no.
func (in *reading) findRecaptured() bool {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field != "" || c.renamed || !in.tellsEvents(c) && !in.tellsRecaptured(c) {
			continue
		}
		c.heading = heading{field: fieldRecaptured}
		in.columns[c.slot()] = []*Column{c}
		in.sheet.note("%q tells which fish were recaptured; if that is wrong, say what it is: --column \"%s=...\", or - to leave it out", c.Heading, c.Heading)
		return true
	}
	return false
}

// tellsEvents is true for a column that calls some rows releases and the others
// recaptures, in words.
func (in *reading) tellsEvents(c *Column) bool {
	found := map[string]bool{}
	for text := range in.told(c, line.raw) {
		m, ok := known().meaning("event", text)
		if !ok || len(spaced(text)) < 3 {
			return false
		}
		found[m] = true
	}
	return len(found) == 2
}

// tellsRecaptured is true for a column headed "Rec" and answered by yes and no.
func (in *reading) tellsRecaptured(c *Column) bool {
	words := headingWords(c.Heading)
	isRole := func(w string) bool { return known().roles[w] == "recapture" || known().roles[w] == "filler" }
	if !slices.ContainsFunc(words, speaksOfRecapture) || !allOf(words, isRole) {
		return false
	}
	told := false
	for text := range in.told(c, line.raw) {
		if _, ok := known().answer(text); !ok {
			return false
		}
		told = true
	}
	return told
}

func allOf(words []string, is func(string) bool) bool {
	return !slices.ContainsFunc(words, func(w string) bool { return !is(w) })
}

// findMethods takes a column such as "Disposition" for that of the release method, where
// no other tells it and all its cells do.
func (in *reading) findMethods() {
	if in.has(fieldMethod) || in.has(fieldVented) || in.has(fieldRecompressed) {
		return
	}
	if in.findBareRelease() {
		return
	}
	conditions := in.columns[slot{field: fieldCondition}]
	for i, c := range conditions {
		if c.renamed || !in.holdsMethods(c) {
			continue
		}
		in.turnCondition(i, fieldMethod)
		in.sheet.note("%q tells how the fish were released; if that is wrong, say --column \"%s=condition\"", c.Heading, c.Heading)
		return
	}
}

// bareRelease are the headings that name the release and not what of it is told.
var bareRelease = []string{"release", "rel", "released as", "soltura", "liberacion", "devolucion", "lacher", "remise a l eau"}

// mostMethods is how many different cells a column of methods has at most: a column
// of dates or places has more.
const mostMethods = 8

// findBareRelease takes a column headed only "Release" for that of the release method,
// where its cells are words for it or a few codes.
func (in *reading) findBareRelease() bool {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field != "" || c.renamed || !slices.Contains(bareRelease, strings.Join(plainWords(c.Heading), " ")) {
			continue
		}
		if !in.holdsMethods(c) && !in.holdsCodes(c) {
			continue
		}
		c.heading = heading{field: fieldMethod}
		in.columns[c.slot()] = []*Column{c}
		in.sheet.note("%q is taken for the release method; if that is wrong, say what it is: --column \"%s=...\", or - to leave it out", c.Heading, c.Heading)
		return true
	}
	return false
}

// holdsCodes is true for a column with a few different cells, two at least, none of
// them a date; only yes and no may as well say whether the fish was let go at all.
func (in *reading) holdsCodes(c *Column) bool {
	found := map[string]bool{}
	answers := true
	for text := range in.told(c, line.raw) {
		if _, err := in.moment(text); err == nil {
			return false
		}
		_, isAnswer := known().answer(text)
		answers = answers && isAnswer
		found[spaced(text)] = true
	}
	return len(found) > 1 && len(found) <= mostMethods && !answers
}

// tellsFates is true when some cell says recaptured and none says how a fish went off.
func (in *reading) tellsFates(c *Column) bool {
	recapture := false
	for _, l := range in.rows {
		text := l.raw(c.index)
		m, ok := known().meaning("event", text)
		if !ok && !known().blank(text) {
			return false
		}
		recapture = recapture || m == "recapture"
	}
	return recapture && !c.renamed
}

// leaveNumbers leaves out a column such as "Fish" that numbers the fish and names none.
func (in *reading) leaveNumbers() {
	s := slot{field: fieldSpecies}
	for _, c := range in.columns[s] {
		numbers := 0
		for text := range in.told(c, line.raw) {
			if _, err := parseWhole(text); err != nil || c.renamed {
				return
			}
			numbers++
		}
		if numbers > 0 && !in.valued(c) {
			delete(in.columns, s)
			in.sheet.note("%q has numbers, not names of fish, and is not used; if they stand for species, say --value \"%s:1=...\" for each", c.Heading, c.Heading)
		}
	}
}

// askReleaseDepth asks what a release depth is where no other depth is told: in most
// tables of tagged fish it is the depth of the water, here it would say that every
// fish was sent down.
func (in *reading) askReleaseDepth() {
	list := in.columns[slot{field: fieldReleaseDepth}]
	if len(list) == 0 || list[0].renamed {
		return
	}
	c := list[0]
	if in.has(fieldDepth) {
		in.checkReleaseDepth(c)
		return
	}
	in.sheet.ask("%q may be the depth of the water where the fish was caught and let go, or the depth where a weight freed it; say --column \"%s=capture depth %s\" or --column \"%s=released at depth %s\"", c.Heading, c.Heading, c.unitWord, c.Heading, c.unitWord).
		column(c.Heading, strings.TrimSpace("capture depth "+c.unitWord), strings.TrimSpace("released at depth "+c.unitWord))
}

// checkReleaseDepth asks what a release depth is where fish have one that were let go
// at the surface, by the column of methods: then it is not how deep a weight took them.
func (in *reading) checkReleaseDepth(c *Column) {
	if !in.has(fieldMethod) {
		if !in.has(fieldRecompressed) {
			in.sheet.note("a depth above 0 under %q is read as sent down", c.Heading)
		}
		return
	}
	for _, l := range in.rows {
		_, text, told := in.at(l).cell(fieldMethod)
		word, _ := methodTold(text)
		deep, err := in.measure(l.cell(c.index), quantityDepth, &unit{factor: 1})
		if !told || word != string(advisor.Surface) && word != string(advisor.Vented) || err != nil || deep.high <= 0 {
			continue
		}
		in.sheet.ask("%q has a depth also for fish that were not sent down (line %d: %s); if it is the depth of the water where the fish was caught and let go, say --column \"%s=capture depth %s\"; if it is where a weight freed the fish, --column \"%s=released at depth %s\"; else leave it out with --column \"%s=-\"",
			c.Heading, l.number, text, c.Heading, c.unitWord, c.Heading, c.unitWord, c.Heading).
			column(c.Heading, strings.TrimSpace("capture depth "+c.unitWord), strings.TrimSpace("released at depth "+c.unitWord))
		return
	}
}
