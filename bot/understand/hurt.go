package understand

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed data/hurt.csv
var hurtCSV []byte

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

// putsBack is true for words that want back what was taken back.
func (h *hearing) putsBack() bool {
	text := " " + h.phrase(0, len(h.tokens)) + " "
	for _, p := range putBackPhrases {
		if strings.Contains(text, " "+p+" ") {
			return true
		}
	}
	return false
}

// putBackPhrases ask for a report that was taken back.
var putBackPhrases = []string{
	"put it back", "put that back", "put back", "bring it back", "bring that back", "restore it", "restore that", "restore the last", "undo the undo", "undo that undo", "redo", "wasnt wrong", "keep it after all", "add it back", "add that back", "back in the log",
	"vuelve a ponerlo", "ponlo otra vez", "ponlo de nuevo", "recuperalo", "recupera el", "recuperala", "deshaz el deshacer", "restauralo", "devuelvelo al registro",
	"poe de volta", "bota de volta", "coloca de volta", "volta a por", "recupera", "repoe", "repor", "restaura",
	"remets le", "remets la", "remets ca", "retablis", "restaure", "remettre le rapport", "annule l annulation",
}
