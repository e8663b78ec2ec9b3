package report

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/store/catch"
	"deepward/store/season"
)

// doubtWords say what each doubt about a report means.
var doubtWords = map[season.Doubt]string{
	season.DoubtSpeciesUnknown:    "kind of fish not known",
	season.DoubtSpeciesUnsure:     "name of the fish fits several kinds; the likeliest was taken",
	season.DoubtNoDepth:           "no depth told",
	season.DoubtNoSize:            "neither weight nor length told",
	season.DoubtNotWatched:        "not told how it went at the boat",
	season.DoubtConfirmed:         "odd figures that the angler looked at and confirmed",
	"size_for_length":             "weight and length do not fit one fish",
	"size_for_species":            "larger than the fish is known to grow",
	"day_unsure":                  "the day told fits several days or none; under the day of the message",
	"depth_for_species":           "caught far outside the depths where the fish lives",
	"released_deeper_than_caught": "freed deeper than it was caught",
	"recapture_date_unknown":      "seen again, but not told on which day",
	season.DateFilled:             "day not told, or only a part of it; the rest was filled in when the table was taken in",
	catch.ZoneUnknown:             "time of day told, not in which zone",
	"also_vented":                 "vented as well as sent down; counts as sent down",
}

var faultWords = map[season.Fault]string{
	season.FaultTwice:   "tag put in twice with no sighting between",
	season.FaultBefore:  "seen again before it was tagged",
	season.FaultShrank:  "shrank by more than a tape can be off",
	season.FaultSpecies: "was another kind of fish when seen again",
}

// trust tells how far the log can be trusted, and what was left out.
func (r *Report) trust() (s section, err error) {
	s.Title = r.say("What was left out, and what is odd")
	left := table{Title: r.say("Left out"), Head: []string{r.say("why"), r.say("fish")}}
	for _, l := range r.Findings.LeftOut {
		left.Rows = append(left.Rows, []string{r.say(string(l.Why)), r.count(l.Fish)})
	}
	odd := table{Title: r.say("Odd or missing in the reports"), Head: []string{r.say("what"), r.say("fish")}}
	for _, d := range slices.Sorted(maps.Keys(r.Findings.Doubts)) {
		odd.Rows = append(odd.Rows, []string{r.worded(doubtWords[d], string(d)), r.count(r.Findings.Doubts[d])})
	}
	for _, f := range slices.Sorted(maps.Keys(r.Findings.Tags.Faults)) {
		odd.Rows = append(odd.Rows, []string{r.say("tag: %s", r.worded(faultWords[f], string(f))), r.count(r.Findings.Tags.Faults[f])})
	}
	for _, t := range []table{left, odd} {
		if len(t.Rows) > 0 {
			s.Tables = append(s.Tables, t)
		}
	}
	if len(s.Tables) == 0 {
		s.Says = []line{{Text: r.say("Nothing was left out, and nothing is odd.")}}
	}
	s.Small = []string{r.say("The log holds so many reports: %s. Reports that were taken back count nowhere. A fish released twice, with a recapture between, is two releases.", r.count(r.Findings.Reports))}
	s.Cannot = []string{r.say("Not how many fish were never told of: no log knows that.")}
	return s, nil
}

// worded is the words of a code, or the code where it is a new one.
func (v voice) worded(words, code string) string {
	if words == "" {
		return strings.ReplaceAll(code, "_", " ")
	}
	return v.say(words)
}

// full holds the figures for someone who checks them.
func (r *Report) full() (s section, err error) {
	t := r.Findings.Tags
	s.Title, s.Wide = r.say("The figures in full, for someone who checks them"), true
	s.Says = []line{{Text: r.say("Everything above rests on these, and a program finds them unrounded inside this page, in the block named “datasheet”. Ranges are for 95 %; x of n is counted of all. Each method is named with its source at the end; the program's tests compare them with R.")}}
	if len(r.Findings.Months) > longest {
		s.Tables = append(s.Tables, r.monthTable())
	}
	if len(t.Counted.Methods) > 0 {
		s.Tables = append(s.Tables, r.rateTable(t))
	}
	for _, c := range t.Counted.Comparisons {
		s.Tables = append(s.Tables, r.comparisonTable(r.say("Seen again"), c))
		s.Tables = append(s.Tables, r.strataTables(r.say("Seen again, by depth"), c)...)
	}
	if len(t.Counted.Trends) > 0 && t.Counted.Trends[0].Known {
		s.Tables = append(s.Tables, r.trendTable(t.Counted.Trends))
	}
	s.Tables = append(s.Tables, r.jointTables(t.Counted.Jointly)...)
	s.Tables = append(s.Tables, r.heldTables(t.Counted.Held)...)
	if len(t.All.Methods) > 0 {
		s.Tables = append(s.Tables, r.everyTable(t))
	}
	for _, c := range r.Findings.Boat {
		s.Tables = append(s.Tables, r.comparisonTable(r.say("Stayed up or lost at the boat"), c))
		s.Tables = append(s.Tables, r.strataTables(r.say("Stayed up or lost, by depth"), c)...)
	}
	if len(s.Tables) == 0 {
		return section{}, nil
	}
	return s, nil
}

