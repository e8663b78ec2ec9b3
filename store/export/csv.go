package export

import "io"

// fullPage is how much a table writer gathers before it writes, in bytes.
const fullPage = 1 << 16

// writeCSV writes RFC 4180: CRLF line ends, a heading, quotes where needed.
func (j *job) writeCSV(w io.Writer, reports Reports, text finish) error {
	page := newPage()
	for i, c := range j.columns {
		page = append(comma(page, i), c.Name...)
	}
	page = append(page, "\r\n"...)
	return j.writePages(w, page, reports, func(page []byte, x *row) []byte { return append(j.appendLine(page, x, text), "\r\n"...) })
}

// newPage is room for what is gathered.
func newPage() []byte { return make([]byte, 0, 2*fullPage) }

// writePages writes what stands on the page and behind it what add puts there of each report.
func (j *job) writePages(w io.Writer, page []byte, reports Reports, add func([]byte, *row) []byte) error {
	for r, err := range reports {
		if err != nil {
			return err
		}
		if page = add(page, j.of(r)); len(page) >= fullPage {
			if _, err := w.Write(page); err != nil {
				return err
			}
			page = page[:0]
		}
	}
	_, err := w.Write(page)
	return err
}

func (j *job) appendLine(line []byte, x *row, text finish) []byte {
	for i := range j.columns {
		c := &j.columns[i]
		line = comma(line, i)
		start := len(line)
		line = c.append(line, x)
		if c.Kind == kindText { // the other kinds are made of figures and our own words
			line = text(line, start)
		}
	}
	return line
}

func comma(line []byte, i int) []byte {
	if i == 0 {
		return line
	}
	return append(line, ',')
}
