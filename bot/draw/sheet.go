package draw

import (
	"bytes"
	"fmt"
	"html"
	"image"
	"image/png"
	"io"
	"strconv"

	"git.sr.ht/~sbinet/gg"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Format is the form in which a picture is written.
type Format string

// The formats of a picture.
const (
	PNG Format = "png"
	SVG Format = "svg"
)

// sheet is a white sheet of paper to draw on, measured in pixels from its top
// left corner.
type sheet struct {
	vg.Canvas
	w, h   float64
	labels Labels
	// raster is where the pixels are, nil for a drawing; text goes straight to it,
	// which is sharper and quicker than through the canvas.
	raster *image.RGBA
}

// picture draws something on a fresh sheet.
type picture struct {
	w, h float64
	// alt says in words what the picture shows.
	alt   string
	paint func(*sheet)
}

// write draws the picture in that format.
func (p picture) write(w io.Writer, l Labels, f Format) error {
	switch f {
	case PNG:
		return p.png(w, l)
	case SVG:
		_, err := w.Write(p.svg(l))
		return err
	default:
		return fmt.Errorf("draw: no format %q, use %s or %s", f, PNG, SVG)
	}
}

func (p picture) png(w io.Writer, l Labels) error {
	img := image.NewRGBA(image.Rect(0, 0, int(p.w), int(p.h)))
	ctx := gg.NewContextForRGBA(img)
	ctx.SetLineCapRound()
	ctx.SetLineJoinRound()
	ctx.InvertY()
	c := vgimg.NewWith(vgimg.UseImageWithContext(img, ctx), vgimg.UseDPI(72))
	p.paint(&sheet{Canvas: c, w: p.w, h: p.h, labels: l, raster: img})
	return png.Encode(w, paletted(img))
}

// svg writes the picture as an SVG element with a description for those who
// cannot see it. The head is our own: the lines end round, and the size is left
// to whoever shows it.
func (p picture) svg(l Labels) []byte {
	c := vgsvg.New(vg.Length(p.w), vg.Length(p.h))
	p.paint(&sheet{Canvas: c, w: p.w, h: p.h, labels: l})
	var all bytes.Buffer
	c.WriteTo(&all) // a buffer takes everything
	body := all.Bytes()
	body = body[bytes.Index(body, []byte("<g")):]
	alt := html.EscapeString(p.alt)
	head := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ` + pixels(p.w) + ` ` + pixels(p.h) +
		`" role="img" aria-label="` + alt + `" stroke-linecap="round" stroke-linejoin="round" style="background:#fff">` +
		"\n<title>" + alt + "</title>\n"
	return append([]byte(head), body...)
}

func pixels(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// fill colours the inside of an outline.
func (s *sheet) fill(o outline, c tint) {
	s.SetColor(c)
	s.Fill(o.path(s.h))
}

// stroke draws the outline with a line of that width.
func (s *sheet) stroke(o outline, c tint, width float64) {
	s.SetColor(c)
	s.SetLineWidth(vg.Length(width))
	s.Stroke(o.path(s.h))
}

// dashed draws the outline with dashes.
func (s *sheet) dashed(o outline, c tint, width float64) {
	s.SetLineDash([]vg.Length{vg.Length(3 * width), vg.Length(3 * width)}, 0)
	s.stroke(o, c, width)
	s.SetLineDash(nil, 0)
}

// shape fills an outline and draws its edge in ink.
func (s *sheet) shape(o outline, c tint, width float64) {
	s.fill(o, c)
	s.stroke(o, ink, width)
}
