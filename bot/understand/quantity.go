package understand

import (
	"iter"

	"deepward/advisor"
)

// mustRows reads a table of words that is compiled in, without its heading.
func mustRows[T string | []byte](table T) iter.Seq2[int, []string] {
	return advisor.Rows("words", table)
}

// quantity is a number with a unit, or a range of two.
type quantity struct {
	dim dimension
	// low and high are in the base unit of the dimension; equal if no range.
	low, high float64
	ranged    bool
	negative  bool
	// from and to are the tokens it took.
	from, to int
	raw      string
}

// findQuantities reads every number with a unit and marks its tokens as used;
// bare are the numbers that have none.
func findQuantities(text string, tokens []token) (found, bare []quantity) {
	for i := 0; i < len(tokens); {
		q, ok := readQuantity(text, tokens, i)
		switch {
		case ok && isTackle(tokens, q):
			use(tokens, q.from, q.to)
			i = q.to
		case ok:
			if n := len(bare); n > 0 && isListed(tokens, bare[n-1].to, q.from) && !q.ranged {
				found = append(found, sameUnit(text, tokens, bare[n-1], q))
				bare = bare[:n-1]
			}
			if n := len(bare); n > 0 && isPutRight(tokens, bare[n-1].to, q.from) && !q.ranged {
				found = append(found, sameUnit(text, tokens, bare[n-1], q))
				bare = bare[:n-1]
			} else {
				q = withHalfOfUnit(tokens, withTenths(tokens, withCentimetres(tokens, q)))
				found = append(found, q)
			}
			use(tokens, q.from, q.to)
			i = q.to
		case tokens[i].kind == tokenNumber && !tokens[i].used:
			n, _ := readNumberAt(tokens, i)
			b := quantity{low: n.value, high: n.value, from: i, to: n.next, raw: text[tokens[i].from:tokens[n.next-1].to]}
			k := len(found)
			switch {
			case k > 0 && continues(tokens, found[k-1], b):
				found = append(found, sameUnit(text, tokens, b, found[k-1]))
			case k > 0 && isTakenBack(tokens, found[k-1].to, b.from):
				use(tokens, b.from, b.to)
			default:
				bare = append(bare, b)
			}
			i = n.next
		default:
			i++
		}
	}
	return joinSmaller(found), bare
}

// isListed is true when only "and" stands between a number and a quantity: "55 and
// 60 cm". A comma would not do: "45, 3 kg" is a depth and a weight.
func isListed(tokens []token, from, to int) bool {
	w := word(tokens, from)
	return to == from+1 && (w == "and" || w == "y" || w == "e" || w == "et" || mark(tokens, from) == "&")
}

// isPutRight is true when a number and the quantity behind it are the right and the
// wrong one: "30 not 40 metres".
func isPutRight(tokens []token, from, to int) bool {
	if mark(tokens, from) == "," {
		from++
	}
	w := word(tokens, from)
	return to == from+1 && (w == "not" || w == "no" || w == "pas" || w == "nao")
}

// isTakenBack is true for a number that is denied right behind the quantity that is
// meant: "35 m not 53".
func isTakenBack(tokens []token, from, to int) bool {
	if w := word(tokens, from); mark(tokens, from) == "," || w == "e" || w == "y" || w == "et" || w == "and" {
		from++
	}
	return isPutRight(tokens, from, to)
}

// withTenths adds the tenths that stand behind a unit of weight: "3k5", "3kg5".
func withTenths(tokens []token, q quantity) quantity {
	if q.dim != weight || q.ranged || q.to >= len(tokens) {
		return q
	}
	t := tokens[q.to]
	u, known := units()[tokens[q.to-1].text]
	alone := q.to+1 >= len(tokens) || !t.touches(tokens[q.to+1])
	if !known || t.kind != tokenNumber || len(t.text) != 1 || !tokens[q.to-1].touches(t) || !alone {
		return q
	}
	q.low += t.value / 10 * u.factor
	q.high, q.to = q.low, q.to+1
	return q
}

