package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// point is a place on a sheet in pixels, y down.
type point struct{ x, y float64 }

func (p point) add(q point) point     { return point{p.x + q.x, p.y + q.y} }
func (p point) sub(q point) point     { return point{p.x - q.x, p.y - q.y} }
func (p point) times(k float64) point { return point{p.x * k, p.y * k} }
func at(x, y float64) point           { return point{x, y} }

// step is one piece of an outline: a move (no control points and pen up), a
// straight line or a cubic curve to a point, or a return to the start.
type step struct {
	kind byte // M, L, C, Z
	ctrl [2]point
	to   point
}

// outline is a figure of lines and curves, in pixels, y down.
type outline []step

// parseOutline reads path data with absolute commands: M, L, C, Z as in SVG, and
// R, a smooth curve through the points that follow (Catmull-Rom). An R that ends
// where it began closes smoothly.
func parseOutline(data string) (outline, error) {
	var o outline
	for _, part := range splitCommands(data) {
		points, err := parsePoints(part[1:])
		if err != nil {
			return nil, fmt.Errorf("path %q: %w", part, err)
		}
		if o, err = o.draw(part[0], points); err != nil {
			return nil, err
		}
	}
	return o, nil
}

func splitCommands(data string) []string {
	var parts []string
	for i, start := 0, 0; i <= len(data); i++ {
		if i == len(data) || (i > start && strings.ContainsRune("MLCRZ", rune(data[i]))) {
			if part := strings.TrimSpace(data[start:i]); part != "" {
				parts = append(parts, part)
			}
			start = i
		}
	}
	return parts
}

func parsePoints(text string) ([]point, error) {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == '\n' || r == '\t' })
	if len(words)%2 != 0 {
		return nil, fmt.Errorf("%d figures make no pairs", len(words))
	}
	points := make([]point, len(words)/2)
	for i := range points {
		x, errX := strconv.ParseFloat(words[2*i], 64)
		y, errY := strconv.ParseFloat(words[2*i+1], 64)
		if errX != nil || errY != nil {
			return nil, fmt.Errorf("%s %s is no point", words[2*i], words[2*i+1])
		}
		points[i] = point{x, y}
	}
	return points, nil
}

func (o outline) draw(command byte, points []point) (outline, error) {
	switch command {
	case 'M':
		for _, p := range points {
			o = append(o, step{kind: 'M', to: p})
		}
	case 'L':
		for _, p := range points {
			o = append(o, step{kind: 'L', to: p})
		}
	case 'C':
		if len(points)%3 != 0 {
			return nil, fmt.Errorf("curve of %d points: C takes three a piece", len(points))
		}
		for i := 0; i < len(points); i += 3 {
			o = append(o, step{'C', [2]point{points[i], points[i+1]}, points[i+2]})
		}
	case 'R':
		if len(o) == 0 {
			return nil, fmt.Errorf("curve without a start: begin with M")
		}
		o = append(o, through(append([]point{o[len(o)-1].to}, points...))...)
	case 'Z':
		o = append(o, step{kind: 'Z'})
	default:
		return nil, fmt.Errorf("unknown command %q", command)
	}
	return o, nil
}

// through makes the cubic curves of a Catmull-Rom spline through the points.
func through(p []point) []step {
	n := len(p) - 1
	closed := p[0] == p[n]
	neighbour := func(i int) point {
		switch {
		case i < 0 && closed:
			return p[n-1]
		case i > n && closed:
			return p[1]
		default:
			return p[min(max(i, 0), n)]
		}
	}
	steps := make([]step, n)
	for i := range n {
		steps[i] = step{'C', [2]point{
			p[i].add(p[i+1].sub(neighbour(i - 1)).times(1.0 / 6)),
			p[i+1].sub(neighbour(i + 2).sub(p[i]).times(1.0 / 6)),
		}, p[i+1]}
	}
	return steps
}

// mustOutline reads path data that is compiled in, or made up by this package.
func mustOutline(data string) outline {
	o, err := parseOutline(data)
	if err != nil {
		panic("draw: " + err.Error())
	}
	return o
}

