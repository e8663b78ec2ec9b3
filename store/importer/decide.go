package importer

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// decideComma finds what a comma in a figure is: from the figures, from what was said;
// else it asks, if it matters.
func (in *reading) decideComma() {
	in.style = styleOf(in.figures)
	switch {
	case in.style != commaUnknown:
		return
	case in.Comma == CommaDecimal:
		in.style = commaDecimal
		return
	case in.Comma == CommaThousands:
		in.style = commaThousands
		return
	}
	for _, c := range in.sheet.Columns {
		if c.field.measures() == "" {
			continue
		}
		for _, l := range in.rows {
			cell := l.cell(c.index)
			if !strings.Contains(cell, ",") {
				continue
			}
			if text := figureForm.FindString(cell); unclear.MatchString(text) {
				in.sheet.ask("%q in %q (line %d) may be thousands or decimals, and no figure proves which; say --comma thousands or --comma decimal", text, c.Heading, l.number).
					offer("thousands", Answer{Setting: SettingComma, Value: string(CommaThousands)}).offer("decimals", Answer{Setting: SettingComma, Value: string(CommaDecimal)})
				return
			}
		}
	}
}

// decideUnits finds the unit of every column that measures something: from the
// heading, from the cells, from what was said; else it asks.
func (in *reading) decideUnits() {
	var open []string
	in.unitAsked = map[*Column]bool{}
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		q := c.field.measures()
		if q == "" || c.unitWord != "" || in.has(unitField(q)) || !in.unitless(c, q) {
			continue
		}
		if word := foreignUnit(c); word != "" {
			in.unitAsked[c] = true
			in.askUnit(c, word)
			continue
		}
		if word := in.Units.defaultUnit(q); word != "" {
			c.unitWord, c.unit = word, known().units[q][word]
			continue
		}
		if c.field == fieldLiberty && in.hasLater(fieldDate) {
			in.sheet.note("%q has no unit and is not used: the recapture has a date", c.Heading)
			delete(in.columns, c.slot())
			continue
		}
		if in.unitAround(c) || in.unitFromRelease(c) || in.unitOfTemperature(c) {
			continue
		}
		open = append(open, fmt.Sprintf("%q", c.Heading))
		in.unitAsked[c] = true
	}
	if len(open) > 0 {
		first := strings.Trim(open[0], `"`)
		in.sheet.ask("no unit is told for %s; say --units metric (m, cm, kg, °C) or imperial (ft, in, lb, °F), or name one by one: --column \"%s=depth ft\"", strings.Join(open, ", "), first).
			offer("metric (m, cm, kg, °C)", Answer{Setting: SettingUnits, Value: string(Metric)}).offer("feet and pounds (ft, in, lb, °F)", Answer{Setting: SettingUnits, Value: string(Imperial)})
	}
}

// unitAround gives a column the unit that a line above or below the table tells of it, as in
// "depth in meters, TL in cm".
func (in *reading) unitAround(c *Column) bool {
	q := c.field.measures()
	heading := plainWords(c.Heading)
	for _, l := range in.around {
		for _, text := range l.cells {
			words := plainWords(text)
			at := within(words, heading)
			if at < 0 || at+len(heading)+1 >= len(words) {
				continue
			}
			link, word := words[at+len(heading)], words[at+len(heading)+1]
			u, ok := known().units[q][word]
			if !ok || !slices.Contains([]string{"in", "en", "em", "is", "are"}, link) {
				continue
			}
			c.unitWord, c.unit = word, u
			in.sheet.note("%q is in %s, as line %d says", c.Heading, word, l.number)
			return true
		}
	}
	return false
}

// bracketed is how people put a unit at the end of a heading.
var bracketed = regexp.MustCompile(`[(\[]\s*(\pL[\pL.]*)\s*[)\]]\s*$`)

// foreignUnit is the word in brackets where a unit stands, if nobody knows what it says: to
// take the column in the units of the others would turn "(vadem)" into metres unseen.
func foreignUnit(c *Column) string {
	m := bracketed.FindStringSubmatch(c.Heading)
	if m == nil || c.renamed {
		return ""
	}
	if _, exact, _ := readHeading(c.Heading); exact {
		return ""
	}
	return m[1]
}

