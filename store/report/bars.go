package report

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"deepward/advisor/graph"
	"deepward/store/season"
)

// bar is one column: a share, and what it is of.
type bar struct {
	name  string
	share season.Share
}

// fewFish is how few make a share that means little; common practice, no source.
const fewFish = 10

// barsHeight is the height of the picture of columns, in points.
const barsHeight = 200

// shareBars draws shares as columns with their figures on them; columns of few fish
// are pale.
func (v voice) shareBars(heading string, bars []bar) chart {
	var words strings.Builder
	for _, b := range bars {
		words.WriteString(v.say("%s: %s of %s.", b.name, v.percent(b.share), v.fish(b.share.N)) + " ")
	}
	return chart{chartWidth, barsHeight, heading, words.String(), func(c draw.Canvas) {
		head(c, heading, barsHeight)
		v.drawColumns(c, graph.Axes{
			XMin: -0.5, XMax: float64(max(len(bars), 4)) - 0.5, YMin: -24, YMax: 112,
			Left: 5, Right: chartWidth, Bottom: 4, Top: barsHeight - headPt,
		}, bars)
	}}
}

// drawColumns draws one column for each bar, per cent upwards.
func (v voice) drawColumns(c draw.Canvas, a graph.Axes, bars []bar) {
	size := min(11, 160/float64(len(bars)))
	wide := a.X(1) - a.X(0) - 3
	for i, b := range bars {
		share, middle := 100*b.share.P(), a.X(float64(i))
		left, right := a.X(float64(i)-0.38), a.X(float64(i)+0.38)
		f := solid
		if b.share.N < fewFish {
			f = shaded
		}
		if b.share.N > 0 {
			f.paint(c, left, a.Y(0), right-left, a.Y(share)-a.Y(0))
			write(c, fitting(style(size+1, true, ink), wide, v.percent(b.share)), middle, a.Y(share)+3, -0.5, v.percent(b.share))
		}
		write(c, fitting(style(size, false, ink), wide, b.name), middle, a.Y(0)-13, -0.5, b.name)
		of := v.say("of %s", v.count(b.share.N))
		write(c, fitting(style(size-1, false, soft), wide, of), middle, a.Y(0)-25, -0.5, of)
	}
	c.StrokeLines(draw.LineStyle{Color: ink, Width: vg.Points(1)}, []vg.Point{{X: a.Left, Y: a.Y(0)}, {X: a.Right, Y: a.Y(0)}})
}

// part is one piece of a bar that is cut in pieces.
type part struct {
	name string
	fish int
	fill fill
}

// cut is a bar that shows of what so many fish are made up.
type cut struct {
	name  string
	parts []part
}

func (k cut) fish() (n int) {
	for _, p := range k.parts {
		n += p.fish
	}
	return n
}

// The picture of cut bars, in points.
const (
	cutRow  = 26
	cutHead = 50
	cutName = 88
	cutOf   = 62
)

// cutBars draws one bar for each row, all of one length, cut by share.
func (v voice) cutBars(heading string, rows []cut) chart {
	height := vg.Length(cutHead + cutRow*len(rows) + 8)
	var words strings.Builder
	for _, row := range rows {
		fmt.Fprintf(&words, "%s, %s: ", row.name, v.fish(row.fish()))
		for i, p := range row.parts {
			fmt.Fprintf(&words, "%s%s %s", []string{"", ", "}[min(i, 1)], p.name, v.percent(season.Share{X: p.fish, N: row.fish()}))
		}
		words.WriteString(". ")
	}
	return chart{chartWidth, height, heading, words.String(), func(c draw.Canvas) {
		head(c, heading, height)
		if len(rows) > 0 {
			cutKey(c, rows[0].parts, height-38)
		}
		for i, row := range rows {
			v.drawCut(c, row, height-cutHead-vg.Length(cutRow*(i+1))+6)
		}
	}}
}

// cutKey names the pieces above the bars.
func cutKey(c draw.Canvas, parts []part, y vg.Length) {
	const mark = 34 // the piece of colour and what stands around it
	names := ""
	for _, p := range parts {
		names += p.name
	}
	s := fitting(style(10.5, false, ink), chartWidth-8-mark*vg.Length(len(parts)), names)
	x := vg.Length(8)
	for _, p := range parts {
		p.fill.paint(c, x, y, 14, 9)
		write(c, s, x+18, y+1, 0, p.name)
		x += mark + s.Width(p.name)
	}
}

