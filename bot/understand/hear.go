package understand

import (
	"slices"
	"strings"

	"deepward/bot/understand/learned"
)

// Read reads one message. c says what is open in the talk; the zero value is a message
// that nothing came before.
func (r *Reader) Read(text string, s Setting, c learned.Context) Reading {
	f := foldPlaced(text)
	if strings.TrimSpace(f.text) == "" {
		return Reading{Text: text, Act: ActOther, Sure: 1}
	}
	if typed, ok := typedCommand(text, strings.TrimSpace(f.text)); ok {
		return typed
	}
	h := newHearing(text, s, c)
	return h.reading()
}

// newHearing scores a message.
func newHearing(text string, s Setting, c learned.Context) *hearing {
	f := foldPlaced(text)
	h := &hearing{text: text, folded: f, tokens: scan(f.text), setting: s}
	h.score(c)
	h.obey()
	return h
}

// typedCommand reads a command that was typed as one.
func typedCommand(text, plain string) (Reading, bool) {
	verb, lead, skip, ok := readCommand(plain)
	if rest := afterWords(text, skip); !ok || (verb == "log" || verb == "ask") && rest != "" {
		return Reading{}, false
	}
	r := Reading{Text: text, Act: ActCommand, Verb: verb, Sure: 1, Rest: strings.TrimSpace(lead + " " + afterWords(text, skip))}
	if asked, ok := requestBy(verb); ok {
		r.Act, r.Want = asked.Act, asked.Want
	}
	return r, true
}

// hearing is one message being read.
type hearing struct {
	text    string
	folded  folded
	tokens  []token
	setting Setting
	scores  learned.Scores
	act     Act
	want    Want
	sure    float64

	// every are the quantities of the whole message, once they were asked for.
	every    []quantity
	everyHas bool
	// found are the quantities of the span being read, near the tokens of which only its
	// own can be read.
	found     []quantity
	near      []token
	unitsSaid map[dimension][]float64
	unitless  []unitless

	// points are the words that tell one of several fish from the others.
	points []pointer
	// called are the full names of fish of the talk, by the word that calls one by part of it.
	called map[int]string

	// joints are the pieces said of several fish together, kin is of each fish told apart as the
	// other one of its kind the number of that kind.
	joints []joint
	kin    map[string]string

	groups []Fish
	aboard Aboard
	bare   []Bare
	day    *Day
	around bool // hunters are about
	// bareUsed is true where the weight that was used is told by a figure without a unit.
	bareUsed bool
	// sameUsed is true where the weight that was used is told to be the one of before.
	sameUsed bool
	// together is true where both of the weights aboard were used.
	together bool
}

// reading puts the pieces together.
func (h *hearing) reading() Reading {
	r := Reading{
		Text: h.text, Act: h.act, Want: h.want, Sure: h.sure, FollowUp: h.scores.Follow > 0.5, Further: float64(h.scores.Further),
		Corrects: h.act == ActCorrection || h.beginsWithNo(), Again: h.again(),
		Unit: h.loneUnit(),
	}
	r.Hurt = h.hurt()
	r.Loose = h.loose()
	days := daysIn(h.folded.text, h.tokens)
	if len(days) > 0 {
		r.Day = &days[0].Day
	}
	if h.act == ActOther && h.sure > plainlyOther {
		return r
	}
	if h.mumbles() {
		r.Act, r.Want, r.Corrects = ActOther, "", false
		return r
	}
	if h.want == WantForget && (!h.saysSelf() || h.callsFish()) {
		r.Want = WantUndo
	}
	undone := h.want == WantUndo || h.want == WantSummary
	if at := h.whatItWas(); at >= 0 && (undone || h.act == ActCorrection) {
		h.tagPlain(at)
		if undone {
			r.Act, r.Want, r.Corrects = ActCorrection, "", true
			h.act, h.want = r.Act, r.Want
		}
	}
	if h.want == WantUndo && r.Again.PutBack {
		r.Want = WantPutBack
	}
	for _, d := range days { // a date is no count and no depth
		for i := d.from; i < d.to && i < len(h.scores.Tags[learned.Figures]); i++ {
			h.scores.Tags[learned.Figures][i] = "O"
		}
	}
	h.fill()
	if h.act != r.Act && r.Act == ActReport { // sizes told of each, and nothing done
		r.Act, r.Want = h.act, h.want
	}
	h.meantByUndo()
	if len(h.groups) == 0 && len(h.points) > 0 {
		r.Which = h.points[0].which
	}
	if r.Day == nil {
		r.Day = h.day
	}
	if h.together && r.Again.Pick == "" {
		r.Again.Pick = PickTogether
	}
	r.BareUsed, r.Lead = h.bareUsed, h.saysLead()
	r.Things, r.Thing = h.things(), h.namesThing(h.setting.Things)
	r.Again.Deed = r.Again.Deed || h.sameUsed
	h.sizeBeside(r.Loose)
	r.Fish, r.Aboard, r.Bare, r.Predators = h.groups, h.aboard, h.bare, h.around
	r.Told = UnitFactors{h.unitIn(depth), h.unitIn(weight), h.unitIn(length)}
	h.found = h.everyQuantity()
	r.Number = h.reportNumber()
	for i := range r.Fish {
		r.Problems = append(r.Problems, checkFish(&r.Fish[i].Query)...)
		r.Fish[i].Query.Predators = r.Predators
	}
	r.Unread = h.unread()
	return r
}