// askUnit asks in which of the usual units a column is.
func (in *reading) askUnit(c *Column, word string) {
	q := in.sheet.ask("no unit is told that is known here in %q (%q); say one that is: --column \"%s=depth fathoms\"", c.Heading, word, c.Heading)
	what := string(c.field) + " "
	if c.again > 0 {
		what = "recapture " + what
	}
	units := map[quantity][]string{quantityDepth: {"m", "ft"}, quantityLength: {"cm", "mm", "in"}, quantityWeight: {"kg", "lb", "oz"}, quantityTemperature: {"c", "f"}}
	for _, u := range units[c.field.measures()] {
		q.offerSaid(Said{"%s", []any{u}}, Answer{Setting: SettingColumn, Key: c.Heading, Value: what + u})
	}
	if c.field.measures() == quantityDepth {
		q.offer("fathoms of 1.83 m", Answer{Setting: SettingColumn, Key: c.Heading, Value: what + "fathoms"})
	}
	q.column(c.Heading)
}

// unitOfTemperature gives a temperature the only unit in which all its figures are
// temperatures of the sea: 27 °F is ice, 75 °C nowhere.
func (in *reading) unitOfTemperature(c *Column) bool {
	if c.field != fieldTemperature {
		return false
	}
	possible := []string{"c", "f"}
	for _, l := range in.rows {
		for _, word := range []string{"c", "f"} {
			u := known().units[quantityTemperature][word]
			m, err := in.measure(l.cell(c.index), quantityTemperature, &u)
			if err == nil && (m.low < coldestC || m.high > warmestC) {
				possible = slices.DeleteFunc(possible, func(w string) bool { return w == word })
			}
		}
	}
	if len(possible) != 1 {
		return false
	}
	c.unitWord, c.unit = possible[0], known().units[quantityTemperature][possible[0]]
	in.sheet.note("%q is taken to be in °%s: in the other unit it is no temperature of the sea", c.Heading, strings.ToUpper(c.unitWord))
	return true
}

// unitFromRelease gives the length or depth at a recapture the unit of that at release,
// where the figures bear it out: a fish does not shrink to half or grow to double, fish
// stay about as deep, and the common units lie further apart than that.
func (in *reading) unitFromRelease(c *Column) bool {
	first := in.columns[slot{field: c.field}]
	q := c.field.measures()
	if c.field != fieldLength && c.field != fieldDepth || c.again == 0 || len(first) == 0 || first[0].unitWord == "" {
		return false
	}
	both := 0
	for _, l := range in.rows {
		was, err := in.measure(l.cell(first[0].index), q, &first[0].unit)
		now, err2 := in.measure(l.cell(c.index), q, &first[0].unit)
		if err != nil || err2 != nil || was.high <= 0 {
			continue
		}
		if growth := now.high / was.high; growth < smallestGrowth || growth > largestGrowth {
			return false
		}
		both++
	}
	if both == 0 {
		return false
	}
	c.unitWord, c.unit = first[0].unitWord, first[0].unit
	if q == quantityDepth {
		in.sheet.note("%q is taken to be in %s, as %q is: the fish were about as deep", c.Heading, c.unitWord, first[0].Heading)
	} else {
		in.sheet.note("%q is taken to be in %s, as %q is: the fish are about as long", c.Heading, c.unitWord, first[0].Heading)
	}
	return true
}

// The lengths at recapture over those at release between which the unit is surely the
// same: 1 in is 2.54 cm, the closest pair of units.
const smallestGrowth, largestGrowth = 0.6, 1.8

// unitless is true for a column that has figures and none with a unit of its own.
func (in *reading) unitless(c *Column, q quantity) bool {
	bare := false
	for text := range in.told(c, line.cell) {
		switch _, err := in.measure(text, q, nil); {
		case err == nil:
			return false
		case errors.Is(err, errNoUnit):
			bare = true
		}
	}
	return bare
}

