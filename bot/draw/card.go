package draw

import (
	"io"
	"math"
	"slices"
	"strings"

	"deepward/advisor"
)

// CardPNG writes the pocket card as a picture for a phone, 1080 pixels wide and
// as high as its fish need: 1920 or less for up to five kinds.
func CardPNG(w io.Writer, t advisor.Table, l Labels) error {
	return cardPicture(t, l, cardH).write(w, l, PNG)
}

// CardSVG writes the same card as SVG.
func CardSVG(w io.Writer, t advisor.Table, l Labels) error {
	return cardPicture(t, l, cardH).write(w, l, SVG)
}

// The measures of the card in pixels.
const (
	cardW    = 1080.0
	cardH    = 1920.0 // the height that it is laid out for on a phone
	paperH   = 2428.0 // and on a third of A4 across: 86 mm wide, 194 mm high
	cardEdge = 36.0
	headH    = 216.0
	barH     = 62.0
	unitsH   = 30.0 // the second unit under the first bar
	namesH   = 40.0
	gapH     = 10.0
	bandH    = 152.0
	labelW   = 226.0
	mostRowH = 92.0
	leastRow = 44.0
	// roomy is the height of a row from which there is room for names as well.
	roomy = 54.0
)

// card is the pocket card while it is drawn.
type card struct {
	*sheet
	t     advisor.Table
	roomH float64
	rowH  float64
	names bool
}

// cardPicture lays the card out for a sheet so high: rows as high as it allows, the fishes'
// names if there is room, and more sheet if even low rows do not fit.
func cardPicture(t advisor.Table, l Labels, roomH float64) picture {
	c := card{sheet: &sheet{labels: l}, t: t, roomH: roomH, names: true}
	if c.rowH = c.room(); c.rowH < roomy {
		c.names = false
		c.rowH = c.room()
	}
	most := mostRowH
	if len(t.Grids) > 1 { // under a single one there is more to see on paper
		most *= 1.5
	}
	c.rowH = min(max(c.rowH, leastRow), most)
	return picture{w: cardW, h: math.Ceil(headH + c.gridsH() + c.tailH()), alt: l.say("card.alt"), paint: func(s *sheet) {
		c.sheet = s
		c.head()
		y := headH
		for i, g := range t.Grids {
			y = c.grid(y, i == 0, g)
		}
		c.tail()
	}}
}

func (c card) rows() int {
	n := 0
	for _, g := range c.t.Grids {
		n += len(g.Steps())
	}
	return n
}

// fixedH is the height of the grids without their rows.
func (c card) fixedH() float64 {
	each := barH + gapH
	if c.names {
		each += namesH
	}
	return unitsH + each*float64(len(c.t.Grids))
}

func (c card) room() float64 {
	return (c.roomH - headH - c.tailH() - c.fixedH()) / float64(max(1, c.rows()))
}

func (c card) gridsH() float64 { return c.fixedH() + c.rowH*float64(c.rows()) }

// head is the title, the weights aboard and how to read the card.
func (c card) head() {
	c.block(cardEdge, 18, 470, 84, c.labels.say("card.title"), hand{size: 72, strong: true, colour: ink})
	aboard := c.labels.put("card.aboard", c.labels.listOz(c.t.AboardOz, ", "), c.labels.leadUnit())
	if c.t.Assumed {
		aboard += "\n(" + c.labels.say("card.assumed") + ")"
	}
	c.fill(box(530, 18, cardW-530-cardEdge, 84, 16), ink)
	c.block(546, 22, cardW-546-cardEdge-16, 76, aboard, hand{size: 44, strong: true, colour: paper, align: centre})
	c.wave(cardEdge, 118, cardW-2*cardEdge, deep)
	c.block(cardEdge, 130, cardW-2*cardEdge, headH-136, c.labels.put("card.use", c.labels.leadName()), plain)
}

// grid draws one kind of fish and returns where the next begins.
func (c card) grid(y float64, first bool, g advisor.Grid) float64 {
	h := barH
	if first {
		h += unitsH
	}
	c.bar(y, h, first, g)
	y += h
	if c.names {
		h := hand{size: 27, colour: ink}
		names := c.labels.names(g.Species)
		if unknown(g) {
			names = []string{c.labels.say("card.general")}
		}
		c.write(at(cardEdge+8, y+30), listing("", names, "…", h, cardW-2*cardEdge-16, 1), h)
		y += namesH
	}
	for _, i := range g.Steps() {
		c.row(y, i, g)
		y += c.rowH
	}
	return y + gapH
}

