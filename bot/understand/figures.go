package understand

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
)

// figure takes the value of a tagged run of words.
func (h *hearing) figure(s span) {
	if s.tag == "weights_used_oz" && h.isWeighed(s) {
		s.tag = "weight_kg"
	}
	h.found = h.quantities(s)
	h.noteUnits(s)
	switch s.tag {
	case "name":
		h.name(s)
	case "count":
		if h.isOrdinal(s.from) {
			return
		}
		if h.isNoCount(s) {
			h.keepBare(s)
		} else if n, ok := h.countIn(s); ok {
			h.each(s, func(f *Fish) { f.Query.Count, f.Counted = n, true })
		}
	case "depth_m":
		h.depth(s)
	case "weight_kg":
		h.measure(s, h.weightIn, func(f *Fish, x float64) { f.Query.WeightKg = &x })
	case "length_cm":
		h.length(s)
	case "minutes_on_deck":
		h.measure(s, h.minutesIn, func(f *Fish, x float64) { f.Query.MinutesOnDeck = &x })
	case "release_depth_m":
		h.measure(s, h.depthIn, func(f *Fish, x float64) { f.Done.ReleaseDepthM = &x })
	case "weights_used_oz":
		used := h.ouncesIn(s)
		if h.saysBoth(s) {
			h.together, used = true, nil
			h.each(s, func(f *Fish) { f.Pick = PickTogether })
		}
		if len(used) == 1 && len(h.found) == 0 {
			h.bareUsed = true
		}
		h.sameUsed = h.sameUsed || len(used) == 0 && slices.ContainsFunc(h.tokens[s.from:s.to], func(t token) bool { return sames[t.text] })
		h.each(s, func(f *Fish) { f.Done.WeightsOz = append(f.Done.WeightsOz, used...) })
	case "aboard_oz":
		if len(h.found) == 1 && h.isTackleBefore(h.found[0]) && !h.saysLead() {
			return // "my jig is 8 oz"
		}
		h.aboard.ReleaseOz = append(h.aboard.ReleaseOz, h.ouncesIn(s)...)
	case "aboard_lead_g":
		h.aboard.LeadG = append(h.aboard.LeadG, h.gramsIn(s)...)
	case "tag":
		if tag := h.tagIn(s); tag != "" && (s.sure > hardlySure || listed().tag[word(h.tokens, s.from-1)]) {
			h.each(s, func(f *Fish) { f.Done.Tag = tag })
		}
	case "day":
		h.day = h.dayIn(s)
	}
}

// isWeighed is true for a weight that is that of the fish which the words before it point at:
// "the dead one was 9 lb", "o morto pesava 6 kg".
func (h *hearing) isWeighed(s span) bool {
	at := s.from
	for at < s.to && weighings[word(h.tokens, at)] {
		at++
	}
	end := at
	for at--; at > 0 && (nears[word(h.tokens, at)] || weighings[word(h.tokens, at)]); at-- {
	}
	return at+1 < end && weighings[word(h.tokens, at+1)] && slices.ContainsFunc(h.points, func(p pointer) bool {
		return p.to == at+1 && !p.which.Other && p.which.Nth == 0 && !p.which.Last
	})
}

// weighings stand between a fish and its weight, nears before a figure that is not exact.
var (
	weighings = wordSet("was is were weighed era fue pesaba peso pesava foi tinha etait pesait faisait cetait")
	nears     = wordSet("about like maybe around roughly near nearly closer to unos uns cerca de quase casi environ presque como")
)

// twos are words for all of two.
var twos = wordSet("both dos two deux dois duas ambas ambos 2")

