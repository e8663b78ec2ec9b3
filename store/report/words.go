package report

import (
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"deepward/advisor"
	"deepward/store/season"
)

// ways are the methods of release as the report says them.
var ways = map[advisor.Method]string{
	advisor.Recompressed: "sent down", advisor.Surface: "let go at the top", advisor.Vented: "vented", advisor.Kept: "kept",
}

// general is what nobody can conclude from a log, whatever stands in it.
func (r *Report) general() []string {
	return []string{
		r.say("This is not an experiment. Anglers chose how to release each fish; nobody drew lots. Fish released in one way may have been different ones from the start: deeper, bigger, livelier or worse off."),
		r.say("Only what was told is here. If people report one way of release more gladly, or fish that swam off more gladly than fish that floated, the page makes that way look better than it is."),
		r.say("Nobody followed these fish home. Who lives is worked out from published studies of other fish; only tagged fish that are caught again say anything of their own."),
	}
}

// headline is the one thing to remember.
func (r *Report) headline() string {
	f := r.Findings
	down := f.Methods[advisor.Recompressed].Fish
	if f.Released == 0 {
		return r.say("No released fish in this log yet.")
	}
	told := r.say("%s of %s released fish were sent back down.", r.count(down), r.count(f.Released))
	if down == 1 {
		told = r.say("1 of %s released fish was sent back down.", r.count(f.Released))
	}
	switch a := f.Alive; {
	case down == 0:
		return r.say("Fish released: %s. None of them was sent back down.", r.count(f.Released))
	case a.Fish == 0:
		return told
	case math.Round(a.High) < 1:
		return told + " " + r.say("By published studies hardly any of them survived because of it.")
	case math.Round(a.More) < 1:
		return told + " " + r.say("That is too few to say how many of them survived because of it.")
	case math.Round(a.Low) < 1:
		return told + " " + r.say("By published studies, up to %s of them may have survived because of it; it may also be none.", r.about(a.High))
	default:
		return told + " " + r.say("By published studies, about %s of them can be expected to have survived because of it.", r.about(a.More))
	}
}

// hedge is what makes the headline true; where nothing was reckoned, what the tags
// say stands there.
func (r *Report) hedge() string {
	a := r.Findings.Alive
	how := r.say("Reckoned from studies of other fish, not counted: nobody followed these.")
	switch {
	case math.Round(a.More) >= 1 && math.Round(a.Low) >= 1:
		return r.say("Likely between %s and %s, in 8 cases of 10, against letting them all go at the top. %s", r.about(a.Low), r.about(a.High), how)
	case math.Round(a.More) >= 1:
		return how
	case len(r.Findings.Tags.Counted.Comparisons) > 0:
		return r.say("Tagged fish: %s That does not show that the way of release was the cause.", r.seenAgain().verdict(r.Findings.Tags.Counted.Comparisons[0])[0].Lead)
	}
	return ""
}

func (r *Report) figures() []figure {
	f := r.Findings
	down := season.Share{X: f.Methods[advisor.Recompressed].Fish, N: f.Released}
	list := []figure{{r.count(f.Released), r.fishReleased(f.Anglers)}}
	if down.X > 0 {
		list = append(list, figure{r.percent(down), r.say("of them sent down")})
	}
	if math.Round(f.Alive.More) >= 1 {
		list = append(list, figure{r.about(f.Alive.Low) + "–" + r.about(f.Alive.High), r.say("likely alive because they were sent down")})
	}
	seen := season.Share{}
	for _, s := range f.Tags.Counted.Methods {
		seen.X, seen.N = seen.X+s.X, seen.N+s.N
	}
	if seen.N > 0 {
		list = append(list, figure{r.count(seen.X), r.say("of %s tagged fish seen again", r.count(seen.N))})
	}
	return list
}

// fishReleased says what the first figure counts, and who told of them.
func (r *Report) fishReleased(anglers int) string {
	switch anglers {
	case 0:
		return r.say("fish released")
	case 1:
		return r.say("fish released, told by 1 angler")
	default:
		return r.say("fish released, told by %s anglers", r.count(anglers))
	}
}

// event is what a comparison counts, in the words of its sentences.
type event struct {
	voice
	// happened follows "fish": "were seen again". of are those it could happen to.
	happened, of string
}

func (v voice) seenAgain() event { return event{v, v.say("were seen again"), v.say("tagged fish")} }

func (v voice) stayedUp() event {
	return event{v, v.say("stayed up or were lost"), v.say("watched fish")}
}

