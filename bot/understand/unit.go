package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// dimension is what a quantity measures.
type dimension string

const (
	depth      dimension = "depth"  // metres
	weight     dimension = "weight" // kilograms
	ounces     dimension = "ounces" // a fish or a release weight, in ounces
	length     dimension = "length" // centimetres
	minutes    dimension = "minutes"
	celsius    dimension = "celsius"
	fahrenheit dimension = "fahrenheit"
)

// unit is one way to write a unit.
type unit struct {
	dim    dimension
	factor float64
}

//go:embed data/units.csv
var unitsCSV string

var units = sync.OnceValue(func() map[string]unit {
	table := map[string]unit{}
	for _, row := range mustRows(unitsCSV) {
		table[row[0]] = unit{dimension(row[1]), parse(row[2])}
	}
	return table
})

// readUnit reads the unit after a number.
func readUnit(tokens []token, n number) (u unit, next int, ok bool) {
	i := n.next
	if mark(tokens, i) == "-" && i+1 < len(tokens) && tokens[i].touches(tokens[i+1]) && tokens[i-1].touches(tokens[i]) {
		i++ // "5-pound"
	}
	if i >= len(tokens) || tokens[i].used {
		return unit{}, n.next, false
	}
	t := tokens[i]
	if t.kind == tokenMark && t.text == "°" && i+1 < len(tokens) {
		u, ok := units()["°"+tokens[i+1].text]
		return u, i + 2, ok
	}
	if word(tokens, i) == "deg" || word(tokens, i) == "degrees" {
		u, ok := units()["deg"+word(tokens, i+1)]
		return u, i + 2, ok
	}
	u, ok = units()[t.text]
	if !ok {
		u, ok = misspeltUnit(t)
	}
	if !ok || !unitFits(tokens, i, t, u) {
		return unit{}, n.next, false
	}
	return u, i + 1, true
}

// misspeltUnit is the unit of a word with its last letter typed again, "3 kgg", or of a
// long one with a letter off: "55 fathm".
func misspeltUnit(t token) (unit, bool) {
	w := t.text
	if t.kind != tokenWord || len(w) < 3 || listed().known[w] {
		return unit{}, false
	}
	if once := strings.TrimRight(w, w[len(w)-1:]) + w[len(w)-1:]; once != w {
		if u, ok := units()[once]; ok && len(once) > 1 {
			return u, true
		}
	}
	if len(w) < longUnit-1 || theNameBook().knows(w) {
		return unit{}, false
	}
	for _, long := range longUnits() {
		if long[0] == w[0] && typos(long, w) == 1 {
			return units()[long], true
		}
	}
	return unit{}, false
}

var longUnits = sync.OnceValue(func() (list []string) {
	for w := range units() {
		if len(w) >= longUnit && w[0] < utf8.RuneSelf {
			list = append(list, w)
		}
	}
	slices.Sort(list)
	return list
})

// unitFits keeps short words from being units where they are something else:
// "40 in 60 feet", "5 c", "#2".
func unitFits(tokens []token, i int, t token, u unit) bool {
	glued := tokens[i-1].touches(t)
	switch {
	case t.text == "in":
		after := word(tokens, i+1)
		follows := i+1 < len(tokens) && tokens[i+1].kind == tokenNumber && !isOunces(word(tokens, i+2)) // "22 in 40 oz"
		return glued || !(after == "the" || after == "a" || after == "my" || after == "about" || after == "around" || isNumberWord(after) || follows)
	case (t.text == "c" || t.text == "f") && !glued:
		return aboutWater(tokens)
	case t.text == "c" || t.text == "f" || t.text == "k" || t.text == "#" || t.text == "'" || t.text == `"`:
		return glued || t.text == `"`
	case t.text == "pes" || t.text == "once" || t.text == "livre":
		return u.factor > 0
	}
	return true
}

func isOunces(w string) bool { return units()[w].dim == ounces }

// aboutWater is true when the temperature of the water may be meant.
func aboutWater(tokens []token) bool {
	for _, t := range tokens {
		switch t.text {
		case "water", "temp", "temperature", "surface", "sst":
			return true
		}
	}
	return false
}

// settle picks the reading of a number such as "1,200": thousands where the
// other reading would be absurd for the unit.
func settle(n number, u unit) float64 {
	big, ok := thousands(n.raw)
	if !ok {
		return n.value
	}
	small := u.dim == weight && u.factor == 0.001 || u.dim == length && u.factor < 1 || u.dim == depth && u.factor < 1
	if small || u.dim == depth {
		return big
	}
	return n.value
}

func isPounds(raw string) bool {
	return strings.Contains(raw, "lb") || strings.Contains(raw, "pound") || strings.Contains(raw, "#") || strings.Contains(raw, "libra") || strings.Contains(raw, "livre")
}
