package draw

import (
	"maps"
	"math"
	"slices"

	"deepward/advisor"
)

// chart is the picture of weight against depth and size: the sea from the side,
// deeper downwards, bigger fish to the right. Every border is found by asking
// advisor.Advise.
type chart struct {
	*sheet
	x, y, w, h      float64 // the sea, in pixels
	maxM, maxKg     float64
	depthsM, sizeKg []float64 // the ticks
	aboardOz        []float64
	// loads are the weights that are advised somewhere, lightest first. The answer there is
	// its place from 1 on; 0 is no weight, and one more than all of them is a push.
	loads [][]float64
	// known are the limits found, for they are asked for again and again.
	known map[limitOf]float64
}

// limitOf says of what something is the limit: the first n answers, from a depth in metres.
type limitOf struct {
	n int
	m float64
}

func paintWeights(s *sheet) {
	c := chart{sheet: s, x: 190, y: 360, w: 834, h: 762, maxM: 120, maxKg: 12, aboardOz: s.labels.aboard(),
		depthsM: []float64{10, 30, 60, 90, 120}, sizeKg: []float64{2, 4, 6, 8, 10}}
	if s.labels.Imperial {
		c.maxM, c.maxKg = 400*advisor.MetresPerFoot, 25*advisor.KgPerPound
		c.depthsM, c.sizeKg = scaled(advisor.MetresPerFoot, 30, 100, 200, 300, 400), scaled(advisor.KgPerPound, 5, 10, 15, 20)
	}
	c.load()
	c.sea()
	c.depthScale()
	c.sizeScale()
	c.words()
}

// aboard are the release weights to draw with.
func (l Labels) aboard() []float64 {
	if len(l.AboardOz) > 0 {
		return l.AboardOz
	}
	return advisor.DefaultWeightsOz()
}

func scaled(k float64, xs ...float64) []float64 {
	for i := range xs {
		xs[i] *= k
	}
	return xs
}

func (c chart) at(kg, m float64) point {
	return at(c.x+c.w*kg/c.maxKg, c.y+c.h*m/c.maxM)
}

// advised are the weights advised for the general fish, and whether they carry it; ok is
// false where no weight is used.
func (c chart) advised(kg, m float64) (oz []float64, enough, ok bool) {
	a := advisor.Advise(advisor.Query{Capture: advisor.Capture{WeightKg: &kg, DepthM: &m}, Count: 1, WeightsAboardOz: c.aboardOz})
	if a.NeededOz == nil {
		return nil, false, false
	}
	return a.ReleaseWeightsOz, total(a.ReleaseWeightsOz) >= *a.NeededOz, true
}

// load finds the loads that are advised anywhere in the chart.
func (c *chart) load() {
	c.known = map[limitOf]float64{}
	byTotal := map[float64][]float64{}
	for _, m := range c.levels() {
		const steps = 24
		for i := range steps {
			if oz, enough, ok := c.advised(c.maxKg*float64(i+1)/steps, m); ok && enough {
				byTotal[total(oz)] = oz
			}
		}
	}
	for _, sum := range slices.Sorted(maps.Keys(byTotal)) {
		c.loads = append(c.loads, byTotal[sum])
	}
}

// answer is the place of the advice among the loads.
func (c chart) answer(kg, m float64) int {
	oz, enough, ok := c.advised(kg, m)
	switch {
	case !ok:
		return 0
	case !enough:
		return len(c.loads) + 1
	}
	return 1 + slices.IndexFunc(c.loads, func(load []float64) bool { return total(load) >= total(oz) })
}

// limit is the heaviest fish, in kg, from that depth for which the answer is still
// one of the first n.
func (c chart) limit(n int, m float64) float64 {
	of := limitOf{n, m}
	kg, ok := c.known[of]
	if !ok {
		kg = c.findLimit(n, m)
		c.known[of] = kg
	}
	return kg
}

// findLimit finds it by halving, fine enough for smooth lines.
func (c chart) findLimit(n int, m float64) float64 {
	low, high := 0.0, c.maxKg
	if c.answer(high, m) <= n {
		return high
	}
	for high-low > c.maxKg/1000 {
		if mid := (low + high) / 2; c.answer(mid, m) <= n {
			low = mid
		} else {
			high = mid
		}
	}
	if low == 0 {
		return 0
	}
	return (low + high) / 2
}

// levels are the depths at which limits are looked for: every few metres, and both
// sides of where the custom turns.
func (c chart) levels() []float64 {
	levels := []float64{30, 30.01}
	for m := advisor.SignsBeginM + 0.0; m < c.maxM; m += 2.5 {
		levels = append(levels, m)
	}
	levels = append(levels, c.maxM)
	slices.Sort(levels)
	return slices.Compact(levels)
}

// sea paints the answers from the heaviest to the lightest, each over the last,
// and the water above them where no weight is needed.
func (c chart) sea() {
	top := c.at(0, advisor.SignsBeginM).y
	c.fill(box(c.x, top, c.w, c.y+c.h-top, 0), signal)
	c.hatch(top)
	for n := len(c.loads); n > 0; n-- {
		area := c.area(n)
		c.fill(area, c.ground(n))
		c.stroke(area, ink, thin+1)
	}
	c.stroke(box(c.x, c.y, c.w, c.h, 0), ink, firm)
	c.stroke(line(at(c.x, top), at(c.x+c.w, top)), ink, firm)
}

