package export

import (
	"io"
	"math"

	"deepward/advisor"
)

// measurementColumns head measurementorfact.csv; the first is the id of the
// occurrence.
var measurementColumns = [...]string{
	"occurrenceID", "measurementID", "measurementType", "measurementTypeID", "measurementValue", "measurementUnit", "measurementUnitID", "measurementMethod",
}

// termOf is the whole name of a column: two of them are OBIS's own.
func termOf(column string) string {
	if column == "measurementTypeID" || column == "measurementUnitID" {
		return "http://rs.iobis.org/obis/terms/" + column
	}
	return termsURL + column
}

// The NERC Vocabulary Server's names (vocab.nerc.ac.uk, P01 for what is measured, P06 for
// units), as the OBIS manual uses them. What has none there is left without one.
const vocabulary = "http://vocab.nerc.ac.uk/collection/"

var typeIDs = map[string]string{
	"len": vocabulary + "P01/current/OBSINDLX/", "wt": vocabulary + "P01/current/SPWGXX01/",
}

var unitIDs = map[string]string{
	"mm": vocabulary + "P06/current/UXMM/", "m": vocabulary + "P06/current/ULAA/", "kg": vocabulary + "P06/current/KGXX/",
	"s": vocabulary + "P06/current/UTBB/", "°C": vocabulary + "P06/current/UPAA/",
}

// measurement is one thing measured or seen on a fish. key ends its identifier.
type measurement struct {
	key, what, unit string
	value           func([]byte, *row) []byte
}

var measurements = [...]measurement{
	{"len", "", "mm", millimetres}, // named by the way it was measured
	{"wt", "weight", "kg", number("weight_kg")},
	{"air", "time out of water", "s", secondsOut},
	{"rel", "release method", "", releaseMethod},
	{"lead", "release weight", "oz", releaseWeights},
	{"reld", "release depth", "m", number("release_depth_m")},
	{"hook", "hook position", "", texts["hook"]},
	{"blood", "bleeding", "", ifTrue(func(x *row) bool { return x.Bleeding })},
	{"beh", "behaviour at the surface", "", texts["behaviour"]},
	{"out", "behaviour at release", "", texts["outcome"]},
	{"pred", "predators about", "", ifTrue(func(x *row) bool { return x.Predators })},
	{"recap", "recapture of a tagged fish", "", ifTrue(func(x *row) bool { return x.Recapture })},
	{"nosign", "signs of barotrauma", "", noSigns},
	{"temp", "surface water temperature", "°C", number("surface_temp_c")},
}

func ifTrue(yes func(*row) bool) func([]byte, *row) []byte {
	return func(b []byte, x *row) []byte {
		if yes(x) {
			return append(b, "yes"...)
		}
		return b
	}
}

// noSigns tells apart a fish that was looked at from one that was not.
func noSigns(b []byte, x *row) []byte {
	if x.SignsLooked && len(x.Signs) == 0 {
		return append(b, "none seen"...)
	}
	return b
}

func millimetres(b []byte, x *row) []byte {
	if x.LengthCm == nil {
		return b
	}
	return appendNumber(b, *x.LengthCm*10)
}

func secondsOut(b []byte, x *row) []byte {
	if x.MinutesOnDeck == nil {
		return b
	}
	return appendNumber(b, math.Round(*x.MinutesOnDeck*60))
}

func lengthName(t advisor.LengthType) string {
	switch t {
	case advisor.TotalLength:
		return "total length"
	case advisor.ForkLength:
		return "fork length"
	case advisor.StandardLength:
		return "standard length"
	default:
		return "length"
	}
}

func releaseMethod(b []byte, x *row) []byte {
	switch x.Method {
	case advisor.Surface:
		return append(b, "let go at the surface"...)
	case advisor.Recompressed:
		return append(b, "weighted return to depth"...)
	default:
		return append(b, x.Method...)
	}
}

// writeMeasurements writes what was measured or seen on each fish, one line each.
func (j *job) writeMeasurements(w io.Writer, reports Reports) error {
	page := newPage()
	for i, name := range measurementColumns {
		page = append(comma(page, i), name...)
	}
	page = append(page, '\n')
	return j.writePages(w, page, reports, appendMeasurements)
}

func appendMeasurements(b []byte, x *row) []byte {
	for i := range measurements {
		b = measurements[i].appendLine(b, x)
	}
	for i := range x.Signs {
		x.sign = i
		m := measurement{string(x.Signs[i]), "signs of barotrauma", "", oneSign}
		b = m.appendLine(b, x)
	}
	return b
}

func oneSign(b []byte, x *row) []byte { return append(b, x.Signs[x.sign]...) }

// appendLine writes the line of a measurement; nothing when it has no value.
func (m *measurement) appendLine(b []byte, x *row) []byte {
	value := m.value(x.job.value[:0], x)
	x.job.value = value
	if len(value) == 0 {
		return b
	}
	what := m.what
	if m.key == "len" {
		what = lengthName(x.LengthType)
	}
	start := len(b)
	b = append(plainCell(x.occurrenceID(b), start), ',')
	start = len(b)
	b = append(append(x.occurrenceID(b), '-'), m.key...)
	b = append(plainCell(b, start), ',')
	b = append(append(b, what...), ',')
	b = append(append(b, typeIDs[m.key]...), ',')
	start = len(b)
	b = append(append(oneLine(append(b, value...), start), ','), m.unit...)
	b = append(append(b, ','), unitIDs[m.unit]...)
	return append(b, ",angler's report\n"...)
}
