package store

import (
	"fmt"
	"math"
	"time"
	"unicode/utf8"

	"deepward/advisor"
	"deepward/store/catch"
)

// recordReader decodes one record after another, as a walk over a whole log does, in a
// third of the time that the library takes for any kind of value: it knows the fields of a
// report as encodeRecord writes them. Whatever else it meets it leaves to the library. What
// a report points to is never reused.
type recordReader struct {
	sealer *sealer
	clear  cborReader
	plain  []byte // the sealed part of the last record
}

func newRecordReader(s *sealer) *recordReader {
	return &recordReader{sealer: s, clear: cborReader{words: map[string]string{}}}
}

// read does what decodeRecord does.
func (d *recordReader) read(record []byte, r *catch.Report, personal bool) error {
	bound, sealed, err := splitRecord(record)
	if err != nil {
		return err
	}
	if d.plain, err = d.sealer.openInto(d.plain[:0], sealed, bound); err != nil {
		return fmt.Errorf("%w: %w", errRecord, err)
	}
	*r = catch.Report{}
	if !d.clear.report(bound[recordHead:], r) {
		*r = catch.Report{}
		if err := decMode.Unmarshal(bound[recordHead:], r); err != nil {
			return fmt.Errorf("%w: %w", errRecord, err)
		}
	}
	if !personal {
		return nil
	}
	return takePersonal(d.plain, r)
}

// cborReader reads the deterministic encoding of RFC 8949, section 4.2, as far as reports
// need it. strange is true once something else was met; values are then of no use.
type cborReader struct {
	b       []byte
	strange bool
	words   map[string]string // those that come again and again, kept once
	figures []float64         // room for some to come
}

// The major types of RFC 8949, section 3.1, and the simple values of 3.3.
const (
	cborWhole    = 0
	cborNegative = 1
	cborText     = 3
	cborList     = 4
	cborMap      = 5
	cborOther    = 7

	cborFalse, cborTrue, cborNull = 20, 21, 22
	cborHalf, cborSingle          = 25, 26
	cborDouble                    = 27
)

// report reads the clear part of a record; false where it is not as encodeRecord writes it.
func (c *cborReader) report(b []byte, r *catch.Report) bool {
	c.b, c.strange = b, false
	fields := c.head(cborMap)
	before := uint64(0)
	for range fields {
		field := c.head(cborWhole)
		if c.strange || field <= before {
			return false
		}
		before = field
		if !c.about(field, r) && !c.fish(field, r) {
			return false
		}
	}
	return !c.strange && len(c.b) == 0
}

// about reads a field that says when, where and by whom; false for any other.
func (c *cborReader) about(field uint64, r *catch.Report) bool {
	switch field {
	case 1:
		r.Number = c.head(cborWhole)
	case 2:
		r.Chat = catch.ClubID(c.whole())
	case 3:
		r.Thread = int(c.whole())
	case 4:
		r.Message = int(c.whole())
	case 5:
		r.Part = int(c.whole())
	case 6:
		r.CaughtAt = c.time()
	case 7:
		r.DateOnly = c.flag()
	case 8:
		r.SavedAt = c.time()
	case 9:
		r.ChangedAt = c.time()
	case 10:
		r.Season = c.word()
	case 33:
		r.Advised = c.word()
	case 34:
		r.Flags = wordsOf[string](c)
	case 35:
		r.Undone = c.flag()
	case 36:
		r.Origin = c.word()
	case 37:
		r.Cell = c.cell()
	case 38:
		r.Who = c.head(cborWhole)
	case 39:
		r.Named = c.flag()
	case 40:
		r.Club = catch.ClubID(c.whole())
	case 41:
		r.LogNo = c.head(cborWhole)
	case 42:
		r.ClubNo = c.head(cborWhole)
	default:
		return false
	}
	return true
}

// fish reads a field that says how the fish was and what was done; false for any other.
func (c *cborReader) fish(field uint64, r *catch.Report) bool {
	switch field {
	case 11:
		r.Species = c.word()
	case 12:
		r.SpeciesGiven = c.word()
	case 13:
		r.SpeciesSure = c.flag()
	case 14:
		r.DepthM = c.figure()
	case 15:
		r.DepthMinM = c.figure()
	case 16:
		r.WeightKg = c.figure()
	case 17:
		r.LengthCm = c.figure()
	case 18:
		r.LengthType = advisor.LengthType(c.word())
	case 19:
		r.Method = advisor.Method(c.word())
	case 20:
		r.WeightsOz = c.numbers()
	case 21:
		r.ReleaseDepthM = c.figure()
	case 22:
		r.Signs = wordsOf[advisor.Sign](c)
	case 23:
		r.SignsLooked = c.flag()
	case 24:
		r.Hook = advisor.Hook(c.word())
	case 25:
		r.Bleeding = c.flag()
	case 26:
		r.MinutesOnDeck = c.figure()
	case 27:
		r.Behaviour = advisor.Behaviour(c.word())
	case 28:
		r.Outcome = advisor.Outcome(c.word())
	case 29:
		r.Predators = c.flag()
	case 30:
		r.SurfaceTempC = c.figure()
	case 31:
		r.Tag = string(c.text())
	case 32:
		r.Recapture = c.flag()
	default:
		return false
	}
	return true
}

