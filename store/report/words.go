package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/store/season"
)

// ways are the methods of release as the report says them.
var ways = map[advisor.Method]string{
	advisor.Recompressed: "sent down", advisor.Surface: "let go at the top", advisor.Vented: "vented", advisor.Kept: "kept",
}

// general is what nobody can conclude from a log, whatever stands in it.
var general = []string{
	"This is not an experiment. Anglers chose how to release each fish; nobody drew lots. Fish released in one way may have been different ones from the start: deeper, bigger, livelier or worse off.",
	"Only what was told is here. If people report one way of release more gladly, or fish that swam off more gladly than fish that floated, the page makes that way look better than it is.",
	"Nobody followed these fish home. Who lives is worked out from published studies of other fish; only tagged fish that are caught again say anything of their own.",
}

// headline is the one thing to remember.
func (r *Report) headline() string {
	f := r.Findings
	down := f.Methods[advisor.Recompressed].Fish
	if f.Released == 0 {
		return "No released fish in this log yet."
	}
	were := "were"
	if down == 1 {
		were = "was"
	}
	told := fmt.Sprintf("%s of %s released fish %s sent back down on a release weight.", count(down), count(f.Released), were)
	switch a := f.Alive; {
	case down == 0:
		return fmt.Sprintf("Fish released: %s. None of them was sent back down on a release weight.", count(f.Released))
	case a.Fish == 0:
		return told
	case math.Round(a.High) < 1:
		return told + " By published studies hardly any of them survived because of it."
	case math.Round(a.More) < 1:
		return told + " That is too few to say how many of them survived because of it."
	case math.Round(a.Low) < 1:
		return told + fmt.Sprintf(" By published studies, up to %s of them may have survived because of it; it may also be none.", about(a.High))
	default:
		return told + fmt.Sprintf(" By published studies, about %s of them survived because of it.", about(a.More))
	}
}

// hedge is what makes the headline true; where nothing was reckoned, what the tags
// say stands there.
func (r *Report) hedge() string {
	a := r.Findings.Alive
	const how = "Reckoned from studies of other fish, not counted: nobody followed these."
	switch {
	case math.Round(a.More) >= 1 && math.Round(a.Low) >= 1:
		return fmt.Sprintf("Likely between %s and %s, in 8 cases of 10, against letting them all go at the top. %s", about(a.Low), about(a.High), how)
	case math.Round(a.More) >= 1:
		return how
	case len(r.Findings.Tags.Counted.Comparisons) > 0:
		return "Tagged fish: " + seenAgain.verdict(r.Findings.Tags.Counted.Comparisons[0])[0].Lead + " That does not show that the way of release was the cause."
	}
	return ""
}

func (r *Report) figures() []figure {
	f := r.Findings
	down := season.Share{X: f.Methods[advisor.Recompressed].Fish, N: f.Released}
	list := []figure{{count(f.Released), "fish released" + people(f.Anglers)}}
	if down.X > 0 {
		list = append(list, figure{percent(down), "of them sent down"})
	}
	if math.Round(f.Alive.More) >= 1 {
		list = append(list, figure{about(f.Alive.Low) + "–" + about(f.Alive.High), "likely alive because they were sent down"})
	}
	seen := season.Share{}
	for _, s := range f.Tags.Counted.Methods {
		seen.X, seen.N = seen.X+s.X, seen.N+s.N
	}
	if seen.N > 0 {
		list = append(list, figure{count(seen.X), fmt.Sprintf("of %s tagged fish seen again", count(seen.N))})
	}
	return list
}

func people(n int) string {
	if n == 0 {
		return ""
	}
	return ", told by " + things(n, "angler", "anglers")
}

// event is what a comparison counts, in the words of its sentences.
type event struct {
	// happened follows "fish": "were seen again". fish are those it could happen to.
	happened, fish string
}

var (
	seenAgain = event{"were seen again", "tagged fish"}
	stayedUp  = event{"stayed up or were lost", "watched fish"}
)

// verdict says in words what a comparison lets one say, and what it does not: first
// what matters, then like compared with like, then what it would take.
func (e event) verdict(c season.Comparison) []line {
	a, b := ways[c.A], ways[c.B]
	either := capital(a) + " or " + b + ": "
	of := ofHundred(c.InA.P(), c.InB.P())
	gap := fmt.Sprintf("Of 100 %s %s, %s %s; of 100 %s, %s.", e.fish, a, of[0], e.happened, b, of[1])
	often := fmt.Sprintf("Fish %s %s %%s often than fish %s, by more than luck alone would have it.", a, e.happened, b)
	switch c.Verdict() {
	case season.TooFew:
		return []line{{either + "too few to say anything.", fmt.Sprintf("Only %s of %s %s %s.", count(c.InA.X+c.InB.X), count(c.InA.N+c.InB.N), e.fish, e.happened)}}
	case season.CannotTell:
		return []line{{either + "this log cannot tell.", gap + " " + e.doubtful(c)}, {Text: e.depths(c)}, {Text: e.needs(c)}}
	case season.More:
		return []line{{fmt.Sprintf(often, "more"), gap}, {Text: e.depths(c)}}
	default:
		return []line{{fmt.Sprintf(often, "less"), gap}, {Text: e.depths(c)}}
	}
}

