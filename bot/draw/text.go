package draw

import (
	"image"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
)

// align is where text stands in its box.
type align int

const (
	left align = iota
	centre
	right
)

// smallest is the least size that text shrinks to, in pixels.
const smallest = 18.0

// leading is the distance from line to line, as a share of the size.
const leading = 1.18

// capHeight is the height of capitals and figures, as a share of the size.
const capHeight = 0.72

// hand is how text is written.
type hand struct {
	size   float64
	strong bool
	colour tint
	align  align
}

// width is the width of a line of text in pixels.
func (h hand) width(text string) float64 {
	face := faceOf(h.strong, h.size)
	return face.Width(text).Points()
}

// lines breaks text into lines that are no wider than width, at spaces.
func (h hand) lines(text string, width float64) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		line := ""
		for word := range strings.FieldsFuncSeq(paragraph, isBreak) {
			longer := strings.TrimSpace(line + " " + word)
			if line != "" && h.width(longer) > width {
				lines, line = append(lines, line), word
				continue
			}
			line = longer
		}
		lines = append(lines, line)
	}
	return lines
}

// isBreak is true where a line may end: not at a no-break space, which French has
// before a colon.
func isBreak(r rune) bool { return r == ' ' || r == '\t' }

// fit breaks text into lines in the largest size, up to the hand's own, with which
// it stays inside width and height.
func (h hand) fit(text string, width, height float64) (hand, []string) {
	for ; ; h.size -= 2 {
		lines := h.lines(text, width)
		if h.size <= smallest || (h.holds(lines, width) && h.tall(len(lines)) <= height) {
			return h, h.balanced(text, width, lines)
		}
	}
}

// balanced makes lines of about the same length: it narrows the width as long as
// no line is added.
func (h hand) balanced(text string, width float64, lines []string) []string {
	for narrower := width * 0.95; narrower > width/2; narrower *= 0.95 {
		tried := h.lines(text, narrower)
		if len(tried) > len(lines) || !h.holds(tried, narrower) {
			break
		}
		lines = tried
	}
	return lines
}

func (h hand) holds(lines []string, width float64) bool {
	for _, line := range lines {
		if h.width(line) > width {
			return false
		}
	}
	return true
}

// tall is the height of so many lines, from the top of the capitals of the first
// to just under the last.
func (h hand) tall(lines int) float64 {
	return h.size * (leading*float64(lines-1) + 1)
}

// within is the hand in the largest size, up to its own, with which one line stays inside a
// width.
func (h hand) within(text string, width float64) hand {
	for h.size > smallest && h.width(text) > width {
		h.size--
	}
	return h
}

// write puts one line of text with its baseline at p.
func (s *sheet) write(p point, text string, h hand) {
	if text == "" {
		return
	}
	switch h.align {
	case centre:
		p.x -= h.width(text) / 2
	case right:
		p.x -= h.width(text)
	}
	face := faceOf(h.strong, h.size)
	if s.raster != nil {
		d := font.Drawer{Dst: s.raster, Src: image.NewUniform(h.colour), Face: face.FontFace(72), Dot: fixedAt(p)}
		d.DrawString(text)
		return
	}
	s.SetColor(h.colour)
	s.FillString(face, vg.Point{X: vg.Length(p.x), Y: vg.Length(s.h - p.y)}, text)
}

// fixedAt is a point in the 64ths of a pixel that fonts reckon in.
func fixedAt(p point) fixed.Point26_6 {
	return fixed.Point26_6{X: fixed.Int26_6(64 * p.x), Y: fixed.Int26_6(64 * p.y)}
}

// centred puts one line of text with the middle of its capitals at p.
func (s *sheet) centred(p point, text string, h hand) {
	h.align = centre
	s.write(p.add(at(0, h.size*capHeight/2)), text, h)
}

// block writes text into a box, shrunk to fit, in the middle of its height, and
// returns the height that it took.
func (s *sheet) block(x, y, w, h float64, text string, style hand) float64 {
	style, lines := style.fit(text, w, h)
	taken := style.tall(len(lines))
	s.writeLines(x, y+(h-taken)/2, w, lines, style)
	return taken
}

// paragraph writes text from the top of a box, shrunk to fit, and returns the
// height that it took.
func (s *sheet) paragraph(x, y, w, h float64, text string, style hand) float64 {
	style, lines := style.fit(text, w, h)
	s.writeLines(x, y, w, lines, style)
	return style.tall(len(lines))
}

func (s *sheet) writeLines(x, y, w float64, lines []string, style hand) {
	switch style.align {
	case centre:
		x += w / 2
	case right:
		x += w
	}
	for i, line := range lines {
		s.write(at(x, y+style.size*(0.86+leading*float64(i))), line, style)
	}
}
