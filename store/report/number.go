package report

import (
	"fmt"
	"math"
	"strings"
	"time"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"deepward/store/season"
)

// count writes a number of fish, "1,020".
func count(n int) string { return message.NewPrinter(language.English).Sprintf("%d", n) }

// about writes a number of fish that was reckoned, not counted.
func about(x float64) string { return count(int(season.Rough(x))) }

// things words a number with its noun: "1 fish", "fish" being its own plural.
func things(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return count(n) + " " + many
}

// percent writes a share as a whole per cent; "–" of nothing. A share that is not
// quite none or all is not rounded to it.
func percent(s season.Share) string {
	switch whole := math.Round(100 * s.P()); {
	case s.N == 0:
		return "–"
	case whole == 0 && s.X > 0:
		return "under 1 %"
	case whole == 100 && s.X < s.N:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", whole)
	}
}

// ofHundred writes proportions as so many of 100, all with a decimal where one is
// small.
func ofHundred(ps ...float64) []string {
	decimals := 0
	for _, p := range ps {
		if p > 0 && p < 0.095 {
			decimals = 1
		}
	}
	list := make([]string, len(ps))
	for i, p := range ps {
		list[i] = fmt.Sprintf("%.*f", decimals, 100*p)
	}
	return list
}

// between writes the Wilson range of a share in hundreds: "10 to 15".
func between(s season.Share) string {
	return strings.Join(ofHundred(season.Wilson(s.X, s.N, 0.95)), " to ")
}

// times writes ratios as people say them, all with the decimals that the one nearest
// to 1 needs.
func times(ratios ...float64) []string {
	decimals := 0
	for _, x := range ratios {
		switch {
		case math.Abs(x-1) < 0.25:
			decimals = 2
		case x < 9.95:
			decimals = max(decimals, 1)
		}
	}
	list := make([]string, len(ratios))
	for i, x := range ratios {
		list[i] = fmt.Sprintf("%.*f", decimals, x)
		if math.IsInf(x, 1) {
			list[i] = "any number of"
		}
	}
	return list
}

// tenths writes a length with one decimal, nothing as 0.0 whichever way it is off.
func tenths(x float64) string { return fmt.Sprintf("%.1f", math.Round(x*10)/10+0) }

// exact writes a figure for those who check it, with six digits that count; "–" where
// there is none.
func exact(x float64) string {
	switch {
	case math.IsNaN(x):
		return "–"
	case math.IsInf(x, 1):
		return "∞"
	case x != 0 && math.Abs(x) < 0.0001:
		return fmt.Sprintf("%.5e", x)
	case math.Abs(x) >= 1e6:
		return fmt.Sprintf("%.0f", x)
	default:
		return fmt.Sprintf("%.6g", x)
	}
}

func exactRange(low, high float64) string { return exact(low) + " to " + exact(high) }

// date writes a day in words.
func date(t time.Time) string { return t.Format("2 January 2006") }

// span is the days of the log.
func (r *Report) span() string {
	first, last := r.Findings.First, r.Findings.Last
	switch {
	case first.IsZero():
		return ""
	case date(first) == date(last):
		return date(first)
	case first.Year() == last.Year():
		return first.Format("2 January") + " to " + date(last)
	default:
		return date(first) + " to " + date(last)
	}
}
