// Package evidenceplot draws what stands behind the odds of one species: survival
// against depth, by way of release, with its range and the published findings. It
// is apart from package advisor so that the core needs no plotting library.
package evidenceplot

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"deepward/advisor"
	"deepward/advisor/graph"
)

// The page is a phone's width: 360 points of 1/72 inch are 720 pixels at 144 to
// the inch.
const (
	widthPt  = 360
	heightPt = 640
	pixels   = 144
)

// Draw writes the picture of a species; nil stands for the general fish. The
// format is "png" (720 × 1280 pixels) or "svg".
func Draw(w io.Writer, s *advisor.Species, format string) error {
	if s == nil {
		s = advisor.General()
	}
	switch format {
	case "png":
		c := vgimg.NewWith(vgimg.UseWH(widthPt, heightPt), vgimg.UseDPI(pixels))
		page(draw.New(c), s)
		_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
		return err
	case "svg":
		c := vgsvg.New(widthPt, heightPt)
		page(draw.New(c), s)
		_, err := c.WriteTo(w)
		return err
	}
	return fmt.Errorf("cannot draw %q: name the file .png or .svg", format)
}

// way is one way of release with its look: told apart by place, dash and marker
// first, by colour (Okabe and Ito's, safe for the colour-blind) last.
type way struct {
	title  string
	method advisor.Method
	of     func(advisor.Survival) advisor.Estimate
	color  color.NRGBA
	dashes []vg.Length
	marker draw.GlyphDrawer // in the field
	hollow draw.GlyphDrawer // in a cage or chamber, or only diving watched
}

func ways() [3]way {
	return [3]way{
		{"Sent down on a release weight", advisor.Recompressed, func(s advisor.Survival) advisor.Estimate { return s.Recompressed },
			color.NRGBA{0, 114, 178, 255}, nil, draw.BoxGlyph{}, draw.SquareGlyph{}},
		{"Vented, then let go", advisor.Vented, func(s advisor.Survival) advisor.Estimate { return s.Vented },
			color.NRGBA{90, 90, 90, 255}, []vg.Length{2, 3}, draw.PyramidGlyph{}, draw.TriangleGlyph{}},
		{"Let go at the top", advisor.Surface, func(s advisor.Survival) advisor.Estimate { return s.Surface },
			color.NRGBA{213, 94, 0, 255}, []vg.Length{8, 4}, draw.CircleGlyph{}, draw.RingGlyph{}},
	}
}

// The heights of the page, from the top: a title, three panels, a note.
const (
	titlePt = 46
	notePt  = 78
	gapPt   = 8
)

func page(c draw.Canvas, s *advisor.Species) {
	c.SetColor(color.White)
	c.Fill(c.Rectangle.Path())
	ev := advisor.EvidenceFor(s)
	deepest := deepestM(ev)
	titles(c, ev)
	if !swells(ev) {
		noCurve(c)
		return
	}
	panel := (c.Max.Y - titlePt - notePt) / 3
	for i, w := range ways() {
		top := c.Max.Y - titlePt - vg.Length(i)*panel
		area := draw.Canvas{Canvas: c.Canvas, Rectangle: vg.Rectangle{
			Min: vg.Point{X: 4, Y: top - panel}, Max: vg.Point{X: c.Max.X - 10, Y: top - gapPt}}}
		drawPanel(area, ev, w, deepest, i == 2)
	}
	note(c, ev)
}

// deepestM is how far the depth axis goes: past what was studied, in tens.
func deepestM(ev advisor.Evidence) float64 {
	return min(200, 20*math.Ceil(max(80, ev.SeenMaxM)/20))
}

func titles(c draw.Canvas, ev advisor.Evidence) {
	name := ev.Species.EnglishName
	c.FillText(style(15, true), vg.Point{X: 10, Y: c.Max.Y - 20}, name+": alive after release")
	c.FillText(style(10, false), vg.Point{X: 10, Y: c.Max.Y - 35}, basisText(ev))
}

// basisText says on what the curves rest.
func basisText(ev advisor.Evidence) string {
	b := ev.Basis
	if !swells(ev) {
		return "No gas is trapped in it."
	}
	return fmt.Sprintf("%d studies, %d fish and %d seen to get down or not: %s", b.Studies, b.Fish, b.Dives, levelText(b.Level))
}

// swells is false for a fish without trapped gas: the studies are of other fish, and no
// curve through their points is one of its own.
func swells(ev advisor.Evidence) bool { return ev.Species.Bladder == advisor.BladderClosed }

// noCurve is the page of a fish without trapped gas.
func noCurve(c draw.Canvas) {
	for i, line := range []string{
		"Depth does not swell it, and a weight gains it nothing:",
		"let it go at the top. Hook, air and handling decide.",
		"The studies of depth and release are of fish with a",
		"closed gas bladder; no curve of theirs is drawn here.",
	} {
		c.FillText(style(12, false), vg.Point{X: 10, Y: c.Max.Y - titlePt - 40 - vg.Length(18*i)}, line)
	}
}

