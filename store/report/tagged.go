package report

import (
	"deepward/store/season"
)

// tagged tells how many tagged fish were seen again, by the way they were released.
func (r *Report) tagged() (s section, err error) {
	t := r.Findings.Tags
	s.Title = r.say("Tagged fish that were seen again")
	if t.Fish == 0 {
		s.Says = []line{{Text: r.say("No tagged fish was released in this log. Tags are the only way for a club to learn of its own fish what becomes of them.")}}
		return s, nil
	}
	rows := r.seenRows(r.labels())
	var shares []float64
	for _, w := range rows {
		shares = append(shares, w.share.P())
	}
	list := table{Head: []string{"", r.say("tagged fish that count"), r.say("seen again"), r.say("of 100"), r.say("likely range")}}
	for i, of := range r.ofHundred(shares...) {
		w := rows[i]
		list.Rows = append(list.Rows, []string{w.name, r.count(w.share.N), r.count(w.share.X), of, r.between(w.share)})
	}
	list.Note = r.say("A tagged fish counts if it was let go alive and was out for at least %d days before %s, the end of this log; seen again means on a later day, and once is enough.", t.MinDays, r.date(t.CutOff))
	if r.Findings.Tags.NoDay > 0 {
		list.Note += " " + r.say("Of %s the day is not told; they count however long they were out, and if they were seen again at any time.", r.voice.fish(r.Findings.Tags.NoDay))
	}
	list.Note += " " + r.say("Fish not seen again by then count as out until then; some may yet be.")
	if t.Followed > 0 {
		list.Note += " " + r.say("The fish of this log were followed into later reports, which tell of %s seen again.", r.voice.fish(t.Followed))
	}
	s.Tables = []table{list}
	s.Says = r.compared(len(rows))
	if len(rows) > 0 {
		s.Chart, err = whiskers(rows, r.labels()).svg()
	}
	s.Cannot = []string{
		r.say("Seen again is not the same as alive: most fish that live are never caught again."),
		r.say("More seen again means more alive only if, in both groups, tags stay in alike, people report alike, and the fish are equally likely to be met. Nobody knows that here."),
		r.say("Nobody drew lots for which fish was sent down."),
	}
	return s, err
}

// seenRows are the shares of tagged fish that were seen again, by way of release.
func (r *Report) seenRows(l Labels) (rows []whisker) {
	for _, m := range r.used() {
		if share := r.Findings.Tags.Counted.Methods[m]; share.N > 0 {
			rows = append(rows, whisker{l.Way(m), share})
		}
	}
	return rows
}

func (r *Report) compared(groups int) (says []line) {
	for _, c := range r.Findings.Tags.Counted.Comparisons {
		says = append(says, r.seenAgain().verdict(c)...)
	}
	if len(says) == 0 && groups > 0 {
		says = append(says, line{Text: r.say("There is nothing to compare: tagged fish of one way of release only.")})
	}
	if n := len(r.Findings.Tags.Counted.Comparisons); n > 1 {
		says = append(says, line{Text: r.say("%d comparisons are made here: a difference is claimed only if it holds when corrected for their number (Holm), and when the fish of one day count as alike.", n)})
	}
	if trends := r.Findings.Tags.Counted.Trends; groups > 0 && len(trends) > 0 {
		says = append(says, r.trendWords(trends[0]))
	}
	return says
}

// trendWords says whether fish from deeper are seen again less.
func (v voice) trendWords(t season.DepthTrend) line {
	if !t.Known {
		return line{v.say("Depth: nothing can be said."), v.say("Too few depths, or too few seen again, to say whether deep fish come back less.")}
	}
	step := v.say("About %s of 100 for each 10 m.", v.ofHundred(abs(10 * t.Slope))[0])
	switch {
	case t.P < 0.05 && !t.Steady():
		return line{v.say("Depth: this log cannot tell."), v.say("It looks as if depth mattered, but that hangs on a handful of fish in one or two bands.")}
	case !t.Steady():
		return line{v.say("Depth: this log cannot tell."), v.say("Fish from deeper may be seen again less, or more, or alike.")}
	case t.Z < 0:
		return line{v.say("Depth: fish from deeper were seen again less, by more than luck alone would have it."), step + " " + v.say("Deep marks may also be fished less.")}
	default:
		return line{v.say("Depth: fish from deeper were seen again more, by more than luck alone would have it."), step + " " + v.say("Deep marks may also be fished more.")}
	}
}

func abs(x float64) float64 { return max(x, -x) }

// fish tells of days, growth and distance.
func (r *Report) fish() (s section, err error) {
	t := r.Findings.Tags
	if t.Liberty.N == 0 && len(t.Moves) == 0 {
		return s, nil
	}
	s.Title = r.say("What the recaptured fish tell")
	if l := t.Liberty; l.N > 0 {
		s.Says = append(s.Says, line{r.say("Days at liberty:"), r.say("%s, out for %.0f to %.0f days; half of them between %.0f and %.0f days, the middle one for %.0f.", r.voice.fish(l.N), l.Least, l.Most, l.Lower, l.Upper, l.Middle)})
	}
	if g := t.Growth.Cm; g.N > 0 {
		s.Says = append(s.Says, line{r.say("Growth:"), r.say("%s measured both times in the same way: the middle one had grown %s cm, half of them between %s and %s cm, over %.0f days in the middle.", r.voice.fish(g.N), r.tenths(g.Middle), r.tenths(g.Lower), r.tenths(g.Upper), t.Growth.Days.Middle)})
	}
	moves := table{Title: r.say("How far they were seen again"), Head: []string{r.say("cells of 0.1° (about 11 km)"), r.say("fish")}}
	for _, m := range t.Moves {
		shown := r.count(m.Fish)
		if m.Hidden {
			shown = r.say("few")
		}
		moves.Rows = append(moves.Rows, []string{r.cellsName(m), shown})
	}
	if len(moves.Rows) > 0 {
		moves.Note = r.say("Straight-line, over land if need be. Rows of fewer than 3 fish or 2 anglers say “few”, so that nobody's mark is given away.")
		s.Tables = append(s.Tables, moves)
	}
	s.Cannot = []string{
		r.say("Not how fast fish grow: a tape on a moving boat is off by a centimetre or two, and slow growers may be met less."),
		r.say("Not how far fish swim: they are seen again where people fish."),
	}
	return s, nil
}

func (v voice) cellsName(m season.Move) string {
	switch {
	case m.ToCells == 0:
		return v.say("same cell")
	case m.ToCells == 1:
		return v.say("next cell")
	case m.ToCells < 0:
		return v.say("%d cells away or more", m.FromCells)
	default:
		return v.say("%d to %d cells away", m.FromCells, m.ToCells)
	}
}
