package understand

import (
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"deepward/advisor"
)

// fish fills one question, or several when the segment tells of several sizes.
func (p *parsing) fish(s segment, m *Meaning) []advisor.Query {
	q := blankQuery()
	p.fillName(&q, s, m)
	p.fillDepth(&q, s, m)
	p.fillLength(&q, s, m)
	p.fillState(&q, s)
	p.fillMinutes(&q, s, m)
	p.fillWater(&q)
	return p.spreadSizes(q, s, m)
}

func (p *parsing) fillName(q *advisor.Query, s segment, m *Meaning) {
	if s.name < 0 {
		return
	}
	h := p.names[s.name]
	if n := p.counts[s.name]; n > 0 {
		q.Count = n
	}
	if h.Unsure {
		m.Problems = append(m.Problems, Problem{"species", advisor.Note{Code: NameUnsure, Words: []string{h.words, h.Species[0].EnglishName, h.Species[1].EnglishName}}})
	}
	best := h.Species[0]
	q.Species, q.SpeciesName, q.Ambiguous = best.ScientificName, InSentence(best.EnglishName), h.Ambiguous
	if len(h.Species) > 1 {
		for _, s := range h.Species {
			q.Candidates = append(q.Candidates, s.ScientificName)
		}
	}
}

// properNames begin with a capital also inside a sentence.
var properNames = []string{
	"Atlantic", "Pacific", "European", "Warsaw", "Nassau", "Bight", "Samson", "West", "Western", "Chinook", "Narrow-barred Spanish",
}

// InSentence writes a name of a fish, in any language, as it stands inside a sentence:
// "mutton snapper", "Nassau grouper".
func InSentence(name string) string {
	for _, p := range properNames {
		if strings.HasPrefix(name, p) {
			return name
		}
	}
	first, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToLower(first)) + name[size:]
}

// inSegment are the quantities of one dimension in a segment.
func (p *parsing) inSegment(s segment, dim dimension) []quantity {
	var list []quantity
	for _, q := range p.found {
		if q.dim == dim && q.from >= s.from && q.from < s.to {
			list = append(list, q)
		}
	}
	return list
}

// fillDepth takes the depth of the catch: not that of the release, nor of the
// ground, nor a length in feet.
func (p *parsing) fillDepth(q *advisor.Query, s segment, m *Meaning) {
	var depths []quantity
	for _, d := range p.inSegment(s, depth) {
		switch {
		case p.before(d.from, "releasedepth") || len(depths) > 0 && p.releasedSince(depths[len(depths)-1].to, d.from):
			p.done.ReleaseDepthM = new(d.high)
		case p.isLength(d):
			q.LengthCm = new(100 * d.high)
		case p.before(d.from, "bottomdepth") || p.isOfTheSea(d) || p.isOverGround(d):
		default:
			depths = append(depths, d)
		}
	}
	if long, deep, ok := p.lengthAndDepth(depths); ok && len(p.inSegment(s, length)) == 0 {
		q.LengthCm, depths = new(100*long.high), []quantity{deep}
	}
	if len(depths) == 0 {
		return
	}
	first := depths[0]
	for _, other := range depths[1:] {
		if !close(first.high, other.high) {
			m.Problems = append(m.Problems, Problem{"depth_m", advisor.Note{Code: Contradiction, Words: []string{first.raw, other.raw}}})
			return
		}
	}
	if first.negative {
		m.Problems = append(m.Problems, Problem{"depth_m", advisor.Note{Code: NotPositive, Words: []string{first.raw}}})
		return
	}
	q.DepthM = new(first.high)
	if first.ranged {
		q.DepthRangeM = []float64{first.low, first.high}
	}
}

// close is true for two figures that say the same in two units.
func close(a, b float64) bool { return math.Abs(a-b) <= 0.06*math.Max(a, b) }

// before reports whether a phrase of that concept ends right before a token.
func (p *parsing) before(at int, concept string) bool {
	return slices.ContainsFunc(p.hits, func(h hit) bool {
		return h.concept == concept && (h.to == at || h.to == at-1 && skipped[word(p.tokens, at-1)])
	})
}

