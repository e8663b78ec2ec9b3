package report

import (
	"image/color"
	"io"
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The picture of the sheet in points: its width, its margin, and the gap between columns.
const (
	pictureWidth = 430
	pictureEdge  = 14
	columnGap    = 12
)

var alarm = color.NRGBA{176, 0, 32, 255}

// SheetPNG draws the sheet of WriteSheet for a phone, one box under the other, at three
// pixels to the point.
func (r *Report) SheetPNG(w io.Writer, before *Report) error {
	return r.sheet(before).picture(r.voice).png(w)
}

// strip is one band of the picture, drawn from its upper edge down.
type strip struct {
	height vg.Length
	draw   func(c draw.Canvas, top vg.Length)
}

func (s sheet) picture(v voice) chart {
	strips := s.strips(v)
	height := vg.Length(2 * pictureEdge)
	for _, b := range strips {
		height += b.height
	}
	return chart{pictureWidth, height, s.Title, s.Headline, func(c draw.Canvas) {
		c.FillPolygon(paper, box(0, 0, pictureWidth, height))
		top := height - pictureEdge
		for _, b := range strips {
			b.draw(c, top)
			top -= b.height
		}
	}}
}

// strips are the strips of the sheet from above.
func (s sheet) strips(v voice) (list []strip) {
	title, meta := s.Club, s.Title
	if title == "" {
		title, meta = s.Title, ""
	}
	list = append(list, paragraph(style(20, true, ink), title)...)
	list = append(list, paragraph(style(10, false, soft), joined(" · ", meta, s.Span))...)
	list = append(list, paragraph(style(11, true, alarm), s.Invented)...)
	list = append(list, space(6))
	list = append(list, paragraph(style(14, true, ink), s.Headline)...)
	list = append(list, paragraph(style(10, false, ink), s.Hedge)...)
	for _, b := range s.Boxes {
		list = append(list, space(10))
		list = append(list, paragraph(style(12, true, ink), b.Title)...)
		list = append(list, rule())
		if len(b.Cells) > 0 {
			list = append(list, mapStrip(b))
			list = append(list, paragraph(style(9, false, soft), v.ends(mapped(b.Cells)))...)
		}
		list = append(list, tableStrips(b.Rows)...)
		list = append(list, paragraph(style(9, false, soft), b.Small)...)
	}
	return list
}

// joined joins what is not empty.
func joined(by string, parts ...string) string {
	var list []string
	for _, p := range parts {
		if p != "" {
			list = append(list, p)
		}
	}
	return strings.Join(list, by)
}

func space(height vg.Length) strip { return strip{height, func(draw.Canvas, vg.Length) {}} }

func rule() strip {
	return strip{5, func(c draw.Canvas, top vg.Length) {
		c.StrokeLines(draw.LineStyle{Color: ink, Width: vg.Points(1)}, []vg.Point{{X: pictureEdge, Y: top - 1}, {X: pictureWidth - pictureEdge, Y: top - 1}})
	}}
}

// leading is the height of a line as a multiple of its letters, below how far from its
// upper edge it stands.
const leading, below = 1.35, 1.0

// paragraph is text in lines as wide as the picture; none for no text.
func paragraph(s text.Style, words string) []strip {
	return linesOf(s, pictureWidth-2*pictureEdge, words)
}

// linesOf is text in lines of a width; none for no text.
func linesOf(s text.Style, width vg.Length, words string) (list []strip) {
	for _, line := range inLines(s, width, words) {
		list = append(list, strip{leading * s.Font.Size, func(c draw.Canvas, top vg.Length) {
			write(c, s, pictureEdge, top-below*s.Font.Size, 0, line)
		}})
	}
	return list
}

// tableStrips are rows of a name and figures, the figures one under the other on the right.
func tableStrips(rows [][]string) (list []strip) {
	s := style(10, false, ink)
	widths := map[int]vg.Length{}
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], s.Width(cell))
		}
	}
	for _, row := range rows {
		right := vg.Length(pictureWidth - pictureEdge)
		ends := make([]vg.Length, len(row))
		for i := len(row) - 1; i > 0; i-- {
			ends[i] = right
			right -= widths[i] + columnGap
		}
		name := linesOf(s, right-pictureEdge, row[0])
		if len(name) == 0 { // figures need a line to stand on
			name = []strip{space(leading * s.Font.Size)}
		}
		last := &name[len(name)-1]
		words := last.draw
		last.draw = func(c draw.Canvas, top vg.Length) {
			words(c, top)
			for i := 1; i < len(row); i++ {
				write(c, s, ends[i], top-below*s.Font.Size, -1, row[i])
			}
		}
		list = append(list, name...)
	}
	return list
}

// mapStrip is the map of a box.
func mapStrip(b sheetBox) strip {
	m := mapped(b.Cells)
	width, height := m.size()
	return strip{vg.Length(height) + 6, func(c draw.Canvas, top vg.Length) {
		c.FillPolygon(color.NRGBA{238, 244, 249, 255}, box(pictureEdge, top-vg.Length(height), vg.Length(width), vg.Length(height)))
		for _, cell := range b.Cells {
			x, y, dark := m.at(cell)
			shade := color.NRGBA{10, 95, 180, uint8(255 * dark)}
			c.FillPolygon(shade, box(pictureEdge+vg.Length(x), top-vg.Length(y+m.square), vg.Length(m.square*m.wide), vg.Length(m.square)))
		}
	}}
}
