package talk

import (
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// report keeps what was done with fish, or completes what was kept.
func (t *teller) report() Move {
	groups := t.shareDepth(t.r.Fish)
	if len(groups) == 0 {
		groups = []understand.Fish{{Query: advisor.Query{Count: 1}}}
	}
	if t.saysNothing(groups) {
		t.s.Asked = Ask{What: AskWent}
		return Move{Do: AskBack, Want: understand.WantRelease}
	}
	m := Move{Do: Keep, Assumed: t.assumed}
	fresh := t.s.focus() < 0
	for _, p := range t.parts(groups) {
		if p.rows != nil {
			m.Change = append(m.Change, t.complete(p)...)
			continue
		}
		m.Keep = append(m.Keep, t.keep(p)...)
	}
	if len(m.Keep) == 0 {
		m.Do = Change
	}
	if again := t.again(m); again != nil {
		m.Again, m.Fish = true, again
	}
	t.change(m.Change)
	t.store(m.Keep)
	t.askWent(m)
	if fresh && t.mayBeAboard(m.Keep) {
		m.Aboard, m.Fish = true, []understand.Fish{m.Keep[0].Fish}
	}
	return m
}

// surelyReport is the chance up to which what seems a report may yet ask what to do.
const surelyReport = 0.9

// mayBeAboard is true for one report of which it is not sure that it is one, and that does
// not say how it went: the fish may still wait for an answer.
func (t *teller) mayBeAboard(rows []Row) bool {
	if len(rows) != 1 || t.r.Sure >= surelyReport || t.r.Day != nil {
		return false
	}
	f := rows[0].Fish
	if f.Done.Method == advisor.Surface && t.r.Sure >= mumbled {
		return false
	}
	return f.Done.Outcome == "" && f.Done.Method != advisor.Kept && f.Query.DepthM != nil && f.Done.Tag == "" && len(f.Done.WeightsOz) == 0
}

// again is the fish to answer anew when its report says that it came back up: it is still
// there to be helped.
func (t *teller) again(m Move) []understand.Fish {
	rows := slices.Concat(m.Change, m.Keep)
	if len(rows) != 1 || rows[0].Fish.Done.Outcome != advisor.FloatedOff || rows[0].Fish.Done.Method == advisor.Kept {
		return nil
	}
	f := rows[0].Fish
	if len(m.Change) > 0 {
		f.Query.Behaviour = advisor.Floating
	} else if !t.isHere() || f.Query.DepthM == nil {
		return nil
	}
	return []understand.Fish{f}
}

// isHere is true for a report of the fish that is talked of, just now: one told whole, or
// of another day, is over.
func (t *teller) isHere() bool {
	told := len(t.r.Fish) == 1 && (t.r.Fish[0].Name != "" || t.r.Fish[0].Query.DepthM != nil)
	return len(t.r.Fish) <= 1 && !told && t.r.Day == nil
}

// saysNothing is true for a bare "log" about no fish.
func (t *teller) saysNothing(groups []understand.Fish) bool {
	if t.s.focus() >= 0 || len(groups) != 1 {
		return false
	}
	f := groups[0]
	return ending(f) && !isDone(f) && f.Done.Tag == "" && f.Query.Behaviour == "" && len(f.Query.Signs) == 0
}

// part is what a message tells of some fish: rows to make of a fish, or rows that stand
// to be completed.
type part struct {
	fish understand.Fish
	// at is the fish of the talk, none for a new one.
	at   int
	n    int
	rows []Row
}

// parts spreads the groups of a message over the fish that are talked of.
func (t *teller) parts(groups []understand.Fish) (list []part) {
	if list := t.referred(groups); list != nil {
		return list
	}
	if list := t.inTurn(groups); list != nil {
		return list
	}
	if list := t.rowsInTurn(groups); list != nil {
		return list
	}
	if list := t.shares(groups); list != nil {
		return list
	}
	var head int // in list
	for k, f := range groups {
		if k > 0 && !isNamed(f) {
			list = append(list, t.fellow(&list[head], f))
			continue
		}
		list = append(list, t.part(f, len(groups)))
		head = len(list) - 1
	}
	return slices.DeleteFunc(list, func(p part) bool { return p.n == 0 })
}

// inTurn gives several outcomes to as many fish that are talked of, in their order.
func (t *teller) inTurn(groups []understand.Fish) (list []part) {
	open := t.open()
	if len(groups) == 1 && ending(groups[0]) && groups[0].Counted && groups[0].Query.Count == len(open) {
		groups = slices.Repeat(groups, len(open))
	}
	if len(open) < 2 || len(groups) != len(open) || !slices.ContainsFunc(groups, ending) || slices.ContainsFunc(groups, isNamed) {
		return nil
	}
	for k, i := range open {
		list = append(list, part{fish: mergeFish(t.s.Fish[i].Fish, groups[k]), at: i, n: max(1, t.s.Fish[i].Query.Count)})
	}
	return list
}

// rowsInTurn gives several outcomes, or that of one by its place, to the reports of the fish
// that is talked of, in their order: "the first went, the second floated".
func (t *teller) rowsInTurn(groups []understand.Fish) (list []part) {
	rows := t.focusRows()
	if len(rows) < 2 || slices.ContainsFunc(groups, isNamed) || !slices.ContainsFunc(groups, ending) {
		return nil
	}
	rows = batch(rows)
	at := t.s.focus()
	if n := t.r.Again.Nth; len(groups) == 1 && n > 0 && n <= len(rows) {
		return []part{{fish: groups[0], at: at, rows: rows[n-1 : n]}}
	}
	if len(groups) < 2 || len(groups) != len(rows) || slices.ContainsFunc(rows, func(r Row) bool { return r.Fish.Done.Outcome != "" }) {
		return nil
	}
	for k, f := range groups {
		list = append(list, part{fish: f, at: at, rows: rows[k : k+1]})
	}
	return list
}

// shares spreads several that are alike, and that were asked about together, over as many
// as the message tells of: "one went down with the weight, the other one floats".
func (t *teller) shares(groups []understand.Fish) (list []part) {
	i := t.s.focus()
	if i < 0 || len(groups) < 2 || slices.ContainsFunc(groups, isNamed) || len(t.s.Fish[i].Rows) > 0 {
		return nil
	}
	all := 0
	for _, f := range groups {
		all += max(1, f.Query.Count)
	}
	if all != t.s.Fish[i].Query.Count {
		return nil
	}
	for _, f := range groups {
		list = append(list, part{fish: mergeFish(t.s.Fish[i].Fish, f), at: i, n: max(1, f.Query.Count)})
	}
	return list
}

// open are the fish that are talked of and have no report.
func (t *teller) open() (list []int) {
	for i, f := range t.s.Fish {
		if len(f.Rows) == 0 {
			list = append(list, i)
		}
	}
	return list
}

// part is what one group tells by itself.
func (t *teller) part(f understand.Fish, groups int) part {
	i := t.subject(f)
	if i != none && i == t.s.focus() && ending(f) && isDone(f) && t.s.Fish[i].Done.Outcome != "" {
		if open := t.open(); len(open) > 0 {
			i = open[len(open)-1]
		}
	}
	if i == none {
		whole := mergeFish(t.carried(f), f)
		return part{fish: whole, at: none, n: max(1, f.Query.Count)}
	}
	known := t.s.Fish[i]
	if last := t.s.Standing(); t.r.Again.All && len(known.Rows) == 0 && len(last) > 0 && tellsNoFate(f) { // "same again" of the next one
		f.Done = last[len(last)-1].Fish.Done
		f.Done.Tag, f.Done.Recapture = "", false
	}
	if rows := t.rowsOf(known); len(rows) > 0 {
		return part{fish: f, at: i, n: f.Query.Count, rows: rows}
	}
	n := max(1, known.Query.Count)
	if f.Counted || groups > 1 {
		n = max(1, f.Query.Count)
	}
	return part{fish: mergeFish(known.Fish, f), at: i, n: n}
}

// fellow is a further group of the fish named before: of a count that was told for all
// of them it takes its share.
func (t *teller) fellow(head *part, f understand.Fish) part {
	n := max(1, f.Query.Count)
	shared := head.n > n || head.n == n && (!isDone(head.fish) || head.fish.Counted && head.fish.Done.Outcome == "")
	if head.rows == nil && shared {
		head.n -= n
	}
	base := head.fish
	base.Done.Outcome, base.Done.Tag, base.Done.Recapture = "", "", false
	if f.Done.Method == "" && f.Done.Outcome == "" && head.n > 0 {
		base.Done = understand.Done{}
	}
	if hasSize(f.Query) || n == 1 {
		base.Query.WeightKg, base.Query.LengthCm = nil, nil
	}
	return part{fish: mergeFish(base, f), at: head.at, n: n}
}

// rowsOf are the standing rows made of a fish.
func (t *teller) rowsOf(f Fish) (list []Row) {
	for _, r := range t.s.Rows {
		if !r.Undone && slices.Contains(f.Rows, r.No) {
			list = append(list, r)
		}
	}
	return list
}

// keep makes the rows of a part and the fish of the talk they are of.
func (t *teller) keep(p part) []Row {
	t.sameWeight(&p.fish)
	t.followedAdvice(&p)
	t.useAboard(&p.fish)
	p.fish.Query.Count, p.fish.Counted = 1, false
	rows := make([]Row, p.n)
	numbers := make([]uint64, p.n)
	for k := range rows {
		numbers[k] = provisional | uint64(t.kept+k)
		rows[k] = Row{No: numbers[k], With: provisional, Fish: p.fish, Day: t.r.Day, At: t.now.At}
	}
	t.kept += p.n
	whole := p.fish
	whole.Query.Count = p.n
	if p.at == none {
		t.add(whole, numbers...)
		return rows
	}
	if known := t.s.Fish[p.at]; len(known.Rows) == 0 && p.n < known.Query.Count {
		p.at = t.setApart(p.at, p.n)
	}
	t.s.Fish[p.at].Fish = whole
	t.s.Fish[p.at].Rows = append(slices.Clone(t.s.Fish[p.at].Rows), numbers...)
	return rows
}

// followedAdvice takes a fish that had been asked about, and of which nobody says how it
// was let go, for sent down, or let go at the top, where that was the advice: with words
// such as "done", with a word for one of the weights aboard, or where it went down. The
// confirmation says so.
func (t *teller) followedAdvice(p *part) {
	d := &p.fish.Done
	if p.at == none || d.Method != "" {
		return
	}
	a, aboard := t.r.Again, t.s.Aboard
	went := d.Outcome == advisor.SwamDown || d.Outcome == advisor.FloatedOff && a.Returned
	down := went && (!aboard.None || len(aboard.LeadG) > 0)
	if !a.AsTold && a.Pick == "" && !down {
		return
	}
	q := p.fish.Query
	q.WeightsAboardOz = aboard.ReleaseOz
	switch action := advisor.Advise(q).Action; {
	case action == advisor.ActSurface, a.Alone:
		d.Method = advisor.Surface
	case action == advisor.ActRecompress:
		d.Method = advisor.Recompressed
	}
}

// useAboard takes the only weight aboard for the one that a fish was sent down with, or
// the one that the words pick.
func (t *teller) useAboard(f *understand.Fish) {
	aboard := t.aboardOz()
	f.Done.WeightsOz = likely(aboard, f.Done.WeightsOz, t.units().Weight)
	if f.Done.Method == "" && f.Pick != "" && len(aboard) > 1 && f.Which.Size == "" {
		f.Done.Method = advisor.Recompressed // "gag, with the big one"
	}
	if f.Done.Method != advisor.Recompressed || len(f.Done.WeightsOz) > 0 {
		return
	}
	switch pick := t.picked(f); {
	case len(aboard) == 0 && pick == understand.PickTogether:
		f.Done.WeightsOz = t.bothUsed()
	case len(aboard) == 0:
	case len(aboard) == 1:
		f.Done.WeightsOz = aboard
	case pick == "" && slices.Max(aboard) == slices.Min(aboard):
		f.Done.WeightsOz = aboard[:1]
	case pick == understand.PickLightest:
		f.Done.WeightsOz = []float64{slices.Min(aboard)}
	case pick == understand.PickHeaviest:
		f.Done.WeightsOz = []float64{slices.Max(aboard)}
	case pick == understand.PickMiddle && len(aboard) == 3:
		f.Done.WeightsOz = slices.Sorted(slices.Values(aboard))[1:2]
	case pick == understand.PickTogether:
		f.Done.WeightsOz = aboard
	}
}

// bothUsed are the two weights that were used so far, one by one; nil where they were not two.
func (t *teller) bothUsed() (list []float64) {
	for _, r := range t.s.Standing() {
		for _, x := range r.Fish.Done.WeightsOz {
			if !slices.Contains(list, x) {
				list = append(list, x)
			}
		}
	}
	if len(list) != 2 {
		return nil
	}
	return list
}

// picked is which of the weights aboard the words pick for a fish: those said of it, else of the
// message where it says that of none.
func (t *teller) picked(f *understand.Fish) understand.Pick {
	if f.Pick != "" || slices.ContainsFunc(t.r.Fish, func(f understand.Fish) bool { return f.Pick != "" }) {
		return f.Pick
	}
	return t.r.Again.Pick
}

// aboardOz are the release weights aboard, or where there are none the other sinkers and heavy
// things, in ounces: what a fish can have been sent down with.
func (t *teller) aboardOz() (list []float64) {
	if len(t.s.Aboard.ReleaseOz) > 0 {
		return t.s.Aboard.ReleaseOz
	}
	const gramsInKilogram = 1000
	for _, g := range t.s.Aboard.LeadG {
		list = append(list, ounces(g/gramsInKilogram))
	}
	return list
}

// lightest is the least release weight in ounces that is believed where nothing aboard is
// like it: below it the figure counts something else.
const lightest = 4

// likely are the weights used, by what is aboard, without figures that are no weight: one too
// light in ounces is told in the unit, in kilograms, that the person tells weights in, if known.
func likely(aboard, used []float64, kilograms float64) (list []float64) {
	for _, x := range used {
		switch x = asAboard(aboard, x); {
		case x >= lightest || slices.Contains(aboard, x):
			list = append(list, x)
		case kilograms > 0 && x > 0: // "o de 1 e meio": told as the person tells weights
			list = append(list, ounces(x*kilograms))
		}
	}
	return list
}

// asAboard is the weight aboard that a bare figure names in pounds, kilograms or grams: "with the
// 5" where one of 5 lb is aboard; the figure itself where none is.
func asAboard(aboard []float64, x float64) float64 { return inUnits(aboard, x, pounds, 1, 0.001) }

// inUnits is the weight in ounces that a bare figure names in one of some units, told as
// kilograms; the figure itself where none is.
func inUnits(aboard []float64, x float64, units ...float64) float64 {
	if slices.Contains(aboard, x) {
		return x
	}
	const gramsInKilogram, near = 1000, 0.01
	for _, kilograms := range units {
		for _, a := range aboard {
			if d := a/(x*kilograms*gramsInKilogram/advisor.GramsPerOunce) - 1; d < near && d > -near {
				return a
			}
		}
	}
	return x
}

// complete puts how it went into rows that stand: those that lack it first, then those
// that came back up, then all of them.
func (t *teller) complete(p part) []Row {
	lacking := func(keep func(Row) bool) (list []Row) {
		for _, r := range p.rows {
			if keep(r) {
				list = append(list, r)
			}
		}
		return list
	}
	rows := p.rows
	switch d := p.fish.Done; {
	case d.Outcome == "" && d.Method == "":
		if d.Tag != "" || hasSize(p.fish.Query) {
			rows = rows[:1]
		}
	default:
		if list := lacking(func(r Row) bool { return r.Fish.Done.Outcome == "" }); len(list) > 0 {
			rows = list
		} else if list := lacking(func(r Row) bool { return r.Fish.Done.Outcome == advisor.FloatedOff }); len(list) > 0 {
			rows = list
		} else {
			rows = rows[len(rows)-1:]
		}
	}
	f := p.fish
	if n := f.Query.Count; f.Counted && n < len(rows) {
		rows = rows[:n]
	}
	f.Counted, f.Query.Count = false, 1
	if len(f.Done.WeightsOz) > 0 || f.Pick != "" || len(rows[0].Fish.Done.WeightsOz) == 0 {
		t.useAboard(&f)
	}
	rows = slices.Clone(rows)
	for k := range rows {
		rows[k].Fish = mergeFish(rows[k].Fish, f)
		if t.r.Day != nil {
			rows[k].Day = t.r.Day
		}
	}
	return rows
}

// store remembers new rows.
func (t *teller) store(rows []Row) {
	t.s.Rows = append(t.s.Rows, rows...)
	t.s.Rows = t.s.Rows[max(0, len(t.s.Rows)-MostRows):]
	t.trim()
	if len(rows) > 0 {
		t.s.Before = nil
	}
}

// change remembers rows as they are now, and as they were.
func (t *teller) change(rows []Row) {
	if len(rows) == 0 {
		return
	}
	t.s.Before = nil
	for _, r := range rows {
		i := slices.IndexFunc(t.s.Rows, func(old Row) bool { return old.No == r.No })
		if i < 0 {
			continue
		}
		t.s.Before = append(t.s.Before, t.s.Rows[i])
		t.s.Rows[i] = r
		for k := range t.s.Fish {
			if slices.Contains(t.s.Fish[k].Rows, r.No) {
				count := t.s.Fish[k].Query.Count
				t.s.Fish[k].Fish = r.Fish
				t.s.Fish[k].Query.Count = count
			}
		}
	}
}

// askWent notes that it is asked how it went, where that was not told.
func (t *teller) askWent(m Move) {
	t.s.Asked = Ask{}
	if len(m.Keep) == 0 {
		return
	}
	if d := m.Keep[len(m.Keep)-1].Fish.Done; d.Outcome == "" && d.Method != advisor.Kept {
		t.s.Asked.What = AskWent
	}
}
