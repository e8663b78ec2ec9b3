package export

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// The writers here append to a line in place and allocate nothing for the cells
// that most logs are made of: a million reports go through them.

// appendNumber writes a number with four decimals at most and no exponent;
// nothing for what is no number.
func appendNumber(b []byte, x float64) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return b
	}
	scaled := math.Round(math.Abs(x) * 1e4)
	if scaled >= 1e15 {
		return strconv.AppendFloat(b, x, 'f', -1, 64)
	}
	n := int64(scaled)
	if x < 0 && n > 0 {
		b = append(b, '-')
	}
	b = strconv.AppendInt(b, n/1e4, 10)
	fraction := n % 1e4
	if fraction == 0 {
		return b
	}
	b = append(b, '.')
	for unit := int64(1e3); fraction > 0; unit /= 10 {
		b = append(b, byte('0'+fraction/unit))
		fraction %= unit
	}
	return b
}

// appendDate writes a day as 2026-05-02.
func appendDate(b []byte, t time.Time) []byte {
	year, month, day := t.Date()
	if year < 1000 || year > 9999 {
		return t.AppendFormat(b, time.DateOnly)
	}
	b = strconv.AppendInt(b, int64(year), 10)
	b = appendTwo(append(b, '-'), int(month))
	return appendTwo(append(b, '-'), day)
}

// appendClock writes a time of day, as 10:15.
func appendClock(b []byte, t time.Time) []byte {
	hour, minute, _ := t.Clock()
	b = appendTwo(b, hour)
	return appendTwo(append(b, ':'), minute)
}

// appendZone writes the offset of a time: Z, or as -07:00.
func appendZone(b []byte, t time.Time) []byte {
	_, offset := t.Zone()
	if offset == 0 {
		return append(b, 'Z')
	}
	sign := byte('+')
	if offset < 0 {
		sign, offset = '-', -offset
	}
	b = appendTwo(append(b, sign), offset/3600)
	return appendTwo(append(b, ':'), offset/60%60)
}

func appendTwo(b []byte, n int) []byte { return append(b, byte('0'+n/10), byte('0'+n%10)) }

// The classes of bytes that a text cell has to be looked at for.
const (
	needsQuotes = 1 << iota // RFC 4180
	mayRun                  // a spreadsheet may take what follows for a formula
	control                 // no place in a table
	separator               // some reader may begin a new cell behind it
	blank                   // may stand before a formula
)

var byteClass = func() (class [256]byte) {
	for c := range 0x20 {
		class[c] = control
	}
	class[0x7f] = control
	class['\t'] = mayRun | separator
	class['\n'], class['\r'] = needsQuotes|mayRun|separator, needsQuotes|mayRun|separator
	class[','], class['"'] = needsQuotes|separator, needsQuotes
	class[';'], class['|'] = separator, separator
	class[' '] = blank
	for _, c := range "=+-@" {
		class[c] = mayRun
	}
	for c := 0x80; c <= 0xff; c++ {
		class[c] = blank // may begin a wide blank or a full-width sign
	}
	return class
}()

func classOf(cell []byte) (class byte) {
	for _, c := range cell {
		class |= byteClass[c]
	}
	return class
}

// finish completes the text cell that begins at start of the line.
type finish func(line []byte, start int) []byte

// plainCell leaves a value as it is, quoted where RFC 4180 asks for it. Control
// characters go: they are no text, and some readers stop at them.
func plainCell(line []byte, start int) []byte {
	cell := line[start:]
	class := classOf(cell)
	if class&(needsQuotes|control) == 0 && !edgeBlank(cell) {
		return line
	}
	return quoted(line[:start], withoutControls(cell))
}

// spreadsheetCell also keeps a spreadsheet from running a text as a formula
// (OWASP, CSV injection): an apostrophe goes in front of whatever could be one,
// at the beginning and behind every mark that may begin a new cell.
func spreadsheetCell(line []byte, start int) []byte {
	cell := line[start:]
	if len(cell) == 0 {
		return line
	}
	class := classOf(cell)
	if class&(separator|control) == 0 && byteClass[cell[0]]&(mayRun|blank) == 0 {
		return plainCell(line, start)
	}
	clean := withoutControls(cell)
	if safe := defused(clean); len(safe) != len(clean) {
		return quoted(line[:start], safe)
	}
	return plainCell(line, start)
}

func edgeBlank(cell []byte) bool {
	return len(cell) > 0 && (cell[0] == ' ' || cell[len(cell)-1] == ' ')
}

// quoted writes a cell between quotes, those inside doubled. The cell must not
// lie in the line.
func quoted(line, cell []byte) []byte {
	line = append(line, '"')
	for _, c := range cell {
		if c == '"' {
			line = append(line, '"')
		}
		line = append(line, c)
	}
	return append(line, '"')
}

// withoutControls is a copy of the cell without control characters; tabs and
// line ends stay.
func withoutControls(cell []byte) []byte {
	return slices.DeleteFunc(bytes.Clone(cell), func(c byte) bool { return byteClass[c]&control != 0 })
}

// defused puts an apostrophe before every beginning that could run.
func defused(cell []byte) []byte {
	out := make([]byte, 0, len(cell)+8)
	if runs(cell) {
		out = append(out, '\'')
	}
	for i, c := range cell {
		out = append(out, c)
		if strings.IndexByte(",;|\t\r\n", c) >= 0 && formula(cell[i+1:]) {
			out = append(out, '\'')
		}
	}
	return out
}

// blanks are what may stand before a formula and is skipped by some readers.
const (
	blanks   = " \u00a0\u200b\u3000\ufeff"
	lineEnds = blanks + "\t\r\n"
)

// runs is true for a text that begins, blanks aside, with = + - @ or their
// full-width twins, or with a tab or line end.
func runs(text []byte) bool {
	if len(text) == 0 {
		return false
	}
	return strings.IndexByte("\t\r\n", text[0]) >= 0 || formula(bytes.TrimLeft(text, lineEnds))
}

// formula is true for a text that begins, blanks aside, as a formula does.
func formula(text []byte) bool {
	first, _ := utf8.DecodeRune(bytes.TrimLeft(text, blanks))
	return strings.ContainsRune("=+-@＝＋－＠", first)
}

// oneLine turns line ends and tabs of the cell that begins at start into blanks,
// for readers that cut lines before they look for quotes.
func oneLine(line []byte, start int) []byte {
	for i, c := range line[start:] {
		if c == '\n' || c == '\r' || c == '\t' {
			line[start+i] = ' '
		}
	}
	return plainCell(line, start)
}