func (r *Report) monthTable() table {
	t := r.releases(r.say("month"))
	t.Title = r.say("Month by month")
	for _, row := range r.Findings.Months {
		t.Rows = append(t.Rows, append([]string{fmt.Sprintf("%d-%02d", row.Year, row.Month)}, r.released(row)...))
	}
	return t
}

// rateTable has a column for each way of release: three fit on the paper, and six
// intervals do not.
func (v voice) rateTable(tags season.Tags) table {
	t := table{
		Title: v.say("Recapture rates in per cent"), Head: []string{""},
		Note: v.say("The rule: let go alive at least %d days before %s, and seen again on a later day.", tags.MinDays, v.date(tags.CutOff)),
	}
	var shares []season.Share
	for _, m := range advisor.Methods {
		if s := tags.Counted.Methods[m]; s.N > 0 {
			t.Head, shares = append(t.Head, v.way(m)), append(shares, s)
		}
	}
	row := func(name string, cell func(season.Share) string) {
		cells := []string{name}
		for _, s := range shares {
			cells = append(cells, cell(s))
		}
		t.Rows = append(t.Rows, cells)
	}
	row(v.say("tagged fish that count (n)"), func(s season.Share) string { return fmt.Sprint(s.N) })
	row(v.say("seen again (x)"), func(s season.Share) string { return fmt.Sprint(s.X) })
	row(v.say("rate"), v.rate)
	for _, i := range intervals {
		row(v.say(i.name), func(s season.Share) string {
			low, high := i.of(s.X, s.N, level)
			return v.exactRange(100*low, 100*high)
		})
	}
	return t
}

// intervals of a share, the first being the one that the report goes by.
var intervals = [...]struct {
	name string
	of   func(x, n int, level float64) (low, high float64)
}{
	{"Wilson, 95 %", season.Wilson}, {"Wilson, corrected for continuity", season.WilsonCorrected}, {"Jeffreys", season.Jeffreys},
	{"Agresti–Coull", season.AgrestiCoull}, {"Clopper–Pearson", season.ClopperPearson}, {"mid-P", season.MidP},
}

// everyTable shows what the rule changes: the same before it.
func (v voice) everyTable(tags season.Tags) table {
	t := table{
		Title: v.say("Without the rule: every fish tagged in this log, seen again at any time"), Head: []string{"", v.say("x of n"), v.say("rate or ratio"), v.say("range"), "p"},
		Note: v.say("Rates in per cent with Wilson's range; ratios with Koopman's and Fisher's p, and within depth bands with Greenland and Robins's and the Cochran–Mantel–Haenszel p."),
	}
	for _, m := range advisor.Methods {
		if s := tags.All.Methods[m]; s.N > 0 {
			low, high := season.Wilson(s.X, s.N, level)
			t.Rows = append(t.Rows, []string{v.way(m), v.xOfN(s), v.rate(s), v.exactRange(100*low, 100*high), ""})
		}
	}
	for _, c := range tags.All.Comparisons {
		name := v.way(c.A) + " / " + v.way(c.B)
		t.Rows = append(t.Rows, []string{name, "", v.exact(c.Ratio), v.exactRange(c.Low, c.High), v.exact(c.P)})
		if c.Depth.Known() {
			t.Rows = append(t.Rows, []string{v.say("%s, within depth bands", name), "", v.exact(c.Depth.Ratio.Value), v.exactRange(c.Depth.Ratio.Low, c.Depth.Ratio.High), v.exact(c.Depth.P)})
		}
	}
	return t
}

