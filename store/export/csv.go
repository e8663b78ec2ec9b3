package export

import "io"

// fullPage is how much a table writer gathers before it writes, in bytes.
const fullPage = 1 << 16

// writeCSV writes RFC 4180: CRLF line ends, a heading, quotes where needed.
func (j *job) writeCSV(w io.Writer, reports Reports, text finish) error {
	page := make([]byte, 0, fullPage+fullPage/8)
	for i, c := range j.columns {
		page = append(comma(page, i), c.Name...)
	}
	page = append(page, "\r\n"...)
	for r, err := range reports {
		if err != nil {
			return err
		}
		page = append(j.appendLine(page, j.of(r), text), "\r\n"...)
		if len(page) >= fullPage {
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
