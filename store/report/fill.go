package report

import (
	"fmt"
	"math"

	"deepward/advisor"
	"deepward/store/season"
)

// level of the intervals in the figures.
const level = 0.95

// datasheet is the findings, filled in.
func (r *Report) datasheet() datasheet {
	f := r.Findings
	n := datasheet{
		From: day(f.First), To: day(f.Last), Reports: f.Reports, Invented: f.Invented, Released: f.Released, Anglers: f.Anglers,
		Species: groups(f.Species), Depths: groups(f.Depths), Months: groups(f.Months), Alive: aliveOf(f.Alive),
		Boat: comparisons(f.Boat), Tags: tagsOf(f.Tags), Doubts: map[string]int{}, LeftOut: []left{}, Methods: []outcomes{},
	}
	for i := range n.Species {
		n.Species[i].Species, n.Species[i].Band, n.Species[i].Month = &f.Species[i].Species, nil, ""
	}
	for i := range n.Depths {
		n.Depths[i].Band = new(bandOf(f.Depths[i].Band))
	}
	for i := range n.Months {
		n.Months[i].Month = fmt.Sprintf("%d-%02d", f.Months[i].Year, f.Months[i].Month)
	}
	for _, m := range advisor.Methods {
		if c, ok := f.Methods[m]; ok {
			n.Methods = append(n.Methods, outcomes{m, c.Fish, c.Seen, c.WentDown, c.AtSurface, c.Floated, c.Taken, c.Died})
		}
	}
	for d, fish := range f.Doubts {
		n.Doubts[string(d)] = fish
	}
	for _, l := range f.LeftOut {
		n.LeftOut = append(n.LeftOut, left{l.Why, l.Fish})
	}
	return n
}

func groups(rows []season.Row) []group {
	list := []group{}
	for _, row := range rows {
		g := group{Released: row.Released, Methods: map[advisor.Method]int{}}
		for m, c := range row.Methods {
			g.Methods[m] = c.Fish
		}
		list = append(list, g)
	}
	return list
}

func bandOf(b season.DepthBand) band {
	shallow, deep := b.Ends()
	return band{number(shallow), number(deep)}
}

func aliveOf(a season.Alive) *alive {
	if a.Fish == 0 {
		return nil
	}
	return &alive{a.Fish, number(a.More), number(a.Low), number(a.High), season.AliveRange, number(a.TopShare), number(a.DownShare), spanOf(a.GainLow, a.GainHigh)}
}

func tagsOf(t season.Tags) tags {
	n := tags{
		MinDays: t.MinDays, CutOff: day(t.CutOff), Fish: t.Fish, Followed: t.Followed, Counted: recapturesOf(t.Counted), All: recapturesOf(t.All),
		Days: spreadOf(t.Liberty), Growth: spreadOf(t.Growth.Cm), Over: spreadOf(t.Growth.Days), Moves: []move{}, Faults: t.Faults,
	}
	for _, m := range t.Moves {
		row := move{From: m.FromCells}
		if m.ToCells >= 0 {
			row.To = &m.ToCells
		}
		if !m.Hidden {
			row.Fish = &m.Fish
		}
		n.Moves = append(n.Moves, row)
	}
	return n
}

func spreadOf(s season.Spread) spread {
	if s.N == 0 {
		none := number(math.NaN())
		return spread{0, none, none, none, none, none, none}
	}
	return spread{s.N, number(s.Least), number(s.Lower), number(s.Middle), number(s.Upper), number(s.Most), number(s.Mean)}
}