// jointTables show method and depth weighed at once, no table where nothing fits.
func (v voice) jointTables(j season.Jointly) []table {
	if len(j.Effects) == 0 {
		return nil
	}
	t := table{
		Title: v.say("Seen again: method and depth weighed at once (logistic regression)"), Head: []string{"", v.say("odds ratio"), v.say("range (Wald)"), "p"},
		Note: v.say("%s, each with the depth that was told.", v.fish(j.Fish)),
	}
	for _, e := range j.Effects {
		name := v.say("10 m more depth")
		if e.Method != "" {
			name = v.way(e.Method) + " / " + v.way(j.Against)
		}
		t.Rows = append(t.Rows, []string{name, v.exact(e.Odds), v.exactRange(e.Low, e.High), v.exact(e.P)})
	}
	return []table{t}
}

// heldTables show the ways of release within months, over the time out.
func (v voice) heldTables(h season.Held) (list []table) {
	for _, m := range []struct {
		title, ratio string
		season.Weighed
	}{
		{v.say("Seen again, within months of release (logistic regression, days as clusters)"), v.say("odds ratio"), h.Logistic},
		{v.say("Days at liberty, within months of release (Cox's model, days as clusters)"), v.say("rate ratio"), h.Cox},
	} {
		if len(m.Effects) == 0 {
			continue
		}
		t := table{Title: m.title, Head: []string{"", m.ratio, v.say("range (robust)"), "p"}}
		t.Note = v.say("%s, %s of them seen again; let go on %d days in %d months.", v.fish(m.Fish), v.count(m.Seen), m.Days, m.Months)
		for _, e := range m.Effects {
			name := v.say("10 m more depth")
			if e.A != "" {
				name = v.way(e.A) + " / " + v.way(e.B)
			}
			t.Rows = append(t.Rows, []string{name, v.exact(e.Ratio), v.exactRange(e.Low, e.High), v.exact(e.P)})
		}
		list = append(list, t)
	}
	if n := len(list); n > 0 && h.Undated > 0 {
		list[n-1].Note += " " + v.say("Seen again on a day nobody told, and not in it: %s.", v.fish(h.Undated))
	}
	return list
}

func (v voice) xOfN(s season.Share) string { return v.say("%d of %d", s.X, s.N) }

func (v voice) comparisonTable(event string, c season.Comparison) table {
	t := table{Title: v.say("%s: %s (%s) against %s (%s)", event, v.way(c.A), v.xOfN(c.InA), v.way(c.B), v.xOfN(c.InB)), Head: []string{"", v.say("estimate"), v.say("range"), ""}}
	row := func(name string, x, low, high float64, more string) {
		t.Rows = append(t.Rows, []string{name, v.exact(x), v.exactRange(low, high), more})
	}
	row(v.say("ratio, score (Koopman)"), c.Ratio, c.Low, c.High, v.say("p = %s (Fisher, exact)", v.exact(c.P)))
	row(v.say("ratio, log (Katz)"), c.Ratio, c.KatzLow, c.KatzHigh, "p = "+v.exact(c.X2P)+" (Pearson, X² = "+v.exact(c.X2)+")")
	row(v.say("difference in points (Newcombe 10)"), 100*c.Difference, 100*c.DifferenceLow, 100*c.DifferenceHigh, "")
	adjusted := func(name string, a season.Adjusted) {
		if !a.Known() {
			return
		}
		row(name+": "+v.say("ratio (Mantel–Haenszel)"), a.Ratio.Value, a.Ratio.Low, a.Ratio.High, v.say("SE of log %s", v.exact(a.Ratio.SE)))
		row(name+": "+v.say("odds ratio"), a.Odds.Value, a.Odds.Low, a.Odds.High, fmt.Sprintf("p = %s (CMH, X² = %s)", v.exact(a.P), v.exact(a.X2)))
		row(name+": "+v.say("difference in points"), 100*a.Difference.Value, 100*a.Difference.Low, 100*a.Difference.High, v.say("SE (Sato) %s", v.exact(100*a.Difference.SE)))
		t.Rows = append(t.Rows, []string{name + ": " + v.say("do the strata agree?"), "X² = " + v.exact(a.Even.X2), v.say("p = %s, %d degrees of freedom", v.exact(a.Even.P), a.Even.Degrees), "p = " + v.exact(a.Even.TaroneP) + " (Tarone)"})
		t.Rows = append(t.Rows, []string{name + ": " + v.say("strata"), v.say("%d used", len(a.Strata)-a.Skipped), v.say("%d skipped", a.Skipped), v.fish(a.Fish)})
	}
	adjusted(v.say("within depth bands"), c.Depth)
	if species := c.SpeciesDepth; len(species.Strata) > len(c.Depth.Strata) {
		adjusted(v.say("within depth bands of one species"), species)
	}
	adjusted(v.say("within depth bands of one month"), c.MonthDepth)
	t.Rows = append(t.Rows, []string{v.say("p, corrected for the number of comparisons (Holm)"), v.exact(c.HolmP), "", ""})
	return t
}

