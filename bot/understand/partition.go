package understand

import (
	"slices"
	"strconv"
	"strings"

	"deepward/bot/understand/learned"
)

// ones are the words for one of several. They are articles in some languages, so they count
// only where a piece begins.
var ones = wordSet("one uno una um uma un une")

// joints stand before a piece that tells of one of several.
var joints = wordSet("and y e et then plus with con com avec but pero mas mais the")

// share is a piece of a message that tells of some of several alike.
type share struct{ from, to int }

// partition gives the words of each piece that tells of one of several alike to a fish of
// its own, where the learned reader heard one fish: "two reds, one with popped eyes, the
// other one fine".
func (h *hearing) partition() {
	if h.partOf() {
		return
	}
	if !h.oneFish() {
		h.partitionNamed()
		return
	}
	all := share{0, len(h.tokens)}
	named := len(h.namesAt()) > 1
	shares := h.shares(all, named)
	switch {
	case len(shares) == 1 && h.oneOf(all, shares[0]):
		one := shares[0]
		h.own(all.from, all.to, "0")
		h.doneWithAll(one.from)
		h.own(one.from, one.to, "1")
	case len(shares) > 1:
		h.apart(all, shares)
	}
}

// apart gives each piece of a message to a fish of its own, in their order.
func (h *hearing) apart(all share, shares []share) {
	h.dropCounts(all.from, shares[0].from)
	h.own(all.from, all.to, "0")
	h.doneWithAll(shares[0].from)
	for k, s := range shares {
		h.own(s.from, s.to, strconv.Itoa(k))
		if h.countsEnd(s.from) {
			h.scores.Tags[learned.Figures][s.from] = "B-count"
		}
	}
}

// dropCounts takes away counts before the pieces: how many they are in all is no count of the
// first.
func (h *hearing) dropCounts(from, to int) {
	figures := h.scores.Tags[learned.Figures]
	for i := from; i < min(to, len(figures)); i++ {
		if figures[i] == "B-count" || figures[i] == "I-count" {
			figures[i] = "O"
		}
	}
}

// partitionNamed does so for each name of several of which more than one was counted: "two
// beeliners, one good, one floated, and a trigger".
func (h *hearing) partitionNamed() {
	names, before := h.namesAt(), h.freshOwner()
	for k := range names {
		all := h.pieceOfName(names, k)
		if h.ownerOf(all) == "" || h.countBefore(all, all.to) < 0 {
			continue
		}
		shares := h.shares(all, false)
		switch {
		case len(shares) == 1 && h.oneOf(all, shares[0]):
		case len(shares) > 1:
			h.dropCounts(all.from, shares[0].from)
			shares = shares[1:]
		default:
			continue
		}
		for _, s := range shares {
			h.own(s.from, s.to, h.freshOwner())
		}
	}
	if h.freshOwner() != before {
		h.renumber()
	}
}

// freshOwner is a number that no fish of the message has yet.
func (h *hearing) freshOwner() string {
	next := 0
	for _, w := range h.owning() {
		if n, err := strconv.Atoi(w); err == nil {
			next = max(next, n+1)
		}
	}
	return strconv.Itoa(next)
}

// pieceOfName are the words from the k-th name, or the count before it, to the next.
func (h *hearing) pieceOfName(names []int, k int) share {
	begin := func(at int) int {
		if at > 0 && (isNumberWord(h.tokens[at-1].text) || h.tokens[at-1].kind == tokenNumber) {
			return at - 1
		}
		return at
	}
	s := share{begin(names[k]), len(h.tokens)}
	if k+1 < len(names) {
		s.to = begin(names[k+1])
	}
	return s
}

// ownerOf is the one fish that something in a piece is said of; "" where it is none or several.
func (h *hearing) ownerOf(s share) (owner string) {
	whose := h.scores.Tags[learned.Whose]
	for _, w := range whose[min(s.from, len(whose)):min(s.to, len(whose))] {
		if w == "O" || w == learned.AllFish || w == learned.NoFish {
			continue
		}
		if owner != "" && w != owner {
			return ""
		}
		owner = w
	}
	return owner
}

