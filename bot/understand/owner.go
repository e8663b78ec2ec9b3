package understand

import (
	"slices"
	"strconv"

	"deepward/bot/understand/learned"
)

// owners puts right of which fish of a list the figures are said: those that stand by the names
// in turn go with the names, and words such as "the first" or "on both" give what they are said
// with to the fish they mean.
func (h *hearing) owners() {
	names := h.namesAt()
	h.nobodys(names)
	h.namedApart(names)
	h.listed(names)
	h.counted(names)
	n := len(h.owning())
	if n < 2 {
		return
	}
	h.sharedDeed()
	after := 0
	if len(names) > 0 {
		after = names[len(names)-1]
	}
	given := map[int]bool{}
	for k, p := range h.points {
		from, to := h.pieceOf(k)
		switch target := p.which.among(n, given); {
		case p.which.Each:
			if h.isOn(p) {
				h.own(from, to, learned.AllFish)
			} else if h.beginsPiece(p.from) {
				h.own(from, h.untilName(from, to), learned.AllFish)
			} else if p.to == len(h.tokens) || h.isBreak(p.to) { // "ojos saltones los dos"
				h.own(h.pieceBefore(p.from), p.to, learned.AllFish)
			}
		case target >= 0 && p.from > after && len(names) > 1:
			h.own(from, to, strconv.Itoa(target))
			given[target] = true
		}
	}
	h.repeated(names)
	h.otherOfKind(names)
	h.jointly(names)
}

// nobodys gives a name that the learned reader gave to no fish to that which is told of next.
func (h *hearing) nobodys(names []int) {
	for _, at := range names {
		if len(names) > 1 && !isTag(h.scores.Tags[learned.Whose][at]) {
			h.ownedLikeNext(at, at+len(h.nameWords(at)))
		}
	}
}

// namedApart gives names of different fish that the learned reader took for one each its own,
// where it heard as many fish, or a figure of a kind stands by each: "a scamp and I got a red
// hind, scamp's 5 lb, hind is 1", "7 lb snowy, 4 lb tile".
func (h *hearing) namedApart(names []int) {
	owning := slices.Sorted(slices.Values(h.owning()))
	if len(names) < 2 || len(names) >= len(learned.FishTags) || len(names) != len(owning) && !h.isMeasuredInTurn(names) || !h.areDifferent(names) {
		return
	}
	for k, at := range names {
		h.own(at, at+len(h.nameWords(at)), strconv.Itoa(k))
	}
}

// isMeasuredInTurn is true where a figure of a kind stands by each name.
func (h *hearing) isMeasuredInTurn(names []int) bool {
	return slices.ContainsFunc(measuredTags, func(tag string) bool { return h.inTurn(names, tag) != nil })
}

// measuredTags are the tags of what is measured of a fish.
var measuredTags = []string{"depth_m", "weight_kg", "length_cm"}

// areDifferent is true for names of different fish, by what they mean, that were taken for one.
func (h *hearing) areDifferent(names []int) bool {
	whose := h.scores.Tags[learned.Whose]
	var taxa []string
	for _, at := range names {
		name := h.typed(at, at+len(h.nameWords(at)))
		if called := h.called[at]; called != "" {
			name = called
		}
		found := Resolve(name, h.setting)
		if whose[at] != whose[names[0]] || len(found.Taxa) == 0 || slices.Contains(taxa, found.Taxa[0]) {
			return false
		}
		taxa = append(taxa, found.Taxa[0])
	}
	return true
}

// counted gives a count to the name right behind it: "2 lingcod".
func (h *hearing) counted(names []int) {
	whose, figures := h.scores.Tags[learned.Whose], h.scores.Tags[learned.Figures]
	for _, at := range names {
		if at > 0 && figures[at-1] == "B-count" && whose[at] != "O" {
			whose[at-1] = whose[at]
		}
	}
}

// namesAt is where each name of the message begins.
func (h *hearing) namesAt() (list []int) {
	for i, t := range h.scores.Tags[learned.Figures] {
		if t == "B-name" {
			list = append(list, i)
		}
	}
	return list
}

// owning are the fish that something is said of, as the learned reader numbers them.
func (h *hearing) owning() (list []string) {
	for _, w := range h.scores.Tags[learned.Whose] {
		if w != "O" && w != learned.AllFish && w != learned.NoFish && !slices.Contains(list, w) {
			list = append(list, w)
		}
	}
	return list
}

// listed gives each figure of a list of fish to the name it stands by, where there are as many
// of its kind as names, one by each. Of more fish than the learned reader can number, all goes
// to the name before it.
func (h *hearing) listed(names []int) {
	if len(names) < 2 || h.hasUnnamed(names) {
		return
	}
	whose, figures := h.scores.Tags[learned.Whose], h.scores.Tags[learned.Figures]
	inOrder := true
	for k, at := range names {
		inOrder = inOrder && whose[at] == strconv.Itoa(k)
	}
	if len(names) >= len(learned.FishTags) || !inOrder && h.isList(names) {
		for k, at := range names {
			to := len(h.tokens)
			if k+1 < len(names) {
				to = names[k+1]
			}
			h.own(at, to, strconv.Itoa(k))
		}
		return
	}
	if !inOrder {
		return
	}
	for _, tag := range measuredTags {
		at := h.inTurn(names, tag)
		if at == nil {
			at = h.inRow(names, tag)
		}
		for k, at := range at {
			for i := at; i < len(figures) && (i == at || figures[i] == "I-"+tag); i++ {
				whose[i] = strconv.Itoa(k)
			}
		}
	}
}

