package report

import (
	"fmt"
	"math"
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store/season"
)

// alive tells how many fish live because they were sent down.
func (r *Report) alive() (s section, err error) {
	a := r.Findings.Alive
	s.Title = "Fish alive because they were sent down"
	if a.Fish == 0 {
		s.Says = []line{{Text: "No fish was sent down, or none whose depth was told: there is nothing to reckon."}}
		return s, nil
	}
	fitted := advisor.Posterior().Fitted().To
	h := shoalOf(a)
	s.Says = []line{aliveWords(a), {Text: h.words()}}
	s.Chart, err = h.chart("Of every 100 fish sent down").svg()
	s.Cannot = []string{
		"Not that so many were counted: this is what published studies lead one to expect.",
		fmt.Sprintf("Not that your water is like theirs. The %d studies (%s fish) are mostly of other places, many of other kinds of fish; sharks, warm water and hard handling can make it worse than any of them.", fitted.Studies, count(fitted.Fish)),
		"The range is for 8 cases in 10: in 2 of 10 the truth lies outside it.",
	}
	s.Small = []string{"How: the survival model of this program, fitted to those studies, is drawn some hundred times; in each draw what nobody knows of the model, of each kind of fish and of this water is the same for all the fish, so that errors do not cancel out. Then chance decides for each fish. Depth, kind, hook place, bleeding, minutes on deck, warmth, predators and a floating fish move the odds where numbers were published; size does not. What was seen at the boat is not used."}
	return s, err
}

// aliveWords is the number; where it rounds to nothing that is said instead.
func aliveWords(a season.Alive) line {
	sent := things(a.Fish, "fish", "fish") + " sent down"
	if math.Round(a.More) < 1 {
		return line{"Too few to give a number.", fmt.Sprintf("Hardly any of the %s would have died at the top and lived once down.", sent)}
	}
	return line{
		fmt.Sprintf("About %s fish, likely between %s and %s.", about(a.More), about(a.Low), about(a.High)),
		fmt.Sprintf("That many more of the %s live than if all had been let go at the top.", sent),
	}
}

// longest is how many months stand side by side; a longer log is told by years.
const longest = 18

// months tells how the share sent down went over time.
func (r *Report) months() (s section, err error) {
	rows := r.Findings.Months
	if len(rows) == 0 {
		return s, nil
	}
	name, unit := monthName, "month"
	if len(rows) > longest {
		rows, name, unit = years(rows), func(row season.Row) string { return fmt.Sprint(row.Year) }, "year"
	}
	t := r.releases(unit)
	for _, row := range rows {
		t.Rows = append(t.Rows, append([]string{name(row)}, r.released(row)...))
	}
	s.Title = "How the fish were released, " + unit + " by " + unit
	s.Tables = []table{t}
	s.Cannot = []string{"Not why anything changed. People may release their fish in another way; or tell of other fish; or the fish may come from deeper."}
	bars := barsOf(rows)
	if slices.ContainsFunc(bars, func(b bar) bool { return b.share.N < fewFish }) {
		s.Cannot = append(s.Cannot, fmt.Sprintf("Pale columns hold fewer than %d fish: a few fish either way change them.", fewFish))
	}
	if slices.Contains(r.used(), advisor.Recompressed) {
		s.Says = change(rows, name)
		s.Chart, err = shareBars("Share of released fish that were sent down", bars).svg()
	}
	return s, err
}

// barsOf are the columns of months, or of years.
func barsOf(rows []season.Row) (list []bar) {
	for _, row := range rows {
		name := fmt.Sprint(row.Year)
		if row.Month > 0 {
			name = monthName(row)[:3]
			if rows[0].Year != rows[len(rows)-1].Year {
				name += fmt.Sprintf(" ’%02d", row.Year%100)
			}
		}
		if row.Released > 0 {
			list = append(list, bar{name, row.SentDown()})
		}
	}
	return list
}