// renumber numbers the fish anew in the order in which they are told.
func (h *hearing) renumber() {
	whose := h.scores.Tags[learned.Whose]
	order := h.owning()
	for i, w := range whose {
		if k := slices.Index(order, w); k >= 0 {
			whose[i] = strconv.Itoa(k)
		}
	}
}

// oneOf is true for a piece that tells of one of several, counted before it, as in "three reds,
// one with popped eyes": that count is one then, whatever it was heard as.
func (h *hearing) oneOf(all, s share) bool {
	if !ones[h.tokens[s.from].text] || !h.tellsOfFish(s) {
		return false
	}
	i := h.countBefore(all, s.from)
	if i >= 0 {
		h.scores.Tags[learned.Figures][i] = "B-count"
	}
	return i >= 0
}

// countBefore is where two or more fish are counted in a piece before a place; -1 for nowhere.
func (h *hearing) countBefore(all share, to int) int {
	figures := h.scores.Tags[learned.Figures]
	for i := all.from; i < min(to, len(figures)); i++ {
		counts := figures[i] == "B-count" || !isTag(figures[i]) && i+1 < len(figures) && figures[i+1] == "B-name"
		if n, ok := readNumberAt(h.tokens, i); counts && ok && n.value >= 2 {
			return i
		}
	}
	return -1
}

// tellsOfFish is true for a piece that tells how a fish is, how big, or how it went.
func (h *hearing) tellsOfFish(s share) bool {
	for _, layer := range []learned.Layer{learned.States, learned.Ends} {
		if tags := h.scores.Tags[layer]; s.from < len(tags) && slices.ContainsFunc(tags[s.from:min(s.to, len(tags))], isTag) {
			return true
		}
	}
	figures := h.scores.Tags[learned.Figures]
	return s.from < len(figures) && slices.ContainsFunc(figures[s.from:min(s.to, len(figures))], func(t string) bool { return measures[t] })
}

// doneWithAll gives what was done, and with which weight, to all of several where it is told
// before the pieces that say how each went: "we sent both down on 3 lb, the big one went".
func (h *hearing) doneWithAll(to int) {
	figures, deeds, ends := h.scores.Tags[learned.Figures], h.scores.Tags[learned.Deeds], h.scores.Tags[learned.Ends]
	to = min(to, len(deeds))
	if slices.ContainsFunc(ends[:to], isTag) {
		return
	}
	done := func(i int) bool {
		return strings.Contains(deeds[i], "-method.") || strings.HasSuffix(figures[i], "-weights_used_oz")
	}
	for i := to; i < len(deeds); i++ {
		if done(i) || figures[i] == "B-name" {
			return // each has its own
		}
	}
	for i := range to {
		if done(i) {
			h.own(i, i+1, learned.AllFish)
		}
	}
}

// sharedDeed does so where the learned reader heard of which fish the ends are, and the words
// before the first of them single none out.
func (h *hearing) sharedDeed() {
	at := slices.IndexFunc(h.scores.Tags[learned.Ends], isTag)
	if at < 0 || !h.endsOfSeveral(at) {
		return
	}
	if at = h.pieceBefore(at); !h.singlesOut(at) {
		h.doneWithAll(at)
	}
}

// isTag is true for the tag of a word of which something is told.
func isTag(tag string) bool { return tag != "O" }

// endsOfSeveral is true where words from the first end on tell how another fish went.
func (h *hearing) endsOfSeveral(first int) bool {
	whose, ends := h.scores.Tags[learned.Whose], h.scores.Tags[learned.Ends]
	for i := first; i < len(ends); i++ {
		if ends[i][0] == 'B' && isTag(whose[i]) && whose[i] != whose[first] {
			return true
		}
	}
	return false
}

// singlesOut is true where the words before a place tell some fish from the others: by what
// points at it, by a second name, or by a count of part of those that were named.
func (h *hearing) singlesOut(to int) bool {
	figures := h.scores.Tags[learned.Figures]
	for i := range to {
		again := slices.Contains(figures[:i], "B-name")
		pointed := slices.ContainsFunc(h.points, func(p pointer) bool { return p.from == i && !p.which.Each })
		if pointed || again && (figures[i] == "B-name" || figures[i] == "B-count" && !h.isEach(i)) {
			return true
		}
	}
	return false
}

