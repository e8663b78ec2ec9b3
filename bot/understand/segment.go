package understand

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// segment is the part of a message that tells of one kind of fish.
type segment struct {
	from, to int // tokens
	name     int // index in parsing.names, -1 for none
}

// segments cuts a message between the names of different fish.
func (p *parsing) segments() []segment {
	if len(p.names) == 0 {
		return []segment{{0, len(p.tokens), -1}}
	}
	var list []segment
	from := 0
	for k := range p.names {
		if k > 0 && sameFish(p.names[k-1], p.names[k]) && !p.ownFigures(p.names[k-1].to, p.names[k].from) {
			continue
		}
		if k > 0 {
			cut := p.cutBefore(p.names[k-1].to, p.names[k].from)
			list[len(list)-1].to = cut
			from = cut
		}
		list = append(list, segment{from, len(p.tokens), k})
	}
	return list
}

func sameFish(a, b nameHit) bool {
	return len(a.Species) > 0 && len(b.Species) > 0 && a.Species[0] == b.Species[0]
}

// ownFigures is true when a quantity stands between two names and another after
// the second: then each has its own.
func (p *parsing) ownFigures(a, b int) bool {
	between := slices.ContainsFunc(p.found, func(q quantity) bool { return q.from >= a && q.from < b })
	after := slices.ContainsFunc(p.found, func(q quantity) bool { return q.from >= b })
	return between && after
}

// cutBefore finds where the words of the next fish begin: after the last
// separator before its name, at its count, or at the name.
func (p *parsing) cutBefore(from, name int) int {
	for i := name - 1; i >= from; i-- {
		if m := mark(p.tokens, i); m == "\n" || m == ";" {
			return i + 1
		}
	}
	for i := name - 1; i >= from; i-- {
		if p.isQuantity(i) {
			continue // "treinta y cinco metros" is one figure
		}
		switch w := word(p.tokens, i); {
		case w == "and" || w == "plus" || w == "then" || w == "also" || w == "y" || w == "e" || w == "et":
			return i + 1
		}
		if m := mark(p.tokens, i); m == "," || m == "." || m == "+" || m == "&" || m == "|" {
			return i + 1
		}
	}
	if n := name - 1; n >= from && p.tokens[n].kind == tokenNumber {
		return n
	}
	return name
}

// countFish reads how many fish stand before each name: "3 gag", "two yelloweye",
// "4 x gag", "gag x4". Such numbers are no longer bare.
func (p *parsing) countFish() {
	for k, h := range p.names {
		if n, from, to, ok := p.countBefore(h.from); ok {
			p.counts[k] = n
			p.dropBare(from, to)
			continue
		}
		if n, from, to, ok := p.countAfter(h.to); ok {
			p.counts[k] = n
			p.dropBare(from, to)
		}
	}
}

func (p *parsing) countBefore(name int) (n, from, to int, ok bool) {
	end := name
	for end > 0 && (word(p.tokens, end-1) == "x" || countFiller[word(p.tokens, end-1)]) {
		end--
	}
	i := end - 1
	if i < 0 || p.tokens[i].used {
		return 0, 0, 0, false
	}
	x := p.tokens[i].value
	if p.tokens[i].kind == tokenWord {
		x, ok = numberOf(p.tokens[i].text)
		if !ok {
			return 0, 0, 0, false
		}
	} else if p.tokens[i].kind != tokenNumber {
		return 0, 0, 0, false
	}
	return int(x), i, end, x == float64(int(x)) && x >= 1
}

// countFiller are words that may stand between a count and a name.
var countFiller = map[string]bool{
	"big": true, "small": true, "nice": true, "good": true, "more": true, "of": true, "little": true, "undersized": true, "short": true,
}

// countAfter reads "x4" anywhere behind a name.
func (p *parsing) countAfter(name int) (n, from, to int, ok bool) {
	for i := name; i+1 < len(p.tokens); i++ {
		if word(p.tokens, i) != "x" || p.tokens[i+1].kind != tokenNumber || p.tokens[i+1].used {
			continue
		}
		x := p.tokens[i+1].value
		return int(x), i, i + 2, x == float64(int(x)) && x >= 1
	}
	return 0, 0, 0, false
}

// dropBare takes numbers that got a meaning out of the bare ones.
func (p *parsing) dropBare(from, to int) {
	use(p.tokens, from, to)
	p.bare = slices.DeleteFunc(p.bare, func(q quantity) bool { return q.from >= from && q.from < to })
}

// oneWords say one of several.
var oneWords = map[string]bool{"one": true, "uno": true, "una": true, "un": true, "um": true, "uma": true, "une": true}

// ofOne is true for words about one of several: "one floated", "one floated off".
func (p *parsing) ofOne(h hit) bool {
	before := word(p.tokens, h.from-1)
	return oneWords[before] || before == "1" || oneWords[word(p.tokens, h.from)]
}

// oddOneOut splits "two yelloweye at 80 m, one floated off": one of the count
// has a state of its own.
func (p *parsing) oddOneOut(fish []advisor.Query) []advisor.Query {
	if len(fish) != 1 || fish[0].Count < 2 {
		return fish
	}
	for _, h := range p.hits {
		if p.ofOne(h) && !h.negated && strings.HasPrefix(h.concept, "behaviour:") {
			odd := fish[0]
			odd.Count = 1
			rest := fish[0]
			rest.Count--
			rest.Behaviour = ""
			return []advisor.Query{rest, odd}
		}
	}
	return fish
}