func (v voice) drawCut(c draw.Canvas, k cut, y vg.Length) {
	const height, width = cutRow - 7, chartWidth - cutName - cutOf
	write(c, fitting(style(11, false, ink), cutName-8, k.name), cutName-6, y+5, -1, k.name)
	x, all := vg.Length(cutName), k.fish()
	for _, p := range k.parts {
		if p.fish == 0 {
			continue
		}
		share := season.Share{X: p.fish, N: all}
		w := vg.Length(width * share.P())
		p.fill.paint(c, x, y, w, height)
		if label := v.percent(share); w > 30 {
			if p.fill.hatch { // a clear ground for the figure
				c.FillPolygon(paper, box(x+w/2-14, y+3, 28, height-6))
			}
			write(c, style(10.5, true, p.fill.words), x+w/2, y+5.5, -0.5, label)
		}
		x += w
	}
	of := v.fish(all)
	write(c, fitting(style(10, false, soft), cutOf-8, of), chartWidth-cutOf+6, y+5.5, 0, of)
}

// whisker is a share with its range.
type whisker struct {
	name  string
	share season.Share
}

// whiskers draws shares as dots with their ranges, so many of a hundred.
func whiskers(rows []whisker, l Labels) chart {
	const row, foot = 42, 46
	height := vg.Length(headPt + row*len(rows) + foot)
	v := voiceOf(l.Language)
	words := v.say("Dots are shares, lines their likely ranges.") + " "
	most := 0.0
	var shares []float64
	for _, r := range rows {
		shares = append(shares, r.share.P())
	}
	of := v.ofHundred(shares...)
	for i, r := range rows {
		_, high := season.Wilson(r.share.X, r.share.N, 0.95)
		most = max(most, 100*high)
		words += v.say("%s: %s of 100, likely %s.", r.name, of[i], v.between(r.share)) + " "
	}
	return chart{chartWidth, height, l.Seen, words, func(c draw.Canvas) {
		head(c, l.Seen, height)
		a := graph.Axes{
			XMin: 0, XMax: most * 1.08, YMin: -0.6, YMax: float64(len(rows)) - 0.15,
			Left: 11, Right: chartWidth - 6, Bottom: 38, Top: height - headPt,
		}
		a.Below(c, v.hundredths(a.XMax), 10)
		write(c, fitting(style(10.5, false, soft), a.Right-a.Left, l.Axis), (a.Left+a.Right)/2, 4, -0.5, l.Axis)
		drawWhiskers(c, a, rows, of, l.Share)
	}}
}

// drawWhiskers draws one row for each share from the top; says has a place for its name
// and for the share, which is in of.
func drawWhiskers(c draw.Canvas, a graph.Axes, rows []whisker, of []string, says string) {
	line := draw.LineStyle{Color: blue, Width: vg.Points(2.5)}
	for i, r := range rows {
		at := a.Y(float64(len(rows) - 1 - i))
		low, high := season.Wilson(r.share.X, r.share.N, 0.95)
		c.StrokeLines(line, []vg.Point{{X: a.X(100 * low), Y: at}, {X: a.X(100 * high), Y: at}})
		for _, end := range []float64{low, high} {
			c.StrokeLines(line, []vg.Point{{X: a.X(100 * end), Y: at - 5}, {X: a.X(100 * end), Y: at + 5}})
		}
		share := a.X(100 * r.share.P())
		c.DrawGlyph(draw.GlyphStyle{Color: blue, Radius: vg.Points(5), Shape: draw.CircleGlyph{}}, vg.Point{X: share, Y: at})
		label := capital(fmt.Sprintf(says, r.name, of[i]))
		s := fitting(style(11.5, true, ink), a.Right-a.Left, label)
		left := min(max(share-s.Width(label)/2, a.Left), a.Right-s.Width(label))
		write(c, s, left, at+9, 0, label)
	}
}

// hundredths marks an axis of so many of a hundred at round numbers, ten at most.
func (v voice) hundredths(high float64) (marks []graph.Mark) {
	for _, step := range []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20} {
		if high/step > 10 {
			continue
		}
		for i := 0; float64(i)*step <= high; i++ {
			x := float64(i) * step
			marks = append(marks, graph.Mark{Value: x, Label: v.decimal(fmt.Sprintf("%.4g", x))})
		}
		return marks
	}
	return nil
}
