package report

import (
	"fmt"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"deepward/store/season"
)

// shoal is a hundred fish that were sent down, by what would have become of them.
type shoal struct {
	voice
	anyway, saved, died int
	low, high           float64 // of saved
}

func shoalOf(a season.Alive) shoal {
	s := shoal{low: 100 * a.GainLow, high: 100 * a.GainHigh}
	s.anyway, s.saved, s.died = a.OfHundred()
	return s
}

func (s shoal) words() string {
	return s.say("Of every 100 fish like these sent down, %d would have lived anyway, %d live because they were sent down (likely %.0f to %.0f), and %d die all the same.",
		s.anyway, s.saved, s.low, s.high, s.died)
}

// The picture of a shoal, in points.
const (
	shoalHeight = 338
	fishAcross  = 10
	fishStep    = 32
	fishRow     = 20
)

// chart draws the hundred fish in ten rows, each kind with its own form.
func (s shoal) chart(l Labels) chart {
	return chart{chartWidth, shoalHeight, l.Hundred, s.words(), func(c draw.Canvas) {
		head(c, l.Hundred, shoalHeight)
		for i := range 100 {
			x := vg.Length(8 + fishStep*(i%fishAcross))
			y := vg.Length(shoalHeight - 46 - fishRow*(i/fishAcross))
			s.drawFish(c, i, x, y)
		}
		s.key(c, l)
		small := style(9.5, false, soft)
		for i, line := range inLines(small, chartWidth-16, l.Reckoned) {
			write(c, small, 8, vg.Length(17-12*i), 0, line)
		}
	}}
}

// drawFish draws the i-th: the saved first, so that they catch the eye.
func (s shoal) drawFish(c draw.Canvas, i int, x, y vg.Length) {
	switch {
	case i < s.saved:
		fishShape(c, x, y, true)
	case i < s.saved+s.anyway:
		fishShape(c, x, y, false)
	default:
		cross(c, x, y)
	}
}

func (s shoal) key(c draw.Canvas, l Labels) {
	lines := []struct {
		n     int
		words string
		shape func(draw.Canvas, vg.Length, vg.Length)
	}{
		{s.saved, fmt.Sprintf(l.Saved, s.low, s.high), func(c draw.Canvas, x, y vg.Length) { fishShape(c, x, y, true) }},
		{s.anyway, l.Anyway, func(c draw.Canvas, x, y vg.Length) { fishShape(c, x, y, false) }},
		{s.died, l.Died, cross},
	}
	for i, k := range lines {
		y := vg.Length(79 - 20*i)
		k.shape(c, 8, y-3)
		write(c, style(13, true, ink), 58, y-1, -1, fmt.Sprint(k.n))
		write(c, fitting(style(12, false, ink), chartWidth-74, k.words), 66, y-1, 0, k.words)
	}
}

// fishShape is a fish looking left, some 17 points long, filled or as an outline.
func fishShape(c draw.Canvas, x, y vg.Length, filled bool) {
	var p vg.Path
	const half = 4.6
	p.Move(vg.Point{X: x, Y: y + 5})
	p.CubeTo(vg.Point{X: x + 3, Y: y + 5 + half*1.3}, vg.Point{X: x + 9, Y: y + 5 + half}, vg.Point{X: x + 12.5, Y: y + 5.8})
	p.Line(vg.Point{X: x + 17, Y: y + 5 + half})
	p.Line(vg.Point{X: x + 17, Y: y + 5 - half})
	p.Line(vg.Point{X: x + 12.5, Y: y + 4.2})
	p.CubeTo(vg.Point{X: x + 9, Y: y + 5 - half}, vg.Point{X: x + 3, Y: y + 5 - half*1.3}, vg.Point{X: x, Y: y + 5})
	p.Close()
	if filled {
		c.SetColor(blue)
		c.Fill(p)
	}
	c.SetColor(blue)
	c.SetLineWidth(vg.Points(1))
	c.SetLineDash(nil, 0)
	c.Stroke(p)
}

// cross stands for a fish that dies.
func cross(c draw.Canvas, x, y vg.Length) {
	line := draw.LineStyle{Color: soft, Width: vg.Points(1.3)}
	c.StrokeLines(line, []vg.Point{{X: x + 4, Y: y + 1}, {X: x + 12, Y: y + 9}})
	c.StrokeLines(line, []vg.Point{{X: x + 4, Y: y + 9}, {X: x + 12, Y: y + 1}})
}