// isEach is true for words that mean all of them.
func (h *hearing) isEach(i int) bool {
	return slices.ContainsFunc(h.points, func(p pointer) bool { return p.which.Each && p.from <= i && i < p.to })
}

// shares are the pieces of all that tell something, each from the word that tells which fish it
// is of to the next such word; a name tells that too where named is true.
func (h *hearing) shares(all share, named bool) (list []share) {
	figures := h.scores.Tags[learned.Figures]
	for i := all.from; i < min(all.to, len(figures)); i++ {
		at := slices.IndexFunc(h.points, func(p pointer) bool { return p.from == i })
		begins := ones[h.tokens[i].text] && (h.beginsPiece(i) || i+1 < len(figures) && measures[figures[i+1]] || h.isBehindFigure(i))
		begins = begins || named && figures[i] == "B-name" || h.countsEnd(i)
		if at >= 0 {
			w := h.points[at].which
			begins = begins || !w.Each && w.Sign == "" && (w.Size == "" || h.isPointing(h.points[at]))
		}
		if !begins {
			continue
		}
		if len(list) > 0 {
			list[len(list)-1].to = i
		}
		list = append(list, share{i, all.to})
	}
	return slices.DeleteFunc(list, func(s share) bool { return !h.tells(s) })
}

// countsEnd is true for a number of fish that begins a piece of which the next word tells how
// they went: "two swam off, one floated".
func (h *hearing) countsEnd(i int) bool {
	ends, figures := h.scores.Tags[learned.Ends], h.scores.Tags[learned.Figures]
	if i+1 >= len(ends) || !isTag(ends[i+1]) || isTag(ends[i]) || h.isMeasured(i) || isTag(figures[i]) && figures[i] != "B-count" || !h.beginsPiece(i) {
		return false
	}
	n, ok := readNumberAt(h.tokens, i)
	return ok && n.value >= 2 && n.value == float64(int(n.value)) && n.value <= 9
}

// isBehindFigure is true right behind a figure with its unit: "two gags 150 ft one with ...".
func (h *hearing) isBehindFigure(i int) bool {
	return slices.ContainsFunc(h.everyQuantity(), func(q quantity) bool { return q.to == i })
}

// measures are the tags at which a figure begins that measures one fish: "one 10 lb, one 4 lb".
var measures = wordSet("B-weight_kg B-length_cm B-depth_m")

// isPointing is true for a size that stands for a fish: "the little one", "la grande": no
// name follows or goes before.
func (h *hearing) isPointing(p pointer) bool {
	figures := h.scores.Tags[learned.Figures]
	isName := func(i int) bool { return i >= 0 && i < len(figures) && figures[i] != "O" && figures[i] != "B-count" }
	return !isName(p.to) && !isName(p.from-1) && h.beginsPiece(p.from)
}

// beginsPiece is true for a word at the head of a piece of the message.
func (h *hearing) beginsPiece(i int) bool {
	before := word(h.tokens, i-1)
	return before == "" || joints[before] || definite[before]
}

// definite are words that stand before a word that points at a fish.
var definite = wordSet("the el la los las o a os as le les l un una um uma une")

// oneFish is true where all that is tagged was heard of one fish, of one name at most, or
// where the talk knows the names.
func (h *hearing) oneFish() bool {
	return len(h.owning()) <= 1 && (len(h.namesAt()) <= 1 || len(h.called) > 0)
}

// tells is true for a piece in which something of a fish is tagged.
func (h *hearing) tells(s share) bool {
	for _, layer := range []learned.Layer{learned.Figures, learned.States, learned.Deeds, learned.Ends} {
		tags := h.scores.Tags[layer]
		if s.from < len(tags) && slices.ContainsFunc(tags[s.from:min(s.to, len(tags))], func(t string) bool {
			return t != "O" && t != "B-count" && t != "I-count" && t != "B-name" && t != "I-name"
		}) {
			return true
		}
	}
	return false
}
