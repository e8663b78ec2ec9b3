package importer

import "strings"

// dayHeading heads the column of days that stood on lines of their own.
const dayHeading = "Date above"

// carryDays writes a day that stands on a line of its own beside the fish below it, in a
// last column, where no heading is of a day: "Saturday August 12, 2023" over the fish of
// that day.
func (t *table) carryDays(named map[string]string) {
	at, ok := t.findHeadings(named)
	if !ok || t.lines[at].headsDay(named) {
		return
	}
	wide, days := len(t.lines[at].cells), 0
	for _, l := range t.lines[at+1:] {
		wide = max(wide, len(l.cells))
		if t.dayOf(l) != "" {
			days++
		}
	}
	if days == 0 {
		return
	}
	day := ""
	kept := t.lines[: at+1 : at+1]
	for i, l := range t.lines[at:] {
		if text := t.dayOf(l); i > 0 && text != "" {
			if day = text; t.carried == nil {
				t.carried = &line{number: l.number, sheet: l.sheet, cells: l.cells}
			}
			continue
		}
		text := day
		if i == 0 {
			text = dayHeading
		}
		cells := append(make([]string, 0, wide+1), l.cells...)
		for len(cells) < wide {
			cells = append(cells, "")
		}
		l.cells = append(cells, text)
		if i == 0 {
			kept[at] = l
		} else {
			kept = append(kept, l)
		}
	}
	t.lines = kept
}

// headsDay is true for headings of which one is of a day or a part of it.
func (l line) headsDay(named map[string]string) bool {
	for i := range l.cells {
		h, _, ok := readHeading(renamed(l.cell(i), named))
		if !ok {
			h, _, ok = glued(l.cell(i))
		}
		if ok && (h.field == fieldDate || h.field == fieldYear || h.field == fieldDay) {
			return true
		}
	}
	return false
}

// dayOf is the day that is all that a line tells, "" for other lines.
func (t *table) dayOf(l line) string {
	only := ""
	for i := range l.cells {
		text := l.raw(i)
		if text == "" {
			continue
		}
		if only != "" && only != text {
			return ""
		}
		only = text
	}
	if only == "" || strings.Trim(only, "0123456789.") == "" && !t.serials {
		return ""
	}
	if _, err := readMoment(only, t); err != nil {
		return ""
	}
	return only
}