// bar heads a grid: the kind of fish and the depths.
func (c card) bar(y, h float64, first bool, g advisor.Grid) {
	c.fill(box(cardEdge, y, cardW-2*cardEdge, h, 0), ink)
	name := c.labels.kinds(g.Kinds)
	if unknown(g) {
		name = c.labels.say("kind.any")
	}
	c.block(cardEdge+10, y+2, labelW-16, h-4, name, hand{size: 40, strong: true, colour: paper})
	for j, m := range c.t.Scale.DepthsM {
		metric, other := c.labels.depth(m)
		middle := c.columnX(j) + c.columnW()/2
		room := c.columnW() - 2*gapH
		c.centred(at(middle, y+barH/2), metric, hand{size: 38, strong: true, colour: paper}.within(metric, room))
		if first {
			c.centred(at(middle, y+barH+8), other, hand{size: 26, colour: water}.within(other, room))
		}
	}
}

// unknown is true of the fish that stands in when no species are given.
func unknown(g advisor.Grid) bool {
	return len(g.Species) == 1 && g.Species[0].ScientificName == ""
}

func (c card) columnW() float64 {
	return (cardW - 2*cardEdge - labelW) / float64(len(c.t.Scale.DepthsM))
}

func (c card) columnX(j int) float64 { return cardEdge + labelW + float64(j)*c.columnW() }

// row draws the answers for fish up to one size.
func (c card) row(y float64, i int, g advisor.Grid) {
	kg, other := c.labels.mass(c.t.Scale.SizesKg[i])
	c.block(cardEdge+8, y, labelW-82, c.rowH, c.labels.put("card.to", kg), hand{size: min(38, c.rowH*0.78), strong: true, colour: ink})
	c.write(at(cardEdge+labelW-10, y+c.rowH/2+24*capHeight/2), other, hand{size: 24, colour: ink, align: right})
	for j, cell := range g.Cells[i] {
		c.cell(c.columnX(j), y, cell)
	}
	c.stroke(line(at(cardEdge, y+c.rowH), at(cardW-cardEdge, y+c.rowH)), ink, thin)
}

// cell writes one answer on its ground.
func (c card) cell(x, y float64, cell advisor.Cell) {
	w := c.columnW()
	ground, letters := c.ground(cell)
	c.fill(box(x, y, w, c.rowH, 0), ground)
	c.stroke(line(at(x, y), at(x, y+c.rowH)), ink, thin)
	h := hand{size: min(48, c.rowH*0.84), strong: true, colour: letters, align: centre}
	text := c.answer(cell)
	if !cell.PushFirst || cell.ShortOz > 0 {
		c.block(x+6, y, w-12, c.rowH, text, h)
		return
	}
	h.size = min(42, c.rowH*0.72)
	if text == "" {
		c.arrow(at(x+w/2, y+c.rowH/2), h.size*0.62)
		return
	}
	h = h.within(text, w-56)
	wide := h.width(text)
	c.arrow(at(x+w/2-wide/2-12, y+c.rowH/2), h.size*0.62)
	c.centred(at(x+w/2+14, y+c.rowH/2), text, h)
}

// answer is the text of a cell: the weights, how deep to push first, or how much is lacking.
func (c card) answer(cell advisor.Cell) string {
	switch {
	case cell.Action != advisor.ActRecompress:
		return c.labels.say("card.top")
	case cell.ShortOz > 0:
		return "+" + c.labels.lacking(cell.ShortOz)
	case cell.PushFirst:
		return c.labels.push(cell.PushDownM)
	default:
		return c.labels.listOz(cell.WeightsOz, "+")
	}
}

// ground is the colour of a cell and of its letters: the more lead, the darker.
func (c card) ground(cell advisor.Cell) (ground, letters tint) {
	switch {
	case cell.PushFirst:
		return signal, ink
	case cell.Action != advisor.ActRecompress:
		return paper, ink
	}
	switch slices.Index(c.totals(), total(cell.WeightsOz)) {
	case 0:
		return water, ink
	case 1:
		return skin, ink
	default:
		return deep, paper
	}
}

// totals are the sums of lead that the card names, ascending.
func (c card) totals() []float64 {
	var sums []float64
	for _, g := range c.t.Grids {
		for _, row := range g.Cells {
			for _, cell := range row {
				if len(cell.WeightsOz) > 0 && !cell.PushFirst {
					sums = append(sums, total(cell.WeightsOz))
				}
			}
		}
	}
	slices.Sort(sums)
	return slices.Compact(sums)
}