// area is where the answer is one of the first n.
func (c chart) area(n int) outline {
	top := advisor.SignsBeginM + 0.0
	points := []point{c.at(0, top)}
	deepest := top
	for _, m := range c.levels() {
		if kg := c.limit(n, m); kg > 0 {
			points, deepest = append(points, c.at(kg, m)), m
		}
	}
	return line(append(points, c.at(0, deepest))...).closed()
}

// hatch lays slanting lines over the ground, so that it is told apart in grey.
func (c chart) hatch(top float64) {
	height := c.y + c.h - top
	for x := c.x - height; x < c.x+c.w; x += 44 {
		from, to := at(x, c.y+c.h), at(x+height, top)
		if from.x < c.x {
			from = at(c.x, c.y+c.h-(c.x-from.x))
		}
		if to.x > c.x+c.w {
			to = at(c.x+c.w, top+(to.x-c.x-c.w))
		}
		c.stroke(line(from, to), paper, thin)
	}
}

// depthEdge is what the depths keep clear at the edge of the sheet, in pixels.
const depthEdge = 16

func (c chart) depthScale() {
	c.block(margin-30, c.y-24, 150, 40, c.labels.say("weights.depth"), hand{size: 34, colour: ink, align: right})
	for _, m := range c.depthsM {
		p := c.at(0, m)
		first, second := c.labels.depth(m)
		c.stroke(line(at(p.x-14, p.y), p), ink, firm)
		y := min(p.y, c.y+c.h-34)
		room := c.x - 24 - depthEdge
		c.write(at(c.x-24, y+4), first, hand{size: 42, strong: true, colour: ink, align: right}.within(first, room))
		c.write(at(c.x-24, y+36), second, hand{size: 28, colour: ink, align: right}.within(second, room))
	}
}

// sizeScale shows fish that grow along the surface.
func (c chart) sizeScale() {
	for i, kg := range c.sizeKg {
		p := c.at(kg, 0)
		first, second := c.labels.mass(kg)
		c.stroke(line(p, at(p.x, p.y-14)), ink, firm)
		c.write(at(p.x, c.y-60), first, hand{size: 38, strong: true, colour: ink, align: centre})
		c.write(at(p.x, c.y-26), second, hand{size: 28, colour: ink, align: centre})
		if i%2 == 0 {
			scale := 0.082 * math.Cbrt(kg)
			c.fish(frame{origin: at(p.x-500*scale, c.y-146-280*scale), scale: scale}, "fish.body", thin, 0)
		}
	}
}

// ground is the colour of a load: the more lead the darker, and of many each another than
// its neighbours.
func (c chart) ground(n int) tint {
	switch {
	case n == 1:
		return water
	case n%2 == 0:
		return skin
	}
	return deep
}

// words write the answers into their waters.
func (c chart) words() {
	top := c.at(0, advisor.SignsBeginM)
	c.block(c.x+16, c.y+4, c.w-32, top.y-c.y-8, c.labels.say("weights.top"), hand{size: 38, strong: true, colour: ink, align: centre})
	for i, oz := range c.loads {
		h := hand{size: 78, strong: true, colour: ink, align: centre}
		if c.ground(i+1) == deep {
			h.colour = paper
		}
		c.word(i+1, oz, h)
	}
	c.pushWord()
}

// word writes a load as large as its stretch allows: on one line, or its pieces on lines of
// their own.
func (c chart) word(n int, oz []float64, h hand) {
	texts := []string{c.labels.listOz(oz, " + ")}
	if len(oz) == 1 {
		texts[0] += " " + c.labels.leadUnit()
	} else {
		texts = append(texts, c.labels.listOz(oz, "\n+ "))
	}
	var best room
	var text string
	size := 0.0
	for _, tall := range []float64{60, 90, 120, 180} {
		for _, t := range texts {
			place := c.widest(n, tall)
			if fitted, lines := h.fit(t, place.w, tall); fitted.holds(lines, place.w) && fitted.size > size {
				best, text, size = place, t, fitted.size
			}
		}
	}
	c.block(best.x, best.y, best.w, best.h, text, h)
}

// pushWord says what to do where nothing aboard carries the fish, on a ground of its own.
func (c chart) pushWord() {
	const least = 150
	room := c.widest(len(c.loads)+1, 150)
	if room.w < least {
		return
	}
	room.x, room.w = room.x+max(0, room.w-300), min(room.w, 300)
	c.fill(box(room.x, room.y, room.w, room.h, 16), paper)
	c.block(room.x+8, room.y+8, room.w-16, room.h-16, c.labels.say("weights.push"), hand{size: 50, strong: true, colour: ink, align: centre})
}

// room is a place on the sheet, in pixels.
type room struct{ x, y, w, h float64 }

// widest is the widest place of that height where the answer is the same all over.
func (c chart) widest(n int, tall float64) (best room) {
	const inset, edge, step = 6, 1.5, 2 // pixels beside; metres above and below, and between tries
	half := step * math.Ceil(tall/2/c.h*c.maxM/step)
	for m := step * math.Ceil((advisor.SignsBeginM+half+edge)/step); m <= c.maxM-half-edge; m += step {
		left, right := 0.0, c.maxKg
		for _, at := range []float64{m - half, m, m + half} {
			left = max(left, c.limit(n-1, at))
			right = min(right, c.limit(n, at))
		}
		if w := c.w*(right-left)/c.maxKg - 2*inset; w > best.w {
			best = room{c.at(left, m).x + inset, c.at(0, m).y - tall/2, w, tall}
		}
	}
	return best
}
