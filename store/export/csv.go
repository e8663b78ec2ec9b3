package export

import (
	"bufio"
	"bytes"
	"io"
)

// cellWriter writes a text cell.
type cellWriter func(line, cell []byte) []byte

// writeCSV writes RFC 4180: CRLF line ends, a heading, quotes where needed.
func writeCSV(w io.Writer, reports Reports, o *Options, text cellWriter) error {
	out := bufio.NewWriterSize(w, 1<<16)
	columns := Columns()
	line := make([]byte, 0, 1024)
	for i, c := range columns {
		line = plainCell(comma(line, i), []byte(c.Name))
	}
	out.Write(append(line, "\r\n"...))
	cell := make([]byte, 0, 256)
	for r, err := range reports {
		if err != nil {
			return err
		}
		line = line[:0]
		for i := range columns {
			line = comma(line, i)
			if columns[i].Kind == "number" {
				line = columns[i].append(line, r, o) // made from a number: it needs no care
				continue
			}
			cell = columns[i].append(cell[:0], r, o)
			line = text(line, cell)
		}
		line = append(line, "\r\n"...)
		if _, err := out.Write(line); err != nil {
			return err
		}
	}
	return out.Flush()
}

func comma(line []byte, i int) []byte {
	if i == 0 {
		return line
	}
	return append(line, ',')
}

// plainCell writes a value as it is, quoted where RFC 4180 asks for it.
func plainCell(line, cell []byte) []byte {
	if !bytes.ContainsAny(cell, ",\"\r\n") && !edgeBlank(cell) {
		return append(line, cell...)
	}
	return quoted(line, cell)
}

func edgeBlank(cell []byte) bool {
	return len(cell) > 0 && (cell[0] == ' ' || cell[len(cell)-1] == ' ')
}

// quoted writes a cell between quotes, those inside doubled.
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

// spreadsheetCell keeps a spreadsheet from running a text as a formula: a cell
// that could be one gets an apostrophe in front and quotes around it (OWASP, CSV
// injection). NUL bytes go.
func spreadsheetCell(line, cell []byte) []byte {
	if bytes.IndexByte(cell, 0) >= 0 {
		cell = bytes.ReplaceAll(cell, []byte{0}, nil)
	}
	if !runs(cell) {
		return plainCell(line, cell)
	}
	return quoted(line, append([]byte{'\''}, cell...))
}

// runs is true for a text that begins, blanks aside, with = + - @ or their
// full-width twins, or with a tab or line end.
func runs(cell []byte) bool {
	if len(cell) == 0 {
		return false
	}
	if c := cell[0]; c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
		return false
	}
	if c := cell[0]; c == '\t' || c == '\r' || c == '\n' {
		return true
	}
	rest := bytes.TrimLeft(cell, " \t\r\n\u00a0\u200b\ufeff")
	for _, mark := range []string{"=", "+", "-", "@", "＝", "＋", "－", "＠"} {
		if bytes.HasPrefix(rest, []byte(mark)) {
			return true
		}
	}
	return false
}