// saysBoth is true for words for a weight that tell no figure but that it was both of them:
// "pusimos las dos".
func (h *hearing) saysBoth(s span) bool {
	if len(h.found) > 0 {
		return false // "dos pesas de 2 lb"
	}
	for i := s.from; i < s.to; i++ {
		if twos[h.tokens[i].text] && !ofs[word(h.tokens, i-1)] { // not "con la de dos"
			_, one := h.quantityAt(i)
			last := i+1 >= len(h.tokens) || h.tokens[i+1].kind != tokenNumber && !isNumberWord(h.tokens[i+1].text)
			return !one && last
		}
	}
	return false
}

// hardlySure is the chance below which a tag of a fish is not believed: it is no tag, as a
// rule, and a tag is for ever.
const hardlySure = 0.3

// measure sets a figure of each fish, or keeps a bare number for an answer.
func (h *hearing) measure(s span, read func(span) (float64, bool), set func(*Fish, float64)) {
	if x, ok := read(s); ok {
		h.each(s, func(f *Fish) { set(f, x) })
		return
	}
	h.keepBare(s)
}

// keepBare remembers a figure without a unit with the role that the words give it.
func (h *hearing) keepBare(s span) {
	if h.isRelative(s) {
		return
	}
	for i := s.from; i < s.to; i++ {
		if n, ok := readNumberAt(h.near, i); ok && n.value > 0 {
			h.unitless = append(h.unitless, unitless{s, h.bareAs(n, i, s)})
			return
		}
	}
}

// bareAs is the figure at token i, with the role of its span and its rival.
func (h *hearing) bareAs(n number, i int, s span) Bare {
	b := Bare{Value: n.value, Role: s.tag, Words: h.typed(i, min(n.next, len(h.tokens))), Sure: float64(s.sure)}
	if s.from < len(h.scores.Rivals) {
		r := h.scores.Rivals[s.from]
		b.Other, b.OtherSure = r.Label, float64(r.Chance)
	}
	if other := otherSize[b.Role]; other != "" && h.act == ActQuestion && b.OtherSure < openSize && h.endsPiece(n.next) {
		b.Other, b.OtherSure = other, openSize // no unit tells the two apart
	}
	switch verb := h.verbBefore(i); {
	case lengthVerbs[verb]:
		return Bare{Value: b.Value, Role: "length_cm", Words: b.Words, Sure: 1}
	case sizeVerbs[verb] && b.Role == "depth_m":
		b.Sure = 0 // a size, as a rule, or else what it is nearest to
	}
	return b
}

// otherSize is the other measure of the size of a fish, openSize the chance of it where a figure
// has no unit.
var otherSize = map[string]string{"weight_kg": "length_cm", "length_cm": "weight_kg"}

const openSize = 0.5

// verbBefore is the word before a figure, or before the words that say that it is about so.
func (h *hearing) verbBefore(i int) string {
	for i--; nears[word(h.tokens, i)]; i-- {
	}
	return word(h.tokens, i)
}

// lengthVerbs tell how long a fish was, sizeVerbs how big.
var (
	lengthVerbs = wordSet("measured measures mesurait mesure midio mide media medida mediu mede medindo")
	sizeVerbs   = wordSet("faisait fait daba marcaba")
)

// unitless is a figure without a unit, and where it stands.
type unitless struct {
	span
	Bare
}

// lendUnits gives a figure without a unit that of the others of its kind in the message:
// "120 ft, let him off at 100". What stays without one waits for an answer. A second depth
// beside one with its unit is a size: "60 ft, weighs 12" is no fish from 12 ft.
func (h *hearing) lendUnits() {
	for _, u := range h.unitless {
		factor := h.unitOf(u.Role)
		if factor == 0 {
			h.bare = append(h.bare, u.Bare)
			continue
		}
		if u.Role == "depth_m" && h.act == ActQuestion && h.tellsDepth(u.span) {
			u.Role, u.Other, u.OtherSure = "weight_kg", "length_cm", 1
			h.bare = append(h.bare, u.Bare)
			continue
		}
		x := u.Value * factor
		h.each(u.span, func(f *Fish) {
			if at := f.Figure(u.Role); at != nil {
				*at = &x
			}
		})
	}
}

