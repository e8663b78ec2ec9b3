package report

import (
	"fmt"
	"image/color"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"deepward/store/season"
)

// bar is one column: a share, and what it is of.
type bar struct {
	name  string
	share season.Share
}

// fewFish is how few make a share that means little; common practice, no source.
const fewFish = 10

// The picture of columns, in points.
const (
	barsWidth  = 430
	barsHeight = 200
)

// shareBars draws shares as columns with their figures on them; columns of few fish
// are pale.
func (v voice) shareBars(heading string, bars []bar) chart {
	var words strings.Builder
	for _, b := range bars {
		words.WriteString(v.say("%s: %s of %s.", b.name, v.percent(b.share), v.fish(b.share.N)) + " ")
	}
	return chart{barsWidth, barsHeight, heading, words.String(), func(c draw.Canvas) {
		head(c, heading, barsWidth, barsHeight)
		p := plot.New()
		p.BackgroundColor = nil
		p.HideAxes()
		p.Add(columns{v, bars})
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = -0.5, float64(max(len(bars), 4))-0.5, -24, 112
		p.Draw(draw.Crop(c, 0, 0, 0, -headPt))
	}}
}

// columns is a plotter: one column for each bar, per cent upwards.
type columns struct {
	voice
	bars []bar
}

// Plot draws the columns; it makes columns a plot.Plotter.
func (k columns) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	size := min(11, 160/float64(len(k.bars)))
	for i, b := range k.bars {
		share := 100 * b.share.P()
		left, right := x(float64(i)-0.38), x(float64(i)+0.38)
		f := solid
		if b.share.N < fewFish {
			f = shaded
		}
		if b.share.N > 0 {
			f.paint(c, left, y(0), right-left, y(share)-y(0))
			write(c, style(size+1, true, ink), x(float64(i)), y(share)+3, -0.5, k.percent(b.share))
		}
		write(c, style(size, false, ink), x(float64(i)), y(0)-13, -0.5, b.name)
		write(c, style(size-1.5, false, soft), x(float64(i)), y(0)-25, -0.5, k.say("of %s", k.count(b.share.N)))
	}
	c.StrokeLines(draw.LineStyle{Color: ink, Width: vg.Points(1)}, []vg.Point{{X: x(p.X.Min), Y: y(0)}, {X: x(p.X.Max), Y: y(0)}})
}

var _ plot.Plotter = columns{}

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
	cutsWidth = 430
	cutRow    = 26
	cutHead   = 50
	cutName   = 104
	cutOf     = 62
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
	return chart{cutsWidth, height, heading, words.String(), func(c draw.Canvas) {
		head(c, heading, cutsWidth, height)
		if len(rows) > 0 {
			cutKey(c, rows[0].parts, height-38)
		}
		for i, row := range rows {
			v.drawCut(c, row, height-cutHead-vg.Length(cutRow*(i+1))+6)
		}
	}}
}

// fitting is a style of that size, or a smaller one in which the text is no wider.
func fitting(size float64, colour color.Color, width vg.Length, words string) text.Style {
	s := style(size, false, colour)
	for s.Width(words) > width && size > 7 {
		size -= 0.5
		s = style(size, false, colour)
	}
	return s
}

// cutKey names the pieces above the bars.
func cutKey(c draw.Canvas, parts []part, y vg.Length) {
	const mark = 34 // the piece of colour and what stands around it
	names := ""
	for _, p := range parts {
		names += p.name
	}
	s := fitting(10.5, ink, cutsWidth-cutName-mark*vg.Length(len(parts)), names)
	x := vg.Length(cutName)
	for _, p := range parts {
		p.fill.paint(c, x, y, 14, 9)
		write(c, s, x+18, y+1, 0, p.name)
		x += mark + s.Width(p.name)
	}
}

func (v voice) drawCut(c draw.Canvas, k cut, y vg.Length) {
	const height, width = cutRow - 7, cutsWidth - cutName - cutOf
	write(c, fitting(11, ink, cutName-8, k.name), cutName-6, y+5, -1, k.name)
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
	write(c, fitting(10, soft, cutOf-8, of), cutsWidth-cutOf+6, y+5.5, 0, of)
}

// whisker is a share with its range.
type whisker struct {
	name  string
	share season.Share
}

// whiskers draws shares as dots with their ranges, so many of a hundred.
func whiskers(rows []whisker, l Labels) chart {
	const width, row, foot = 430, 42, 46
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
	return chart{width, height, l.Seen, words, func(c draw.Canvas) {
		head(c, l.Seen, width, height)
		p := plot.New()
		p.BackgroundColor = nil
		p.HideY()
		p.X.Label.Text = l.Axis
		p.X.Label.TextStyle.Font = style(10.5, false, soft).Font
		p.X.Tick.Label.Font = style(10, false, ink).Font
		p.X.Tick.Marker = plot.TickerFunc(v.hundredths)
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, most*1.08, -0.6, float64(len(rows))-0.15
		grid := plotter.NewGrid()
		grid.Horizontal.Width = 0
		grid.Vertical.Color = pale
		p.Add(grid, dots{rows, of, l.Share})
		p.Draw(draw.Crop(c, 6, -6, 2, -headPt))
	}}
}

// dots is a plotter: one row for each share.
type dots struct {
	rows []whisker
	of   []string // shares of a hundred
	says string   // with a place for the name and the share
}

// Plot draws the rows from the top; it makes dots a plot.Plotter.
func (d dots) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for i, r := range d.rows {
		at := y(float64(len(d.rows) - 1 - i))
		low, high := season.Wilson(r.share.X, r.share.N, 0.95)
		line := draw.LineStyle{Color: blue, Width: vg.Points(2.5)}
		c.StrokeLines(line, []vg.Point{{X: x(100 * low), Y: at}, {X: x(100 * high), Y: at}})
		for _, end := range []float64{low, high} {
			c.StrokeLines(line, []vg.Point{{X: x(100 * end), Y: at - 5}, {X: x(100 * end), Y: at + 5}})
		}
		c.DrawGlyph(draw.GlyphStyle{Color: blue, Radius: vg.Points(5), Shape: draw.CircleGlyph{}}, vg.Point{X: x(100 * r.share.P()), Y: at})
		label := capital(fmt.Sprintf(d.says, r.name, d.of[i]))
		s := style(11.5, true, ink)
		left := min(max(x(100*r.share.P())-s.Width(label)/2, c.Min.X), c.Max.X-s.Width(label))
		write(c, s, left, at+9, 0, label)
	}
}

var _ plot.Plotter = dots{}

// hundredths marks an axis of so many of a hundred at round numbers, ten at most.
func (v voice) hundredths(low, high float64) (marks []plot.Tick) {
	for _, step := range []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20} {
		if (high-low)/step > 10 {
			continue
		}
		for i := 0; float64(i)*step <= high; i++ {
			x := float64(i) * step
			marks = append(marks, plot.Tick{Value: x, Label: v.decimal(fmt.Sprintf("%.4g", x))})
		}
		return marks
	}
	return nil
}
