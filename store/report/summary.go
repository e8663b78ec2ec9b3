package report

import (
	"fmt"
	"io"
	"strings"

	"deepward/advisor"
)

// ChatSummary is the report in a few plain lines, for a chat.
func (r *Report) ChatSummary() string {
	f := r.Findings
	lines := []string{strings.Trim(r.options.Club+", "+r.span(), ", ")}
	lines = append(lines, strings.TrimSpace(r.headline()+" "+r.hedge()))
	if down, top := f.Methods[advisor.Recompressed], f.Methods[advisor.Surface]; down.Seen > 0 && top.Seen > 0 {
		lines = append(lines, fmt.Sprintf("Watched at the boat: %s of %s sent down stayed up or were lost, %s of %s let go at the top.",
			count(down.Troubled().X), count(down.Seen), count(top.Troubled().X), count(top.Seen)))
	}
	if c := f.Tags.Comparisons; len(c) > 0 {
		v := seenAgain.verdict(c[0])[0]
		if !strings.Contains(lines[1], v.Lead) {
			v.Text = v.Lead + " " + v.Text
		}
		lines = append(lines, "Tagged fish: "+v.Text)
	} else if f.Tags.Fish > 0 {
		lines = append(lines, fmt.Sprintf("Tags: %s out, too few ways of release to compare.", things(f.Tags.Fish, "fish", "fish")))
	}
	if f.Released > 0 {
		lines = append(lines, "Careful: these are reports, not an experiment. Nobody drew lots for how a fish was released, and what is not told is not here.")
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// picture is the one chart that says most: what became of a hundred fish that were
// sent down; where that cannot be reckoned, how the share went over the months.
func (r *Report) picture() chart {
	if a := r.Findings.Alive; a.Fish > 0 {
		return shoalOf(a).chart("Of every 100 fish we sent down, by published studies")
	}
	rows := r.Findings.Months
	if len(rows) > longest {
		rows = years(rows)
	}
	return shareBars("Share of released fish that were sent down", barsOf(rows))
}

// ChartPNG writes the chart that goes with the summary, sized for a phone.
func (r *Report) ChartPNG(w io.Writer) error { return r.picture().png(w) }

// ChartWords says what the chart shows, for those who do not see it.
func (r *Report) ChartWords() string { return r.picture().words }