// likeSiblings takes a figure without a unit of one of several alike, that seems its depth, for
// its size, where that of another is told and is like it: "two lakers, 6 lb and like 11".
func (h *hearing) likeSiblings(figures []span) {
	for i, s := range figures {
		x, bare := h.bareIn(s)
		if s.tag != "depth_m" || !bare || len(s.fish) != 1 || h.isNamed(figures, s.fish) && h.tellsAnyDepth() {
			continue
		}
		for _, o := range figures {
			if o.tag != "weight_kg" && o.tag != "length_cm" || len(o.fish) != 1 || o.fish[0] == s.fish[0] || o.to > s.from {
				continue
			}
			own := slices.ContainsFunc(figures, func(f span) bool { return f.tag == o.tag && slices.Equal(f.fish, s.fish) })
			if n, ok := readNumberAt(h.tokens, o.from); ok && !own && x < alikeSizes*n.value && n.value < alikeSizes*x {
				figures[i].tag = o.tag
			}
		}
	}
}

// tellsAnyDepth is true where a depth is told with its unit.
func (h *hearing) tellsAnyDepth() bool {
	return slices.ContainsFunc(h.everyQuantity(), func(q quantity) bool { return q.dim == depth })
}

// alikeSizes is how many times the size of one of several alike is that of another at most.
const alikeSizes = 4

// bareIn is the figure of a span that has no unit; false where it has one, or there is none.
func (h *hearing) bareIn(s span) (float64, bool) {
	n, ok := readNumberAt(h.tokens, s.from)
	for i := s.from; i < s.to; i++ {
		ok = ok && !h.isMeasured(i)
	}
	return n.value, ok
}

// isNamed is true for a fish that one of the figures names.
func (h *hearing) isNamed(figures []span, fish []int) bool {
	return slices.ContainsFunc(figures, func(f span) bool { return f.tag == "name" && slices.Equal(f.fish, fish) })
}

// tellsDepth is true where a depth was told of the fish of a span.
func (h *hearing) tellsDepth(s span) (told bool) {
	h.each(s, func(f *Fish) { told = told || f.Query.DepthM != nil })
	return told
}

// unitOf is the factor of the unit that figures of a kind have in this message, 0 where
// there is none, or more than one.
func (h *hearing) unitOf(role string) float64 {
	if role == "minutes_on_deck" {
		return 0
	}
	return h.unitIn(dimensionsOf[role]...)
}

// unitIn is the factor of the only unit in which something is told, 0 for none or several.
func (h *hearing) unitIn(dims ...dimension) float64 {
	factor := 0.0
	for _, dim := range dims {
		for _, f := range h.unitsSaid[dim] {
			if factor != 0 && f != factor {
				return 0
			}
			factor = f
		}
	}
	return factor
}

// noteUnits remembers the units that the figures of a span are told in.
func (h *hearing) noteUnits(s span) {
	if h.unitsSaid == nil {
		h.unitsSaid = map[dimension][]float64{}
	}
	if strings.HasPrefix(s.tag, "aboard") || s.tag == "weights_used_oz" {
		return // lead says nothing of fish
	}
	for _, q := range h.found {
		if u, ok := units()[h.near[q.to-1].text]; ok && u.dim == q.dim {
			h.unitsSaid[q.dim] = append(h.unitsSaid[q.dim], u.factor)
		}
	}
}

// quantities are those that stand in a span, with the unit right behind it: what stands
// elsewhere does not reach into it.
func (h *hearing) quantities(s span) []quantity {
	end := s.to
	if _, ok := units()[word(h.tokens, end)]; ok && !h.isUsed(end) {
		end++
	}
	from := h.numberFrom(s, end)
	h.near = slices.Clone(h.tokens)
	use(h.near, 0, from)
	use(h.near, end, len(h.near))
	mendNumbers(h.near[from:end])
	mendUnits(h.near[from:end], dimensionsOf[s.tag])
	found, _ := findQuantities(h.folded.text, slices.Clone(h.near))
	return found
}

