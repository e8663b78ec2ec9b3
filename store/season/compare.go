package season

import (
	"cmp"
	"math"
	"slices"

	"deepward/advisor"
)

// confidence of every interval of this package's findings.
const confidence = 0.95

// leastSeen is how many fish must count in both groups together before a comparison
// is worth a figure; common practice, no source.
const leastSeen = 5

// cell is fish alike in species, depth and method.
type cell struct {
	species string
	band    DepthBand
	// month of release, of tagged fish; noMonth where it is not known, 0 where it does not
	// matter.
	month  int
	method advisor.Method
}

// breakdown holds, for each cell, how many of the fish counted.
type breakdown map[cell]Share

// byMethod adds a breakdown up by method.
func (b breakdown) byMethod() map[advisor.Method]Share {
	sum := map[advisor.Method]Share{}
	for c, s := range b {
		sum[c.method] = sum[c.method].and(s)
	}
	return sum
}

// Verdict is what a comparison lets one say.
type Verdict string

// The verdicts.
const (
	// TooFew: not even a guess.
	TooFew Verdict = "too few"
	// CannotTell: the two may well be the same.
	CannotTell Verdict = "cannot tell"
	// More and Less: what was counted happened to A more often than to B, or less
	// often, by more than luck would have it.
	More Verdict = "more"
	Less Verdict = "less"
)

// Comparison is of two methods of release: how often what was counted happened to
// fish of the one and of the other.
type Comparison struct {
	A, B     advisor.Method
	InA, InB Share
	// Ratio is A's proportion over B's, Low and High its score interval (Koopman),
	// KatzLow and KatzHigh the log interval beside it.
	Ratio, Low, High, KatzLow, KatzHigh float64
	// Difference is A's proportion less B's with Newcombe's interval.
	Difference, DifferenceLow, DifferenceHigh float64
	// P is Fisher's exact two-sided p, X2 and X2P Pearson's test without correction.
	P, X2, X2P float64
	// Depth compares within depth bands, SpeciesDepth within bands of one species,
	// MonthDepth within bands of one month of release, of tagged fish only.
	Depth, SpeciesDepth, MonthDepth Adjusted
	// HolmP is the p of the comparison that counts, corrected for how many comparisons of
	// the kind are made (Holm 1979, Scand. J. Stat. 6:65).
	HolmP float64
	// Held is the effect in logistic regression within months, with robust errors; nil
	// where there is none.
	Held *PairEffect
}

// Adjusted is a comparison within strata.
type Adjusted struct {
	Strata []NamedStratum
	// Skipped counts the strata that hold fish of one of the two methods only, Fish
	// those in the strata that say something.
	Skipped, Fish int
	// Ratio, Odds and Difference are the Mantel-Haenszel figures.
	Ratio, Odds, Difference Pooled
	// X2 and P are the Cochran-Mantel-Haenszel test without continuity correction, and
	// CorrectedX2 and CorrectedP the same with it.
	X2, P, CorrectedX2, CorrectedP float64
	// Even says whether the strata agree.
	Even Evenness
}

// NamedStratum is a stratum and what its fish have in common.
type NamedStratum struct {
	Stratum
	Species string
	Band    DepthBand
	Month   int
}

// Known is true when there is an adjusted ratio with an interval.
func (a Adjusted) Known() bool { return !math.IsNaN(a.Ratio.Low) }

// compare sets two methods side by side; ok is false when one of them has no fish.
func (b breakdown) compare(one, other advisor.Method) (c Comparison, ok bool) {
	sums := b.byMethod()
	c = Comparison{A: one, B: other, InA: sums[one], InB: sums[other]}
	if c.InA.N == 0 || c.InB.N == 0 {
		return c, false
	}
	c.Ratio = RiskRatio(c.InA, c.InB)
	c.Low, c.High = Koopman(c.InA, c.InB, confidence)
	c.KatzLow, c.KatzHigh, _ = Katz(c.InA, c.InB, confidence)
	c.Difference = c.InA.P() - c.InB.P()
	c.DifferenceLow, c.DifferenceHigh = Newcombe(c.InA, c.InB, confidence)
	c.P = Fisher(c.InA, c.InB)
	c.X2, c.X2P = Pearson(c.InA, c.InB)
	c.Depth = b.strata(one, other, func(c cell) cell { return cell{band: c.band} }).adjust()
	c.SpeciesDepth = b.strata(one, other, func(c cell) cell { return cell{species: c.species, band: c.band} }).adjust()
	c.MonthDepth = b.dated().strata(one, other, func(c cell) cell { return cell{band: c.band, month: c.month} }).adjust()
	return c, true
}

// dated leaves the fish of a known month of release.
func (b breakdown) dated() breakdown {
	left := breakdown{}
	for c, s := range b {
		if c.month > 0 {
			left[c] = s
		}
	}
	return left
}

// strata are the two methods side by side in each stratum that key leaves of a cell;
// fish of no known depth are in none.
func (b breakdown) strata(one, other advisor.Method, key func(cell) cell) Adjusted {
	table := map[cell]*NamedStratum{}
	for c, s := range b {
		if c.band == noBand || c.method != one && c.method != other {
			continue
		}
		as := key(c)
		row := table[as]
		if row == nil {
			row = &NamedStratum{Species: as.species, Band: as.band, Month: as.month}
			table[as] = row
		}
		if c.method == one {
			row.A = row.A.and(s)
		} else {
			row.B = row.B.and(s)
		}
	}
	var a Adjusted
	for _, row := range table {
		a.Strata = append(a.Strata, *row)
	}
	slices.SortFunc(a.Strata, func(a, b NamedStratum) int {
		return cmp.Or(cmp.Compare(a.Species, b.Species), cmp.Compare(a.Band, b.Band), cmp.Compare(a.Month, b.Month))
	})
	return a
}