var skipped = map[string]bool{"to": true, "at": true, "about": true, "in": true, "is": true, "of": true, "the": true, "was": true}

// isLength is true for feet or metres that are followed by "long", "de largo".
func (p *parsing) isLength(d quantity) bool {
	after := word(p.tokens, d.to)
	if after == "de" || after == "d" || after == "in" {
		after = word(p.tokens, d.to+1)
	}
	return lengthWords[after] && d.high < 4
}

// What "2ft 120 feet" means: the greatest length of a fish in metres, and how many
// times deeper than long a catch must be for the two not to be taken for a slip.
const (
	longestToldInFeet = 2.5
	deeperThanLong    = 6
)

// lengthAndDepth tells the length of a fish from its depth where both are in feet or
// both in metres and only one of them can be the length.
func (p *parsing) lengthAndDepth(list []quantity) (long, deep quantity, ok bool) {
	if len(list) != 2 || list[0].ranged || list[1].ranged || list[0].negative || list[1].negative {
		return quantity{}, quantity{}, false
	}
	long, deep = list[0], list[1]
	if long.high > deep.high {
		long, deep = deep, long
	}
	ok = long.high > 0 && long.high <= longestToldInFeet && deep.high >= deeperThanLong*max(long.high, 1)
	return long, deep, ok
}

// isOfTheSea is true for "2 ft seas", "swell 1 m": no depth of a fish.
func (p *parsing) isOfTheSea(d quantity) bool {
	return seaWords[word(p.tokens, d.to)] || seaWords[word(p.tokens, d.from-1)]
}

// isOverGround is true for a height above the ground: "10 m off the bottom".
func (p *parsing) isOverGround(d quantity) bool {
	w := word(p.tokens, d.to)
	return (w == "off" || w == "above") && (word(p.tokens, d.to+1) == "bottom" || word(p.tokens, d.to+2) == "bottom")
}

// releasedSince is true when the words between two depths say that the fish was sent down:
// "45 m 3 kg, released it with 40 oz at 30 m".
func (p *parsing) releasedSince(from, to int) bool {
	return slices.ContainsFunc(p.hits, func(h hit) bool {
		return (h.concept == "released" || h.concept == "method:recompressed") && !h.negated && h.from >= from && h.from < to
	})
}

// seaWords say that a figure beside them is of the sea or the tackle.
var seaWords = map[string]bool{
	"sea": true, "seas": true, "swell": true, "chop": true, "wave": true, "waves": true, "tide": true, "vis": true, "visibility": true, "leader": true, "trace": true,
	"mar": true, "ola": true, "olas": true, "oleaje": true, "marea": true, "onda": true, "ondas": true, "mare": true, "houle": true, "vagues": true, "maree": true, "bajo": true,
}

// lengthWords say after a figure that it is a length.
var lengthWords = map[string]bool{
	"long": true, "length": true, "largo": true, "longitud": true, "comprimento": true, "comprido": true, "longueur": true,
}

func (p *parsing) fillLength(q *advisor.Query, s segment, m *Meaning) {
	list := p.inSegment(s, length)
	for _, l := range list {
		if l.negative || l.high <= 0 {
			m.Problems = append(m.Problems, Problem{"length_cm", advisor.Note{Code: NotPositive, Words: []string{l.raw}}})
			return
		}
	}
	if len(list) > 0 {
		q.LengthCm = new(list[0].high)
	}
	if differ(list) && !p.areSeveral(*q, list) {
		m.Problems = append(m.Problems, Problem{"length_cm", advisor.Note{Code: Contradiction, Words: []string{list[0].raw, list[1].raw}}})
		q.LengthCm = nil
	}
	if q.LengthCm != nil {
		q.LengthType = advisor.LengthType(p.value("length:", s.from, s.to))
	}
}

// areSeveral is true when different sizes in a row are those of several fish:
// as many as were counted, or a list without a count.
func (p *parsing) areSeveral(q advisor.Query, list []quantity) bool {
	return q.Count == len(list) || q.Count == 1 && p.listed(list)
}

