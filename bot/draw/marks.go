package draw

import "strconv"

// numberDisc is the radius of the discs that number things.
const numberDisc = 36.0

// disc writes a number in a dark disc.
func (s *sheet) disc(c point, n int) {
	s.fill(circle(c, numberDisc), ink)
	s.centred(c, strconv.Itoa(n), hand{size: 46, strong: true, colour: paper})
}

// leader leads from a word or a disc to the thing it means, where it ends in a dot.
func (s *sheet) leader(from, to point) {
	s.stroke(line(from, to), paper, thin+6)
	s.stroke(line(from, to), ink, thin+1)
	s.shape(circle(to, 9), paper, thin+1)
}

// cross strikes something out.
func (s *sheet) cross(c point, r float64, colour tint, width float64) {
	strokes := []outline{line(c.add(at(-r, -r)), c.add(at(r, r))), line(c.add(at(r, -r)), c.add(at(-r, r)))}
	for _, o := range strokes {
		s.stroke(o, paper, width+8)
	}
	for _, o := range strokes {
		s.stroke(o, colour, width)
	}
}