// decideDates finds the order of day and month in each column of dates: from a row
// that can be read in one way only, from the other column of dates, from what was
// said; else it asks.
func (in *reading) decideDates() {
	var open, sure []*Column
	for n := range mostRecaptures + 1 {
		for _, c := range in.columns[slot{fieldDate, n}] {
			var possible []DateOrder
			said := c.order // by the heading
			possible, c.orderMatters = in.possibleOrders(c)
			c.order = ""
			switch {
			case in.serials(c):
				in.sheet.ask("the dates in %q are figures such as %s; if a spreadsheet counted the days, say --dates serial", c.Heading, in.firstCell(c)).
					offer("a spreadsheet counted the days", Answer{Setting: SettingDates, Value: string(DaySerial)})
			case slices.Contains(possible, said):
				c.order = said
				if c.orderMatters {
					sure = append(sure, c)
				}
			case in.Dates != "" && c.orderMatters:
				c.order = in.Dates
			case len(possible) == 0:
				in.sheet.ask("the dates in %q cannot all be read in one order; say --dates dmy or mdy, and mend the lines that do not fit", c.Heading).offerOrders(DayMonthYear, MonthDayYear)
			case len(possible) == 1, !c.orderMatters:
				c.order = possible[0]
				if c.orderMatters {
					sure = append(sure, c)
				}
			default:
				open = append(open, c)
			}
		}
	}
	in.settleDates(open, sure)
}

// settleDates gives the columns that can be read in several orders that of a column that
// is sure, else the only one that makes sense, else asks.
func (in *reading) settleDates(open, sure []*Column) {
	var only DateOrder
	found := false
	if len(sure) == 0 {
		only, found = in.onlyOrder(open)
	}
	for _, c := range open {
		switch {
		case len(sure) > 0:
			c.order = sure[0].order
			in.sheet.note("the dates in %q are read as %s, as %q proves", c.Heading, c.order, sure[0].Heading)
		case found:
			c.order = only
			in.sheet.note("the dates in %q are read as %s: in another order a day is still to come, or a fish is caught again before it was let go", c.Heading, only)
		default:
			in.sheet.ask("the dates in %q can be read day first or month first, and no line proves which; say --dates dmy, mdy or ymd", c.Heading).offerOrders(DayMonthYear, MonthDayYear, YearMonthDay)
		}
	}
}

// serials is true for dates that are nothing but day numbers, unless they are read as
// that already.
func (in *reading) serials(c *Column) bool {
	if in.table.serials {
		return false
	}
	some := false
	for text := range in.told(c, line.cell) {
		if x, err := strconv.ParseFloat(text, 64); err != nil || x < firstSerial || x > lastSerial {
			return false
		}
		some = true
	}
	return some
}

func (in *reading) firstCell(c *Column) string {
	for _, l := range in.rows {
		if text := l.cell(c.index); text != "" {
			return text
		}
	}
	return ""
}

// possibleOrders are the orders in which every date of a column can be read;
// matters is false when no date depends on it.
func (in *reading) possibleOrders(c *Column) (possible []DateOrder, matters bool) {
	possible = []DateOrder{DayMonthYear, MonthDayYear, YearMonthDay}
	for _, l := range in.rows {
		m, err := in.moment(l.cell(c.index))
		if err != nil || m.day != (civil{}) {
			continue
		}
		orders := m.orders()
		if len(orders) == 0 {
			continue // no date in any order: a problem of its line
		}
		possible = slices.DeleteFunc(possible, func(o DateOrder) bool { return !slices.Contains(orders, o) })
		matters = matters || !sameDay(m, orders)
	}
	possible = in.withoutLateYears(c, possible)
	return possible, matters || len(possible) < 2
}

// withoutLateYears takes away the order with the year first where years have two digits, a
// day or a month can stand first as well, and some year so read is still to come, or the
// dates had more different years than days: 14.1.23 and 28.1.23 are of January.
func (in *reading) withoutLateYears(c *Column, possible []DateOrder) []DateOrder {
	if len(possible) < 2 || !slices.Contains(possible, YearMonthDay) || c.order == YearMonthDay {
		return possible
	}
	first, last, late := map[int]bool{}, map[int]bool{}, false
	for text := range in.told(c, line.cell) {
		m, err := in.moment(text)
		if err != nil || m.day != (civil{}) {
			continue
		}
		if m.wide >= 0 {
			return possible
		}
		first[m.parts[0]], last[m.parts[2]] = true, true
		late = late || !in.Now.IsZero() && m.parts[0] > in.Now.Year()%100
	}
	if late || len(first) > len(last) {
		return slices.DeleteFunc(possible, func(o DateOrder) bool { return o == YearMonthDay })
	}
	return possible
}

