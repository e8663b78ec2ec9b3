package advisor

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"
)

// evidenceDepthsM are the capture depths, in metres, for which the odds are listed.
var evidenceDepthsM = [...]float64{10, 20, 30, 45, 60, 80, 100}

// WriteEvidence writes what stands behind the odds of a species, in plain text:
// the odds by depth and way of release, every finding with its figure, those that
// are kept beside, and the full citations. nil stands for the general fish.
func WriteEvidence(w io.Writer, s *Species) error {
	p := evidencePage{ev: EvidenceFor(s)}
	p.head()
	if p.ev.Species.trapsGas() {
		p.odds()
		p.findings("Findings the odds rest on, most fish first", p.ev.Findings)
	}
	p.findings("Kept beside, not pooled", p.ev.Beside)
	p.compared()
	p.citations()
	_, err := io.WriteString(w, p.b.String())
	return err
}

// evidencePage is the page while it is written. cited holds one finding for each
// citation, in the order of the numbers in brackets.
type evidencePage struct {
	ev    Evidence
	b     strings.Builder
	cited []Finding
}

// say adds a line.
func (p *evidencePage) say(format string, args ...any) { fmt.Fprintf(&p.b, format+"\n", args...) }

// The page is for the organiser who must convince the doubtful, at a desk: everything
// is on it, and nothing is rounded to "in ten" as the chat does. Its parts come in
// the order in which a reader asks: which fish, what odds, from which results, what
// speaks against, who says so.

// mostFindings is how many findings are listed: all there are of any one kind.
const mostFindings = 40

// levelText says in words on what an estimate rests.
var levelText = map[string]string{
	LevelSpecies: "studies of this species",
	LevelGroup:   "studies of its kind",
	LevelGeneral: "studies of other bottom fish",
}

// head says which fish, with whom it is taken, and on how much the odds rest.
func (p *evidencePage) head() {
	s, ev := p.ev.Species, p.ev
	name := s.EnglishName
	if s.ScientificName != "" {
		name += " (" + s.ScientificName + ")"
	}
	p.say("%s\n", name)
	if !s.trapsGas() {
		e := EstimateSurvival(Case{Species: s, DepthM: anchorDepthM}).Surface
		p.say("No trapped gas (bladder: %s): barotrauma does not apply. Hook and handling do, and sending down gains nothing.", s.Bladder)
		p.say("Alive later at any depth: %s, from what hook and handling cost the fish of all studies.\n", shareText(e))
		return
	}
	if ev.Kin.Name != "" {
		p.say("Taken with: %s (%s).", ev.Kin.Name, ev.Kin.Form)
	}
	p.say("The odds rest on %s: %d studies, from %.0f to %.0f m, of %d fish followed and %d only seen to get down or not,", levelText[ev.Basis.Level], ev.Basis.Studies, ev.SeenMinM, ev.SeenMaxM, ev.Basis.Fish, ev.Basis.Dives)
	p.say("as the fit weighs them: no finding for more than %d, few where the number was not stated.", mostFish)
	if ev.Basis.Level != LevelSpecies {
		p.say("Nobody's count of deaths of this species is in the table: the range is wider for it.")
		p.say("Behind it: %d kinds of fish, among them %s.", len(ev.SpeciesSeen), strings.Join(ev.SpeciesSeen[:min(4, len(ev.SpeciesSeen))], ", "))
	}
	p.say("")
}

// odds lists the odds by depth, with nothing told of the fish but where it was
// hooked; a star marks a depth at which nobody looked.
func (p *evidencePage) odds() {
	p.say("Share alive after release, with the 80 %% range of what a study would find")
	t := tabwriter.NewWriter(&p.b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "depth\tlet go at the top\tvented\tsent down\tgain of sending down")
	beyond := false
	for _, depth := range evidenceDepthsM {
		e := EstimateSurvival(Case{Species: p.ev.Species, DepthM: depth})
		mark := ""
		if e.Basis.DeeperThanSeen {
			mark, beyond = "*", true
		}
		fmt.Fprintf(t, "%.0f m%s\t%s\t%s\t%s\t%s\n", depth, mark, shareText(e.Surface), shareText(e.Vented), shareText(e.Recompressed), gainText(e.Gain))
	}
	t.Flush()
	if beyond {
		p.say("* deeper than anything studied at this level")
	}
	p.say("")
}

// shareText is a share with its range, on the scale of 0 to 1.
func shareText(e Estimate) string { return fmt.Sprintf("%.2f (%.2f-%.2f)", e.P, e.Low, e.High) }

// gainText is a gain with its range; nought without a sign.
func gainText(g Gain) string {
	return fmt.Sprintf("%s (%s to %s)", signed(g.P), signed(g.Low), signed(g.High))
}

// signed writes a gain with its sign; one that rounds to nothing has none to lose.
func signed(x float64) string { return fmt.Sprintf("%+.2f", math.Round(100*x)/100+0) }

