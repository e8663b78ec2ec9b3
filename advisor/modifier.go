package advisor

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"strconv"
	"sync"
)

// Modifier is one thing told of a fish that published numbers tie to its fate.
type Modifier struct {
	// Kind is hazard (added), factor (on the whole hazard), logit (of death, per
	// unit) or degree.
	Kind string
	// Size is the effect, SD its standard deviation: on the ln scale for a hazard
	// and a factor, as it is for a logit.
	Size, SD float64
	// Beyond and UpTo bound the units that count, for a logit.
	Beyond, UpTo float64
	Source       string
}

//go:embed data/modifiers.csv
var modifiersCSV []byte

// Modifiers returns everything told of a fish that moves its odds, by name. What
// is not in it (the outward signs, a strong or weak fish) is words, not a factor:
// the studies contradict each other or give no numbers.
var Modifiers = sync.OnceValue(func() map[string]Modifier {
	rows, err := csv.NewReader(bytes.NewReader(modifiersCSV)).ReadAll()
	if err != nil {
		panic("advisor: embedded table of modifiers: " + err.Error())
	}
	table := make(map[string]Modifier, len(rows))
	for _, row := range rows[1:] {
		table[row[0]] = parseModifier(row)
	}
	return table
})

// parseModifier reads one row; an empty cell is 0.
func parseModifier(row []string) Modifier {
	var x [4]float64
	for i := range x {
		cell := row[2+i]
		if cell == "" {
			continue
		}
		v, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			panic("advisor: embedded table of modifiers: " + row[0] + ": " + err.Error())
		}
		x[i] = v
	}
	return Modifier{Kind: row[1], Size: x[0], SD: x[1], Beyond: x[2], UpTo: x[3], Source: row[6]}
}

// modifierSet is the table by field, for the answer that must not wait: eight
// look-ups by name would cost more than the reckoning.
type modifierSet struct {
	gut, gill, foul, bleeding, minutes, warmth, warmTold, predators Modifier
}

// modifiers is the set, read once. A name missing from the table would give an empty
// modifier; a test reads every one of them.
var modifiers = sync.OnceValue(func() modifierSet {
	t := Modifiers()
	return modifierSet{t["gut"], t["gill"], t["foul"], t["bleeding"], t["minutes"], t["warmth"], t["warm_told"], t["predators"]}
})

// adjust takes in what was told of the fish. A hook in lip or mouth is what the
// studies mostly saw, and so changes nothing; a temperature in figures goes before
// the word "warm".
func (c *Case) adjust(s *situation) {
	m := modifiers()
	s.factor = 1
	switch c.Hook {
	case HookGut:
		s.add(m.gut)
	case HookGill:
		s.add(m.gill)
	case HookFoul:
		s.factor, s.factorSD, s.told = m.foul.Size, m.foul.SD, true
	}
	if c.Bleeding {
		s.add(m.bleeding)
	}
	if c.Predators {
		s.add(m.predators)
	}
	if c.MinutesOnDeck != nil {
		s.shift(m.minutes, *c.MinutesOnDeck)
	}
	switch {
	case c.SurfaceTempC != nil:
		s.shift(m.warmth, *c.SurfaceTempC)
	case c.WarmWater:
		s.shift(m.warmth, m.warmTold.Size)
	}
}

// add takes in a hazard; of several, the relative spreads are averaged by size, as if
// their errors went together: the cautious way, for the same few studies stand
// behind them.
func (s *situation) add(m Modifier) {
	s.hazardSD = (s.hazard*s.hazardSD + m.Size*m.SD) / (s.hazard + m.Size)
	s.hazard += m.Size
	s.told = true
}

// shift moves the logit for the units beyond the modifier's start, and no further
// than its end: nobody studied an hour on deck.
func (s *situation) shift(m Modifier, units float64) {
	if units = min(units, m.UpTo) - m.Beyond; units > 0 {
		s.logit += m.Size * units
		s.logitSD += m.SD * units
		s.told = true
	}
}