// spreadSizes makes one fish of each weight, or of each length, where several
// are listed, and otherwise puts the one weight in.
func (p *parsing) spreadSizes(q advisor.Query, s segment, m *Meaning) []advisor.Query {
	weights, lengths := p.inSegment(s, weight), p.inSegment(s, length)
	for _, w := range weights {
		if w.negative || w.high <= 0 {
			m.Problems = append(m.Problems, Problem{"weight_kg", advisor.Note{Code: NotPositive, Words: []string{w.raw}}})
			return []advisor.Query{q}
		}
	}
	if len(weights) > 0 {
		q.WeightKg = new(weights[0].high)
	}
	switch {
	case differ(weights) && p.areSeveral(q, weights):
		return spread(q, weights, func(f *advisor.Query, x float64) { f.WeightKg = &x })
	case differ(weights):
		m.Problems = append(m.Problems, Problem{"weight_kg", advisor.Note{Code: Contradiction, Words: []string{weights[0].raw, weights[1].raw}}})
		q.WeightKg = nil
	case differ(lengths) && q.LengthCm != nil:
		return spread(q, lengths, func(f *advisor.Query, x float64) { f.LengthCm = &x })
	}
	return []advisor.Query{q}
}

func spread(q advisor.Query, list []quantity, set func(*advisor.Query, float64)) []advisor.Query {
	fish := make([]advisor.Query, len(list))
	for i, one := range list {
		fish[i] = q
		fish[i].Count = 1
		set(&fish[i], one.high)
	}
	return fish
}

func differ(list []quantity) bool {
	return slices.ContainsFunc(list, func(q quantity) bool { return !close(q.high, list[0].high) })
}

// listed is true when weights follow each other with commas or "and" between.
func (p *parsing) listed(list []quantity) bool {
	for i := 1; i < len(list); i++ {
		for j := list[i-1].to; j < list[i].from; j++ {
			if m, w := mark(p.tokens, j), word(p.tokens, j); m != "," && m != "+" && m != "&" && w != "and" && w != "y" && w != "e" && w != "et" {
				return false
			}
		}
	}
	return true
}

// fillState reads signs, hook, blood, behaviour and hunters. Where there are
// several fish each takes what is said beside it.
func (p *parsing) fillState(q *advisor.Query, s segment) {
	for _, h := range p.hits {
		if h.from < s.from || h.from >= s.to || h.negated {
			continue
		}
		if sign, ok := strings.CutPrefix(h.concept, "sign:"); ok && !q.Has(advisor.Sign(sign)) {
			q.Signs = append(q.Signs, advisor.Sign(sign))
		}
		if h.concept == "bleeding" {
			q.Bleeding = true
		}
	}
	q.Hook = advisor.Hook(p.value("hook:", s.from, s.to))
	q.Behaviour = advisor.Behaviour(p.worstBehaviour(s))
	q.Predators = p.has("predators")
}

// worstBehaviour takes the gravest of what is said: a fish that was strong and
// floats is floating.
func (p *parsing) worstBehaviour(s segment) string {
	order := []string{"dead", "floating", "weak", "strong"}
	for _, b := range order {
		for _, h := range p.hits {
			if h.concept == "behaviour:"+b && !h.negated && h.from >= s.from && h.from < s.to {
				return b
			}
		}
	}
	return ""
}

// maxMinutes is longer than any fish lives out of water.
const maxMinutes = 180

func (p *parsing) fillMinutes(q *advisor.Query, s segment, m *Meaning) {
	for _, t := range p.inSegment(s, minutes) {
		switch {
		case t.negative:
			m.Problems = append(m.Problems, Problem{"minutes_on_deck", advisor.Note{Code: NotPositive, Words: []string{t.raw}}})
		case t.high > maxMinutes:
			m.Problems = append(m.Problems, Problem{"minutes_on_deck", advisor.Note{Code: TooLongOut, Figures: []float64{t.high}}})
		default:
			q.MinutesOnDeck = new(math.Round(t.high*1000) / 1000)
		}
	}
}

func (p *parsing) fillWater(q *advisor.Query) {
	for _, t := range p.found {
		switch t.dim {
		case celsius:
			q.SurfaceTempC = new(t.high)
		case fahrenheit:
			q.SurfaceTempC = new(math.Round((t.high-32)/1.8*10) / 10)
		}
	}
	q.WarmWater = p.has("warm")
}

