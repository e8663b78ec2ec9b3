package draw

import (
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
}

// The answers in the chart, in the order in which they follow one another as the
// fish grows.
const (
	lightOne = iota + 1
	heavyOne
	bothWeights
	pushFirst
)

func paintWeights(s *sheet) {
	c := chart{sheet: s, x: 190, y: 360, w: 834, h: 762, maxM: 120, maxKg: 12,
		depthsM: []float64{10, 30, 60, 90, 120}, sizeKg: []float64{2, 4, 6, 8, 10}}
	if s.labels.Imperial {
		c.maxM, c.maxKg = 400*advisor.MetresPerFoot, 25*advisor.KgPerPound
		c.depthsM, c.sizeKg = scaled(advisor.MetresPerFoot, 30, 100, 200, 300, 400), scaled(advisor.KgPerPound, 5, 10, 15, 20)
	}
	c.sea()
	c.depthScale()
	c.sizeScale()
	c.words()
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

// answer says what the advice is for the general fish, with the common two weights.
func answer(kg, m float64) int {
	a := advisor.Advise(advisor.Query{WeightKg: &kg, DepthM: &m, Count: 1})
	total := 0.0
	for _, oz := range a.ReleaseWeightsOz {
		total += oz
	}
	switch {
	case a.NeededOz == nil:
		return 0
	case total < *a.NeededOz:
		return pushFirst
	case len(a.ReleaseWeightsOz) > 1:
		return bothWeights
	case total > advisor.DefaultWeightsOz()[0]:
		return heavyOne
	default:
		return lightOne
	}
}

// limit is the heaviest fish, in kg, from that depth for which the answer is still
// one of the first n; found by halving, fine enough for smooth lines.
func (c chart) limit(n int, m float64) float64 {
	low, high := 0.0, c.maxKg
	if answer(high, m) <= n {
		return high
	}
	for high-low > c.maxKg/1000 {
		if mid := (low + high) / 2; answer(mid, m) <= n {
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
	for _, n := range []int{bothWeights, heavyOne, lightOne} {
		area := c.area(n)
		c.fill(area, []tint{lightOne: water, heavyOne: skin, bothWeights: deep}[n])
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

func (c chart) depthScale() {
	c.block(margin-30, c.y-24, 150, 40, c.labels.say("weights.depth"), hand{size: 34, colour: ink, align: right})
	for _, m := range c.depthsM {
		p := c.at(0, m)
		first, second := c.labels.depth(m)
		c.stroke(line(at(p.x-14, p.y), p), ink, firm)
		y := min(p.y, c.y+c.h-34)
		c.write(at(c.x-24, y+4), first, hand{size: 42, strong: true, colour: ink, align: right})
		c.write(at(c.x-24, y+36), second, hand{size: 28, colour: ink, align: right})
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

// words write the answers into their waters.
func (c chart) words() {
	big := hand{size: 78, strong: true, colour: ink, align: centre}
	weights := advisor.DefaultWeightsOz()
	light, heavy := whole(weights[0])+" oz", whole(weights[1])+" oz"
	top := c.at(0, advisor.SignsBeginM)
	c.block(c.x+16, c.y+4, c.w-32, top.y-c.y-8, c.labels.say("weights.top"), hand{size: 38, strong: true, colour: ink, align: centre})
	c.word(lightOne, 20, light, big)
	c.word(heavyOne, 75, heavy, big)
	big.colour = paper
	c.word(bothWeights, 62, whole(weights[1])+"\n+ "+whole(weights[0]), big)
	c.pushWord(big)
}

// word writes into the answer's own stretch at a depth.
func (c chart) word(n int, m float64, text string, h hand) {
	const tall = 90.0
	from, to := c.at(c.limit(n-1, max(m-10, advisor.SignsBeginM)), m), c.at(c.limit(n, m+10), m)
	c.block(from.x+14, from.y-tall, to.x-from.x-28, 2*tall, text, h)
}

func (c chart) pushWord(h hand) {
	m := 98.0
	from := c.at(c.limit(bothWeights, m-18), m)
	w := c.x + c.w - from.x - 30
	h.size, h.colour = 50, ink
	c.fill(box(from.x+12, from.y-66, w, 150, 16), paper)
	c.block(from.x+20, from.y-58, w-16, 134, c.labels.say("weights.push"), h)
}
