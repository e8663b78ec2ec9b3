package draw

import "deepward/advisor"

// mark is one sign on the fish: where its number, its words and the sign itself stand.
type mark struct {
	sign advisor.Sign
	disc point
	to   point // in pixels of the fish
	box  [4]float64
}

// label is the key of what the sign is called in the picture.
func (m mark) label() string { return "signs." + string(m.sign) }

// paintSigns draws a fish with the five signs, each in the signal colour.
func paintSigns(s *sheet) {
	f := frame{origin: at(104, 362), scale: 0.93}
	gut := figure("signs.gut", f)
	s.shape(figure("signs.stomach", f), signal, bold)
	s.stroke(figure("signs.folds", f), ink, thin+1)
	s.fish(f, "fish.gape", bold, 76)
	s.stroke(gut, ink, 38)
	s.stroke(gut, signal, 22)
	s.signs(f)
	marks := []mark{
		{advisor.BulgingEyes, at(92, 232), at(120, 146), [4]float64{144, 180, 300, 104}},
		{advisor.SkinBubbles, at(610, 232), at(606, 188), [4]float64{662, 180, 362, 104}},
		{advisor.EvertedStomach, at(190, 936), at(-14, 358), [4]float64{margin, 984, 310, 148}},
		{advisor.BloatedBelly, at(540, 936), at(440, 516), [4]float64{390, 984, 300, 148}},
		{advisor.ProlapsedIntestine, at(890, 936), at(616, 504), [4]float64{714, 984, 310, 148}},
	}
	style := s.markHand(marks)
	for i, m := range marks {
		s.leader(m.disc, f.apply(m.to))
		s.disc(m.disc, i+1)
		b, h := m.box, style
		if b[0] < m.disc.x { // under its disc
			h.align = centre
			s.paragraph(b[0], b[1], b[2], b[3], s.labels.say(m.label()), h)
			continue
		}
		s.block(b[0], b[1], b[2], b[3], s.labels.say(m.label()), h)
	}
}

// markHand is the hand in which every mark fits its box: they are all of one size.
func (s *sheet) markHand(marks []mark) hand {
	h := hand{size: 42, strong: true, colour: ink}
	for _, m := range marks {
		h, _ = h.fit(s.labels.say(m.label()), m.box[2], m.box[3])
	}
	return h
}

// signs puts the other signs on the fish.
func (s *sheet) signs(f frame) {
	s.shape(figure("signs.belly", f), signal, bold)
	s.dashed(figure("signs.calm", f), ink, thin)
	s.shape(circle(f.apply(at(140, 196)), 62), signal, bold) // it stands out of the head, as seen from the side
	s.eye(f.apply(at(126, 180)), 38, paper)
	for _, b := range [][3]float64{{560, 176, 20}, {612, 206, 26}, {668, 190, 15}, {548, 236, 15}, {596, 268, 20}, {650, 256, 18}, {704, 232, 13}} {
		c := f.apply(at(b[0], b[1]))
		s.shape(circle(c, b[2]), signal, thin+1)
		s.fill(circle(c.add(at(-b[2]*0.3, -b[2]*0.3)), b[2]*0.28), paper)
	}
}
