package draw

import (
	"bufio"
	"bytes"
	_ "embed"
	"strings"
	"sync"
)

//go:embed data/outlines.txt
var outlinesTXT []byte

// outlines are the figures of the house by name, each in its own frame of
// reference; the file says which. They are compiled in: a fault in them is a
// fault of the build, and a test draws every one.
var outlines = sync.OnceValue(func() map[string]outline {
	all := map[string]outline{}
	lines := bufio.NewScanner(bytes.NewReader(outlinesTXT))
	for lines.Scan() {
		name, data, found := strings.Cut(lines.Text(), ":")
		if found && !strings.HasPrefix(name, "#") {
			all[strings.TrimSpace(name)] = mustOutline(data)
		}
	}
	return all
})

// figure returns an outline of the house in its place.
func figure(name string, f frame) outline { return outlines()[name].in(f) }

// fish draws a deep-bodied bottom fish with its lines in that width: fins first,
// so that the body covers their roots. Pelvic fins hang lower by sag, in pixels
// of the figure; body is fish.body, or fish.gape with the mouth open.
func (s *sheet) fish(f frame, body string, width, sag float64) {
	for _, fin := range []string{"fish.tail", "fish.dorsal", "fish.anal"} {
		s.shape(figure(fin, f), skin, width)
	}
	low := f
	low.origin = f.apply(at(0, sag))
	s.shape(figure("fish.pelvic", low), skin, width)
	s.shape(figure(body, f), skin, width)
	s.stroke(figure("fish.gill", f), ink, width*0.7)
	s.shape(figure("fish.pectoral", f), skin, width*0.7)
	s.stroke(figure("fish.rays", f), ink, width*0.4)
}

// eye draws an eye of radius r with a white of the colour given.
func (s *sheet) eye(c point, r float64, white tint) {
	s.shape(circle(c, r), white, r*0.2)
	s.fill(circle(c, r*0.5), ink)
	s.fill(circle(c.add(at(-r*0.16, -r*0.18)), r*0.14), paper)
}