// line joins the points with straight lines.
func line(points ...point) outline {
	o := outline{{kind: 'M', to: points[0]}}
	for _, p := range points[1:] {
		o = append(o, step{kind: 'L', to: p})
	}
	return o
}

// curve runs smoothly through the points.
func curve(points ...point) outline {
	return append(outline{{kind: 'M', to: points[0]}}, through(points)...)
}

// closed returns the outline with a line back to its start.
func (o outline) closed() outline { return append(o, step{kind: 'Z'}) }

// circleArm is the length of the control arms of a quarter circle of radius 1.
const circleArm = 0.5522847498

// ellipse is centred at c with half axes rx and ry.
func ellipse(c point, rx, ry float64) outline {
	kx, ky := rx*circleArm, ry*circleArm
	return outline{
		{kind: 'M', to: c.add(at(rx, 0))},
		{'C', [2]point{c.add(at(rx, ky)), c.add(at(kx, ry))}, c.add(at(0, ry))},
		{'C', [2]point{c.add(at(-kx, ry)), c.add(at(-rx, ky))}, c.add(at(-rx, 0))},
		{'C', [2]point{c.add(at(-rx, -ky)), c.add(at(-kx, -ry))}, c.add(at(0, -ry))},
		{'C', [2]point{c.add(at(kx, -ry)), c.add(at(rx, -ky))}, c.add(at(rx, 0))},
		{kind: 'Z'},
	}
}

func circle(c point, r float64) outline { return ellipse(c, r, r) }

// box is a rectangle with corners of radius r.
func box(x, y, w, h, r float64) outline {
	if r == 0 {
		return line(at(x, y), at(x+w, y), at(x+w, y+h), at(x, y+h)).closed()
	}
	k := r * (1 - circleArm)
	return outline{
		{kind: 'M', to: at(x+r, y)},
		{kind: 'L', to: at(x+w-r, y)},
		{'C', [2]point{at(x+w-k, y), at(x+w, y+k)}, at(x+w, y+r)},
		{kind: 'L', to: at(x+w, y+h-r)},
		{'C', [2]point{at(x+w, y+h-k), at(x+w-k, y+h)}, at(x+w-r, y+h)},
		{kind: 'L', to: at(x+r, y+h)},
		{'C', [2]point{at(x+k, y+h), at(x, y+h-k)}, at(x, y+h-r)},
		{kind: 'L', to: at(x, y+r)},
		{'C', [2]point{at(x, y+k), at(x+k, y)}, at(x+r, y)},
		{kind: 'Z'},
	}
}

// frame moves a figure to its place: turned, then sized, then shifted. A negative
// flip mirrors it left to right.
type frame struct {
	origin point
	scale  float64
	turn   float64 // radians, clockwise on the sheet
	mirror bool
}

func (f frame) apply(p point) point {
	if f.mirror {
		p.x = -p.x
	}
	sin, cos := math.Sincos(f.turn)
	return point{p.x*cos - p.y*sin, p.x*sin + p.y*cos}.times(f.scale).add(f.origin)
}

// in returns the outline as it lies in the frame.
func (o outline) in(f frame) outline {
	placed := make(outline, len(o))
	for i, s := range o {
		placed[i] = step{s.kind, [2]point{f.apply(s.ctrl[0]), f.apply(s.ctrl[1])}, f.apply(s.to)}
	}
	return placed
}

// path turns the outline into one of gonum's, whose y runs up from the bottom of
// a sheet of that height.
func (o outline) path(height float64) vg.Path {
	up := func(p point) vg.Point { return vg.Point{X: vg.Length(p.x), Y: vg.Length(height - p.y)} }
	var path vg.Path
	for _, s := range o {
		switch s.kind {
		case 'M':
			path.Move(up(s.to))
		case 'L':
			path.Line(up(s.to))
		case 'C':
			path.CubeTo(up(s.ctrl[0]), up(s.ctrl[1]), up(s.to))
		case 'Z':
			path.Close()
		}
	}
	return path
}
