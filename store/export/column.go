package export

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"

	"deepward/advisor"
	seasons "deepward/store/season"
)

//go:embed data/columns.csv
var columnsCSV []byte

// The kinds of columns.
const (
	kindNumber = "number"
	kindText   = "text"
	kindDate   = "date"
	kindYesNo  = "yesno"
)

// Column is one column of the log, as the sheet of definitions explains it.
type Column struct {
	Name string
	// Kind is "number", "text", "date" or "yesno".
	Kind string
	Unit string
	// Values are the words a text may have, "" where it is free.
	Values  string
	Meaning string
	// Words is true for what people wrote: it goes out only when asked for.
	Words bool

	number func(*row) (float64, bool)
	text   func([]byte, *row) []byte
	yes    func(*row) bool
}

// Columns are the columns of the log in order. Their meaning stands in
// data/columns.csv; a column without a value there has an empty cell.
var Columns = sync.OnceValue(func() []Column {
	var list []Column
	for _, r := range advisor.Rows("columns", columnsCSV) {
		c := Column{Name: r[0], Kind: r[1], Unit: r[2], Values: r[3], Meaning: r[4]}
		c.number, c.text, c.yes = numbers[c.Name], texts[c.Name], answers[c.Name]
		c.Words = c.Name == "words" || c.Name == "note"
		if !c.complete() {
			panic("export: column " + c.Name + " has no value of its kind")
		}
		list = append(list, c)
	}
	return list
})

func (c Column) complete() bool {
	switch c.Kind {
	case kindNumber:
		return c.number != nil
	case kindYesNo:
		return c.yes != nil
	default:
		return c.text != nil
	}
}

// append writes the value of a row behind b, as every format but the typed ones
// has it: nothing for none.
func (c *Column) append(b []byte, x *row) []byte {
	switch c.Kind {
	case kindNumber:
		if v, ok := c.number(x); ok {
			b = appendNumber(b, v)
		}
		return b
	case kindYesNo:
		if c.yes(x) {
			return append(b, "yes"...)
		}
		return append(b, "no"...)
	default:
		return c.text(b, x)
	}
}

var numbers = map[string]func(*row) (float64, bool){
	"report":               func(x *row) (float64, bool) { return float64(x.Told()), true },
	"depth_m":              func(x *row) (float64, bool) { return figure(x.DepthM) },
	"depth_from_m":         func(x *row) (float64, bool) { return figure(x.DepthMinM) },
	"weight_kg":            func(x *row) (float64, bool) { return figure(x.WeightKg) },
	"length_cm":            func(x *row) (float64, bool) { return figure(x.LengthCm) },
	"release_depth_m":      func(x *row) (float64, bool) { return figure(x.ReleaseDepthM) },
	"minutes_out_of_water": func(x *row) (float64, bool) { return figure(x.MinutesOnDeck) },
	"surface_temp_c":       func(x *row) (float64, bool) { return figure(x.SurfaceTempC) },
	"cell_lat":             func(x *row) (float64, bool) { return x.cell.lat(), x.placed },
	"cell_lon":             func(x *row) (float64, bool) { return x.cell.lon(), x.placed },
	"chat_number":          (*row).chatNumber,
	"topic":                func(x *row) (float64, bool) { return float64(x.Thread), x.Thread != 0 },
	"shared_with":          func(x *row) (float64, bool) { return float64(x.Club), x.Club != 0 },
	"place_uncertainty_m":  func(x *row) (float64, bool) { return x.cell.uncertaintyM, x.placed },
}

var answers = map[string]func(*row) bool{
	"species_sure":     func(x *row) bool { return x.SpeciesSure },
	"signs_looked_for": func(x *row) bool { return x.SignsLooked },
	"bleeding":         func(x *row) bool { return x.Bleeding },
	"predators":        func(x *row) bool { return x.Predators },
	"recapture":        func(x *row) bool { return x.Recapture },
}

var texts = map[string]func([]byte, *row) []byte{
	"season":             func(b []byte, x *row) []byte { return append(b, x.Season...) },
	"date":               dayTold,
	"time":               timeOfDay,
	"species":            func(b []byte, x *row) []byte { return append(b, x.Species...) },
	"species_name":       speciesName,
	"name_given":         func(b []byte, x *row) []byte { return append(b, x.nameGiven()...) },
	"length_type":        func(b []byte, x *row) []byte { return append(b, x.LengthType...) },
	"method":             func(b []byte, x *row) []byte { return append(b, x.Method...) },
	"release_weights_oz": releaseWeights,
	"signs":              func(b []byte, x *row) []byte { return joined(b, x.Signs) },
	"hook":               func(b []byte, x *row) []byte { return append(b, x.Hook...) },
	"behaviour":          func(b []byte, x *row) []byte { return append(b, x.Behaviour...) },
	"outcome":            func(b []byte, x *row) []byte { return append(b, x.Outcome...) },
	"tag":                func(b []byte, x *row) []byte { return append(b, x.Tag...) },
	"advised":            func(b []byte, x *row) []byte { return append(b, x.Advised...) },
	"angler":             func(b []byte, x *row) []byte { return append(b, x.angler()...) },
	"flags":              func(b []byte, x *row) []byte { return joined(b, x.Flags) },
	"origin":             func(b []byte, x *row) []byte { return append(b, x.Origin...) },
	"chat":               func(b []byte, x *row) []byte { return append(b, x.chatName()...) },
	"words":              func(b []byte, x *row) []byte { return append(b, x.Personal.Words...) },
	"note":               func(b []byte, x *row) []byte { return append(b, x.Personal.Note...) },
}

func figure(x *float64) (float64, bool) {
	if x == nil {
		return 0, false
	}
	return *x, true
}

// dayTold is the day, none where nobody told it: an import had to put the report under
// some day.
func dayTold(b []byte, x *row) []byte {
	if x.dayUnknown() {
		return b
	}
	return appendDate(b, x.CaughtAt)
}

func (x *row) dayUnknown() bool {
	return slices.Contains(x.Flags, seasons.DateFilled) || slices.Contains(x.Flags, seasons.DayUnknown)
}

func timeOfDay(b []byte, x *row) []byte {
	if x.DateOnly || x.dayUnknown() {
		return b
	}
	return x.clock(b, x.when())
}

func speciesName(b []byte, x *row) []byte {
	if x.fish == nil {
		return b
	}
	return append(b, x.fish.EnglishName...)
}

func releaseWeights(b []byte, x *row) []byte {
	for i, oz := range x.WeightsOz {
		if i > 0 {
			b = append(b, '+')
		}
		b = appendNumber(b, oz)
	}
	return b
}

func joined[T ~string](b []byte, list []T) []byte {
	for i, s := range list {
		if i > 0 {
			b = append(b, ' ')
		}
		b = append(b, strings.TrimSpace(string(s))...)
	}
	return b
}

// occurrenceID is the identifier of a report beyond this store.
func (x *row) occurrenceID(b []byte) []byte {
	if len(x.id) == 0 { // a keyed hash, and each measurement has it twice
		x.job.id = x.job.occurrenceID(x.job.id[:0], x.Number)
		x.id = x.job.id
	}
	return append(b, x.id...)
}

func (j *job) occurrenceID(b []byte, number uint64) []byte {
	if j.Dataset != "" {
		b = append(append(b, j.Dataset...), ':')
	}
	b = append(b, "report-"...)
	if j.Identifier != nil {
		return append(b, j.Identifier(number)...)
	}
	return strconv.AppendUint(b, number, 10)
}