// withCentimetres adds the centimetres that stand behind a metre: "1m80".
func withCentimetres(tokens []token, q quantity) quantity {
	if q.dim != depth || q.ranged || q.high > longestFishM || q.to >= len(tokens) {
		return q
	}
	t, m := tokens[q.to], tokens[q.to-1]
	alone := q.to+1 >= len(tokens) || !t.touches(tokens[q.to+1])
	if m.text != "m" || t.kind != tokenNumber || len(t.text) != 2 || t.text[0] == '.' || !m.touches(t) || !alone {
		return q
	}
	q.dim, q.low, q.to = length, 100*q.low+t.value, q.to+1
	q.high = q.low
	return q
}

const (
	// longestFishM is the longest that a fish is told to be in metres.
	longestFishM = 3
	// deeperThanLong is how many times its length a fish is caught deep at least.
	deeperThanLong = 6
)

// withHalfOfUnit adds the half that is said behind a unit: "2 kilos y medio".
func withHalfOfUnit(tokens []token, q quantity) quantity {
	n := withHalf(tokens, number{next: q.to})
	u, known := units()[tokens[q.to-1].text]
	if n.value == 0 || q.ranged || !known {
		return q
	}
	q.low += n.value * u.factor
	q.high, q.to = q.low, n.next
	return q
}

// continues is true for a number that goes on with the sizes of several fish: "one
// of 2 kg and another of 4".
func continues(tokens []token, q, b quantity) bool {
	if q.dim != weight && q.dim != length || q.ranged {
		return false
	}
	joined := false
	for i := q.to; i < b.from; i++ {
		switch word(tokens, i) {
		case "and", "y", "e", "et", "another", "other", "otro", "otra", "outro", "outra", "autre", "lautre":
			joined = true
		case "one", "un", "uno", "una", "um", "uma", "une", "de", "of", "the", "el", "la", "o", "a", "at":
		default:
			return false
		}
	}
	return joined && (b.to == len(tokens) || mark(tokens, b.to) != "")
}

// sameUnit gives a number of a list the unit of the quantity beside it.
func sameUnit(text string, tokens []token, b, q quantity) quantity {
	u := units()[tokens[q.to-1].text]
	b.dim, b.low, b.high = q.dim, b.low*u.factor, b.high*u.factor
	use(tokens, b.from, b.to)
	return b
}

func use(tokens []token, from, to int) {
	for i := from; i < to; i++ {
		tokens[i].used = true
	}
}

// readQuantity reads "45 m", "40-45 m", "between 40 and 50 m", "10 m to 15 m".
func readQuantity(text string, tokens []token, i int) (quantity, bool) {
	from := i
	between := word(tokens, i) == "between" || word(tokens, i) == "entre"
	if between {
		i++
	}
	first, ok := readNumberAt(tokens, i)
	if !ok {
		return readOneUnit(text, tokens, from)
	}
	u, next, hasUnit := readUnit(tokens, first)
	if whole, ok := shortHundred(tokens, i, first); ok && !hasUnit {
		first = whole
		u, next, hasUnit = readUnit(tokens, first)
	}
	if joiner, ok := readJoiner(tokens, next, between); ok {
		if q, ok := readRange(text, tokens, from, first, u, hasUnit, joiner); ok {
			return q, true
		}
	}
	if !hasUnit {
		return quantity{}, false
	}
	value := settle(first, u) * u.factor
	if half := withHalf(tokens, number{next: next}); half.value > 0 && value > 0 { // "1 kilo y medio"
		value, next = value+half.value*u.factor, half.next
	}
	q := quantity{dim: u.dim, low: value, high: value, from: from, to: next}
	return finish(text, tokens, q), true
}