func levelText(level string) string {
	switch level {
	case advisor.LevelSpecies:
		return "of this species"
	case advisor.LevelGroup:
		return "of its kind, none of this species"
	}
	return "of other bottom fish"
}

func note(c draw.Canvas, ev advisor.Evidence) {
	lines := []string{
		"Line: the odds. Band: where 8 in 10 studies of such fish would fall.",
		"Marks: published results, larger with more fish. Filled: in the sea.",
		"Hollow: in a cage or tank, where no predator comes, or only diving",
		"was watched, so more may die than the mark shows.",
	}
	if ev.SeenMaxM < deepestM(ev) {
		lines = append(lines, fmt.Sprintf("Deeper than %.0f m nothing was studied.", ev.SeenMaxM))
	}
	for i, line := range lines {
		c.FillText(style(9.5, false), vg.Point{X: 10, Y: vg.Length(notePt - 18 - 13*i)}, line)
	}
}

func style(size float64, bold bool) draw.TextStyle { return graph.Style(size, bold, color.Black) }

// The edges of a panel around its drawing, in points: its title above, figures and
// words beside and below.
const (
	panelTitle = 18
	panelLeft  = 48
	panelFoot  = 28
	lastFoot   = 42
)

// drawPanel draws one way of release.
func drawPanel(c draw.Canvas, ev advisor.Evidence, w way, deepest float64, last bool) {
	a := graph.Axes{XMax: deepest, YMax: 10, Left: c.Min.X + panelLeft, Right: c.Max.X, Bottom: c.Min.Y + panelFoot, Top: c.Max.Y - panelTitle}
	middle := (a.Left + a.Right) / 2
	graph.Write(c, style(12, true), middle, c.Max.Y-14, -0.5, w.title)
	if last {
		a.Bottom = c.Min.Y + lastFoot
		graph.Write(c, style(11, false), middle, c.Min.Y+6, -0.5, "depth where it was hooked, metres")
	}
	upright := style(11, false)
	upright.Rotation = math.Pi / 2
	graph.Write(c, upright, c.Min.X+16, (a.Bottom+a.Top)/2, -0.5, "alive of 10")
	a.Below(c, marks(20, deepest), 11)
	a.Beside(c, marks(2, 10), 11)
	drawCurve(c, a, ev.Species, w)
	drawMarks(c, a, ev, w)
}

// marks are the multiples of a step up to the end of an axis.
func marks(step, end float64) (list []graph.Mark) {
	for v := 0.0; v <= end; v += step {
		list = append(list, graph.Mark{Value: v, Label: fmt.Sprintf("%.0f", v)})
	}
	return list
}

// drawCurve draws the odds and their band.
func drawCurve(c draw.Canvas, a graph.Axes, s *advisor.Species, w way) {
	var line, low, band []vg.Point
	for depth := 2.0; depth <= a.XMax; depth++ {
		e := w.of(advisor.EstimateSurvival(advisor.Case{Species: s, DepthM: depth}))
		line = append(line, a.Point(depth, 10*e.P))
		low = append(low, a.Point(depth, 10*e.Low))
		band = append(band, a.Point(depth, 10*e.High))
	}
	slices.Reverse(low)
	c.FillPolygon(color.NRGBA{w.color.R, w.color.G, w.color.B, 45}, append(band, low...))
	c.StrokeLines(draw.LineStyle{Color: w.color, Width: 2.2, Dashes: w.dashes}, line)
}

// drawMarks draws the findings of one way of release.
func drawMarks(c draw.Canvas, a graph.Axes, ev advisor.Evidence, w way) {
	for _, f := range ev.Findings {
		if f.Mortality == nil || wayOf(f) != w.method {
			continue
		}
		depth := math.Sqrt(max(f.Fit.DepthMinM, 1) * f.Fit.DepthMaxM)
		if depth > a.XMax {
			continue
		}
		glyph := w.marker
		if !f.Fit.Exposure.Field {
			glyph = w.hollow
		}
		c.DrawGlyph(draw.GlyphStyle{Color: w.color, Radius: radius(f.FishOrAssumed()), Shape: glyph}, a.Point(depth, 10*(1-f.Fit.Mortality)))
	}
}

// wayOf says in which panel a finding belongs, by what its fish went through.
func wayOf(f advisor.Finding) advisor.Method {
	switch e := f.Fit.Exposure; {
	case e.Vented:
		return advisor.Vented
	case e.Float == 0 && !f.Fit.Proxy:
		return advisor.Recompressed
	}
	return advisor.Surface
}

// radius grows with the number of fish: area in proportion, within bounds.
func radius(fish int) vg.Length {
	return vg.Length(min(max(0.55*math.Sqrt(float64(fish)), 2.5), 9))
}
