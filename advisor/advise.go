package advisor

import (
	"math"
	"slices"
	"strings"
)

// Thresholds of the cautions; common practice, no source.
const (
	longOnDeckMin = 5
	bigFishKg     = 10
	leastPushM    = 1 // less is just pushing the fish under
	manyFish      = 3
	poorOdds      = 0.35
)

// Advise answers one question. It never fails: what it does not know it assumes
// and says so, and with no depth and nothing seen the action is ActNone.
func Advise(q Query) Advice {
	c := newCase(q)
	a := Advice{Species: c.species, WeightKg: c.kg, AboardOz: c.aboard(), Assumed: c.assumed}
	a.Action = c.decide(&a)
	if a.Action == ActRecompress {
		c.weigh(&a)
	}
	c.estimate(&a)
	c.caution(&a)
	return a
}

// fishCase is one question with what had to be assumed to answer it.
type fishCase struct {
	Query
	species *Species
	kg      float64
	gas     Gas
	assumed []Note
	mixed   bool
}

func newCase(q Query) *fishCase {
	c := &fishCase{Query: q}
	c.name()
	c.see()
	c.size()
	c.gas = c.species.Gas()
	if len(q.DepthRangeM) == 2 && q.DepthM != nil {
		c.assume(AssumedDeepEnd, *q.DepthM)
	}
	return c
}

func (c *fishCase) assume(code NoteCode, figures ...float64) {
	c.assumed = append(c.assumed, Note{Code: code, Figures: figures, Words: []string{c.species.EnglishName}})
}

// name settles on a species: the one named, the best of several, or the general
// closed-bladder bottom fish.
func (c *fishCase) name() {
	c.species = LookUp(c.Species)
	if c.species != nil && c.Given != "" && !c.Unfamiliar && !c.Ambiguous {
		c.assumed = append(c.assumed, Note{Code: AssumedSpelling, Words: []string{c.Given, c.species.EnglishName}})
	}
	switch {
	case c.species != nil && c.Unfamiliar:
		c.mixed = c.mixedBladders()
		c.assumed = append(c.assumed, Note{Code: AssumedKind, Words: []string{c.Given, c.species.EnglishName}})
	case c.species != nil && c.Ambiguous:
		c.mixed = c.mixedBladders()
		c.assume(AssumedSpecies)
	case c.species != nil && c.species.Bladder == BladderUnknown:
		c.assumed = append(c.assumed, Note{Code: AssumedBladder, Words: []string{c.species.EnglishName}})
	case c.species == nil && c.SpeciesName != "":
		c.species = General()
		c.assumed = append(c.assumed, Note{Code: AssumedGeneral, Words: []string{c.SpeciesName}})
	case c.species == nil:
		c.species = General()
		c.assumed = append(c.assumed, Note{Code: AssumedNoName})
	}
}

// see lets what is seen go before anatomy: a duct that is there may stay shut, as in grown
// eels (Pelster 2023) and lake trout from depth (Ng et al. 2015), and a fish that floats
// belly up or shows its stomach has not let its gas out.
func (c *fishCase) see() {
	shows := c.Behaviour == Floating || c.CameBack || c.Has(EvertedStomach)
	if !shows || c.species.Bladder != BladderOpen && c.species.Bladder != BladderReduced {
		return
	}
	seen := *c.species
	seen.Bladder, seen.BladderSource = BladderClosed, "seen: this fish has not let its gas out"
	c.species = &seen
	c.assume(AssumedTrapped)
}

// aboard are the release weights told, or the common two where nothing was told.
func (c *fishCase) aboard() []float64 {
	if c.told() {
		return c.WeightsAboardOz
	}
	return DefaultWeightsOz()
}

// TrapsGas is true when the gas cannot get out on the way up, and for a kind of which
// nobody knows: it is answered as the fish that nobody knows.
func (s *Species) TrapsGas() bool { return s.trapsGas() }

func (s *Species) trapsGas() bool { return s.Bladder == BladderClosed || s.Bladder == BladderUnknown }

