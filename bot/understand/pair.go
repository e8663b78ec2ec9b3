package understand

import (
	"cmp"
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed data/pairs.csv
var pairsCSV []byte

// pair is two kinds of words that together mean something wherever they stand in
// a clause: an eye and "out", "mandé" and "al fondo". People put the fish, its size
// or an adverb between them, so a list of whole phrases would never end.
type pair struct {
	first, second, concept string
	// reach is how many tokens may lie between; pairs of higher priority are read
	// before nearer ones.
	reach, priority int
	// inOrder pairs have the second word after the first.
	inOrder bool
}

var pairs = sync.OnceValue(func() (list []pair) {
	for _, row := range mustRows(pairsCSV) {
		list = append(list, pair{row[0], row[1], row[2], int(parse(row[3])), int(parse(row[4])), row[5] == "after"})
	}
	return list
})

// partPrefix begins the concepts in the table of words that mean something only
// in a pair; their words may end in * for any ending.
const partPrefix = "part:"

// parts are the words of pairs, whole and by their stem.
type parts struct{ whole, stem map[string][]string }

func (x parts) add(concept, text string) {
	if stem, ok := strings.CutSuffix(text, "*"); ok {
		x.stem[stem] = append(x.stem[stem], concept)
		return
	}
	x.whole[text] = append(x.whole[text], concept)
}

// shortestStem is the length of the shortest stem that is looked for.
const shortestStem = 4

// of lists what a word may be in a pair.
func (x parts) of(word string) []string {
	if list := x.whole[word]; list != nil {
		return list
	}
	for n := len(word); n >= shortestStem; n-- {
		if list := x.stem[word[:n]]; list != nil {
			return list
		}
	}
	return nil
}

// match is a pair found at two tokens.
type match struct {
	pair
	a, b int
}

func (m match) from() int { return min(m.a, m.b) }
func (m match) gap() int  { return max(m.a, m.b) - m.from() }

// findPairs reads the pairs, the nearest first, and marks their words as used.
func findPairs(tokens []token) []hit {
	roles := map[string][]int{}
	for i, t := range tokens {
		if t.kind == tokenWord && !t.used && !isOtherwise(tokens, i) {
			for _, part := range book().parts.of(t.text) {
				roles[part] = append(roles[part], i)
			}
		}
	}
	var hits []hit
	for _, m := range matched(tokens, roles) {
		if tokens[m.a].used || tokens[m.b].used {
			continue
		}
		negated := isNegated(tokens, m.from(), nil) || deniedBetween(tokens, m.from(), m.from()+m.gap())
		for _, i := range []int{m.from(), m.from() + m.gap()} {
			use(tokens, i, i+1)
			hits = append(hits, hit{m.concept, negated, i, i + 1})
		}
	}
	return hits
}

// isOtherwise is true for a word of a pair that the next word gives another meaning: "gut
// hooked", "out 3 minutes", "out of the water".
func isOtherwise(tokens []token, i int) bool {
	switch next := word(tokens, i+1); tokens[i].text {
	case "gut", "gill", "lip", "throat", "stomach", "mouth":
		return next == "hooked" || next == "hook"
	case "out":
		timed := i+1 < len(tokens) && tokens[i+1].kind == tokenNumber
		ofWater := next == "of" && (word(tokens, i+2) == "water" || word(tokens, i+2) == "the" && word(tokens, i+3) == "water")
		return timed || ofWater || next == "for" || isNumberWord(next)
	}
	return false
}

// matched lists every two words that may be a pair, best first.
func matched(tokens []token, roles map[string][]int) []match {
	var list []match
	for _, p := range pairs() {
		for _, a := range roles[p.first] {
			for _, b := range roles[p.second] {
				m := match{p, a, b}
				if a != b && (a < b || !p.inOrder) && m.gap()-1 <= p.reach && !broken(tokens, m.from(), m.from()+m.gap()) {
					list = append(list, m)
				}
			}
		}
	}
	slices.SortStableFunc(list, func(x, y match) int {
		return cmp.Or(y.priority-x.priority, x.gap()-y.gap())
	})
	return list
}

// broken is true when a clause ends between two tokens.
func broken(tokens []token, from, to int) bool {
	for i := from + 1; i < to; i++ {
		switch mark(tokens, i) {
		case ",", ";", ".", ":", "\n", "(", ")", "!", "?":
			return true
		}
	}
	return false
}

func deniedBetween(tokens []token, from, to int) bool {
	for i := from + 1; i < to; i++ {
		if book().negates[word(tokens, i)] && !isInThe(tokens, i) {
			return true
		}
	}
	return false
}
