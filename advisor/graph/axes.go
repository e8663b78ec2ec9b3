package graph

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Axes take what is measured to its place on the paper.
type Axes struct {
	// XMin to YMax are the ends of what is measured.
	XMin, XMax, YMin, YMax float64
	// Left to Top are the edges of the drawing on the paper, in points.
	Left, Right, Bottom, Top vg.Length
}

// X is where a value stands from left to right, in points.
func (a Axes) X(v float64) vg.Length {
	return a.Left + (a.Right-a.Left)*vg.Length((v-a.XMin)/(a.XMax-a.XMin))
}

// Y is where a value stands from below, in points.
func (a Axes) Y(v float64) vg.Length {
	return a.Bottom + (a.Top-a.Bottom)*vg.Length((v-a.YMin)/(a.YMax-a.YMin))
}

// Point is where a pair of values stands.
func (a Axes) Point(x, y float64) vg.Point { return vg.Point{X: a.X(x), Y: a.Y(y)} }

// Mark is a round number on an axis.
type Mark struct {
	Value float64
	Label string
}

// The ink of axes: lines, and the paler ones that go on through the drawing.
var (
	ink  = color.NRGBA{17, 17, 17, 255}
	pale = color.NRGBA{225, 225, 225, 255}
)

// How far an axis stands from the drawing, and how long its ticks are, in points.
const (
	axisGap  = 5
	axisTick = 8
)

func line(c draw.Canvas, colour color.Color, from, to vg.Point) {
	c.StrokeLines(draw.LineStyle{Color: colour, Width: vg.Points(0.5)}, []vg.Point{from, to})
}

// Below draws the axis under the drawing, with its marks in a size in points and a pale
// line up from each. It takes some 13 points and the size.
func (a Axes) Below(c draw.Canvas, marks []Mark, size float64) {
	y := a.Bottom - axisGap
	line(c, ink, vg.Point{X: a.Left, Y: y}, vg.Point{X: a.Right, Y: y})
	for _, m := range marks {
		x := a.X(m.Value)
		line(c, ink, vg.Point{X: x, Y: y}, vg.Point{X: x, Y: y - axisTick})
		line(c, pale, vg.Point{X: x, Y: a.Bottom}, vg.Point{X: x, Y: a.Top})
		Write(c, Style(size, false, ink), x, y-axisTick-vg.Length(size), -0.5, m.Label)
	}
}

// Beside draws the axis left of the drawing in the same way.
func (a Axes) Beside(c draw.Canvas, marks []Mark, size float64) {
	x := a.Left - axisGap
	line(c, ink, vg.Point{X: x, Y: a.Bottom}, vg.Point{X: x, Y: a.Top})
	for _, m := range marks {
		y := a.Y(m.Value)
		line(c, ink, vg.Point{X: x, Y: y}, vg.Point{X: x - axisTick, Y: y})
		line(c, pale, vg.Point{X: a.Left, Y: y}, vg.Point{X: a.Right, Y: y})
		Write(c, Style(size, false, ink), x-axisTick-2, y-vg.Length(size)/3, -1, m.Label)
	}
}