// strataTables are the bands of a comparison, no table where no depth was told.
func (v voice) strataTables(name string, c season.Comparison) []table {
	if len(c.Depth.Strata) == 0 {
		return nil
	}
	t := table{Title: v.say("%s: %s against %s", name, v.way(c.A), v.way(c.B)), Head: []string{v.say("depth band"), v.say("%s, x of n", v.way(c.A)), v.say("%s, x of n", v.way(c.B)), v.say("rates in per cent")}}
	for _, s := range c.Depth.Strata {
		t.Rows = append(t.Rows, []string{v.band(s.Band), v.xOfN(s.A), v.xOfN(s.B), v.rate(s.A) + " " + v.say("and") + " " + v.rate(s.B)})
	}
	return []table{t}
}

func (v voice) rate(s season.Share) string {
	if s.N == 0 {
		return "–"
	}
	return v.exact(100 * s.P())
}

func (v voice) trendTable(trends []season.DepthTrend) table {
	t := table{Title: v.say("Seen again, trend with depth (Cochran–Armitage)"), Head: []string{"", "z", v.say("p, two-sided"), v.say("slope, points for each metre"), v.say("Mantel's M²"), v.say("depth score: x of n")}}
	for _, d := range trends {
		var bands []string
		for _, b := range d.Bands {
			bands = append(bands, fmt.Sprintf("%g m: %s", b.Score, v.xOfN(b.Share)))
		}
		name := v.say("all together")
		if d.Method != "" {
			name = v.way(d.Method)
		}
		if !d.Known {
			t.Rows = append(t.Rows, []string{name, "–", "–", "–", "–", strings.Join(bands, v.semicolon())})
			continue
		}
		t.Rows = append(t.Rows, []string{name, v.exact(d.Z), v.exact(d.P), v.exact(100 * d.Slope), v.exact(d.M2), strings.Join(bands, v.semicolon())})
	}
	return t
}

// sources lists what the figures and the warnings rest on.
func (r *Report) sources() (section, error) {
	fitted := advisor.Posterior().Fitted().To
	return section{Title: r.say("Sources"), Wide: true, Small: []string{
		r.say("Survival: a model fitted to %d findings of %d published studies, about %s fish; the studies, the model and where it failed are in advisor/data (evidence.csv, SURVIVAL.md) in the source of this program.", fitted.Findings, fitted.Studies, r.count(fitted.Fish)),
		r.say("Tag returns as relative survival, and what must hold for it: Hueter et al. 2006, Trans. Am. Fish. Soc. 135:500; Benoît et al. 2020, Fish. Res. 221:105398. Signs at the surface as poor forecasters: Jarvis & Lowe 2008; Hannah & Matteson 2007. How a log like this should be kept: Breen & Catchpole (eds) 2021, ICES Coop. Res. Rep. 351. Hiding places: Chapman 2020, GBIF."),
		r.say("Ranges of shares: Wilson 1927; Brown, Cai & DasGupta 2001; Agresti & Coull 1998; Clopper & Pearson 1934; Lancaster 1961 (mid-P). Ratios: Koopman 1984; Katz et al. 1978. Differences: Newcombe 1998. Within strata: Mantel & Haenszel 1959; Greenland & Robins 1985; Robins, Breslow & Greenland 1986; Sato 1989; Breslow & Day 1980 with Tarone 1985. Trend: Cochran 1954; Armitage 1955; Mantel 1963. Tests: Fisher 1922; Pearson 1900; Cochran 1954 with Mantel & Haenszel 1959. Method and depth at once: McCullagh & Nelder 1989. Days at liberty: Cox 1972, ties by Efron 1977; robust errors: Huber 1967, Lin & Wei 1989. Several comparisons: Holm 1979. Fish needed: as R's power.prop.test; Fleiss, Levin & Paik 2003."),
		r.say("The bands of depth, the 3 fish and 2 anglers of a table with places, and 2 cm or 5 % of measuring error are common practice and have no source."),
		r.say("Local rules come first; this page states none."),
	}}, nil
}
