package importer

// memo remembers what was read out of the cells of a file: most say what one above them
// said. It begins anew when it has grown large.
type memo[K comparable, V any] struct{ of map[K]V }

// mostRemembered is how many cells are remembered.
const mostRemembered = 1 << 14

// read is what reading a cell gives, read once.
func (m *memo[K, V]) read(cell K, reading func(K) V) V {
	v, known := m.of[cell]
	if known {
		return v
	}
	if m.of == nil || len(m.of) >= mostRemembered {
		m.of = map[K]V{}
	}
	v = reading(cell)
	m.of[cell] = v
	return v
}

// memory is what a reading remembers of the cells of its file.
type memory struct {
	moments  memo[string, momentRead]
	clocks   memo[string, clockRead]
	measures memo[measureCell, measureRead]
	angles   memo[angleCell, angleRead]
	largest  memo[string, largest] // by species
}

type momentRead struct {
	moment
	err error
}

type clockRead struct {
	clock
	err error
}

type measureCell struct {
	text  string
	style decimalStyle
	quantity
	unit
	hasUnit bool
}

type measureRead struct {
	measure
	err error
}

type angleCell struct {
	text     string
	limit    float64
	negative bool
}

type angleRead struct {
	degrees float64
	ok      bool
}

// moment is the date in a cell.
func (in *reading) moment(cell string) (moment, error) {
	r := in.moments.read(cell, func(cell string) momentRead {
		m, err := readMoment(cell, in.table)
		return momentRead{m, err}
	})
	return r.moment, r.err
}

// clock is the time of day in a cell of its own.
func (in *reading) clock(cell string) (clock, error) {
	r := in.clocks.read(cell, func(cell string) clockRead {
		c, err := readClock(cell, in.table.serials)
		return clockRead{c, err}
	})
	return r.clock, r.err
}

// measure is the figure in a cell, as decimalStyle.measure reads it.
func (in *reading) measure(text string, q quantity, fallback *unit) (measure, error) {
	cell := measureCell{text: text, style: in.style, quantity: q, hasUnit: fallback != nil}
	if cell.hasUnit {
		cell.unit = *fallback
	}
	r := in.measures.read(cell, func(cell measureCell) measureRead {
		fallback := &cell.unit
		if !cell.hasUnit {
			fallback = nil
		}
		m, err := cell.style.measure(cell.text, cell.quantity, fallback)
		return measureRead{m, err}
	})
	return r.measure, r.err
}

// angle is the latitude or longitude in a cell, as decimalStyle.angle reads it.
func (in *reading) angle(text string, limit float64, negative bool) (float64, bool) {
	r := in.angles.read(angleCell{text, limit, negative}, func(cell angleCell) angleRead {
		x, ok := in.style.angle(cell.text, cell.limit, cell.negative)
		return angleRead{x, ok}
	})
	return r.degrees, r.ok
}