func monthName(row season.Row) string {
	return fmt.Sprintf("%s %d", time.Month(row.Month), row.Year)
}

// used are the ways of release that the log has, of those a fish lives through.
func (r *Report) used() (list []advisor.Method) {
	for _, m := range season.Methods {
		if m != advisor.Kept && r.Findings.Methods[m].Fish > 0 {
			list = append(list, m)
		}
	}
	return list
}

// releases is the head of a table about releases, released its rows.
func (r *Report) releases(first string) table {
	t := table{Head: []string{first, "released"}}
	for _, m := range r.used() {
		t.Head = append(t.Head, ways[m])
	}
	if slices.Contains(r.used(), advisor.Recompressed) {
		t.Head = append(t.Head, "share sent down")
	}
	t.Head = append(t.Head, "kept")
	return t
}

func (r *Report) released(row season.Row) []string {
	cells := []string{count(row.Released)}
	for _, m := range r.used() {
		cells = append(cells, count(row.Methods[m].Fish))
	}
	if slices.Contains(r.used(), advisor.Recompressed) {
		cells = append(cells, percent(row.SentDown()))
	}
	return append(cells, count(row.Methods[advisor.Kept].Fish))
}

// years adds months up.
func years(months []season.Row) (list []season.Row) {
	for _, m := range months {
		if len(list) == 0 || list[len(list)-1].Year != m.Year {
			list = append(list, season.Row{Year: m.Year, Methods: map[advisor.Method]season.Count{}})
		}
		year := &list[len(list)-1]
		year.Released += m.Released
		for method, n := range m.Methods {
			year.Methods[method] = year.Methods[method].Plus(n)
		}
	}
	return list
}

// change says how the share went from the first to the last row that holds enough
// fish to say so.
func change(rows []season.Row, name func(season.Row) string) []line {
	enough := slices.DeleteFunc(slices.Clone(rows), func(r season.Row) bool { return r.Released < fewFish })
	if len(enough) < 2 {
		return nil
	}
	say := func(r season.Row) string {
		return fmt.Sprintf("in %s, %s of %s released fish were sent down (%s)", name(r), count(r.SentDown().X), count(r.Released), percent(r.SentDown()))
	}
	return []line{{Text: capital(say(enough[0])) + "; " + say(enough[len(enough)-1]) + "."}}
}

// boat tells what was seen as the fish went.
func (r *Report) boat() (s section, err error) {
	s.Title = "What was seen at the boat"
	t := table{Head: []string{"", "released", "watched", "went down", "stayed at the top", "floated off", "taken", "died"}}
	var rows []cut
	for _, m := range r.used() {
		n := r.Findings.Methods[m]
		t.Rows = append(t.Rows, []string{ways[m], count(n.Fish), count(n.Seen), count(n.WentDown), count(n.AtSurface), count(n.Floated), count(n.Taken), count(n.Died)})
		if n.Seen > 0 {
			rows = append(rows, cut{ways[m], []part{
				{"went down", n.WentDown, solid}, {"stayed up or floated", n.AtSurface + n.Floated, hatch}, {"taken or dead", n.Taken + n.Died, empty},
			}})
		}
	}
	if len(rows) == 0 {
		return section{}, nil
	}
	s.Tables = []table{t}
	s.Chart, err = cutBars("How the watched fish went", rows).svg()
	for _, c := range r.Findings.Boat {
		s.Says = append(s.Says, stayedUp.verdict(c)...)
	}
	s.Cannot = []string{
		"Not that a fish which went down lived. A weight takes a fish down in whatever state it is; many that swim down by themselves die later.",
		"Not what became of the fish that nobody watched.",
	}
	return s, err
}