// adjust reckons the figures over the strata.
func (a Adjusted) adjust() Adjusted {
	plain := make([]Stratum, len(a.Strata))
	for i, s := range a.Strata {
		plain[i] = s.Stratum
		if s.Usable() {
			a.Fish += s.A.N + s.B.N
		} else {
			a.Skipped++
		}
	}
	a.Ratio = MantelHaenszelRR(plain, confidence)
	a.Odds = MantelHaenszelOR(plain, confidence)
	a.Difference = MantelHaenszelRD(plain, confidence)
	a.X2, a.P = CMH(plain, false)
	a.CorrectedX2, a.CorrectedP = CMH(plain, true)
	a.Even = BreslowDay(plain)
	return a
}

// Verdict is what the comparison lets one say. It rests on like fish: of one depth band
// and month, where these can be compared, else of one depth band. A difference is claimed
// only if it holds when corrected for the number of comparisons, and with days as
// clusters.
func (c Comparison) Verdict() Verdict {
	v := c.Uncorrected()
	claims := v == More || v == Less
	if claims && (!(c.HolmP < falseAlarm) || c.Held != nil && !(c.Held.P < falseAlarm)) {
		return CannotTell
	}
	return v
}

// Uncorrected is the verdict as if this were the only comparison, and each fish had been
// let go on a day of its own.
func (c Comparison) Uncorrected() Verdict {
	switch {
	case c.InA.X+c.InB.X < leastSeen:
		return TooFew
	case c.MonthDepth.Known():
		return verdict(c.MonthDepth.Ratio.Low, c.MonthDepth.Ratio.High)
	}
	return c.AtLikeDepth()
}

// AtLikeDepth is the verdict within depth bands alone, whatever the month.
func (c Comparison) AtLikeDepth() Verdict {
	if c.InA.X+c.InB.X >= leastSeen && c.Depth.Known() {
		return verdict(c.Depth.Ratio.Low, c.Depth.Ratio.High)
	}
	return c.Crude()
}

// p is that of the figures on which the verdict rests.
func (c Comparison) p() float64 {
	switch {
	case c.MonthDepth.Known():
		return c.MonthDepth.P
	case c.Depth.Known():
		return c.Depth.P
	default:
		return c.P
	}
}

// holm corrects the comparisons of one kind for their number.
func holm(list []Comparison) {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(list[a].p(), list[b].p()) })
	most := 0.0
	for k, i := range order {
		most = max(most, min(1, float64(len(list)-k)*list[i].p()))
		list[i].HolmP = most
	}
}

// Crude is what the comparison would let one say if depth did not matter.
func (c Comparison) Crude() Verdict {
	if c.InA.X+c.InB.X < leastSeen {
		return TooFew
	}
	return verdict(c.Low, c.High)
}

func verdict(low, high float64) Verdict {
	switch {
	case low > 1:
		return More
	case high < 1:
		return Less
	default:
		return CannotTell
	}
}

// pairs are the comparisons of each released method with each other.
func (b breakdown) pairs() (list []Comparison) {
	for _, p := range methodPairs {
		if c, ok := b.compare(p[0], p[1]); ok {
			list = append(list, c)
		}
	}
	holm(list)
	return list
}

// methodPairs are the comparisons that are made, in their order.
var methodPairs = [...][2]advisor.Method{
	{advisor.Recompressed, advisor.Surface}, {advisor.Vented, advisor.Surface}, {advisor.Recompressed, advisor.Vented},
}

// trend tests whether what was counted rises or falls with depth, over fish let go by
// that method, or by any when it is empty.
func (b breakdown) trend(m advisor.Method) DepthTrend {
	sums := map[DepthBand]Share{}
	for c, s := range b {
		told := c.method != "" && c.method != advisor.Kept
		if c.band != noBand && told && (m == "" || c.method == m) {
			sums[c.band] = sums[c.band].and(s)
		}
	}
	t := DepthTrend{Method: m}
	for _, band := range names(sums) {
		t.Bands = append(t.Bands, Band{sums[band], band.MiddleM()})
		t.Names = append(t.Names, band)
	}
	t.Trend = CochranArmitage(t.Bands)
	return t
}

// DepthTrend is a trend over depth bands, scored by their middles in metres.
type DepthTrend struct {
	Trend
	// Method is "" for all released fish together.
	Method advisor.Method
	Bands  []Band
	Names  []DepthBand
}

// fewInBand is how few fish of a band may carry a trend by themselves; common
// practice, no source.
const fewInBand = 10

// Steady is true when the trend is there at 5 %, and still is without the bands that
// hold hardly any fish: a few of them far out in depth can make one.
func (t DepthTrend) Steady() bool {
	well := slices.DeleteFunc(slices.Clone(t.Bands), func(b Band) bool { return b.N < fewInBand })
	again := CochranArmitage(well)
	return t.Known && again.Known && max(t.P, again.P) < falseAlarm && t.Z*again.Z > 0
}
