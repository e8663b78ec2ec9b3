package understand

import (
	"slices"
	"strconv"
	"strings"
)

// clause is what was done with some of several fish of one kind: the "2 kept" of
// "3 gag 45 m: 2 kept, one sent down with 40 oz".
type clause struct {
	count int
	// from and to are its tokens, number the one that holds the count, -1 if none does.
	from, to, number int
}

// clauses are what was done with how many fish of a segment, where the words count
// them: nil where one thing was done with all, or where the counts do not add up.
func (p *parsing) clauses(s segment) []clause {
	if s.name < 0 {
		return nil
	}
	list := p.countedDeeds(s)
	total, counted, uncounted := p.counts[s.name], 0, -1
	for i, c := range list {
		counted += c.count
		if c.count == 0 {
			uncounted = i
		}
	}
	rest := total - counted
	switch {
	case counted == 0, total > 0 && rest < 0, uncounted >= 0 && rest < 1, total == 0 && len(list) < 2, rest == 0 && len(list) == 1:
		return nil
	case uncounted >= 0:
		list[uncounted].count = rest
	case rest > 0: // nothing is told of the others
		list = append(list, clause{count: rest, number: -1})
	}
	return list
}

// countedDeeds are the clauses of a segment: each begins with a deed that is counted,
// and the first one with any.
func (p *parsing) countedDeeds(s segment) (list []clause) {
	for _, h := range p.hits {
		deed := strings.HasPrefix(h.concept, "method:") || h.concept == "released"
		if !deed || h.negated || h.from < s.from || h.from >= s.to {
			continue
		}
		count, at := p.countOfDeed(h)
		if count == 0 && len(list) > 0 || len(list) > 0 && list[len(list)-1].number == at && at >= 0 {
			continue
		}
		if n := len(list); n > 0 && at >= h.to && list[n-1].number >= 0 && list[n-1].number == list[n-1].from {
			continue // "2 sent down 1 kept": who counts before the deed goes on so
		}
		from := h.from
		if at >= 0 {
			from = min(from, at)
		}
		if n := len(list); n > 0 {
			list[n-1].to = from
		}
		list = append(list, clause{count, from, s.to, at})
	}
	return list
}

// mostCounted is the greatest count of a deed: a larger figure is a depth without a unit.
const mostCounted = 20

// countOfDeed reads the number before a deed, "2 kept", or behind it, "kept 2".
func (p *parsing) countOfDeed(h hit) (count, at int) {
	if leadWords[word(p.tokens, h.from)] { // "avec un plomb" counts no fish
		return 0, -1
	}
	if n := p.smallNumber(h.from - 1); n > 0 {
		return n, h.from - 1
	}
	next := word(p.tokens, h.to+1)
	ends := h.to+1 >= len(p.tokens) || p.tokens[h.to+1].kind == tokenMark || next == "and" || next == "y" || next == "e" || next == "et" ||
		slices.ContainsFunc(p.hits, func(other hit) bool { return other.from == h.to+1 })
	if n := p.smallNumber(h.to); n > 0 && ends {
		return n, h.to
	}
	return 0, -1
}

// smallNumber is the count at a token that has no other meaning, 0 if there is none.
func (p *parsing) smallNumber(i int) int {
	if i < 0 || i >= len(p.tokens) || p.tokens[i].used {
		return 0
	}
	n := p.tokens[i].value
	if p.tokens[i].kind == tokenWord {
		n, _ = numberOf(p.tokens[i].text)
		if oneWords[p.tokens[i].text] {
			n = 1
		}
	}
	if n != float64(int(n)) || n < 1 || n > mostCounted {
		return 0
	}
	return int(n)
}

// clauseText is the words of one clause with those that hold for all fish of the
// segment: its count, the name, what stands before the first deed, and its own.
func (p *parsing) clauseText(s segment, c clause, first int) string {
	name := p.names[s.name]
	words := []string{strconv.Itoa(c.count), name.words}
	add := func(from, to int) {
		words = append(words, p.without(from, to, c.number, name)...)
	}
	add(s.from, first)
	add(c.from, c.to)
	return strings.Join(words, " ")
}

// without are the words from one token to another, but for dates, the count of a clause,
// the name and its count.
func (p *parsing) without(from, to, number int, name nameHit) (pieces []string) {
	start := from
	flush := func(end int) {
		if end > start {
			pieces = append(pieces, p.text[p.tokens[start].from:p.tokens[end-1].to])
		}
	}
	for i := from; i < to; i++ {
		dated := slices.ContainsFunc(p.days, func(d saidDay) bool { return i >= d.from && i < d.to })
		if dated || i == number || i >= name.from && i < name.to || p.countsName(i, name) {
			flush(i)
			start = i + 1
		}
	}
	flush(to)
	return pieces
}

// countsName is true for the number right before or behind a name that counts its fish.
func (p *parsing) countsName(i int, name nameHit) bool {
	before, at, end, ok := p.countSpan(name)
	return ok && before > 0 && i >= at && i < end
}

// countSpan is the count of a name and its tokens.
func (p *parsing) countSpan(name nameHit) (n, from, to int, ok bool) {
	for i := name.from - 1; i >= 0 && i >= name.from-3; i-- {
		t := p.tokens[i]
		if t.kind == tokenNumber && t.used && !p.isQuantity(i) || t.kind == tokenWord && isNumberWord(t.text) && t.used {
			return 1, i, name.from, true
		}
		if t.kind != tokenWord || word(p.tokens, i) != "x" && !countFiller[t.text] {
			break
		}
	}
	if word(p.tokens, name.to) == "x" && p.isFigure(name.to+1) {
		return 1, name.to, name.to + 2, true
	}
	return 0, 0, 0, false
}

func (p *parsing) isQuantity(i int) bool {
	return slices.ContainsFunc(p.found, func(q quantity) bool { return i >= q.from && i < q.to })
}
