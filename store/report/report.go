// Package report writes the season report: one page for people who do not read
// statistics, with what cannot be concluded beside each result.
package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/store/season"
)

//go:embed report.html
var page string

var pageTemplate = template.Must(template.New("report").Parse(page))

// Heading is what stands above the report.
type Heading struct {
	Title, Club string
	MadeAt      time.Time
}

// view is the report as the page shows it: words and figures, nothing to reckon.
type view struct {
	Title, Club, Span, Made  string
	Headline, Caution, Alive string
	Methods                  []methodLine
	Months, Species, Depths  []tableLine
	Chart                    template.HTML
	Tags                     []tagLine
	Compare, LeftOut         []string
}

type methodLine struct {
	Name             string
	Fish, Seen, Down int
	Range            string
}

type tableLine struct {
	Name                        string
	Released, Down, Top, Vented int
	Share                       string
}

type tagLine struct {
	Name, Share, Range string
	N, X               int
}

var methodNames = map[advisor.Method]string{
	advisor.Recompressed: "sent down", advisor.Surface: "let go at the top", advisor.Vented: "vented", advisor.Kept: "kept",
}

// Write writes the page. It loads nothing from outside and prints on A4.
func Write(w io.Writer, f season.Findings, h Heading) error {
	v := view{
		Title: firstText(h.Title, "What the season achieved"), Club: firstText(h.Club, "A fishing club"),
		Made: h.MadeAt.Format(time.DateOnly), Headline: headline(f), Alive: alive(f),
		Caution: "These are reports by anglers, not an experiment. Who was sent down was not left to chance, and fish that nobody reported are not here. The page can say how often each way was used and what published studies make of it; it cannot prove that one way was the cause.",
		Methods: methods(f), Months: lines(f.Months), Species: lines(f.Species), Depths: lines(f.Depths),
		Chart: chart(f.Months), Tags: tags(f.Recaptured), Compare: compare(f.Recaptured), LeftOut: leftOut(f),
	}
	if !f.First.IsZero() {
		v.Span = f.First.Format(time.DateOnly) + " to " + f.Last.Format(time.DateOnly)
	}
	return pageTemplate.Execute(w, v)
}

func firstText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// headline is the one thing to remember, hedged as far as it must be.
func headline(f season.Findings) string {
	down := f.Methods[advisor.Recompressed].Fish
	if f.Released == 0 {
		return "No released fish in this log yet."
	}
	text := fmt.Sprintf("%d fish were released; %d of them (%s) were sent back down on a release weight.", f.Released, down, percent(down, f.Released))
	switch {
	case down == 0:
		return text
	case math.Round(f.Alive.Low) < 1:
		return text + fmt.Sprintf(" By published survival odds that saved perhaps %.0f of them; it may be none.", f.Alive.P)
	default:
		return text + fmt.Sprintf(" By published survival odds about %.0f of them are alive because of it (likely %.0f to %.0f).", f.Alive.P, f.Alive.Low, f.Alive.High)
	}
}

func alive(f season.Findings) string {
	if f.Methods[advisor.Recompressed].Fish == 0 {
		return "No fish was sent down."
	}
	return fmt.Sprintf("About %.0f more fish alive than if all of them had been let go at the top; likely between %.0f and %.0f.", f.Alive.P, f.Alive.Low, f.Alive.High)
}

func methods(f season.Findings) []methodLine {
	var list []methodLine
	for _, m := range season.Methods {
		c := f.Methods[m]
		if c.Fish == 0 {
			continue
		}
		line := methodLine{Name: methodNames[m], Fish: c.Fish, Seen: c.Seen, Down: c.WentDown}
		if c.Seen > 0 && m != advisor.Kept {
			line.Range = span(season.Wilson(c.WentDown, c.Seen, 0.95))
		}
		list = append(list, line)
	}
	return list
}

func lines(rows []season.Row) []tableLine {
	list := make([]tableLine, len(rows))
	for i, r := range rows {
		down := r.Methods[advisor.Recompressed].Fish
		list[i] = tableLine{r.Name, r.Fish, down, r.Methods[advisor.Surface].Fish, r.Methods[advisor.Vented].Fish, percent(down, r.Fish)}
	}
	return list
}

