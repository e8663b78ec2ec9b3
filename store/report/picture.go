package report

import "io"

// picture is the one chart that says most: what became of a hundred fish that were
// sent down; where that cannot be reckoned, how many tagged fish were seen again;
// where there are none, how the share went over the months.
func (r *Report) picture() chart {
	if a := r.Findings.Alive; a.Fish > 0 {
		return shoalOf(a).chart("Of every 100 fish we sent down, by published studies")
	}
	if rows := r.seenAgain(); len(rows) > 0 {
		return whiskers("Seen again, of 100 tagged fish", rows)
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