// kinds tells of depths and species.
func (r *Report) kinds() (s section, err error) {
	if len(r.Findings.Species) == 0 {
		return s, nil
	}
	s.Title = "From which depth, and which fish"
	var rows []cut
	depths, species := r.releases("caught at"), r.releases("")
	depths.Title, species.Title = "By depth", "By kind of fish"
	for _, row := range r.Findings.Depths {
		depths.Rows = append(depths.Rows, append([]string{depthName(row.Band)}, r.released(row)...))
		if row.Released > 0 {
			rows = append(rows, r.byWay(row))
		}
	}
	depths.Note = "A fish from exactly 30 m stands in the band that ends at 30 m."
	for _, row := range r.Findings.Species {
		species.Rows = append(species.Rows, append([]string{fishName(row.Species)}, r.released(row)...))
	}
	s.Tables = []table{depths, species}
	if len(rows) > 0 {
		s.Chart, err = cutBars("How the fish were released, by depth", rows).svg()
	}
	s.Cannot = []string{"Not which way of release is better: deep and shallow fish, and different kinds, are not released alike, and do not fare alike. So the ways of release are compared within depths below."}
	return s, err
}

// wayFills tell the ways of release apart in bars.
var wayFills = map[advisor.Method]fill{advisor.Recompressed: solid, advisor.Vented: hatch, advisor.Surface: empty}

func (r *Report) byWay(row season.Row) cut {
	c := cut{name: row.Band.String()}
	for _, m := range r.used() {
		c.parts = append(c.parts, part{ways[m], row.Methods[m].Fish, wayFills[m]})
	}
	return c
}

// depthName is a band in metres and feet.
func depthName(b season.DepthBand) string {
	shallow, deep := b.Ends()
	const feet = 1 / 0.3048
	if deep > 1e6 {
		return fmt.Sprintf("%s (over %.0f ft)", b, shallow*feet)
	}
	if shallow == 0 {
		return fmt.Sprintf("%s (to %.0f ft)", b, deep*feet)
	}
	return fmt.Sprintf("%s (%.0f–%.0f ft)", b, shallow*feet, deep*feet)
}

func fishName(scientific string) string {
	switch s := advisor.LookUp(scientific); {
	case s != nil:
		return s.EnglishName
	case scientific == "":
		return "kind not known"
	default:
		return scientific
	}
}

// tagged tells how many tagged fish were seen again, by the way they were released.
func (r *Report) tagged() (s section, err error) {
	t := r.Findings.Tags
	s.Title = "Tagged fish that were seen again"
	if t.Fish == 0 {
		s.Says = []line{{Text: "No tagged fish was released in this log. Tags are the only way for a club to learn of its own fish what becomes of them."}}
		return s, nil
	}
	rows := r.seenAgain()
	var shares []float64
	for _, w := range rows {
		shares = append(shares, w.share.P())
	}
	list := table{Head: []string{"", "tagged fish that count", "seen again", "of 100", "likely range"}}
	for i, of := range ofHundred(shares...) {
		w := rows[i]
		list.Rows = append(list.Rows, []string{w.name, count(w.share.N), count(w.share.X), of, between(w.share)})
	}
	list.Note = fmt.Sprintf("A tagged fish counts if it was let go alive and was out for at least %d days before %s, the end of this log; seen again means on a later day, and once is enough.", t.MinDays, date(t.CutOff))
	s.Tables = []table{list}
	s.Says = r.compared(len(rows))
	if len(rows) > 0 {
		s.Chart, err = whiskers("Seen again, of 100 tagged fish", rows).svg()
	}
	s.Cannot = []string{
		"Seen again is not the same as alive: most fish that live are never caught again.",
		"More seen again means more alive only if, in both groups, tags stay in alike, people report alike, and the fish are equally likely to be met. Nobody knows that here.",
		"Nobody drew lots for which fish was sent down.",
	}
	return s, err
}

// seenAgain are the shares of tagged fish that were seen again, by way of release.
func (r *Report) seenAgain() (rows []whisker) {
	for _, m := range r.used() {
		if share := r.Findings.Tags.Counted.Methods[m]; share.N > 0 {
			rows = append(rows, whisker{ways[m], share})
		}
	}
	return rows
}