func total(oz []float64) float64 {
	sum := 0.0
	for _, x := range oz {
		sum += x
	}
	return sum
}

// arrow points down.
func (s *sheet) arrow(c point, size float64) {
	half := size / 2
	s.stroke(line(c.add(at(0, -half)), c.add(at(0, half))), ink, firm)
	s.stroke(line(c.add(at(-half*0.7, half*0.2)), c.add(at(0, half)), c.add(at(half*0.7, half*0.2))), ink, firm)
}

// plain is how the tail is written, 36 is 12 pixels on a phone 360 wide; heavy its legend
// and list its fish.
var (
	plain = hand{size: 36, colour: ink}
	heavy = hand{size: 36, strong: true, colour: ink}
	list  = hand{size: 33, colour: ink}
)

// What the tail leaves between its parts, and beside the sign of its legend, in pixels.
const (
	tailGap   = 10.0
	signW     = 88.0
	noWeightH = 78.0
)

// tail says what does not fit the grids, and what to take care of.
func (c card) tail() {
	y := c.h - c.tailH() + tailGap
	w := cardW - 2*cardEdge
	if legend := c.legend(); legend != "" {
		tall := c.tall(legend, w-signW)
		middle := y + tall/2
		c.fill(box(cardEdge, middle-24, 74, 48, 8), signal)
		c.arrow(at(cardEdge+37, middle), 28)
		c.block(cardEdge+signW, y, w-signW, tall, legend, heavy)
		y += tall + tailGap
	}
	rules := c.rules()
	tall := c.tall(rules, w)
	c.block(cardEdge, y, w, tall, rules, plain)
	y += tall + tailGap
	if text := c.noWeight(); text != "" {
		c.block(cardEdge, y, w, noWeightH, text, list)
	}
	c.band()
}

// tailH is the height of the tail.
func (c card) tailH() float64 {
	h, w := tailGap+bandH, cardW-2*cardEdge
	if legend := c.legend(); legend != "" {
		h += c.tall(legend, w-signW) + tailGap
	}
	if c.noWeight() != "" {
		h += noWeightH + tailGap
	}
	return h + c.tall(c.rules(), w) + tailGap
}

// tall is the height of a text of the tail, strong or not.
func (c card) tall(text string, w float64) float64 {
	return heavy.tall(len(heavy.lines(text, w)))
}

// rules are what holds for every fish on the card.
func (c card) rules() string {
	return c.labels.say("card.floats") + "\n" + c.labels.put("card.shallow", first(c.labels.depth(advisor.SignsBeginM)), first(c.labels.depth(advisor.ExpectBarotrauma))) + "\n" + c.labels.say("card.bigger")
}

// noWeight lists the fish that get none, "" for none.
func (c card) noWeight() string {
	if len(c.t.NoWeight) == 0 {
		return ""
	}
	return listing(c.labels.say("card.noweight")+" ", c.labels.names(c.t.NoWeight), c.labels.say("card.more"), list, cardW-2*cardEdge, 2)
}

// legend explains the cells in the colour of a signal: push first with all there is, or so
// much is lacking; "" where none is. What no cell shows is not explained: "+20" would be
// taken for a second weight.
func (c card) legend() string {
	var push, short string
	for _, g := range c.t.Grids {
		for _, cell := range slices.Concat(g.Cells...) {
			if cell.PushFirst && push == "" {
				push = c.labels.put("card.push", c.labels.listOz(cell.WeightsOz, "+"), c.labels.leadUnit())
			}
			if cell.ShortOz > 0 && short == "" {
				short = c.labels.put("card.short", c.labels.lacking(cell.ShortOz), c.labels.leadUnit())
			}
		}
	}
	return strings.Join(slices.DeleteFunc([]string{push, short}, func(s string) bool { return s == "" }), "; ")
}

// band ends the card with care, the date and what was assumed.
func (c card) band() {
	y, w := c.h-bandH, cardW-2*cardEdge
	c.fill(box(0, y, cardW, bandH, 0), ink)
	c.block(cardEdge, y+8, w, 74, c.labels.say("card.care"), hand{size: 36, strong: true, colour: paper})
	text := c.labels.say("card.basis")
	if c.labels.Date != "" {
		text = c.labels.put("card.reckoned", c.labels.Date) + " " + text
	}
	c.block(cardEdge, y+84, w, 62, text, hand{size: 25, colour: water})
}

func first(a, _ string) string { return a }