// numberFrom is where the number of a span begins: before it, where the words for it do so and
// say nothing else: "one | forty feet".
func (h *hearing) numberFrom(s span, end int) int {
	for _, q := range h.everyQuantity() {
		if q.from >= s.from || q.to <= s.from || q.to > end || h.tokens[s.from].kind != tokenWord {
			continue
		}
		if h.free(q.from, s.from) && !isNumberWord(word(h.tokens, q.from-1)) {
			return q.from
		}
	}
	return s.from
}

// dimensionsOf are what the figure of a tag is measured in.
var dimensionsOf = map[string][]dimension{
	"depth_m": {depth}, "release_depth_m": {depth}, "weight_kg": {weight, ounces}, "length_cm": {length}, "minutes_on_deck": {minutes},
	"weights_used_oz": {ounces, weight}, "aboard_oz": {ounces, weight}, "aboard_lead_g": {ounces, weight},
}

// mendNumbers writes the word for a number for one inside a figure that is two letters off
// it at most: "two hundrad pounds".
func mendNumbers(tokens []token) {
	const short, long = 5, 7
	for i := 1; i+1 < len(tokens); i++ {
		w := tokens[i].text
		if _, unit := units()[w]; unit || tokens[i].kind != tokenWord || len(w) < short || isNumberWord(w) {
			continue
		}
		if n := nearestWord(w, long, numberNames(), nil); n != "" {
			tokens[i].text = n
		}
	}
}

// nearestWord is the word that w is a slip of: with its first letter, a letter off at most,
// two where w has so many letters; skip leaves some out. "" if none.
func nearestWord(w string, long int, words []string, skip func(string) bool) string {
	best, distance := "", 2
	if len(w) >= long {
		distance = 3
	}
	for _, candidate := range words {
		if candidate[0] != w[0] || skip != nil && skip(candidate) {
			continue
		}
		if d := typos(candidate, w); d < distance {
			best, distance = candidate, d
		}
	}
	return best
}

// numberNames are the words for numbers in order.
var numberNames = sync.OnceValue(func() []string { return slices.Sorted(maps.Keys(spokenNumbers())) })

// mendUnits writes the unit of that dimension for a word behind a number that is a letter
// or two off one: the words around have told what the number is.
func mendUnits(tokens []token, dims []dimension) {
	for i := 1; i < len(tokens); i++ {
		t := tokens[i]
		number := tokens[i-1].kind == tokenNumber || tokens[i-1].kind == tokenWord && isNumberWord(tokens[i-1].text)
		if !number || t.kind != tokenWord || len(dims) == 0 || isNumberWord(t.text) {
			continue
		}
		if u, ok := units()[t.text]; ok && slices.Contains(dims, u.dim) && t.text != "in" {
			continue
		}
		if t.text == "in" && dims[0] == length {
			tokens[i].text = "inch"
			continue
		}
		if w := nearestUnit(t.text, dims); w != "" {
			tokens[i].text = w
		}
	}
}

// nearestUnit is the unit of these dimensions that a word is a slip of, "" if none.
func nearestUnit(w string, dims []dimension) string {
	const short, long = 3, 6
	if len(w) < short {
		return ""
	}
	return nearestWord(w, long, unitNames(), func(name string) bool {
		return len(name) < short-1 || !slices.Contains(dims, units()[name].dim)
	})
}

// unitNames are the words for units in order.
var unitNames = sync.OnceValue(func() []string { return slices.Sorted(maps.Keys(units())) })

// in are the quantities with a unit that a span touches.
func (h *hearing) in(s span) []quantity {
	var list []quantity
	for _, q := range h.found {
		if q.from < s.to && q.to > s.from && !q.negative {
			list = append(list, q)
		}
	}
	return list
}