// any reads the head of an item: its major type, its short number, and its number in full.
func (c *cborReader) any() (major, short byte, n uint64) {
	if len(c.b) == 0 {
		c.strange = true
		return 0, 0, 0
	}
	major, short = c.b[0]>>5, c.b[0]&31
	c.b = c.b[1:]
	if short < 24 {
		return major, short, uint64(short)
	}
	width := 1 << (short - 24) // 24 to 27 are of one to eight bytes; others are not of this encoding
	if short > 27 || len(c.b) < width {
		c.strange = true
		return 0, 0, 0
	}
	for _, part := range c.b[:width] {
		n = n<<8 | uint64(part)
	}
	c.b = c.b[width:]
	return major, short, n
}

// head reads the head of an item of that major type, and gives its number.
func (c *cborReader) head(of byte) uint64 {
	major, _, n := c.any()
	c.strange = c.strange || major != of
	return n
}

func (c *cborReader) whole() int64 {
	major, _, n := c.any()
	c.strange = c.strange || n > math.MaxInt64
	switch major {
	case cborWhole:
		return int64(n)
	case cborNegative:
		return -1 - int64(n)
	}
	c.strange = true
	return 0
}

func (c *cborReader) flag() bool {
	major, short, _ := c.any()
	c.strange = c.strange || major != cborOther || short != cborFalse && short != cborTrue
	return short == cborTrue
}

func (c *cborReader) number() float64 {
	major, short, n := c.any()
	switch {
	case major == cborOther && short == cborHalf:
		return fromHalf(uint16(n))
	case major == cborOther && short == cborSingle:
		return float64(math.Float32frombits(uint32(n)))
	case major == cborOther && short == cborDouble:
		return math.Float64frombits(n)
	}
	c.strange = true
	return 0
}

// fromHalf widens a number of half precision that is finite and not very small (RFC 8949,
// appendix D, has all).
func fromHalf(h uint16) float64 {
	exponent, fraction := int(h>>10&31), float64(h&1023)
	x := math.Ldexp(1024+fraction, exponent-25)
	switch exponent {
	case 0:
		x = math.Ldexp(fraction, -24)
	case 31:
		x = math.Inf(1)
		if fraction != 0 {
			x = math.NaN()
		}
	}
	if h>>15 != 0 {
		return -x
	}
	return x
}

// figuresAtOnce is how many figures one piece of memory holds: those of some reports.
const figuresAtOnce = 32

func (c *cborReader) figure() *float64 {
	if len(c.figures) == cap(c.figures) {
		c.figures = make([]float64, 0, figuresAtOnce)
	}
	c.figures = append(c.figures, c.number())
	return &c.figures[len(c.figures)-1]
}

func (c *cborReader) numbers() []float64 {
	n := c.list()
	list := make([]float64, 0, n)
	for range n {
		list = append(list, c.number())
	}
	return list
}

// list reads how many items a list has; each takes a byte at least.
func (c *cborReader) list() int {
	n := c.head(cborList)
	if c.strange = c.strange || n > uint64(len(c.b)); c.strange {
		return 0
	}
	return int(n)
}

func (c *cborReader) text() []byte {
	n := c.head(cborText)
	if c.strange = c.strange || n > uint64(len(c.b)); c.strange {
		return nil
	}
	text := c.b[:n]
	c.b = c.b[n:]
	c.strange = !utf8.Valid(text)
	return text
}

// wordsKept is how many words are kept: all that logs have in common, and not what each
// report has of its own.
const wordsKept = 1024

func (c *cborReader) word() string {
	text := c.text()
	if word, ok := c.words[string(text)]; ok {
		return word
	}
	word := string(text)
	if len(c.words) < wordsKept {
		c.words[word] = word
	}
	return word
}

func wordsOf[T ~string](c *cborReader) []T {
	n := c.list()
	list := make([]T, 0, n)
	for range n {
		list = append(list, T(c.word()))
	}
	return list
}

const secondsADay = 24 * 60 * 60

func (c *cborReader) time() (t time.Time) {
	if len(c.b) > 0 && c.b[0] == cborOther<<5|cborNull { // as the library writes the zero time
		c.b = c.b[1:]
		return t
	}
	err := t.UnmarshalText(c.text())
	_, east := t.Zone()
	c.strange = c.strange || err != nil || max(east, -east) >= secondsADay // such a zone could not be written again
	return t
}

func (c *cborReader) cell() *catch.Cell {
	var cell catch.Cell
	fields := c.head(cborMap)
	lat, y := c.head(cborWhole), c.whole()
	lon, x := c.head(cborWhole), c.whole()
	cell.Lat, cell.Lon = int16(y), int16(x)
	c.strange = c.strange || fields != 2 || lat != 1 || lon != 2 || int64(cell.Lat) != y || int64(cell.Lon) != x
	return &cell
}