// readOneUnit reads a weight that is told without a figure: "d'un kilo et demi",
// "de quilo e meio", "a pound and a half".
func readOneUnit(text string, tokens []token, i int) (quantity, bool) {
	from, one := i, oneOf[word(tokens, i)]
	if one {
		i++
	}
	u, known := units()[word(tokens, i)]
	if !known || tokens[i].used || u.dim != weight || len(word(tokens, i)) < 4 {
		return quantity{}, false
	}
	half := withHalf(tokens, number{value: 1, next: i + 1})
	after := word(tokens, half.next)
	ofWhat := (after == "of" || after == "de") && !leadWords[word(tokens, half.next+1)] // "a pound of squid"
	if half.value == 1 && (!one || ofWhat) {
		return quantity{}, false
	}
	value := half.value * u.factor
	return finish(text, tokens, quantity{dim: weight, low: value, high: value, from: from, to: half.next}), true
}

// oneOf are the words for one before a unit.
var oneOf = map[string]bool{"a": true, "un": true, "una": true, "dun": true, "dune": true, "une": true, "um": true, "uma": true}

// readJoiner reads what joins the ends of a range.
func readJoiner(tokens []token, i int, between bool) (next int, ok bool) {
	switch m := mark(tokens, i); m {
	case "-", "~", "/":
		if mark(tokens, i+1) == ">" {
			return i + 2, true
		}
		return i + 1, true
	}
	switch w := word(tokens, i); {
	case w == "to" || w == "a" || w == "à" || w == "ate" || w == "hasta" || w == "or" || w == "ou" || w == "o":
		return i + 1, true
	case between && (w == "and" || w == "y" || w == "e" || w == "et"):
		return i + 1, true
	}
	return 0, false
}

// readRange reads the far end of a range; its unit serves the near end too.
func readRange(text string, tokens []token, from int, first number, u unit, hasUnit bool, at int) (quantity, bool) {
	second, ok := readNumberAt(tokens, at)
	if !ok {
		return quantity{}, false
	}
	far, next, farUnit := readUnit(tokens, second)
	if !farUnit || hasUnit && far.dim != u.dim {
		return quantity{}, false
	}
	if !hasUnit {
		u = far
	}
	a, b := settle(first, u)*u.factor, settle(second, far)*far.factor
	if a <= 0 || b <= 0 || hasUnit && far.dim == depth && a <= longestFishM && b >= deeperThanLong*a {
		return quantity{}, false // "1,20 m a 40 m": a fish and its depth
	}
	q := quantity{dim: far.dim, low: min(a, b), high: max(a, b), ranged: a != b, from: from, to: next}
	return finish(text, tokens, q), true
}

// finish fills the raw text and the sign.
func finish(text string, tokens []token, q quantity) quantity {
	q.raw = text[tokens[q.from].from:tokens[q.to-1].to]
	if q.from > 0 && mark(tokens, q.from-1) == "-" && tokens[q.from-1].touches(tokens[q.from]) && !joined(tokens, q.from-1) {
		q.negative = true
		q.raw = "-" + q.raw
	}
	return q
}

// joined is true when a dash hangs on what stands before it, as in "gag-45m".
func joined(tokens []token, dash int) bool {
	return dash > 0 && tokens[dash-1].touches(tokens[dash])
}

// longUnit is the length from which a unit may be a letter off: shorter ones are near
// too many other words.
const longUnit = 6

// joinSmaller makes one weight of "2 lb 4 oz" and one time of "1 min 30 sec".
func joinSmaller(found []quantity) []quantity {
	out := found[:0]
	for _, q := range found {
		if n := len(out); n > 0 && q.from-out[n-1].to <= 1 && !out[n-1].ranged {
			if share, ok := smallerPart(out[n-1], q); ok {
				p := &out[n-1]
				p.low += share
				p.high, p.to = p.low, q.to
				p.raw += " " + q.raw
				continue
			}
		}
		out = append(out, q)
	}
	return out
}

// smallerPart is what ounces add to pounds, and seconds to minutes.
func smallerPart(whole, part quantity) (float64, bool) {
	switch {
	case whole.dim == weight && part.dim == ounces && part.high < 16 && isPounds(whole.raw):
		return part.high * kgPerOunce, true
	case whole.dim == minutes && part.dim == minutes && part.high < 1 && whole.high >= 1:
		return part.high, true
	default:
		return 0, false
	}
}

const kgPerOunce = advisor.GramsPerOunce / 1000
