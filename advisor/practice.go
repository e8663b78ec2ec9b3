package advisor

import (
	_ "embed"
	"math"
	"slices"
	"sync"
)

// Practice is what one public agency advises on when a fish is sent down. Agencies
// disagree, and a club may choose the one that its answers follow; whatever they advise,
// a fish that floats, is weak or shows a sign is sent down.
type Practice struct {
	// Key names it in data: "fwc", "pirsa".
	Key string
	// Agency is its name, Short what it is called for short, Year that of the page as seen.
	Agency, Short string
	Year          int
	// Every is true where every fish from FromM is sent down, signs or none; else the fish
	// is looked at first.
	Every bool
	// FromM is the depth in metres from which barotrauma is looked for; StrongToM the one
	// down to which a strong fish without signs is let go, +Inf where none is named, 0 where
	// every fish is sent down.
	FromM, StrongToM float64
	// Families are those it speaks of; none means all bottom fish.
	Families []string
	// Advice is what it says, in our words; Source where it was seen.
	Advice, Source string
}

// The depths at which the advice turns where no practice was chosen, in metres, as
// agencies and behaviour studies put them: signs begin at about 10 m (NSW and South
// Australia; 33 ft in the US Gulf), barotrauma is to be expected from about 20 m (every
// snapper deeper than 20 m in Butcher et al. 2012), and below that the gain begins.
const (
	SignsBeginM      = 10
	ExpectBarotrauma = 20
)

// OwnPractice is followed where no agency's was chosen, or the one chosen does not speak
// of that fish: signs first to 20 m, every fish that traps gas deeper.
var OwnPractice = Practice{FromM: SignsBeginM, StrongToM: ExpectBarotrauma}

//go:embed data/practices.csv
var practicesCSV string

// Practices returns what agencies advise, in the order of data/practices.csv. They are
// shared: do not change them.
var Practices = sync.OnceValue(func() (list []Practice) {
	mustReadRows("practices", practicesCSV, func(r *tableRow) {
		p := Practice{
			Key: r.text("practice"), Agency: r.text("agency"), Short: r.text("short"), Year: int(r.number("year")), Every: r.text("rule") == "every",
			FromM: r.number("from_m"), StrongToM: r.number("strong_to_m"), Families: r.list("families"),
			Advice: r.text("advice"), Source: r.text("source"),
		}
		switch {
		case p.Every:
			p.StrongToM = 0
		case p.StrongToM == 0:
			p.StrongToM = math.Inf(1)
		}
		list = append(list, p)
	})
	return list
})

// LooksFirst is true where an agency lets any fish go that was looked at and shows no sign.
func (p Practice) LooksFirst() bool { return !p.Every && p.Key != "" }

// PracticeOf returns the practice of that key for a fish; false, and OwnPractice, where
// there is none of that key or it does not speak of such fish.
func PracticeOf(key string, s *Species) (Practice, bool) {
	i := slices.IndexFunc(Practices(), func(p Practice) bool { return p.Key == key })
	if i < 0 || key == "" {
		return OwnPractice, false
	}
	p := Practices()[i]
	if len(p.Families) > 0 && (s == nil || !slices.Contains(p.Families, s.Family)) {
		return OwnPractice, false
	}
	return p, true
}
