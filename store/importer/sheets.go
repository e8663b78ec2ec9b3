package importer

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// ReturnsSheet as what is said of another sheet of a workbook: its lines are recaptures.
const ReturnsSheet = "recaptures"

// parseSheet reads what may be said of a sheet.
func parseSheet(text string) (string, error) {
	return oneOf("also", text, []string{ReturnsSheet, leaveOut}, map[string]string{"returns": ReturnsSheet, "recaptured": ReturnsSheet, "none": leaveOut})
}

// own is the table by itself, with what was said of its own columns.
func (t *table) own(o Options) Options {
	if len(t.others) == 0 {
		return o
	}
	foreign := func(heading string) bool {
		return !t.hasHeading(o, heading) && slices.ContainsFunc(t.others, func(other *table) bool { return other.hasHeading(o, heading) })
	}
	o.Columns, o.Values = maps.Clone(o.Columns), maps.Clone(o.Values)
	maps.DeleteFunc(o.Columns, func(heading, _ string) bool { return foreign(heading) })
	maps.DeleteFunc(o.Values, func(key, _ string) bool {
		heading, _, _ := strings.Cut(key, ":")
		return foreign(heading)
	})
	return o
}

func (t *table) hasHeading(o Options, heading string) bool {
	return slices.Contains(strings.Split(t.headings(o), " | "), spaced(heading))
}

// noteSheets tells which sheets are read together and which not at all.
func (s *Sheet) noteSheets(t *table) {
	if len(t.together) > 0 {
		s.note("read together with %q, as their headings are the same: %s; to read one alone: --sheet", t.sheet, quoted(t.together))
	}
	if len(t.unread) > 0 {
		s.note("not read, as it has no headings that are known: %s", quoted(t.unread))
	}
}

func quoted(list []string) string {
	var names []string
	for _, n := range list {
		names = append(names, fmt.Sprintf("%q", n))
	}
	return strings.Join(names, ", ")
}

// takeSheets takes the other sheets of a workbook as was said, and asks about those that
// have fish and of which nothing was.
func (t *table) takeSheets(s *Sheet, o Options) error {
	for _, other := range t.others {
		as, err := parseSheet(o.Sheets[other.sheet])
		switch {
		case err != nil:
			return err
		case as == ReturnsSheet:
			if err := t.join(s, other, o); err != nil {
				return err
			}
		case as == leaveOut:
			s.note("the sheet %q is not read", other.sheet)
		case other.tellsFish(o):
			s.ask("the workbook has another sheet that tells of fish, %q, under headings of its own; say --also \"%s=recaptures\" if its lines are recaptures of these fish, --also \"%s=-\" to leave it out, or read it alone with --sheet \"%s\"", other.sheet, other.sheet, other.sheet, other.sheet).
				offer("its lines are recaptures", Answer{Setting: SettingSheet, Key: other.sheet, Value: ReturnsSheet}).
				offer("leave the sheet out", Answer{Setting: SettingSheet, Key: other.sheet, Value: leaveOut})
		default:
			s.note("the sheet %q is not read", other.sheet)
		}
	}
	return nil
}

// tellsFish is true for a sheet with a day and a tag or a fish in its headings.
func (t *table) tellsFish(o Options) bool {
	at, _ := t.findHeadings(o.Columns)
	var day, fish bool
	for i := range t.lines[at].cells {
		h, _, ok := readHeading(renamed(t.lines[at].cell(i), o.Columns))
		day = day || ok && (h.field == fieldDate || h.field == fieldYear)
		fish = fish || ok && (h.field == fieldTag || h.field == fieldSpecies || h.field == fieldScientific)
	}
	return day && fish && len(t.lines) > at+1
}

// join reads another sheet as one of recaptures.
func (t *table) join(s *Sheet, other *table, o Options) error {
	alone := *other
	alone.origin, alone.others = t.origin, []*table{t}
	o.Recaptures, o.seen = ReturnsOnly, nil
	returns := &Sheet{Name: other.sheet, Form: other.form}
	if err := alone.read(returns, alone.own(o)); err != nil {
		return fmt.Errorf("the sheet %q: %w", other.sheet, err)
	}
	known, unknown := s.Join(returns)
	s.note("the sheet %q: %d recaptures have their release here, %d do not; to see how it is read: --sheet", other.sheet, known, unknown)
	return nil
}
