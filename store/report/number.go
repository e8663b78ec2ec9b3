package report

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"deepward/store/season"
)

// count writes a number of fish, "1,020".
func (v voice) count(n int) string {
	if v.printer == nil {
		v = voiceOf("en")
	}
	return v.printer.Sprintf("%d", n)
}

// about writes a number of fish that was reckoned, not counted.
func (v voice) about(x float64) string { return v.count(int(season.Rough(x))) }

// fish words a number of fish.
func (v voice) fish(n int) string {
	if n == 1 {
		return v.say("1 fish")
	}
	return v.say("%s fish", v.count(n))
}

// percent writes a share as a whole per cent; "–" of nothing. A share that is not
// quite none or all is not rounded to it.
func (v voice) percent(s season.Share) string {
	switch whole := math.Round(100 * s.P()); {
	case s.N == 0:
		return "–"
	case whole == 0 && s.X > 0:
		return v.say("under 1 %")
	case whole == 100 && s.X < s.N:
		return v.say("over 99 %")
	default:
		return fmt.Sprintf("%.0f\u00a0%%", whole)
	}
}

// ofHundred writes proportions as so many of 100, all with a decimal where one is
// small.
func (v voice) ofHundred(ps ...float64) []string {
	decimals := 0
	for _, p := range ps {
		if p > 0 && p < 0.095 {
			decimals = 1
		}
	}
	list := make([]string, len(ps))
	for i, p := range ps {
		list[i] = v.decimal(fmt.Sprintf("%.*f", decimals, 100*p))
	}
	return list
}

// between writes the Wilson range of a share in hundreds: "10 to 15".
func (v voice) between(s season.Share) string {
	ends := v.ofHundred(season.Wilson(s.X, s.N, 0.95))
	return v.say("%s to %s", ends[0], ends[1])
}

// times writes ratios as people say them, all with the decimals that the one nearest
// to 1 needs.
func (v voice) times(ratios ...float64) []string {
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
		list[i] = v.decimal(fmt.Sprintf("%.*f", decimals, x))
		if math.IsInf(x, 1) {
			list[i] = v.say("any number of")
		}
	}
	return list
}

// tenths writes a length with one decimal, nothing as 0.0 whichever way it is off.
func (v voice) tenths(x float64) string { return v.decimal(fmt.Sprintf("%.1f", math.Round(x*10)/10+0)) }

// exact writes a figure for those who check it, with six digits that count; "–" where
// there is none.
func (v voice) exact(x float64) string {
	switch {
	case math.IsNaN(x):
		return "–"
	case math.IsInf(x, 1):
		return "∞"
	case x != 0 && math.Abs(x) < 0.0001:
		return v.decimal(fmt.Sprintf("%.5e", x))
	case math.Abs(x) >= 1e6:
		return fmt.Sprintf("%.0f", x)
	default:
		return v.decimal(fmt.Sprintf("%.6g", x))
	}
}

func (v voice) exactRange(low, high float64) string {
	return v.say("%s to %s", v.exact(low), v.exact(high))
}

// date writes a day in words.
func (v voice) date(t time.Time) string {
	return v.say("%s %s %d", v.dayOfMonth(t), v.month(t.Month()), t.Year())
}

// dayOfMonth writes the day; French calls only the first by its rank.
func (v voice) dayOfMonth(t time.Time) string {
	if v.code() == "fr" && t.Day() == 1 {
		return "1er"
	}
	return strconv.Itoa(t.Day())
}

// month is the name of a month.
func (v voice) month(m time.Month) string { return v.say(m.String()) }

// span is the days of the log.
func (r *Report) span() string {
	first, last := r.Findings.First, r.Findings.Last
	switch {
	case first.IsZero(), !r.Findings.Dated:
		return ""
	case r.date(first) == r.date(last):
		return r.date(first)
	case first.Year() == last.Year():
		return r.say("from %s to %s", r.say("%s %s", r.dayOfMonth(first), r.month(first.Month())), r.date(last))
	default:
		return r.say("from %s to %s", r.date(first), r.date(last))
	}
}
