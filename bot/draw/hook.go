package draw

// paintHook draws where the hook goes: the lower jaw large, the upper lip small,
// and the places where it never goes.
func paintHook(s *sheet) {
	f := frame{origin: at(0, 196), scale: 0.8}
	s.stroke(line(at(f.apply(at(586, 0)).x, titleH), f.apply(at(586, 322))), ink, firm)
	s.head(f, "hook", bold)
	s.weight(f)
	s.hook(f, "hook", bold)
	s.shape(circle(f.apply(at(586, 324)), 11), paper, firm)
	s.tug(at(f.apply(at(586, 0)).x-44, titleH+56))
	s.hookWords(f)
	s.panel(margin, 850, 474, 276)
	s.upperLip(frame{origin: at(margin+7, 852), scale: 0.33})
	s.panel(550, 850, 474, 276)
	s.never(frame{origin: at(550+8, 878), scale: 0.36})
}

// tug is the sharp pull at the bottom: an arrow up, beside the line.
func (s *sheet) tug(tip point) {
	s.stroke(line(tip, tip.add(at(0, 110))), signal, bold)
	s.stroke(line(tip.add(at(-22, 26)), tip), signal, bold)
	s.stroke(line(tip.add(at(22, 26)), tip), signal, bold)
}

// head draws a fish head with the mouth open, the soft place for a hook marked.
func (s *sheet) head(f frame, soft string, width float64) {
	s.fill(figure("head.mouth", f), deep)
	s.fill(figure("head.skin", f), skin)
	s.fill(figure(soft+".soft", f), signal)
	s.stroke(figure("head.skin", f), ink, width)
	s.stroke(figure("head.gill", f), ink, width)
	s.stroke(figure("head.cheek", f), ink, width*0.5)
	s.stroke(figure("head.lip", f), ink, width*0.5)
	s.fill(circle(f.apply(at(446, 236)), 9*f.scale), ink)
	s.eye(f.apply(at(330, 206)), 52*f.scale, paper)
}

// weight draws the lead below the hook.
func (s *sheet) weight(f frame) {
	s.stroke(figure("weight.ring", f), ink, 10*f.scale)
	s.shape(figure("weight.body", f), deep, bold*f.scale)
	s.stroke(figure("weight.shine", f), water, 10*f.scale)
}

// hook draws a hook of bright metal that goes through the flesh: the part inside
// is dashed, and the end has no barb.
func (s *sheet) hook(f frame, name string, width float64) {
	s.dashed(figure(name+".through", f), ink, width*0.5)
	for _, part := range []string{".shank", ".in"} {
		o := figure(name+part, f)
		s.stroke(o, ink, 26*f.scale)
		s.stroke(o, paper, 12*f.scale)
	}
	s.shape(figure(name+".point", f), paper, 7*f.scale)
}

// hookWords names the parts.
func (s *sheet) hookWords(f frame) {
	h := hand{size: 42, strong: true, colour: ink}
	s.block(500, 172, 524, 60, s.labels.say("hook.line"), h)
	s.leader(at(640, 470), f.apply(at(640, 430)))
	s.block(656, 424, 368, 100, s.labels.say("hook.hook"), h)
	s.leader(at(640, 744), f.apply(at(666, 700)))
	s.block(656, 694, 368, 100, s.labels.say("hook.weight"), h)
	s.leader(at(300, 730), f.apply(at(520, 444)))
	s.paragraph(margin, 736, 400, 100, s.labels.say("hook.lower"), hand{size: 48, strong: true, colour: ink})
}

func (s *sheet) panel(x, y, w, h float64) { s.fill(box(x, y, w, h, 22), water) }

func (s *sheet) upperLip(f frame) {
	s.head(f, "lip", firm)
	w := f
	w.origin = f.apply(at(612-640, 0))
	s.weight(w)
	s.hook(f, "lip", firm)
	s.block(margin+270, 870, 190, 240, s.labels.say("hook.upper"), hand{size: 38, strong: true, colour: ink})
}

func (s *sheet) never(f frame) {
	s.head(f, "no", firm)
	for _, c := range []point{at(330, 206), at(128, 330), at(462, 366)} {
		s.cross(f.apply(c), 22, ink, bold)
	}
	s.block(550+270, 866, 190, 70, s.labels.say("hook.never"), hand{size: 48, strong: true, colour: ink})
	words := s.labels.say("hook.gill") + "\n" + s.labels.say("hook.eye") + "\n" + s.labels.say("hook.throat")
	s.paragraph(550+270, 946, 190, 160, words, hand{size: 36, colour: ink})
}