// pairTitle says what a comparison of the two ways found, and where.
func pairTitle(p Pair) string {
	title := "Sent down against the top"
	if p.Use != UseContext {
		title = fmt.Sprintf("Gain found %+.2f", p.Gain)
		if p.ShowsNoGain() {
			title = "No gain found"
		}
	}
	if p.FitDepthMaxM > 0 {
		title += fmt.Sprintf(", %.0f-%.0f m", p.FitDepthMinM, p.FitDepthMaxM)
	}
	return title
}

// findings lists published results as they were published, not as the fit reads them.
func (p *evidencePage) findings(title string, list []Finding) {
	if len(list) == 0 {
		return
	}
	p.say("%s", title)
	t := tabwriter.NewWriter(&p.b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "died\t95 %\tfish\tdepth m\trelease\thow\tdays\tfish kind\tsource")
	for _, f := range list[:min(mostFindings, len(list))] {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t[%d]\n", diedText(f), intervalText(f), fishText(f), depthText(f), f.Method, howText(f), daysText(f), f.CommonName, p.cite(f))
	}
	t.Flush()
	if more := len(list) - mostFindings; more > 0 {
		p.say("and %d more", more)
	}
	p.say("")
}

// cite gives the number of a finding's citation.
func (p *evidencePage) cite(f Finding) int {
	for i, c := range p.cited {
		if c.Citation == f.Citation {
			return i + 1
		}
	}
	p.cited = append(p.cited, f)
	return len(p.cited)
}

// diedText is the share that died, or that floated where only that was watched.
func diedText(f Finding) string {
	switch {
	case f.Mortality == nil:
		return "-"
	case f.Fit.Proxy:
		return fmt.Sprintf("%.2f floated", *f.Mortality)
	}
	return fmt.Sprintf("%.2f", *f.Mortality)
}

// intervalText is the 95 % interval, a dash where none was published.
func intervalText(f Finding) string {
	if f.Low == nil || f.High == nil {
		return "-"
	}
	return fmt.Sprintf("%.2f-%.2f", *f.Low, *f.High)
}

// fishText marks a number that the fit had to assume with a tilde.
func fishText(f Finding) string {
	switch n := f.FishOrAssumed(); {
	case n == 0:
		return "-"
	case f.Fish == 0:
		return fmt.Sprintf("~%d", n)
	default:
		return fmt.Sprint(n)
	}
}

// depthText is the range of capture depths in metres.
func depthText(f Finding) string {
	if f.DepthMaxM == nil {
		return "not stated"
	}
	if *f.DepthMinM == *f.DepthMaxM {
		return fmt.Sprintf("%.0f", *f.DepthMaxM)
	}
	return fmt.Sprintf("%.0f-%.0f", *f.DepthMinM, *f.DepthMaxM)
}

// howText says how it was found out, and why a finding is kept beside.
func howText(f Finding) string {
	if f.Use == UseFit {
		return f.Kind
	}
	return f.Kind + ", " + string(f.Use)
}

// daysText is how long the fish were followed, in days.
func daysText(f Finding) string {
	if f.Days == nil {
		return "-"
	}
	return fmt.Sprintf("%.3g", *f.Days)
}

// noBenefit tells where a gain was looked for and not found, and that studies of
// venting disagree: who must convince the doubtful is better off saying so first.
func (p *evidencePage) compared() {
	for _, pair := range p.ev.Pairs {
		p.say("%s: %s [%d]", pairTitle(pair), pair.Finding, p.cite(Finding{Citation: pair.Citation, URL: pair.URL}))
	}
	if len(p.ev.Pairs) > 0 {
		p.say("")
	}
	p.say("Venting: no effect in 32 of 39 comparisons, better in 5, worse in 2, slightly helpful shallow and")
	p.say("increasingly harmful deep (Wilde 2009); two later tag studies of black sea bass from 35-38 m found it")
	p.say("nearly as good as sending down (+6.8 and +8.1 points). The evidence disagrees.\n")
}

// citations lists the works in full, with where they were seen and what is to be
// known of their figures.
func (p *evidencePage) citations() {
	p.say("Sources (~ before a number of fish: not stated, that many assumed)")
	for i, f := range p.cited {
		p.say("[%d] %s\n    %s", i+1, f.Citation, f.URL)
		if notes := p.notesOf(f.Citation); notes != "" {
			p.say("    %s", notes)
		}
	}
}

// notesOf gathers what is to be known of the figures from one source, each once.
func (p *evidencePage) notesOf(citation string) string {
	var notes []string
	for _, f := range slices.Concat(p.ev.Findings, p.ev.Beside) {
		if f.Citation == citation && !strings.HasPrefix(f.ID, "GMT") && !slices.Contains(notes, f.Note) {
			notes = append(notes, f.Note)
		}
	}
	return strings.Join(notes, " | ")
}