func recapturesOf(t season.Recaptures) recaptures {
	n := recaptures{Rates: []share{}, Comparisons: comparisons(t.Comparisons), Trends: []trend{}}
	for _, m := range advisor.Methods {
		if s := t.Methods[m]; s.N > 0 {
			n.Rates = append(n.Rates, rateOf(m, s))
		}
	}
	for _, d := range t.Trends {
		if d.Known {
			n.Trends = append(n.Trends, trendOf(d))
		}
	}
	n.Logistic = logistic{t.Jointly.Fish, t.Jointly.Against, []effect{}}
	for _, e := range t.Jointly.Effects {
		of := string(e.Method)
		if of == "" {
			of = "10 m more depth"
		}
		n.Logistic.Effects = append(n.Logistic.Effects, effect{of, number(e.Odds), spanOf(e.Low, e.High), number(e.P)})
	}
	n.Held = held{weighedOf(t.Held.Logistic), weighedOf(t.Held.Cox), t.Held.Undated}
	return n
}

func weighedOf(w season.Weighed) weighed {
	n := weighed{w.Fish, w.Seen, w.Days, w.Months, []pairEffect{}}
	for _, e := range w.Effects {
		n.Effects = append(n.Effects, pairEffect{e.A, e.B, number(e.Ratio), spanOf(e.Low, e.High), number(e.P)})
	}
	return n
}

// rateOf is a share with all its intervals.
func rateOf(m advisor.Method, s season.Share) share {
	n := shareOf(s)
	n.Method = m
	of := func(f func(x, n int, level float64) (low, high float64)) *span {
		return new(spanOf(f(s.X, s.N, level)))
	}
	n.Wilson, n.Corrected, n.Jeffreys = of(season.Wilson), of(season.WilsonCorrected), of(season.Jeffreys)
	n.AgrestiCoull, n.ClopperPearson, n.MidP = of(season.AgrestiCoull), of(season.ClopperPearson), of(season.MidP)
	return n
}

func shareOf(s season.Share) share { return share{X: s.X, N: s.N, Rate: number(s.P())} }

func spanOf(low, high float64) span { return span{number(low), number(high)} }

func comparisons(list []season.Comparison) []comparison {
	all := []comparison{}
	for _, c := range list {
		n := comparison{
			A: shareOf(c.InA), B: shareOf(c.InB), Says: c.Verdict(), Ratio: number(c.Ratio), Koopman: spanOf(c.Low, c.High), Katz: spanOf(c.KatzLow, c.KatzHigh),
			Difference: number(c.Difference), Newcombe: spanOf(c.DifferenceLow, c.DifferenceHigh), Fisher: number(c.P), X2: number(c.X2), X2P: number(c.X2P),
			Depth: adjustedOf(c.Depth), Species: adjustedOf(c.SpeciesDepth), Months: adjustedOf(c.MonthDepth), HolmP: number(c.HolmP),
		}
		n.A.Method, n.B.Method = c.A, c.B
		for _, s := range c.Depth.Strata {
			n.Depth.Strata = append(n.Depth.Strata, stratum{bandOf(s.Band), shareOf(s.A), shareOf(s.B)})
		}
		all = append(all, n)
	}
	return all
}

func adjustedOf(a season.Adjusted) adjusted {
	return adjusted{
		Used: len(a.Strata) - a.Skipped, Skipped: a.Skipped, Fish: a.Fish,
		Ratio: pooledOf(a.Ratio), Odds: pooledOf(a.Odds), Difference: pooledOf(a.Difference),
		X2: number(a.X2), P: number(a.P), Corrected: number(a.CorrectedX2), CorrectedP: number(a.CorrectedP),
		BreslowDay: number(a.Even.X2), EvenP: number(a.Even.P), Tarone: number(a.Even.Tarone), TaroneP: number(a.Even.TaroneP),
	}
}

func pooledOf(p season.Pooled) pooled {
	return pooled{number(p.Value), spanOf(p.Low, p.High), number(p.SE)}
}

func trendOf(d season.DepthTrend) trend {
	t := trend{Method: d.Method, Z: number(d.Z), P: number(d.P), Slope: number(d.Slope), M2: number(d.M2)}
	for _, b := range d.Bands {
		t.Bands = append(t.Bands, scored{b.Score, b.X, b.N})
	}
	return t
}