// sameDay is true for a date like 5/5/2025, which is the same in every order.
func sameDay(m moment, orders []DateOrder) bool {
	first, _ := m.in(orders[0], 2099)
	for _, o := range orders[1:] {
		if day, _ := m.in(o, 2099); day != first {
			return false
		}
	}
	return true
}

// decideRecaptures finds out whether a yes under recaptured speaks of this row or
// of a later day.
func (in *reading) decideRecaptures() {
	if !in.has(fieldRecaptured) && !in.hasLater(fieldDate) && !in.has(fieldLiberty) {
		return
	}
	switch in.Recaptures {
	case SeenLater:
		in.later = true
		return
	case RowIsRecapture, ReturnsOnly:
		return
	}
	yes, linked, events := in.countRecaptures()
	dated := in.hasLater(fieldDate) || in.has(fieldLiberty)
	switch {
	case in.fates && linked == 0 && yes > 0 && in.has(fieldTag):
		in.sheet.ask("%q says recaptured of fish whose tag stands in no line before; say --recaptures later if the line is the release of a fish that was caught again, --recaptures row if it is the recapture", in.recapturedHeading()).offerRecaptures(SeenLater, RowIsRecapture)
	case dated && 10*linked <= yes:
		in.later = true // the row tells when the fish was caught again
	case events, 2*linked > yes: // this row
	case !in.has(fieldTag):
		in.later = true
		in.sheet.note("a yes under %q is read as: the fish was caught again later; if it means that the fish of that row wore a tag, say --recaptures row", in.recapturedHeading())
	case yes > 0:
		in.sheet.ask("a yes under %q may mean that the fish of that row wore a tag already, or that it was caught again later; say --recaptures row or --recaptures later", in.recapturedHeading()).offerRecaptures(RowIsRecapture, SeenLater)
	}
}

func (in *reading) recapturedHeading() string {
	for _, c := range in.columns[slot{field: fieldRecaptured}] {
		return c.Heading
	}
	return "recaptured"
}

// countRecaptures counts the rows that say yes, and those of them whose tag was put
// in before by a row that says no; events is true when the cells speak of the row, as
// "release" and "recapture" do.
func (in *reading) countRecaptures() (yes, linked int, events bool) {
	put := map[string]civil{} // the first day of each tag
	for b := range in.looking {
		events = events || b.tellsEvent()
		if tag := b.tag(); tag != "" && b.recaptured() == no {
			if day, _, ok := b.day(slot{field: fieldDate}); ok && (put[tag] == civil{} || day.before(put[tag])) {
				put[tag] = day
			}
		}
	}
	for b := range in.looking {
		if b.recaptured() != yesTold {
			continue
		}
		yes++
		first, tagged := put[b.tag()]
		if day, _, ok := b.day(slot{field: fieldDate}); ok && tagged && first.before(day) {
			linked++
		}
	}
	return yes, linked, events
}

// tellsEvent is true when the row is called a release: then the others are events of
// their own. "Recaptured" and "not recaptured" may as well be said of the fish.
func (b *builder) tellsEvent() bool {
	c, text, told := b.cell(fieldRecaptured)
	if !told {
		return false
	}
	m := c.event(text)
	return m == "release" || m == "recapture" && c.namesEvents()
}

// noteReadings tells what follows from columns that are not there.
func (in *reading) noteReadings() {
	if in.later && !in.has(fieldTag) {
		in.sheet.note("no column has tag numbers: each fish gets one made from its row, and the flag %s", FlagTagInvented)
	}
	for _, f := range []struct{ has, lacks field }{{fieldVented, fieldRecompressed}, {fieldRecompressed, fieldVented}} {
		if in.has(f.has) && !in.has(f.lacks) && !in.has(fieldMethod) {
			in.sheet.note("a no under %q is read as let go at the surface: no column tells another way", in.columns[slot{field: f.has}][0].Heading)
		}
	}
}