func (r *Report) compared(groups int) (says []line) {
	for _, c := range r.Findings.Tags.Counted.Comparisons {
		says = append(says, seenAgain.verdict(c)...)
	}
	if len(says) == 0 && groups > 0 {
		says = append(says, line{Text: "There is nothing to compare: tagged fish of one way of release only."})
	}
	if trends := r.Findings.Tags.Counted.Trends; groups > 0 && len(trends) > 0 {
		says = append(says, trendWords(trends[0]))
	}
	return says
}

// trendWords says whether fish from deeper are seen again less.
func trendWords(t season.DepthTrend) line {
	if !t.Known {
		return line{"Depth: nothing can be said.", "Too few depths, or too few seen again, to say whether deep fish come back less."}
	}
	step := fmt.Sprintf("About %s of 100 for each 10 m.", ofHundred(abs(10 * t.Slope))[0])
	switch {
	case t.P < 0.05 && !t.Steady():
		return line{"Depth: this log cannot tell.", "It looks as if depth mattered, but that hangs on a handful of fish in one or two bands."}
	case !t.Steady():
		return line{"Depth: this log cannot tell.", "Fish from deeper may be seen again less, or more, or alike."}
	case t.Z < 0:
		return line{"Depth: fish from deeper were seen again less, by more than luck alone would have it.", step + " Deep marks may also be fished less."}
	default:
		return line{"Depth: fish from deeper were seen again more, by more than luck alone would have it.", step + " Deep marks may also be fished more."}
	}
}

func abs(x float64) float64 { return max(x, -x) }

// fish tells of days, growth and distance.
func (r *Report) fish() (s section, err error) {
	t := r.Findings.Tags
	if t.Liberty.N == 0 && len(t.Moves) == 0 {
		return s, nil
	}
	s.Title = "What the recaptured fish tell"
	if l := t.Liberty; l.N > 0 {
		s.Says = append(s.Says, line{"Days at liberty:", fmt.Sprintf("%s, out for %.0f to %.0f days; half of them between %.0f and %.0f days, the middle one for %.0f.", things(l.N, "fish", "fish"), l.Least, l.Most, l.Lower, l.Upper, l.Middle)})
	}
	if g := t.Growth.Cm; g.N > 0 {
		s.Says = append(s.Says, line{"Growth:", fmt.Sprintf("%s measured both times in the same way. The middle one had grown %.1f cm, half of them between %.1f and %.1f cm, over %.0f days in the middle.", things(g.N, "fish was", "fish were"), g.Middle, g.Lower, g.Upper, t.Growth.Days.Middle)})
	}
	moves := table{Title: "How far they were seen again", Head: []string{"squares of 0.1° (about 11 km)", "fish"}}
	for _, m := range t.Moves {
		shown := count(m.Fish)
		if m.Hidden {
			shown = "few"
		}
		moves.Rows = append(moves.Rows, []string{cellsName(m), shown})
	}
	if len(moves.Rows) > 0 {
		moves.Note = "Straight-line, over land if need be. Rows of fewer than 3 fish or 2 anglers say “few”, so that nobody's mark is given away."
		s.Tables = append(s.Tables, moves)
	}
	s.Cannot = []string{
		"Not how fast fish grow: a tape on a moving boat is off by a centimetre or two, and slow growers may be met less.",
		"Not how far fish swim: they are seen again where people fish.",
	}
	return s, nil
}

func cellsName(m season.Move) string {
	switch {
	case m.ToCells == 0:
		return "same square"
	case m.ToCells == 1:
		return "next square"
	case m.ToCells < 0:
		return fmt.Sprintf("%d squares away or more", m.FromCells)
	default:
		return fmt.Sprintf("%d to %d squares away", m.FromCells, m.ToCells)
	}
}
