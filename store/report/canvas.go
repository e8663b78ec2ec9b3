package report

import (
	"bytes"
	"fmt"
	"html/template"
	"image/color"
	"io"
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"deepward/advisor/graph"
)

// chart is one picture: a size in points, how to draw it, and what it shows in words
// for those who do not see it.
type chart struct {
	width, height vg.Length
	title, words  string
	draw          func(draw.Canvas)
}

// The ink of all charts. Nothing is told by colour alone: every shape has its own
// outline, hatching or form, and its name beside it. Blue and orange are Okabe and
// Ito's, safe for the colour-blind, and print apart in grey.
var (
	ink    = color.NRGBA{17, 17, 17, 255}
	soft   = color.NRGBA{90, 90, 90, 255}
	pale   = color.NRGBA{225, 225, 225, 255}
	blue   = color.NRGBA{0, 92, 152, 255}
	orange = color.NRGBA{236, 180, 80, 255}
	paper  = color.NRGBA{255, 255, 255, 255}
)

// svg draws the chart to stand in a page, with its title and words inside.
func (c chart) svg() (template.HTML, error) {
	canvas := vgsvg.New(c.width, c.height)
	c.draw(draw.New(canvas))
	var b bytes.Buffer
	if _, err := canvas.WriteTo(&b); err != nil {
		return "", fmt.Errorf("drawing %q: %w", c.title, err)
	}
	_, drawing, found := strings.Cut(b.String(), "<svg ")
	_, drawing, closed := strings.Cut(drawing, ">")
	if !found || !closed {
		return "", fmt.Errorf("drawing %q: no picture came out", c.title)
	}
	// Where the fonts of the drawing are missing, others of the same widths serve.
	drawing = strings.ReplaceAll(drawing, "font-family:Liberation Sans;", "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;")
	return template.HTML(fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" role="img"><title>%s</title><desc>%s</desc>%s`,
		float64(c.width), float64(c.height), template.HTMLEscapeString(c.title), template.HTMLEscapeString(c.words), drawing)), nil
}

// png draws the chart for a phone, at three pixels to the point.
func (c chart) png(w io.Writer) error {
	canvas := vgimg.NewWith(vgimg.UseWH(c.width, c.height), vgimg.UseDPI(3*72))
	c.draw(draw.New(canvas))
	_, err := vgimg.PngCanvas{Canvas: canvas}.WriteTo(w)
	return err
}

// style is text of a size in points.
func style(size float64, bold bool, c color.Color) text.Style { return graph.Style(size, bold, c) }

// write puts text at a point; xAlign −1 ends there, −0.5 is centred, 0 begins there.
func write(c draw.Canvas, s text.Style, x, y vg.Length, xAlign float64, words string) {
	graph.Write(c, s, x, y, xAlign, words)
}

// box is a rectangle.
func box(x, y, width, height vg.Length) []vg.Point {
	return []vg.Point{{X: x, Y: y}, {X: x + width, Y: y}, {X: x + width, Y: y + height}, {X: x, Y: y + height}}
}

// fill is how a shape is told from others: by its colour, and by hatching or not.
type fill struct {
	color color.Color
	hatch bool
	words color.Color // of text on it
}

var (
	solid  = fill{blue, false, paper}
	hatch  = fill{orange, true, ink}
	empty  = fill{paper, false, ink}
	shaded = fill{pale, false, ink}
)

// paint fills a rectangle and draws round it.
func (f fill) paint(c draw.Canvas, x, y, width, height vg.Length) {
	corners := box(x, y, width, height)
	c.FillPolygon(f.color, corners)
	thin := draw.LineStyle{Color: ink, Width: vg.Points(0.7)}
	if f.hatch {
		const step = 5
		for at := -height; at < width; at += step {
			c.StrokeLines(draw.LineStyle{Color: ink, Width: vg.Points(0.4)}, slanted(x, y, at, width, height))
		}
	}
	c.StrokeLines(thin, append(corners, corners[0]))
}

// slanted is one stroke of the hatching, cut off at the edges of the rectangle.
func slanted(x, y, at, width, height vg.Length) []vg.Point {
	from, to := max(0, at), min(width, at+height)
	return []vg.Point{{X: x + from, Y: y + from - at}, {X: x + to, Y: y + to - at}}
}

// The width of every chart, that of a phone upright, and the height of its heading, in
// points.
const (
	chartWidth = 330
	headPt     = 28
)

// head clears the paper and writes the heading.
func head(c draw.Canvas, heading string, height vg.Length) {
	c.FillPolygon(paper, box(0, 0, chartWidth, height))
	write(c, fitting(style(14, true, ink), chartWidth-16, heading), 8, height-19, 0, heading)
}

// fitting is that style, or a smaller one in which the text is no wider.
func fitting(s text.Style, width vg.Length, words string) text.Style {
	for s.Width(words) > width && s.Font.Size > 7 {
		s.Font.Size -= 0.5
	}
	return s
}

// inLines breaks text between words into lines no wider; none for no text.
func inLines(s text.Style, width vg.Length, words string) (lines []string) {
	line := ""
	for word := range strings.FieldsSeq(words) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && s.Width(longer) > width {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