// doubtful says why a gap is no result.
func (e event) doubtful(c season.Comparison) string {
	if c.Crude() != season.CannotTell {
		return "That gap goes when depth is taken into account, or too few fish are left to say."
	}
	return "Luck alone often makes a gap like that."
}

func spaced(sentences ...string) string {
	return strings.Join(slices.DeleteFunc(sentences, func(s string) bool { return s == "" }), " ")
}

// depths says what becomes of a comparison within depth bands, and within kinds of
// fish.
func (e event) depths(c season.Comparison) string {
	d := c.Depth
	if !d.Known() {
		return "Fish from like depths cannot be compared: no depth band holds enough of both. Depth may be behind the figures."
	}
	list := []string{fmt.Sprintf("Comparing only fish from like depths, %s.", e.often(c, d.Ratio))}
	if all := c.InA.N + c.InB.N; d.Fish < all {
		list = append(list, fmt.Sprintf("That leaves out %s of no known depth, or from depths where only one of the two was done.", things(all-d.Fish, "fish", "fish")))
	}
	if c.Crude() != c.Verdict() {
		list = append(list, fmt.Sprintf("Without regard to depth, %s: there, depth is mixed up with the way of release, so go by the first.", e.often(c, season.Pooled{Value: c.Ratio, Low: c.Low, High: c.High})))
	}
	list = append(list, e.kinds(c))
	if d.Even.TaroneP < 0.05 {
		list = append(list, "It is not the same at all depths, so that one figure for all hides something: see the full figures.")
	}
	return spaced(list...)
}

// alike is by how much two ratios may differ and still be told as one.
const alike = 1.1

// kinds says what becomes of it within kinds of fish too.
func (e event) kinds(c season.Comparison) string {
	s := c.SpeciesDepth
	switch apart := s.Ratio.Value / c.Depth.Ratio.Value; {
	case !s.Known() || len(s.Strata) <= len(c.Depth.Strata):
		return ""
	case apart < alike && apart > 1/alike:
		return "Comparing within kinds of fish as well hardly changes that."
	}
	return fmt.Sprintf("From like depths and of one kind, %s.", e.often(c, s.Ratio))
}

// often words a ratio so that it is above 1: "those let go at the top were seen
// again 2.0 times as often (likely 1.2 to 3.4 times)".
func (e event) often(c season.Comparison, p season.Pooled) string {
	who := c.A
	if p.Value < 1 {
		who, p = c.B, season.Pooled{Value: 1 / p.Value, Low: 1 / p.High, High: 1 / p.Low}
	}
	t := times(p.Value, p.Low, p.High)
	return fmt.Sprintf("those %s %s %s times as often (likely %s to %s times)", ways[who], e.happened, t[0], t[1], t[2])
}

// needs says how large a log would have to be to tell.
func (e event) needs(c season.Comparison) string {
	var able string
	switch {
	case math.IsInf(c.Detectable, 1):
		able = "With so few fish no difference whatever would have shown."
	case !math.IsNaN(c.Detectable):
		able = fmt.Sprintf("With this many fish, a gap would be likely to show only if one were about %s times the other.", times(c.Detectable)[0])
	}
	a, b, ok := c.MoreFish()
	switch {
	case !ok:
		return spaced(able, "The two came out the same: no number of fish tells them apart.")
	case a == 0 && b == 0:
		return spaced(able, "There are about enough fish to tell a gap like this one, and still luck may be behind it.")
	}
	return spaced(able, fmt.Sprintf("To tell a gap like this one it would take about %s %s of each: some %s.", about(math.Ceil(c.NeededEach)), e.fish, more(c, a, b)))
}

func more(c season.Comparison, a, b int) string {
	var parts []string
	if a > 0 {
		parts = append(parts, about(float64(a))+" more "+ways[c.A])
	}
	if b > 0 {
		parts = append(parts, about(float64(b))+" more "+ways[c.B])
	}
	return strings.Join(parts, " and ")
}

// capital begins a sentence.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
