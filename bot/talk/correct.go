package talk

import (
	"cmp"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

// correct puts right what was said: of a report, or of the fish that is talked of.
func (t *teller) correct() Move {
	if m, ok := t.theOther(); ok {
		return m
	}
	f := t.instead()
	rows := t.meant(f)
	if len(rows) == 0 {
		return t.correctOpen(f)
	}
	rows = t.deepAlike(rows, f)
	if f.Counted && saysNothingElse(f) {
		return t.recount(rows, f)
	}
	m := Move{Do: Change, Assumed: t.assumed}
	one := f
	one.Counted, one.Query.Count = false, 1
	if f.Counted && f.Query.Count < len(rows) && isDone(f) {
		rows = rows[len(rows)-f.Query.Count:]
	}
	for _, r := range rows {
		m.Renamed = m.Renamed || isNamed(one) && one.Query.Species != r.Fish.Query.Species
		r.Fish = mergeFish(r.Fish, one)
		if t.r.Day != nil {
			r.Day = t.r.Day
		}
		m.Change = append(m.Change, r)
	}
	t.change(m.Change)
	t.s.Asked = Ask{}
	return m
}

// deepAlike adds to the reports that a correction of the depth is about, where it names none,
// those of the fish that were told with theirs and came from the same depth: "it was 66 m".
func (t *teller) deepAlike(rows []Row, f understand.Fish) []Row {
	one := rows[len(rows)-1]
	if f.Query.DepthM == nil || one.Fish.Query.DepthM == nil || !t.tellsOnlyDepth(f) {
		return rows
	}
	told := func(no uint64) int {
		i := slices.IndexFunc(t.s.Fish, func(f Fish) bool { return slices.Contains(f.Rows, no) })
		if i < 0 {
			return none
		}
		return t.s.Fish[i].Told
	}
	var all []Row
	for _, r := range t.s.Standing() {
		alike := r.Fish.Query.DepthM != nil && !differs(one.Fish.Query.DepthM, r.Fish.Query.DepthM) && told(r.No) == told(one.No)
		if alike || slices.ContainsFunc(rows, func(o Row) bool { return o.No == r.No }) {
			all = append(all, r)
		}
	}
	return all
}

// tellsOnlyDepth is true for a correction that tells a depth and nothing else, of no fish in
// particular.
func (t *teller) tellsOnlyDepth(f understand.Fish) bool {
	which, a := t.which(), t.r.Again
	which.Each = false
	f.Query.DepthM = nil
	return t.r.Number == 0 && a.Nth == 0 && !a.Last && !a.LastButOne && len(t.r.Fish) <= 1 && which == understand.Which{} && !isNamed(f) && saysNothingElse(f) && !f.Counted
}

// first is the first fish that a message tells of, one of which nothing is told where it
// tells of none.
func (t *teller) first() understand.Fish {
	if len(t.r.Fish) == 0 {
		return understand.Fish{Query: advisor.Query{Count: 1}}
	}
	return t.r.Fish[0]
}

// one is that fish to be changed; the message gets one where it tells of none.
func (t *teller) one() *understand.Fish {
	if len(t.r.Fish) == 0 {
		t.r.Fish = []understand.Fish{t.first()}
	}
	return &t.r.Fish[0]
}

// instead is the fish of a correction that puts another name in the place of one that was
// told: of "cioba, I mean dentão" the other one.
func (t *teller) instead() understand.Fish {
	first := t.first()
	last, ok := t.lastQuery()
	if !ok || !isNamed(first) || !sameKind(last, first.Query) {
		return first
	}
	for _, f := range t.r.Fish[1:] {
		if isNamed(f) && !sameKind(last, f.Query) {
			return f
		}
	}
	return first
}

// saysNothingElse is true for a correction that tells nothing of a fish but how many or which
// it is.
func saysNothingElse(f understand.Fish) bool {
	q := f.Query
	return q.DepthM == nil && !hasSize(q) && !isDone(f) && len(q.Signs) == 0 && f.Done.Tag == "" && q.Behaviour == ""
}

// recount makes as many rows of a message as there were fish.
func (t *teller) recount(rows []Row, f understand.Fish) Move {
	m := Move{Do: Change}
	n, last := f.Query.Count, rows[len(rows)-1]
	switch {
	case n < len(rows):
		for _, r := range rows[n:] {
			m.TakeBack = append(m.TakeBack, r.No)
		}
		t.takeBack(m.TakeBack)
	case n > len(rows):
		i := slices.IndexFunc(t.s.Fish, func(f Fish) bool { return slices.Contains(f.Rows, last.No) })
		m.Keep = t.keep(part{fish: last.Fish, at: i, n: n - len(rows)})
		t.store(m.Keep)
	}
	return m
}

// meant are the rows that a correction is about: by number, by name, by what was talked
// of last.
func (t *teller) meant(f understand.Fish) []Row {
	standing := t.s.Standing()
	if rows := t.pointedAt(standing, f, !t.onlyName(f) || f.Counted); len(rows) > 0 {
		return rows
	}
	if len(standing) == 0 {
		return nil
	}
	last := standing[len(standing)-1]
	if t.now.At.Sub(last.At) > CorrectionLasts {
		return nil
	}
	if i := t.s.focus(); i >= 0 {
		fish := t.s.Fish[i]
		if rows := t.rowsOf(fish); len(rows) > 0 {
			return batch(rows)
		}
		if !isDone(f) && f.Done.Tag == "" {
			return nil
		}
	}
	return batch(alike(standing, last))
}

// pointedAt are the rows that a message points at: by their number, their place among the
// others, or the name of the fish, where a name that was heard may point; none else.
func (t *teller) pointedAt(standing []Row, f understand.Fish, byName bool) []Row {
	if len(standing) == 0 {
		return nil
	}
	if i := slices.IndexFunc(standing, t.isNumbered); i >= 0 {
		return standing[i : i+1]
	}
	if r, ok := t.byPlace(standing); ok {
		return []Row{r}
	}
	if row, ok := t.describedRow(standing, f); ok {
		return []Row{row}
	}
	switch {
	case !isNamed(f):
		return t.mentioned(standing)
	case byName:
		return ofKind(standing, f.Query)
	}
	return nil
}

// mentioned are the rows of the newest message of which the words hold the name of the fish
// as it was typed, where the name itself was not heard as one: "the cod was 31".
func (t *teller) mentioned(standing []Row) []Row {
	if sameNames(standing) {
		return nil
	}
	words := " " + understand.Plain(t.r.Text) + " "
	for i := len(standing) - 1; i >= 0; i-- {
		if name := understand.Plain(standing[i].Fish.Name); name != "" && strings.Contains(words, " "+name+" ") {
			return batch(alike(standing, standing[i]))
		}
	}
	return nil
}

// sameNames is true where all rows are of fish of one name: then it tells none apart.
func sameNames(rows []Row) bool {
	return !slices.ContainsFunc(rows, func(r Row) bool { return r.Fish.Name != rows[0].Fish.Name })
}

// byPlace is the report that "the first", "the fourth", "the last one" mean: of those that
// the newest message made where it made so many, else of all that stand.
func (t *teller) byPlace(standing []Row) (Row, bool) {
	if t.r.Again.Last {
		return standing[len(standing)-1], true
	}
	if t.r.Again.LastButOne && len(standing) > 1 {
		return lastButOne(standing), true
	}
	n := cmp.Or(t.r.Again.Nth, t.which().Nth)
	if newest := batch(standing); len(newest) > 1 && len(newest) >= n {
		standing = newest
	}
	if n == 0 || n > len(standing) {
		return Row{}, false
	}
	return standing[n-1], true
}

// lastButOne is the row before the newest, or the newest where it is alone.
func lastButOne(standing []Row) Row { return standing[max(0, len(standing)-2)] }

// ofKind are the rows of the newest message that has fish of that kind.
func ofKind(rows []Row, q advisor.Query) []Row {
	for i := len(rows) - 1; i >= 0; i-- {
		if sameKind(rows[i].Fish.Query, q) {
			return batch(alike(rows, rows[i]))
		}
	}
	return nil
}

// sameKind is true for one kind of fish, or where one name may mean the other.
func sameKind(known, q advisor.Query) bool {
	if known.Species != "" && known.Species == q.Species || known.Species == "" && q.Species == "" && known.SpeciesName == q.SpeciesName {
		return true
	}
	return q.Ambiguous && slices.Contains(q.Candidates, known.Species)
}

// alike are the rows of the message that made one of them, of its kind.
func alike(rows []Row, of Row) (list []Row) {
	for _, r := range rows {
		if r.With == of.With && r.Fish.Query.Species == of.Fish.Query.Species {
			list = append(list, r)
		}
	}
	return list
}

// batch are those that the newest message of them made.
func batch(rows []Row) (list []Row) {
	last := rows[len(rows)-1]
	for _, r := range rows {
		if r.With == last.With {
			list = append(list, r)
		}
	}
	return list
}

// correctOpen puts right what was said of a fish that has no report, and answers anew.
func (t *teller) correctOpen(f understand.Fish) Move {
	i := t.s.focus()
	if i < 0 {
		return t.question()
	}
	if isNamed(f) {
		if k := t.named(f); k != none {
			i = k
		}
	}
	m := Move{Do: Answer, Want: understand.WantRelease, Assumed: t.assumed}
	m.Renamed = isNamed(f) && f.Query.Species != t.s.Fish[i].Query.Species
	t.s.Fish[i].Fish = mergeFish(t.s.Fish[i].Fish, f)
	t.lead(i)
	m.Fish = []understand.Fish{t.s.Fish[t.s.focus()].Fish}
	t.ask(m)
	return m
}