// check refuses figures that cannot be, by name, and keeps the rest. A fish that is
// reported was seen: one over the greatest size of its species stays, for whoever
// keeps the report to ask back about (Oversized).
func check(m *Meaning) {
	for i := -1; i < len(m.More); i++ {
		q := &m.Query
		if i >= 0 {
			q = &m.More[i]
		}
		m.Problems = append(m.Problems, checkFish(q)...)
		if m.Kind != Report {
			m.Problems = append(m.Problems, CheckSize(q)...)
		}
	}
}

// The most that is believed of any fish here.
const (
	// MaxDepthM is in metres.
	MaxDepthM = 1000
	maxKg     = 300
	maxCm     = 400
	maxCount  = 60
	// overlong is how far over the record a length may be: records understate.
	overlong = 1.25
)

func checkFish(q *advisor.Query) []Problem {
	var list []Problem
	refuse := func(field string, code advisor.NoteCode, figures []float64, words ...string) {
		list = append(list, Problem{field, advisor.Note{Code: code, Figures: figures, Words: words}})
	}
	if q.DepthM != nil && *q.DepthM > MaxDepthM {
		refuse("depth_m", TooDeep, []float64{*q.DepthM})
		q.DepthM, q.DepthRangeM = nil, nil
	}
	if q.DepthM != nil && *q.DepthM <= 0 {
		refuse("depth_m", NotPositive, nil, "0")
		q.DepthM, q.DepthRangeM = nil, nil
	}
	if q.WeightKg != nil && *q.WeightKg > maxKg {
		refuse("weight_kg", TooHeavy, []float64{*q.WeightKg})
		q.WeightKg = nil
	}
	if q.WeightKg != nil && *q.WeightKg <= 0 {
		refuse("weight_kg", NotPositive, nil, "0")
		q.WeightKg = nil
	}
	if q.LengthCm != nil && *q.LengthCm <= 0 {
		refuse("length_cm", NotPositive, nil, "0")
		q.LengthCm, q.LengthType = nil, ""
	}
	if q.LengthCm != nil && *q.LengthCm > maxCm {
		refuse("length_cm", TooLong, []float64{*q.LengthCm, maxCm}, AnyFish)
		q.LengthCm, q.LengthType = nil, ""
	}
	if q.Count > maxCount {
		refuse("count", TooMany, []float64{float64(q.Count)})
		q.Count = 1
	}
	return list
}

// CheckSize refuses a weight or a length that the species, where it is sure, does not
// reach: no advice is given on such a figure. It returns what it refused.
func CheckSize(q *advisor.Query) (list []Problem) {
	s := advisor.LookUp(q.Species)
	if s == nil || q.Ambiguous {
		return nil
	}
	if q.WeightKg != nil && tooHeavyFor(s, *q.WeightKg) {
		list = append(list, Problem{"weight_kg", advisor.Note{
			Code: TooHeavyForSpecies, Figures: []float64{*q.WeightKg, s.MaxWeightKg()}, Words: []string{s.EnglishName},
		}})
		q.WeightKg = nil
	}
	if q.LengthCm != nil && tooLongFor(s, *q.LengthCm) {
		list = append(list, Problem{"length_cm", advisor.Note{
			Code: TooLong, Figures: []float64{*q.LengthCm, s.MaxLengthCm}, Words: []string{s.EnglishName},
		}})
		q.LengthCm, q.LengthType = nil, ""
	}
	return list
}

// Oversized is true for a fish over the greatest size that its species is known to
// reach; kg and cm may be nil.
func Oversized(s *advisor.Species, kg, cm *float64) bool {
	return kg != nil && tooHeavyFor(s, *kg) || cm != nil && tooLongFor(s, *cm)
}

func tooHeavyFor(s *advisor.Species, kg float64) bool {
	limit := s.MaxWeightKg()
	return limit > 0 && kg > limit
}

func tooLongFor(s *advisor.Species, cm float64) bool {
	return s.MaxLengthCm > 0 && cm > overlong*s.MaxLengthCm
}
