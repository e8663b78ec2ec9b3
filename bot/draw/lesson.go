package draw

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// The names of the lessons.
const (
	Hook    = "hook"    // where the hook goes
	Signs   = "signs"   // what the signs of barotrauma look like
	Weights = "weights" // weight against depth and size
	WhenNot = "whennot" // fish that get no weight
)

// Lessons lists the names of all lessons.
func Lessons() []string { return []string{Hook, Signs, Weights, WhenNot} }

// ErrNoLesson is returned for a name that is no lesson.
var ErrNoLesson = errors.New("no such lesson")

// The size of a lesson in pixels: three to four, it fills a phone's width.
const (
	lessonW = 1080
	lessonH = 1350
)

// Lesson writes the picture of one lesson; ErrNoLesson for a name that is none.
func Lesson(name string, l Labels, w io.Writer, f Format) error {
	paint := map[string]func(*sheet){
		Hook: paintHook, Signs: paintSigns, Weights: paintWeights, WhenNot: paintWhenNot,
	}[name]
	if paint == nil || !slices.Contains(Lessons(), name) {
		return fmt.Errorf("%w %q, there are %s", ErrNoLesson, name, strings.Join(Lessons(), ", "))
	}
	p := picture{w: lessonW, h: lessonH, alt: l.say(name + ".alt"), paint: func(s *sheet) {
		s.title(l.say(name + ".title"))
		paint(s)
		s.foot(l.say(name+".foot"), l.put(name+".note", l.listOz(l.aboard(), ", "), l.leadUnit()))
	}}
	return p.write(w, l, f)
}

// The parts of a sheet that every lesson shares, in pixels.
const (
	titleH = 150.0
	footH  = 206.0
)

// title heads the sheet, with the wave of the house under it.
func (s *sheet) title(text string) {
	s.block(margin, 28, s.w-2*margin, 84, text, hand{size: 76, strong: true, colour: ink})
	s.wave(margin, 128, s.w-2*margin, deep)
}

// wave draws a line of small waves.
func (s *sheet) wave(x, y, w float64, c tint) {
	const length, height = 27.0, 7.0
	points := []point{}
	n := int(w / length)
	for i := range n + 1 {
		dy := height / 2
		if i%2 == 0 {
			dy = -dy
		}
		points = append(points, at(x+w*float64(i)/float64(n), y+dy))
	}
	s.stroke(curve(points...), c, firm)
}

// foot ends the sheet with what to do in a dark band, and a note in it.
func (s *sheet) foot(text, note string) {
	y := s.h - footH
	s.fill(box(0, y, s.w, footH, 0), ink)
	w := s.w - 2*margin
	s.block(margin, y+16, w, 110, text, hand{size: 48, strong: true, colour: paper})
	s.block(margin, y+132, w, 58, note, hand{size: 32, colour: water})
}
