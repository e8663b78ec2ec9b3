package draw

import "math"

// The panels of the picture in pixels.
const (
	panelW = 474.0
	panelH = 474.0
)

// paintWhenNot draws four kinds of fish that get no weight.
func paintWhenNot(s *sheet) {
	for i, p := range []struct {
		name, more string
		paint      func(*sheet, point)
	}{
		{"whennot.none", "whennot.none_fish", (*sheet).noBladder},
		{"whennot.open", "whennot.open_fish", (*sheet).openBladder},
		{"whennot.shallow", "whennot.shallow_more", (*sheet).shallow},
		{"whennot.dead", "whennot.dead_more", (*sheet).dead},
	} {
		corner := at(margin+float64(i%2)*(panelW+20), 164+float64(i/2)*(panelH+18))
		s.panel(corner.x, corner.y, panelW, panelH)
		p.paint(s, corner)
		s.noWeight(corner.add(at(panelW-62, 66)))
		s.panelWords(corner.add(at(24, 290)), s.labels.say(p.name), s.labels.say(p.more))
	}
}

// panelWords says what the panel shows, and more under it.
func (s *sheet) panelWords(p point, name, more string) {
	const w = panelW - 48
	taken := s.paragraph(p.x, p.y, w, 92, name, hand{size: 42, strong: true, colour: ink})
	s.paragraph(p.x, p.y+taken+6, w, 170-taken, more, hand{size: 36, colour: ink})
}

// noWeight is a release weight struck out.
func (s *sheet) noWeight(c point) {
	f := frame{origin: c.sub(at(640*0.4, 690*0.4)), scale: 0.4}
	s.weight(f)
	s.stroke(line(c.add(at(-42, 42)), c.add(at(42, -42))), paper, bold+10)
	s.stroke(line(c.add(at(-42, 42)), c.add(at(42, -42))), signal, bold+2)
}

func (s *sheet) parts(f frame, names ...string) {
	for _, name := range names {
		s.shape(figure(name, f), skin, firm)
	}
}

// spot is a small round eye.
func (s *sheet) spot(c point) { s.fill(circle(c, 6), ink) }

func (s *sheet) noBladder(corner point) {
	shark := frame{origin: corner.add(at(24, 30)), scale: 0.33}
	s.parts(shark, "shark.body", "shark.pectoral")
	s.stroke(figure("shark.marks", shark), ink, thin)
	s.spot(shark.apply(at(120, 176)))
	flat := frame{origin: corner.add(at(136, 158)), scale: 0.3}
	s.parts(flat, "flat.tail", "flat.fin", "flat.body")
	s.stroke(figure("flat.marks", flat), ink, thin)
	s.spot(flat.apply(at(130, 150)))
	s.spot(flat.apply(at(170, 196)))
}

func (s *sheet) openBladder(corner point) {
	salmon := frame{origin: corner.add(at(24, 34)), scale: 0.33}
	s.parts(salmon, "salmon.fins", "salmon.body")
	s.stroke(figure("salmon.marks", salmon), ink, thin)
	s.spot(salmon.apply(at(130, 146)))
	eel := frame{origin: corner.add(at(60, 172)), scale: 0.36}
	s.parts(eel, "eel.fin", "eel.body", "eel.pectoral")
	s.stroke(figure("eel.marks", eel), ink, thin)
	s.spot(eel.apply(at(66, 104)))
}

// shallow is a fish that dives from the surface with a beat of its tail.
func (s *sheet) shallow(corner point) {
	s.wave(corner.x+24, corner.y+54, 310, deep)
	f := frame{origin: corner.add(at(36, 170)), scale: 0.27, turn: -0.32}
	s.fish(f, "fish.body", firm, 0)
	for _, dy := range []float64{-40, 0, 40} {
		from, to := f.apply(at(1050, 262+dy*2)), f.apply(at(1170, 262+dy*2))
		s.stroke(line(from, to), deep, firm)
	}
}

// dead is a fish adrift belly up.
func (s *sheet) dead(corner point) {
	f := frame{origin: corner.add(at(50, 256)), scale: 0.31, turn: math.Pi, mirror: true}
	s.fish(f, "fish.body", firm, 0)
	s.cross(f.apply(at(168, 236)), 14, ink, firm)
	s.wave(corner.x+24, corner.y+190, panelW-48, deep)
}
