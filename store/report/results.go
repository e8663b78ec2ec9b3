package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
	"unicode"
	"unicode/utf8"

	"deepward/advisor"
	"deepward/store/season"
)

// alive tells how many fish live because they were sent down.
func (r *Report) alive() (s section, err error) {
	a := r.Findings.Alive
	s.Title = r.say("Fish alive because they were sent down")
	if a.Fish == 0 {
		s.Says = []line{{Text: r.say("No fish was sent down, or none whose depth was told: there is nothing to reckon.")}}
		return s, nil
	}
	fitted := advisor.Posterior().Fitted().To
	h := shoalOf(a)
	h.voice = r.voice
	s.Says = []line{r.aliveWords(a), {Text: h.words()}}
	s.Chart, err = h.chart(r.labels()).svg()
	s.Cannot = []string{
		r.say("Not that so many were counted: this is what published studies lead one to expect."),
		r.say("Not that your water is like theirs. The %d studies (%s fish) are mostly of other places, many of other kinds of fish; sharks, warm water and hard handling can make it worse than any of them.", fitted.Studies, r.count(fitted.Fish)),
		r.say("The range is for 8 cases in 10: in 2 of 10 the truth lies outside it."),
	}
	s.Small = []string{r.say("How: the survival model of this program, fitted to those studies, is drawn some hundred times; what nobody knows of the model, the kind of fish and this water is the same for all fish of a draw, so that errors do not cancel out. Depth, kind, hook place, bleeding, minutes on deck, warmth, predators, how it swam and its signs move the odds; size, and what became of it at the boat, do not.")}
	return s, err
}

