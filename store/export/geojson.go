package export

import (
	"bufio"
	"encoding/json"
	"io"
	"math"
	"strconv"
)

// writeGeoJSON writes RFC 7946: one feature a report, its place the cell of the
// grid as a polygon, so that no false point is shown. A report without a place
// has no geometry. Coordinates have no more decimals than the grid allows.
func writeGeoJSON(w io.Writer, reports Reports, o *Options) error {
	out := bufio.NewWriterSize(w, 1<<16)
	out.WriteString(`{"type":"FeatureCollection","features":[`)
	first := true
	for r, err := range reports {
		if err != nil {
			return err
		}
		if !first {
			out.WriteByte(',')
		}
		first = false
		out.WriteString("\n" + `{"type":"Feature","id":` + strconv.FormatUint(r.Number, 10) + `,"geometry":`)
		if cell, ok := o.cellOf(r); ok {
			out.Write(polygon(cell))
		} else {
			out.WriteString("null")
		}
		out.WriteString(`,"properties":{`)
		sep := ""
		for _, c := range Columns() {
			value := c.append(nil, r, o)
			if len(value) == 0 {
				continue
			}
			out.WriteString(sep + strconv.Quote(c.Name) + ":")
			sep = ","
			out.Write(jsonValue(c.Kind, value))
		}
		if _, err := out.WriteString("}}"); err != nil {
			return err
		}
	}
	out.WriteString("\n]}\n")
	return out.Flush()
}

func jsonValue(kind string, value []byte) []byte {
	switch {
	case kind == "number":
		return value
	case kind == "yesno":
		return strconv.AppendBool(nil, string(value) == "yes")
	default:
		text, err := json.Marshal(string(value))
		if err != nil {
			return []byte(`""`)
		}
		return text
	}
}

// polygon is the ring of a cell, anticlockwise and closed. Cells never straddle
// the antimeridian: the grid begins there.
func polygon(c gridCell) []byte {
	half := c.size / 2
	west, east, south, north := c.lon-half, c.lon+half, c.lat-half, c.lat+half
	b := []byte(`{"type":"Polygon","coordinates":[[`)
	for i, p := range [][2]float64{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}} {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, '[')
		b = append(degrees(b, p[0], c.size), ',')
		b = append(degrees(b, p[1], c.size), ']')
	}
	return append(b, "]]}"...)
}

// degrees writes an edge of the grid with as many decimals as the grid has.
func degrees(b []byte, x, size float64) []byte {
	decimals := max(0, int(math.Ceil(-math.Log10(size)-1e-9)))
	scale := math.Pow(10, float64(decimals))
	x = math.Round(x*scale) / scale
	return strconv.AppendFloat(b, x+0, 'f', decimals, 64) // +0 makes -0 plain 0
}