func (h *hearing) depth(s span) {
	for _, q := range h.in(s) {
		if q.dim != depth {
			continue
		}
		h.each(s, func(f *Fish) {
			high := q.high
			f.Query.DepthM, f.Query.DepthRangeM = &high, nil
			if q.ranged {
				f.Query.DepthRangeM = []float64{q.low, q.high}
			}
		})
		return
	}
	h.keepBare(s)
}

func (h *hearing) depthIn(s span) (float64, bool) {
	for _, q := range h.in(s) {
		if q.dim == depth {
			return q.high, true
		}
	}
	return 0, false
}

func (h *hearing) minutesIn(s span) (float64, bool) {
	for _, q := range h.in(s) {
		if q.dim == minutes {
			return q.high, true
		}
	}
	return 0, false
}

// length takes a length in any unit of length: of metres and feet too, since the words
// say that it is the fish.
func (h *hearing) length(s span) {
	for _, q := range h.in(s) {
		cm := q.high
		switch {
		case q.dim == depth:
			cm *= cmPerMetre
		case q.dim != length:
			continue
		}
		kind := h.lengthType(s)
		h.each(s, func(f *Fish) { f.Query.LengthCm, f.Query.LengthType = &cm, kind })
		return
	}
	if cm, ok := h.oneUnit(s, length, depth); ok {
		h.each(s, func(f *Fish) { f.Query.LengthCm = &cm })
		return
	}
	if kind := h.lengthType(s); kind != "" { // "43 FL" is told in centimetres
		for i := s.from; i < s.to; i++ {
			if n, ok := readNumberAt(h.near, i); ok && n.value >= shortestTyped {
				h.each(s, func(f *Fish) { f.Query.LengthCm, f.Query.LengthType = &n.value, kind })
				return
			}
		}
	}
	h.keepBare(s)
}

// shortestTyped is the least length in centimetres that is told by its type alone.
const shortestTyped = 15

// oneUnit reads a unit that nobody counted: "a metre long", "medio metro", in
// centimetres.
func (h *hearing) oneUnit(s span, dims ...dimension) (float64, bool) {
	for i := s.from; i < s.to; i++ {
		u, ok := units()[h.tokens[i].text]
		if !ok || !slices.Contains(dims, u.dim) || len(h.tokens[i].text) < 3 {
			continue
		}
		x := u.factor
		if u.dim == depth {
			x *= cmPerMetre
		}
		if i > 0 && halves[h.tokens[i-1].text] {
			x /= 2
		}
		return withHalf(h.tokens, number{value: 1, next: i + 1}).value * x, true
	}
	return 0, false
}

// halves are words for a half before a unit.
var halves = wordSet("half medio media meio meia demi")

const cmPerMetre = 100

// lengthType is how a length was measured, by the words in it and right around it.
func (h *hearing) lengthType(s span) advisor.LengthType {
	from, to := max(0, s.from-2), min(len(h.tokens), s.to+2)
	for i := from; i < to; i++ {
		for n := min(2, to-i); n > 0; n-- {
			for _, c := range lexicon().Phrases[h.phrase(i, i+n)] {
				if kind, ok := strings.CutPrefix(lexicon().Concepts[c], "length:"); ok {
					return advisor.LengthType(kind)
				}
			}
		}
	}
	return ""
}

// phrase are the folded words from to to, joined by blanks.
func (h *hearing) phrase(from, to int) string {
	words := make([]string, 0, to-from)
	for _, t := range h.tokens[from:to] {
		words = append(words, t.text)
	}
	return strings.Join(words, " ")
}

// countIn is a number of fish: "3", "two", "a couple", "both".
// isNoCount is true for a figure in digits that is all the message says, or that stands behind
// an article for one: an answer, or a fish told by its size.
func (h *hearing) isNoCount(s span) bool {
	if s.to != s.from+1 || h.tokens[s.from].kind != tokenNumber {
		return false
	}
	return len(h.tokens) == 1 || singles[word(h.tokens, s.from-1)] && isLast(h.tokens, s.to)
}