// aliveWords is the number; where it rounds to nothing that is said instead.
func (v voice) aliveWords(a season.Alive) line {
	sent := v.say("%s sent down", v.fish(a.Fish))
	switch {
	case math.Round(a.High) < 1:
		return line{v.say("Hardly any."), v.say("Of the %s, hardly any would have died at the top and lived once down.", sent)}
	case math.Round(a.More) < 1:
		return line{v.say("Too few to give a number."), v.say("Of the %s, none or up to %s may live because of it.", sent, v.about(a.High))}
	}
	return line{
		v.say("About %s fish, likely between %s and %s.", v.about(a.More), v.about(a.Low), v.about(a.High)),
		v.say("That many more of the %s live than if all had been let go at the top.", sent),
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
	name, unit := r.monthName, r.say("month")
	s.Title = r.say("How the fish were released, month by month")
	if len(rows) > longest {
		rows, name, unit = years(rows), func(row season.Row) string { return fmt.Sprint(row.Year) }, r.say("year")
		s.Title = r.say("How the fish were released, year by year")
	}
	t := r.releases(unit)
	for _, row := range rows {
		t.Rows = append(t.Rows, append([]string{name(row)}, r.released(row)...))
	}
	s.Tables = []table{t}
	s.Cannot = []string{r.say("Not why anything changed. People may release their fish in another way; or tell of other fish; or the fish may come from deeper.")}
	bars := r.barsOf(rows)
	if slices.ContainsFunc(bars, func(b bar) bool { return b.share.N < fewFish }) {
		s.Cannot = append(s.Cannot, r.say("Pale columns hold fewer than %d fish: a few fish either way change them.", fewFish))
	}
	if slices.Contains(r.used(), advisor.Recompressed) {
		s.Says = r.change(rows, name)
		s.Chart, err = r.shareBars(r.say("Share of released fish that were sent down"), bars).svg()
	}
	return s, err
}

// barsOf are the columns of months, or of years.
func (v voice) barsOf(rows []season.Row) (list []bar) {
	for _, row := range rows {
		name := fmt.Sprint(row.Year)
		if row.Month > 0 {
			name = v.shortMonth(time.Month(row.Month))
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

func (v voice) monthName(row season.Row) string {
	return v.say("%s %d", v.month(time.Month(row.Month)), row.Year)
}

// used are the ways of release that the log has, of those a fish lives through.
func (r *Report) used() (list []advisor.Method) {
	for _, m := range advisor.Methods {
		if m != advisor.Kept && r.Findings.Methods[m].Fish > 0 {
			list = append(list, m)
		}
	}
	return list
}

// releases is the head of a table about releases, released its rows.
func (r *Report) releases(first string) table {
	t := table{Head: []string{first, r.say("released")}}
	for _, m := range r.used() {
		t.Head = append(t.Head, r.way(m))
	}
	if slices.Contains(r.used(), advisor.Recompressed) {
		t.Head = append(t.Head, r.say("share sent down"))
	}
	t.Head = append(t.Head, r.say("kept"))
	return t
}

func (r *Report) released(row season.Row) []string {
	cells := []string{r.count(row.Released)}
	for _, m := range r.used() {
		cells = append(cells, r.count(row.Methods[m].Fish))
	}
	if slices.Contains(r.used(), advisor.Recompressed) {
		cells = append(cells, r.percent(row.SentDown()))
	}
	return append(cells, r.count(row.Methods[advisor.Kept].Fish))
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
func (v voice) change(rows []season.Row, name func(season.Row) string) []line {
	enough := slices.DeleteFunc(slices.Clone(rows), func(r season.Row) bool { return r.Released < fewFish })
	if len(enough) < 2 {
		return nil
	}
	say := func(r season.Row) string {
		return v.say("in %s, %s of %s released fish were sent down (%s)", name(r), v.count(r.SentDown().X), v.count(r.Released), v.percent(r.SentDown()))
	}
	return []line{{Text: capital(say(enough[0])) + v.semicolon() + say(enough[len(enough)-1]) + "."}}
}

// boat tells what was seen as the fish went.
func (r *Report) boat() (s section, err error) {
	s.Title = r.say("What was seen at the boat")
	t := table{Head: []string{"", r.say("released"), r.say("watched"), r.say("went down"), r.say("stayed at the top"), r.say("floated off"), r.say("taken"), r.say("died")}}
	var rows []cut
	for _, m := range r.used() {
		n := r.Findings.Methods[m]
		t.Rows = append(t.Rows, []string{r.way(m), r.count(n.Fish), r.count(n.Seen), r.count(n.WentDown), r.count(n.AtSurface), r.count(n.Floated), r.count(n.Taken), r.count(n.Died)})
		if n.Seen > 0 {
			rows = append(rows, cut{r.way(m), []part{
				{r.say("went down"), n.WentDown, solid}, {r.say("stayed up or floated"), n.AtSurface + n.Floated, hatch}, {r.say("taken or dead"), n.Taken + n.Died, empty},
			}})
		}
	}
	if len(rows) == 0 {
		return section{}, nil
	}
	s.Tables = []table{t}
	s.Chart, err = r.cutBars(r.say("How the watched fish went"), rows).svg()
	for _, c := range r.Findings.Boat {
		if c.A == advisor.Recompressed || c.B == advisor.Recompressed {
			continue // a weight takes a fish down: that it did says nothing
		}
		s.Says = append(s.Says, r.stayedUp().verdict(c)...)
	}
	s.Cannot = []string{
		r.say("Not that a fish which went down lived. A weight takes a fish down in whatever state it is; many that swim down by themselves die later."),
		r.say("Not what became of the fish that nobody watched. A fish that dies at the top is seen floating; one that dies on the bottom is not."),
	}
	return s, err
}

// kinds tells of depths and species.
func (r *Report) kinds() (s section, err error) {
	if len(r.Findings.Species) == 0 {
		return s, nil
	}
	s.Title = r.say("From which depth, and which fish")
	var rows []cut
	depths, species := r.releases(r.say("caught at")), r.releases("")
	depths.Title, species.Title = r.say("By depth"), r.say("By kind of fish")
	for _, row := range r.Findings.Depths {
		depths.Rows = append(depths.Rows, append([]string{r.depthName(row.Band)}, r.released(row)...))
		if row.Released > 0 {
			rows = append(rows, r.byWay(row))
		}
	}
	depths.Note = r.say("A fish from exactly 30 m stands in the band that ends at 30 m.")
	for _, row := range r.Findings.Species {
		species.Rows = append(species.Rows, append([]string{r.fishName(row.Species)}, r.released(row)...))
	}
	s.Tables, s.Says = []table{depths, species}, r.mostOf()
	if len(rows) > 0 {
		s.Chart, err = r.cutBars(r.say("How the fish were released, by depth"), rows).svg()
	}
	s.Cannot = []string{r.say("Not which way of release is better: deep and shallow fish, and different kinds, are not released alike, and do not fare alike. So the ways of release are compared within depths below.")}
	return s, err
}

// mostOf says what depth and kind most of the released fish were of.
func (r *Report) mostOf() []line {
	f := r.Findings
	say := func(name string, n int) string {
		return r.say("%s (%s of %s)", name, r.count(n), r.count(f.Released))
	}
	kind := f.Species[0]
	if kind.Released == 0 {
		return nil
	}
	text := r.say("The kind most often released was %s.", say(lowered(r.fishName(kind.Species)), kind.Released))
	if len(f.Depths) > 0 {
		deep := slices.MaxFunc(f.Depths, func(a, b season.Row) int { return cmp.Compare(a.Released, b.Released) })
		text += " " + r.say("More came from %s than from any other band of depth.", say(r.depthName(deep.Band), deep.Released))
	}
	return []line{{Text: text}}
}

// wayFills tell the ways of release apart in bars.
var wayFills = map[advisor.Method]fill{advisor.Recompressed: solid, advisor.Vented: hatch, advisor.Surface: empty}

func (r *Report) byWay(row season.Row) cut {
	c := cut{name: r.band(row.Band)}
	for _, m := range r.used() {
		c.parts = append(c.parts, part{r.way(m), row.Methods[m].Fish, wayFills[m]})
	}
	return c
}

// shortMonth is the beginning of a month's name, for a column; in French June and July
// have three letters in common.
func (v voice) shortMonth(m time.Month) string {
	letters, enough := []rune(v.month(m)), 3
	if v.code() == "fr" {
		enough = 4
	}
	return string(letters[:min(enough, len(letters))])
}

// lowered begins a name inside a sentence; a name of science keeps its capital.
func lowered(name string) string {
	if s := advisor.LookUp(name); s != nil && s.ScientificName == name {
		return name
	}
	first, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToLower(first)) + name[size:]
}

// band is a depth band in metres.
func (v voice) band(b season.DepthBand) string {
	switch shallow, deep := b.Ends(); {
	case deep > 1e6:
		return v.say("over %.0f m", shallow)
	case shallow == 0:
		return v.say("to %.0f m", deep)
	default:
		return v.say("%.0f–%.0f m", shallow, deep)
	}
}

// depthName is a band in metres and feet.
func (v voice) depthName(b season.DepthBand) string {
	shallow, deep := b.Ends()
	const feet = 1 / advisor.MetresPerFoot
	if deep > 1e6 {
		return v.say("%s (over %.0f ft)", v.band(b), shallow*feet)
	}
	if shallow == 0 {
		return v.say("%s (to %.0f ft)", v.band(b), deep*feet)
	}
	return v.say("%s (%.0f–%.0f ft)", v.band(b), shallow*feet, deep*feet)
}

func (v voice) fishName(scientific string) string {
	switch s := advisor.LookUp(scientific); {
	case s != nil && s.NamedIn(v.base()): // else the scientific name, which is the same everywhere
		return capital(s.NameIn(v.base()))
	case scientific == "":
		return v.say("kind not known")
	default:
		return scientific
	}
}