// verdict says in words what a comparison lets one say, and what it does not: first
// what matters, then like compared with like, then what it would take.
func (e event) verdict(c season.Comparison) []line {
	a, b := e.way(c.A), e.way(c.B)
	of := e.ofHundred(c.InA.P(), c.InB.P())
	gap := e.say("Of 100 %s %s, %s %s; of 100 %s, %s.", e.of, a, of[0], e.happened, b, of[1])
	switch c.Verdict() {
	case season.TooFew:
		return []line{{capital(e.say("%s or %s: too few to say anything.", a, b)), e.say("Only %s of %s %s %s.", e.count(c.InA.X+c.InB.X), e.count(c.InA.N+c.InB.N), e.of, e.happened)}}
	case season.CannotTell:
		return e.told(c, line{capital(e.say("%s or %s: this log cannot tell.", a, b)), gap + " " + e.doubtful(c)}, line{Text: e.depths(c)}, line{Text: e.needs()})
	case season.More:
		return e.told(c, line{e.say("Fish %s %s more often than fish %s, by more than luck alone would have it.", a, e.happened, b), gap}, line{Text: e.depths(c)})
	default:
		return e.told(c, line{e.say("Fish %s %s less often than fish %s, by more than luck alone would have it.", a, e.happened, b), gap}, line{Text: e.depths(c)})
	}
}

// told puts first what the month of release does to a difference: fish let go early are
// out for longer.
func (e event) told(c season.Comparison, list ...line) []line {
	at := c.AtLikeDepth()
	if !c.MonthDepth.Known() || at != season.More && at != season.Less || c.Uncorrected() == at {
		return list
	}
	text := e.say("Among fish let go in the same month the difference goes: it may come from how long they were out.")
	if c.Uncorrected() != season.CannotTell {
		text = e.say("Among fish let go in the same month it is the other way round: it came from how long they were out.")
	}
	return append([]line{{Lead: text}}, list...)
}

// doubtful says why a gap is no result.
func (e event) doubtful(c season.Comparison) string {
	if v := c.Uncorrected(); v == season.More || v == season.Less {
		return e.say("Luck alone seldom makes a gap like that, but it does once several comparisons are made, or fish of one day are alike.")
	}
	if c.MonthDepth.Known() && c.AtLikeDepth() != season.CannotTell {
		return e.say("That gap goes among fish let go in the same month, or too few fish are left to say.")
	}
	if c.Crude() != season.CannotTell {
		return e.say("That gap goes when depth is taken into account, or too few fish are left to say.")
	}
	return e.say("Luck alone often makes a gap like that.")
}

func spaced(sentences ...string) string {
	return strings.Join(slices.DeleteFunc(sentences, func(s string) bool { return s == "" }), " ")
}

// depths says what becomes of a comparison within depth bands, and within kinds of
// fish.
func (e event) depths(c season.Comparison) string {
	d := c.Depth
	if !d.Known() {
		return e.say("Fish from like depths cannot be compared: no depth band holds enough of both. Depth may be behind the figures.")
	}
	var list []string
	if m := c.MonthDepth; m.Known() {
		list = append(list, e.say("Comparing only fish from like depths and of the same month, %s.", e.often(c, m.Ratio)))
	}
	list = append(list, e.say("Comparing only fish from like depths, %s.", e.often(c, d.Ratio)))
	if all := c.InA.N + c.InB.N; d.Fish < all {
		list = append(list, e.say("That leaves out %s of no known depth, or from depths where only one of the two was done.", e.voice.fish(all-d.Fish)))
	}
	if c.Crude() != c.AtLikeDepth() {
		list = append(list, e.say("Without regard to depth, %s: there, depth is mixed up with the way of release, so go by the first.", e.often(c, season.Pooled{Value: c.Ratio, Low: c.Low, High: c.High})))
	}
	list = append(list, e.kinds(c))
	if d.Even.TaroneP < 0.05 {
		list = append(list, e.say("It is not the same at all depths, so that one figure for all hides something: see the full figures."))
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
		return e.say("Comparing within kinds of fish as well hardly changes that.")
	}
	return e.say("From like depths and of one kind, %s.", e.often(c, s.Ratio))
}

// often words a ratio so that it is above 1: "those let go at the top were seen
// again 2.0 times as often (likely 1.2 to 3.4 times)".
func (e event) often(c season.Comparison, p season.Pooled) string {
	who := c.A
	if p.Value < 1 {
		who, p = c.B, season.Pooled{Value: 1 / p.Value, Low: 1 / p.High, High: 1 / p.Low}
	}
	t := e.times(p.Value, p.Low, p.High)
	return e.say("those %s %s %s times as often (likely %s to %s times)", e.way(who), e.happened, t[0], t[1], t[2])
}

// needs says how many fish it takes to tell such shares as tag returns have.
func (e event) needs() string {
	return e.say("To tell 5 of 100 from 10 of 100 takes about %s fish of each way of release, 10 from 15 about %s.", e.about(math.Ceil(season.FishNeeded(0.05, 0.10))), e.about(math.Ceil(season.FishNeeded(0.10, 0.15))))
}

// capital begins a sentence.
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}