// isOrdinal is true for a figure with an ending that makes a place of it: "quillback 2nd".
func (h *hearing) isOrdinal(i int) bool {
	switch word(h.tokens, i+1) {
	case "st", "nd", "rd", "th":
		return h.tokens[i].kind == tokenNumber && h.tokens[i].touches(h.tokens[i+1])
	}
	return false
}

// singles are articles for one.
var singles = wordSet("el o le the")

// isLast is true where no noun follows: the words end, or go on with a word of no kind.
func isLast(tokens []token, i int) bool {
	w := word(tokens, i)
	return w == "" || joints[w] || w == "tho" || w == "though" || w == "one" || w == "pero"
}

func (h *hearing) countIn(s span) (int, bool) {
	for i := s.from; i < s.to; i++ {
		if n, ok := readNumberAt(h.near, i); ok && n.value >= 1 {
			return int(n.value), true
		}
		if n, ok := countWords[h.tokens[i].text]; ok {
			return n, true
		}
	}
	return 0, false
}

// countWords are words for a number of fish that are no numbers elsewhere.
var countWords = map[string]int{
	"a": 1, "an": 1, "another": 1, "un": 1, "una": 1, "uno": 1, "une": 1, "um": 1, "uma": 1, "otro": 1, "otra": 1, "outro": 1, "outra": 1,
	"both": 2, "pair": 2, "couple": 2, "ambos": 2, "ambas": 2, "par": 2, "pareja": 2, "paire": 2, "tous les deux": 2, "twins": 2, "twin": 2, "double": 2, "doubles": 2, "doblete": 2, "doble": 2, "dupla": 2,
	"casal": 2, "trio": 3, "triple": 3, "dozen": 12, "docena": 12, "duzia": 12, "douzaine": 12,
}

// tagIn is the number on a tag, as it stands there without blanks: all that hangs
// together around its figures, and short letters before them.
func (h *hearing) tagIn(s span) string {
	first := slices.IndexFunc(h.tokens[s.from:s.to], func(t token) bool { return t.kind == tokenNumber })
	if first < 0 {
		return ""
	}
	from := s.from + first
	to := from + 1
	for from > 0 && h.tokens[from-1].touches(h.tokens[from]) && (h.tokens[from-1].kind == tokenWord || h.tokens[from-1].text == "-") {
		from--
	}
	if w := word(h.tokens, from-1); from-1 >= s.from && len(w) > 0 && len(w) <= mostTagLetters && !tagLead[w] && !listed().tag[w] {
		from--
	}
	for to < len(h.tokens) && h.tokens[to-1].touches(h.tokens[to]) && (h.tokens[to].kind != tokenMark || h.tokens[to].text == "-" && to+1 < len(h.tokens) && h.tokens[to].touches(h.tokens[to+1])) {
		to++
	}
	for to < s.to && h.tokens[to].kind == tokenNumber {
		to++
	}
	tag := strings.ToUpper(strings.ReplaceAll(h.typed(from, to), " ", ""))
	if decimals.MatchString(tag) {
		return ""
	}
	return tag
}

// decimals is a figure that no tag bears: "13,4".
var decimals = regexp.MustCompile(`^[0-9]{1,3}[.,][0-9]$`)

// mostTagLetters is how many letters stand apart before the figures of a tag at most.
const mostTagLetters = 4

// tagLead are short words before the number of a tag.
var tagLead = wordSet("no num nr n number la el the le o a is was it es era de of et y e and")

// dayIn reads when it was; nil for words that no calendar knows.
func (h *hearing) dayIn(s span) *Day {
	text := fold(h.phrase(s.from, s.to))
	if days := daysIn(text, scan(text)); len(days) > 0 {
		return &days[0].Day
	}
	return nil
}
