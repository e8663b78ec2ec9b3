package advisor

import (
	_ "embed"
	"math"
	"slices"
	"strings"
	"sync"
)

// Modifier is one thing told of a fish that published numbers tie to its fate.
type Modifier struct {
	// Kind is hazard (added), factor (on the whole hazard), logit (of death, per
	// unit), float (on the logit of failing to submerge), seen (the thing itself) or
	// degree.
	Kind string
	// Size is the effect, SD its standard deviation: on the ln scale for a hazard
	// and a factor, as it is for a logit.
	Size, SD float64
	// Beyond and UpTo bound the units that count, for a logit.
	Beyond, UpTo float64
	// Study is the citation in a few words, Source what was read there.
	Study, Source string
}

//go:embed data/modifiers.csv
var modifiersCSV string

// Modifiers returns everything told of a fish that moves its odds, by name. Outward
// signs count for little and differ by kind: a row "signs NAME" stands for one species.
// That no sign was seen takes nothing off.
var Modifiers = sync.OnceValue(func() map[string]Modifier {
	table := map[string]Modifier{}
	mustReadRows("modifiers", modifiersCSV, func(r *tableRow) {
		table[r.text("modifier")] = Modifier{
			Kind: r.text("kind"), Size: r.number("size"), SD: r.number("sd"), Beyond: r.number("beyond"), UpTo: r.number("up_to"),
			Study: r.text("study"), Source: r.text("source"),
		}
	})
	return table
})

// modifierSet is the table by field, for the answer that must not wait: a look-up by
// name for each would cost more than the reckoning.
type modifierSet struct {
	gut, gill, foul, bleeding, minutes, warmth, warmTold, predators Modifier
	floating, strong, weak, signs, signsFloat, sentDown             Modifier
	signsOf                                                         map[string]Modifier
}

// modifiers is the set, read once. A name missing from the table would give an empty
// modifier; a test reads every one of them.
var modifiers = sync.OnceValue(func() *modifierSet {
	t := Modifiers()
	set := &modifierSet{
		gut: t["gut"], gill: t["gill"], foul: t["foul"], bleeding: t["bleeding"], minutes: t["minutes"],
		warmth: t["warmth"], warmTold: t["warm_told"], predators: t["predators"], floating: t["floating"],
		strong: t["strong"], weak: t["weak"], signs: t["signs"], signsFloat: t["signs_float"], sentDown: t["sent_down"],
		signsOf: map[string]Modifier{},
	}
	for name, m := range t {
		if species, ok := strings.CutPrefix(name, "signs "); ok {
			set.signsOf[species] = m
		}
	}
	return set
})

// signsHazard is the hazard that outward signs add in this species.
func (s *modifierSet) signsHazard(species *Species) Modifier {
	if species != nil {
		if m, ok := s.signsOf[species.ScientificName]; ok {
			return m
		}
	}
	return s.signs
}

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
		s.factor, s.lnFactor, s.factorSD, s.told = m.foul.Size, math.Log(m.foul.Size), m.foul.SD, true
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
	c.seen(m, s)
}

// seen takes in how the fish swims, which moves its chance to get down by itself, and
// its outward signs where there is gas behind them.
func (c *Case) seen(m *modifierSet, s *situation) {
	if !s.gas {
		return
	}
	switch c.Behaviour {
	case Strong:
		s.lean(m.strong)
	case Weak:
		s.lean(m.weak)
	}
	if c.tellingSigns() {
		s.lean(m.signsFloat)
		s.add(m.signsHazard(c.Species))
	}
}

// tellingSigns is true when a sign was seen that moves the odds.
func (c *Case) tellingSigns() bool { return slices.ContainsFunc(c.Signs, Sign.MovesOdds) }

// MovesOdds is true for the signs that studies tie to the fate of the fish: stomach out or
// eyes bulging. A swollen belly, skin bubbles or a gut hung out behind foretold nothing
// where they were looked at apart (Hall et al. 2014).
func (s Sign) MovesOdds() bool { return s == EvertedStomach || s == BulgingEyes }

// lean moves the logit of failing to submerge.
func (s *situation) lean(m Modifier) {
	s.float += m.Size
	s.floatSD += m.SD
}

// add takes in a hazard; of several, the relative spreads are averaged by size, as if
// their errors went together: the cautious way, for the same few studies stand
// behind them.
func (s *situation) add(m Modifier) {
	if m.Size == 0 {
		return
	}
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

// moved lists what was told of the fish that moved its odds, with the study behind each.
func (c *Case) moved() (notes []Note) {
	m := modifiers()
	add := func(when bool, code NoteCode, by Modifier) {
		if when {
			notes = append(notes, Note{Code: code, Words: []string{by.Study}})
		}
	}
	gas := c.Species == nil || c.Species.trapsGas()
	add(gas && c.Behaviour == Floating, OddsFloating, m.floating)
	add(gas && c.Behaviour == Strong, OddsStrong, m.strong)
	add(gas && c.Behaviour == Weak, OddsWeak, m.weak)
	add(gas && c.tellingSigns() && m.signsHazard(c.Species).Size > 0, OddsSigns, m.signsHazard(c.Species))
	add(c.Hook == HookGut, OddsDeepHook, m.gut)
	add(c.Hook == HookGill, OddsDeepHook, m.gill)
	add(c.Hook == HookFoul, OddsFoulHook, m.foul)
	add(c.Bleeding, OddsBleeding, m.bleeding)
	add(c.MinutesOnDeck != nil && *c.MinutesOnDeck > m.minutes.Beyond, OddsMinutes, m.minutes)
	add(c.WarmWater || c.SurfaceTempC != nil && *c.SurfaceTempC > m.warmth.Beyond, OddsWarm, m.warmth)
	add(c.Predators, OddsPredators, m.predators)
	return notes
}