func tags(r season.Recaptured) []tagLine {
	var list []tagLine
	for _, m := range season.Methods {
		s := r.Methods[m]
		if s.N == 0 {
			continue
		}
		list = append(list, tagLine{methodNames[m], percent(s.X, s.N), span(season.Wilson(s.X, s.N, 0.95)), s.N, s.X})
	}
	return list
}

// compare says whether the tags can tell the two ways apart, and if not how many
// more fish it would take.
func compare(r season.Recaptured) []string {
	if !r.Known {
		return []string{"Sent down and let go at the top cannot be compared: one of the two has no tagged fish."}
	}
	list := []string{fmt.Sprintf("Fish sent down were seen again %s times as often as fish let go at the top (range %s to %s).", factor(r.Ratio), factor(r.RatioLow), factor(r.RatioHigh))}
	switch {
	case r.RatioLow > 1 || r.RatioHigh < 1:
		list = append(list, "The numbers can tell the two apart.")
	case r.NeededEach > 0:
		list = append(list, fmt.Sprintf("The numbers cannot tell the two apart. If the shares stay as they are it would take about %d tagged fish of each kind.", r.NeededEach))
	default:
		list = append(list, "The numbers cannot tell the two apart.")
	}
	if !math.IsNaN(r.Adjusted) && !math.IsNaN(r.AdjustedLow) {
		line := fmt.Sprintf("Compared within depth bands: %s times (range %s to %s)", factor(r.Adjusted), factor(r.AdjustedLow), factor(r.AdjustedHigh))
		if r.Skipped > 0 {
			line += fmt.Sprintf("; %d bands hold only one of the two and say nothing", r.Skipped)
		}
		list = append(list, line+".")
	}
	if r.TrendKnown {
		word := "no trend with depth that the numbers can tell"
		if r.TrendP < 0.05 {
			word = map[bool]string{true: "fish from deeper were seen again more", false: "fish from deeper were seen again less"}[r.TrendZ > 0]
		}
		list = append(list, fmt.Sprintf("Depth: %s (z = %.2f, p = %.3f).", word, r.TrendZ, r.TrendP))
	}
	return list
}

func factor(x float64) string {
	if math.IsInf(x, 1) {
		return "no upper end"
	}
	return fmt.Sprintf("%.2f", x)
}

func percent(x, n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%.0f %%", 100*float64(x)/float64(n))
}

func span(low, high float64) string { return fmt.Sprintf("%.0f to %.0f %%", 100*low, 100*high) }

func leftOut(f season.Findings) []string {
	var list []string
	for _, why := range slices.Sorted(maps.Keys(f.LeftOut)) {
		list = append(list, fmt.Sprintf("%d fish: %s", f.LeftOut[why], why))
	}
	return list
}

// chart draws the share sent down by month as bars with their figures on them;
// it says the same in words for those who do not see it.
func chart(months []season.Row) template.HTML {
	if len(months) == 0 {
		return ""
	}
	const width, height, base = 720.0, 220.0, 180.0
	step := width / float64(len(months))
	var b, words strings.Builder
	for i, m := range months {
		share := float64(m.Methods[advisor.Recompressed].Fish) / float64(max(1, m.Fish))
		x, h := float64(i)*step+step*0.15, share*150
		fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="#1f5a8a"/>`, x, base-h, step*0.7, h)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle" font-size="16">%.0f %%</text>`, x+step*0.35, base-h-6, 100*share)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle" font-size="14">%s</text>`, x+step*0.35, base+20, template.HTMLEscapeString(m.Name))
		fmt.Fprintf(&words, "%s %.0f per cent of %d; ", template.HTMLEscapeString(m.Name), 100*share, m.Fish)
	}
	return template.HTML(fmt.Sprintf(`<svg viewBox="0 0 %.0f %.0f" role="img" aria-label="Share of released fish that were sent down, by month: %s"><title>Share sent down, by month</title><line x1="0" y1="%.0f" x2="%.0f" y2="%.0f" stroke="#111"/>%s</svg>`,
		width, height, words.String(), base, width, base, b.String()))
}
