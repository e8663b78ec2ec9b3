package export

import (
	"encoding/json"
	"io"
	"strconv"
)

// writeGeoJSON writes RFC 7946: one feature a report, its place the cell of the
// grid as a polygon, so that no false point is shown. A report without a place
// has a null geometry: it is still a fish. Coordinates have no more decimals than
// the grid allows.
func (j *job) writeGeoJSON(w io.Writer, reports Reports) error {
	between := "\n"
	err := j.writePages(w, append(newPage(), `{"type":"FeatureCollection","features":[`...), reports, func(page []byte, x *row) []byte {
		page = j.appendFeature(append(page, between...), x)
		between = ",\n"
		return page
	})
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, "\n]}\n")
	return err
}

func (j *job) appendFeature(b []byte, x *row) []byte {
	b = append(b, `{"type":"Feature","id":`...)
	start := len(b)
	b = endText(x.occurrenceID(append(b, '"')), start)
	b = append(b, `,"geometry":`...)
	if x.placed {
		b = appendPolygon(b, x.cell)
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `,"properties":{`...)
	first := true
	for i := range j.columns {
		before := len(b)
		if !first {
			b = append(b, ',')
		}
		b = append(append(append(b, '"'), j.columns[i].Name...), `":`...)
		start := len(b)
		if b = j.columns[i].appendJSON(b, x); len(b) == start {
			b = b[:before] // no value, no member
			continue
		}
		first = false
	}
	return append(b, "}}"...)
}

// appendJSON writes the value as JSON, nothing for none.
func (c *Column) appendJSON(b []byte, x *row) []byte {
	switch c.Kind {
	case kindNumber:
		return c.append(b, x)
	case kindYesNo:
		return strconv.AppendBool(b, c.yes(x))
	}
	start := len(b)
	b = c.text(append(b, '"'), x)
	if len(b) == start+1 {
		return b[:start]
	}
	return endText(b, start)
}

// endText ends a text that begins with its quote at start, with escapes where it needs
// them.
func endText(b []byte, start int) []byte {
	if plainJSON(b[start+1:]) {
		return append(b, '"')
	}
	quoted, err := json.Marshal(string(b[start+1:]))
	if err != nil {
		return b[:start]
	}
	return append(b[:start], quoted...)
}

// plainJSON is true for a text that needs no escapes.
func plainJSON(text []byte) bool {
	for _, c := range text {
		if c < 0x20 || c >= 0x7f || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}

// appendPolygon writes the ring of a cell, anticlockwise and closed. No cell
// straddles the antimeridian: a row of every grid begins there.
func appendPolygon(b []byte, c gridCell) []byte {
	n := c.edgeDecimals()
	west, east, south, north := c.west, c.west+c.step, c.south, c.south+c.step
	b = append(b, `{"type":"Polygon","coordinates":[[`...)
	for i, corner := range [...][2]int64{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}} {
		b = append(comma(b, i), '[')
		b = append(appendEdge(b, corner[0], n), ',')
		b = append(appendEdge(b, corner[1], n), ']')
	}
	return append(b, "]]}"...)
}
