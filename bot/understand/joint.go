package understand

import (
	"cmp"
	"slices"
	"strconv"

	"deepward/bot/understand/learned"
)

// joint is a piece that is said of several named fish together: "gag and red went down".
type joint struct {
	from, to int
	fish     []int
}

// jointly finds the pieces that begin with names of several fish, each of which was told before.
func (h *hearing) jointly(names []int) {
	whose := h.scores.Tags[learned.Whose]
	for i := 1; i+1 < len(whose); i++ {
		if !ands[word(h.tokens, i)] || !h.headsPiece(i-1) {
			continue
		}
		a, b := h.toldBefore(names, i-1), h.toldBefore(names, i+1)
		if a < 0 || b < 0 {
			continue
		}
		x, errX := strconv.Atoi(whose[names[a]])
		y, errY := strconv.Atoi(whose[names[b]])
		if errX == nil && errY == nil && x != y {
			h.joints = append(h.joints, joint{i + 2, h.endOfPiece(i + 2), []int{x, y}})
		}
	}
}

// headsPiece is true for a word with which a piece begins, an article before it or not.
func (h *hearing) headsPiece(i int) bool {
	if definite[word(h.tokens, i-1)] {
		i--
	}
	return word(h.tokens, i-1) == ""
}

// endOfPiece is where a piece of the message ends.
func (h *hearing) endOfPiece(i int) int {
	for i < len(h.tokens) && !h.isBreak(i) {
		i++
	}
	return i
}

// ofJoint gives what stands in such pieces to all that they are said of.
func (h *hearing) ofJoint(spans []span) []span {
	for i, s := range spans {
		for _, j := range h.joints {
			if s.from >= j.from && s.to <= j.to && len(s.fish) == 1 && slices.Contains(j.fish, s.fish[0]) {
				spans[i].fish = slices.Clone(j.fish)
			}
		}
	}
	return spans
}

// otherOfKind makes the other one of a kind of which several were counted a fish of its own,
// where the piece before told of one of them: "two scamp and a gag, one scamp went down, the
// other floated".
func (h *hearing) otherOfKind(names []int) {
	whose := h.scores.Tags[learned.Whose]
	for _, p := range h.points {
		if !p.which.Other || p.to >= len(whose) || isTag(h.figureAt(p.to)) && h.figureAt(p.to) != "B-count" {
			continue
		}
		kin := h.oneBefore(names, p.from)
		if kin < 0 {
			continue
		}
		fresh := whose[p.to] // of no name where the learned reader heard of it as well
		if _, err := strconv.Atoi(fresh); err != nil || slices.ContainsFunc(names, func(at int) bool { return whose[at] == fresh }) {
			fresh = h.freshOwner()
			h.own(p.from, h.endOfPiece(p.from), fresh)
		}
		if h.kin == nil {
			h.kin = map[string]string{}
		}
		h.kin[fresh] = whose[kin]
	}
}

// oneBefore is the name of which the piece before a place tells of one of several: "one scamp";
// -1 where it tells of none.
func (h *hearing) oneBefore(names []int, at int) int {
	from := h.pieceBefore(at)
	if !ones[word(h.tokens, from)] {
		from = h.pieceBefore(max(0, from-1))
	}
	if !ones[word(h.tokens, from)] {
		from++ // behind a word for "and"
	}
	if from+1 >= len(h.tokens) || !ones[word(h.tokens, from)] {
		return -1
	}
	for _, first := range names {
		if first == 0 || first >= from || !h.sameWords(from+1, h.nameWords(first)) {
			continue
		}
		if n, ok := readNumberAt(h.tokens, first-1); ok && n.value >= 2 {
			return first
		}
	}
	return -1
}

// likeKin gives those that were told apart so the name of their kind, and takes them off its
// count; used are the numbers that the groups had.
func (h *hearing) likeKin(used []int) {
	for fresh, kin := range h.kin {
		a, _ := strconv.Atoi(fresh)
		b, _ := strconv.Atoi(kin)
		i, k := slices.Index(used, a), slices.Index(used, b)
		if i < 0 || k < 0 {
			continue
		}
		f, of := &h.groups[i], &h.groups[k]
		done, capture := f.Done, f.Query.Capture
		capture.DepthM = cmp.Or(capture.DepthM, of.Query.DepthM)
		*f = *of
		f.Done, f.Query.Capture, f.Counted, f.Query.Count = done, capture, false, 1
		if of.Counted && of.Query.Count > 1 {
			of.Query.Count--
		}
	}
}

// partOf gives words that tell how it went with part of several alike to a fish of their own:
// "4 bocaccio went down, two of the four floated", "uno de ellos flotó". False where there are
// none.
func (h *hearing) partOf() bool {
	if len(h.namesAt()) > 1 {
		return false
	}
	for i := range h.tokens {
		to, ok := h.isPartAt(i)
		if !ok {
			continue
		}
		all := h.countBefore(share{0, len(h.tokens)}, i)
		if all < 0 {
			return false
		}
		figures := h.scores.Tags[learned.Figures]
		for k := i; k < to; k++ {
			figures[k] = "O"
		}
		figures[all], figures[i] = "B-count", "B-count"
		h.own(0, i, "0")
		h.doneWithAll(i)
		h.own(i, h.endOfPiece(to), "1")
		return true
	}
	return false
}

// isPartAt is true where a number of some of several begins, of which the next words tell how
// it went, and where these begin.
func (h *hearing) isPartAt(i int) (to int, ok bool) {
	n, counted := readNumberAt(h.tokens, i)
	if !counted && !ones[word(h.tokens, i)] || !h.beginsPiece(i) {
		return 0, false
	}
	to = max(i+1, n.next)
	if !ofs[word(h.tokens, to)] {
		return 0, false
	}
	for to++; definite[word(h.tokens, to)]; to++ {
	}
	of, counted := readNumberAt(h.tokens, to)
	if !counted && !thems[word(h.tokens, to)] || h.isMeasured(to) { // not "uno de 3 kg"
		return 0, false
	}
	to = max(to+1, of.next)
	ends := h.scores.Tags[learned.Ends]
	return to, to < len(ends) && slices.ContainsFunc(ends[to:min(to+2, len(ends))], isTag)
}

// thems are words for several that were told before.
var thems = wordSet("them em ellos ellas eles elas eux elles")