// plainlyOther is the chance above which a message that asks nothing is not looked into.
const plainlyOther = 0.8

// everyQuantity are the figures with a unit of the whole message, whatever was learned of them.
func (h *hearing) everyQuantity() []quantity {
	if !h.everyHas {
		h.every, _ = findQuantities(h.folded.text, slices.Clone(h.tokens))
		h.everyHas = true
	}
	return h.every
}

// hardlyMeant is the chance below which words that hold no fish and no figure tell nothing.
const hardlyMeant = 0.6

// mumbles is true for what may be a report or a correction, but is so neither by its act nor
// by any of its pieces: "never mind" changes no report.
func (h *hearing) mumbles() bool {
	if h.act != ActReport && h.act != ActCorrection || h.sure >= hardlyMeant || h.numbered() {
		return false
	}
	for layer := learned.Figures; layer <= learned.Ends; layer++ {
		for _, s := range h.spans(layer) {
			if layer == learned.Figures || s.sure >= hardlyMeant {
				return false
			}
		}
	}
	return true
}

// whatItWas is where a figure begins behind a word for what something was, -1 for nowhere: "scrap
// that, the gag was 45" puts right and takes nothing back.
func (h *hearing) whatItWas() int {
	for i := range h.tokens {
		if i == 0 || !weighings[h.tokens[i].text] {
			continue
		}
		k := i + 1
		for nears[word(h.tokens, k)] {
			k++
		}
		if _, ok := readNumberAt(h.tokens, k); ok {
			return k
		}
	}
	return -1
}

// tagPlain takes a figure with its unit, of which nothing was learned, for what it measures.
func (h *hearing) tagPlain(at int) {
	tags := map[dimension]string{depth: "depth_m", weight: "weight_kg", length: "length_cm"}
	for _, q := range h.everyQuantity() {
		if tag := tags[q.dim]; q.from == at && tag != "" && q.to <= len(h.scores.Tags[learned.Figures]) && h.untagged(q.from, q.to) {
			h.tag(q.from, q.to, tag)
		}
	}
}

// numbered is true where a figure stands in digits.
func (h *hearing) numbered() bool {
	return slices.ContainsFunc(h.tokens, func(t token) bool { return t.kind == tokenNumber })
}

// beginsWithNo is true for a message that begins with a no.
func (h *hearing) beginsWithNo() bool {
	switch word(h.tokens, 0) {
	case "no", "nao", "non", "nope", "nah":
		return len(h.tokens) > 1
	}
	return false
}

// typed is what was typed for the tokens from to to.
func (h *hearing) typed(from, to int) string {
	return h.folded.original(h.text, h.tokens[from].from, h.tokens[to-1].to)
}