// size finds the weight: as told, from the length, or a typical undersized fish.
func (c *fishCase) size() {
	if c.WeightKg != nil {
		c.kg = *c.WeightKg
		return
	}
	if c.LengthCm != nil {
		if kg, as, ok := c.species.WeightFromLength(*c.LengthCm, c.LengthType); ok {
			c.kg = kg
			c.assume(AssumedFromLength, *c.LengthCm, kg)
			if _, _, _, published := c.species.Relation(); !published {
				c.assume(AssumedShape)
			}
			if as != c.LengthType { // not told, or told in a way that nobody has related to this
				c.assumed = append(c.assumed, Note{Code: AssumedLengthType, Words: []string{string(as)}})
			}
			return
		}
	}
	c.kg, _ = c.species.TypicalUndersized()
	c.assume(AssumedTypicalSize, c.kg)
}

// weigh chooses the release weight and reckons the way down.
func (c *fishCase) weigh(a *Advice) {
	if !c.told() {
		a.Assumed = append(a.Assumed, Note{Code: AssumedWeights, Figures: a.AboardOz})
	}
	if c.DepthM == nil {
		c.take(a, Choice{Oz: heaviest(c.pieces())})
		return
	}
	depth := *c.DepthM
	release := min(depth, deepestM)
	lift := LiftOf(c.gas, c.kg, depth)
	needed, practice := LeadNeededOz(lift.Gf, LiftMargin), PracticeOz(c.kg, depth)
	choice := c.choose(needed, practice)
	if c.CameBack { // more than the middle estimate: the fish has shown that it floats higher
		needed = max(needed, LeadNeededOz(lift.HighGf, LiftMargin))
		a.Reasons = append(a.Reasons, Note{Code: ReasonCameBack})
		choice = c.heavier(choice, needed, practice)
	}
	c.take(a, choice)
	a.ReleaseDepthM, a.EnoughDepthM = &release, new(enoughDepth(lift, depth))
	a.NeededOz, a.PracticeOz = &needed, &practice
	if len(choice.Oz) == 0 {
		a.Reasons = append(a.Reasons, Note{Code: ReasonNoWeight, Figures: []float64{math.Ceil(needed)}})
		return
	}
	c.explainChoice(a, choice, needed, practice)
	a.MayHang = PullGf(sum(choice.Oz)) < lift.HighGf
	c.sink(a, choice, release)
}

// How deep a fish is taken, in metres.
const (
	// leastReleaseM is the least that agencies ask for where the bottom is too deep: 100 ft
	// (ADF&G; ODFW 2013, 2018).
	leastReleaseM = 30
	// deepestM is the deepest that is asked for: the bottom, as agencies advise, as long as
	// a line gets there. A trial that freed rockfish at 46 m at most lost 7.5 %
	// (Bellquist et al. 2019); 100 m is common practice, no source.
	deepestM = 100
)

// enoughDepth is the least useful depth in metres: where the fish floats no more by the
// upper end of its lift, or what agencies ask for at least, never below its own.
func enoughDepth(l Lift, captureM float64) float64 {
	const step = 5
	neutral := l.NeutralDepthM
	if l.Gf > 0 {
		neutral *= l.HighGf / l.Gf // the lift at the top grows with E − 1, as the depth does
	}
	return min(captureM, step*math.Ceil(max(leastReleaseM, neutral)/step))
}

// told is true when it was said what is aboard, be it nothing.
func (c *fishCase) told() bool {
	return len(c.WeightsAboardOz) > 0 || len(c.LeadAboardOz) > 0 || c.NoWeight
}

// pieces are all the weights that may be hung on, lead included.
func (c *fishCase) pieces() []float64 { return slices.Concat(c.aboard(), c.LeadAboardOz) }

// choose picks from the release weights, and from the lead too where they are short.
func (c *fishCase) choose(needed, practice float64) Choice {
	releases := c.aboard()
	if len(releases) > 0 {
		if choice := ChooseWeights(releases, needed, practice); choice.Enough || len(c.LeadAboardOz) == 0 {
			return choice
		}
	}
	if pieces := c.pieces(); len(pieces) > 0 {
		return ChooseLead(pieces, needed, practice)
	}
	return Choice{}
}