// hasUnnamed is true where the learned reader heard more fish than have a name, and one name of
// all of them: "two beeliners, one good, one floated, and a trigger".
func (h *hearing) hasUnnamed(names []int) bool {
	whose := h.scores.Tags[learned.Whose]
	return len(h.owning()) > len(names) && slices.ContainsFunc(names, func(at int) bool { return whose[at] == learned.AllFish })
}

// ofUnnamed narrows what is said of all fish, from a name of all on to the next name, to those
// that have no name of their own.
func (h *hearing) ofUnnamed(spans []span) []span {
	names := h.namesAt()
	if len(names) < 2 || !h.hasUnnamed(names) {
		return spans
	}
	whose := h.scores.Tags[learned.Whose]
	var unnamed []int
	for _, w := range h.owning() {
		n, err := strconv.Atoi(w)
		if err == nil && !slices.ContainsFunc(names, func(at int) bool { return whose[at] == w }) {
			unnamed = append(unnamed, n)
		}
	}
	for i, s := range spans {
		k := slices.IndexFunc(names, func(at int) bool { return at > s.from }) - 1
		if k < -1 {
			k = len(names) - 1
		}
		if s.fish == nil && whose[names[max(0, k)]] == learned.AllFish {
			spans[i].fish = slices.Clone(unnamed)
		}
	}
	return spans
}

// isList is true for names with a depth behind each, or each joined to the one before by a
// word for and: they are as many fish.
func (h *hearing) isList(names []int) bool {
	if at := h.inTurn(names, "depth_m"); at != nil && at[0] > names[0] {
		return true
	}
	for _, at := range names[1:] {
		before := word(h.tokens, at-1)
		if ones[before] || before == "a" || isNumberWord(before) {
			before = word(h.tokens, at-2)
		}
		if !ands[before] {
			return false
		}
	}
	return true
}

// ands join fish in a list.
var ands = wordSet("and n plus y e et")

// inTurn is where the figures of a kind begin, one by each name, all behind or all before
// theirs; nil where they do not stand so.
func (h *hearing) inTurn(names []int, tag string) []int {
	var at []int
	for i, t := range h.scores.Tags[learned.Figures] {
		if t == "B-"+tag {
			at = append(at, i)
		}
	}
	if len(at) != len(names) {
		return nil
	}
	behind := at[0] > names[0]
	for k := range at {
		if at[k] > names[k] != behind || behind && k+1 < len(names) && at[k] > names[k+1] || !behind && k > 0 && at[k] < names[k-1] {
			return nil
		}
	}
	return at
}

// inRow is where the figures of a kind begin that stand in a row behind all names, as many as
// these, joined as the parts of a list are: "a starry and a gopher, 130 ft and 60 ft"; else nil.
func (h *hearing) inRow(names []int, tag string) []int {
	var at []int
	figures, last := h.scores.Tags[learned.Figures], names[len(names)-1]
	for i := last; i < len(figures); i++ {
		switch {
		case figures[i] == "B-"+tag:
			at = append(at, i)
		case len(at) == 0 || len(at) == len(names) || figures[i] == "I-"+tag:
		case mark(h.tokens, i) == "," || mark(h.tokens, i) == "/" || ands[word(h.tokens, i)]:
		default:
			return nil
		}
	}
	if len(at) != len(names) {
		return nil
	}
	return at
}

// own says of which fish words are.
func (h *hearing) own(from, to int, whose string) {
	tags := h.scores.Tags[learned.Whose]
	for i := from; i < min(to, len(tags)); i++ {
		tags[i] = whose
	}
}

// among is the place of the fish meant among n, none of those that were given something
// already; -1 where it is none for sure.
func (w Which) among(n int, given map[int]bool) int {
	switch {
	case w.Nth > 0 && w.Nth <= n:
		return w.Nth - 1
	case w.Last:
		return n - 1
	case w.Other && len(given) == n-1:
		for i := range n {
			if !given[i] {
				return i
			}
		}
	}
	return -1
}

// untilName is where the first name between two places begins, else the second of them.
func (h *hearing) untilName(from, to int) int {
	for _, at := range h.namesAt() {
		if at >= from && at < to {
			return at
		}
	}
	return to
}

// ontos stand before a word for the fish that something was done with: "16 oz on the other".
var ontos = wordSet("on to for onto al pal a para en pro pra no na nos nas au aux sur pour chez")

// isOn is true where what goes before is said of the fish meant: "20 oz on all of them".
func (h *hearing) isOn(p pointer) bool {
	before := word(h.tokens, p.from-1)
	return ontos[before] && !definite[before] || definite[before] && ontos[word(h.tokens, p.from-2)] || h.tokens[p.from].text == "al" || h.tokens[p.from].text == "pal"
}

// pieceOf are the words that the k-th pointer is said of: those before it where it stands with
// "on" or "for", else those behind it.
func (h *hearing) pieceOf(k int) (from, to int) {
	p := h.points[k]
	if h.isOn(p) {
		from = h.pieceBefore(p.from)
		if k > 0 {
			from = max(from, h.points[k-1].to)
		}
		return from, p.to
	}
	to = p.to
	for to < len(h.tokens) && !(h.isBreak(to) && h.tellsSoFar(p.to, to)) && (k+1 == len(h.points) || to < h.points[k+1].from) {
		to++
	}
	return p.from, to
}

// pieceBefore is where the piece of the message begins that a word ends or stands in.
func (h *hearing) pieceBefore(at int) int {
	for at > 0 && !h.isBreak(at-1) {
		at--
	}
	return at
}

// isBreak is true for a mark that ends a piece of a message.
func (h *hearing) isBreak(i int) bool {
	switch mark(h.tokens, i) {
	case ",", ".", ";", ":", "!":
		return true
	}
	return false
}

// tellsSoFar is true where something is tagged of the words so far.
func (h *hearing) tellsSoFar(from, to int) bool { return h.tells(share{from, to}) }
