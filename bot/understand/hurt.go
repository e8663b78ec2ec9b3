package understand

import (
	_ "embed"
	"sync"
)

//go:embed data/hurt.csv
var hurtCSV string

// hurtWords are the words of somebody hurt: parts of people's bodies, whose they are, what
// harms, and phrases that say it alone.
type hurtWords struct{ body, whose, harm, alone map[string]bool }

var hurting = sync.OnceValue(func() hurtWords {
	w := hurtWords{map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}}
	role := map[string]map[string]bool{"body": w.body, "whose": w.whose, "harm": w.harm, "alone": w.alone}
	for _, row := range mustRows(hurtCSV) {
		role[row[1]][row[2]] = true
	}
	return w
})

// bodyReach is how many words may stand between whose it is and the part of the body.
const bodyReach = 2

// hurt is true when the words say that a person is hurt: a hook in a thumb, a sting. A
// fish has no hands, but "in his head" may be the hook of a fish: harm and a person's
// part have to be said both.
func (h *hearing) hurt() bool {
	w := hurting()
	harmed, whose := false, false
	for i, t := range h.tokens {
		for n := 1; n <= 4 && i+n <= len(h.tokens); n++ {
			if w.alone[h.phrase(i, i+n)] {
				return true
			}
		}
		harmed = harmed || w.harm[t.text]
		if !w.body[t.text] || h.byHand(i) {
			continue
		}
		for j := max(0, i-bodyReach); j < i; j++ {
			whose = whose || w.whose[h.tokens[j].text]
		}
	}
	return harmed && whose
}

// byHand is true where a hand is how something was done: "a mano", "à la main".
func (h *hearing) byHand(i int) bool {
	switch before := word(h.tokens, i-1); before {
	case "by", "a", "na", "em":
		return true
	case "la":
		return word(h.tokens, i-2) == "a"
	}
	return false
}