// heavier picks more than what did not hold the fish down, where there is more aboard.
func (c *fishCase) heavier(than Choice, needed, practice float64) Choice {
	if more := c.choose(max(needed, sum(than.Oz)+1), practice); more.Enough {
		return more
	}
	return c.choose(needed, practice)
}

// take writes a choice into the advice.
func (c *fishCase) take(a *Advice, choice Choice) {
	a.ReleaseWeightsOz = choice.Oz
	if len(choice.Oz) > 0 {
		a.ReleaseWeightOz = &choice.Oz[0]
	}
	lead := func(oz float64) bool {
		return slices.Contains(c.LeadAboardOz, oz) && !slices.Contains(c.WeightsAboardOz, oz)
	}
	if slices.ContainsFunc(choice.Oz, lead) {
		a.Reasons = append(a.Reasons, Note{Code: ReasonLead})
	}
}

// heaviest is the heaviest of a list, nil of none.
func heaviest(oz []float64) []float64 {
	if len(oz) == 0 {
		return nil
	}
	return []float64{slices.Max(oz)}
}

// explainChoice says where physics and common practice part, and what to do.
func (c *fishCase) explainChoice(a *Advice, choice Choice, needed, practice float64) {
	reason := func(code NoteCode, figures ...float64) {
		a.Reasons = append(a.Reasons, Note{Code: code, Figures: figures})
	}
	if needed > practice {
		reason(ReasonPhysicsMore, needed, practice)
	}
	if len(choice.Oz) > 1 {
		reason(ReasonTwoWeights, sum(choice.Oz))
	}
	if choice.Enough && choice.BelowPractice {
		reason(ReasonBelowPractice, practice)
	}
	if sum(choice.Oz) >= farMore*needed {
		a.Reasons = append(a.Reasons, customFarMore(needed, practice)...)
	}
	reason(ReasonPoundForFive, PoundForFiveOz(c.kg))
	c.explainPush(a, choice, needed, reason)
}

// MostPushM is how deep in metres a fish can be pushed under from a boat, with a pole or the
// rod; common practice, no source.
const MostPushM = 3

// explainPush tells how deep to push the fish where the weights do not carry it
// from the top: with the heaviest alone when two would do, else with all. What no pole
// reaches is not asked for: then they are too light, and it says by how much.
func (c *fishCase) explainPush(a *Advice, choice Choice, neededOz float64, reason func(NoteCode, ...float64)) {
	oz := choice.Oz[0]
	if !choice.Enough {
		oz = sum(choice.Oz)
	}
	push, needed := PushDownDepth(c.gas, c.kg, *c.DepthM, oz)
	possible := push <= min(MostPushM, *c.DepthM/2)
	switch {
	case needed && possible && push >= leastPushM:
		a.PushDownDepthM = &push
		reason(ReasonPushDown, push, oz)
	case needed && !possible && !choice.Enough:
		reason(ReasonTooLight, math.Ceil(neededOz-oz), oz)
	case !choice.Enough:
		reason(ReasonThinMargin, oz)
	}
}

// sink reckons the time to the depth of release, where the weights carry the fish at all.
func (c *fishCase) sink(a *Advice, choice Choice, toM float64) {
	if hasReason(a.Reasons, ReasonTooLight) {
		return
	}
	d, ok := DescentOf(c.gas, c.kg, *c.DepthM, toM, sum(choice.Oz))
	if !ok {
		return
	}
	a.DescentS, a.DescentRangeS = &d.S, []float64{d.LowS, d.HighS}
}

func hasReason(notes []Note, code NoteCode) bool {
	return slices.ContainsFunc(notes, func(n Note) bool { return n.Code == code })
}

// estimate adds lift and survival wherever a depth is known.
func (c *fishCase) estimate(a *Advice) {
	if c.DepthM == nil {
		return
	}
	var lift Lift
	if c.species.trapsGas() {
		lift = LiftOf(c.gas, c.kg, *c.DepthM)
		a.LiftGf, a.LiftRangeGf = &lift.Gf, []float64{lift.LowGf, lift.HighGf}
		a.NeutralDepthM = &lift.NeutralDepthM
	}
	if c.Behaviour == Dead {
		return
	}
	fish := Case{
		Species: c.species, DepthM: *c.DepthM, WeightKg: c.kg, LiftGf: lift.Gf,
		MinutesOnDeck: c.MinutesOnDeck, Hook: c.Hook, Bleeding: c.Bleeding,
		Behaviour: c.Behaviour, Signs: c.Signs,
		SurfaceTempC: c.SurfaceTempC, WarmWater: c.WarmWater, Predators: c.Predators,
	}
	s := EstimateSurvival(fish)
	a.Survival = &s
	a.Reasons = append(a.Reasons, fish.moved()...)
	c.explainGain(a)
	if best := math.Max(s.Recompressed.P, s.Surface.P); best < poorOdds {
		a.Reasons = append(a.Reasons, Note{Code: ReasonPoorOdds, Figures: []float64{best}})
	}
}

// explainGain hands on the gain of a fish that traps gas, and says where it is little:
// that studies of the kind found none goes before what the model makes of it.
func (c *fishCase) explainGain(a *Advice) {
	s := a.Survival
	if !c.species.trapsGas() {
		return
	}
	a.Gain = &s.Gain
	switch {
	case a.Action != ActRecompress || c.Behaviour == Floating:
	case s.Basis.NoGainShown && s.Gain.Little():
		a.Reasons = append(a.Reasons, Note{Code: ReasonNoBenefit, Words: []string{c.species.EnglishName}})
	case s.Gain.Little():
		a.Reasons = append(a.Reasons, Note{Code: ReasonLittleGain})
	}
}

// caution lists what to take care of, what cannot wait first, the rules last.
func (c *fishCase) caution(a *Advice) {
	add := func(when bool, code NoteCode, note ...float64) {
		if when {
			a.Cautions = append(a.Cautions, Note{Code: code, Figures: note})
		}
	}
	down := a.Action == ActRecompress
	add(c.Hook == HookGut, CautionCutLine)
	add(c.Hook == HookGill, CautionGills)
	add(c.Has(EvertedStomach), CautionStomach)
	add(c.Has(ProlapsedIntestine), CautionIntestine)
	add(c.MinutesOnDeck != nil && *c.MinutesOnDeck >= longOnDeckMin, CautionHurry, deref(c.MinutesOnDeck))
	add(c.Predators, CautionPredators)
	add(c.Count >= manyFish && c.lowOdds(a), CautionMoveShallower)
	add(c.kg >= bigFishKg && a.Action != ActNone, CautionTwoPeople, c.kg)
	c.warn(a)
	add(a.MayHang, CautionMayHang)
	add(down, CautionTackle)
	add(down, CautionVentLast)
	add(a.Action == ActSurface && c.species.trapsGas() && !c.neverTouched(), CautionWatch)
	add(a.Action == ActSurface && !c.neverTouched(), CautionGentle)
	add(true, CautionRules)
}

// warn tells what can hurt the hand: a grave danger first of all, in its own words.
func (c *fishCase) warn(a *Advice) {
	if code, grave := dangerCautions[c.species.Danger]; grave {
		a.Cautions = slices.Insert(a.Cautions, 0, Note{Code: code})
	} else if c.species.Hazard != "" && !strings.HasPrefix(c.species.Hazard, "none") {
		a.Cautions = append(a.Cautions, Note{Code: CautionHazard, Words: []string{c.species.Hazard}})
	}
}

// lowOdds is true when less than half of such fish live however they are freed.
func (c *fishCase) lowOdds(a *Advice) bool {
	return a.Survival != nil && max(a.Survival.Recompressed.P, a.Survival.Surface.P) < 0.5
}

func deref(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

func sum(xs []float64) float64 {
	total := 0.0
	for _, x := range xs {
		total += x
	}
	return total
}
