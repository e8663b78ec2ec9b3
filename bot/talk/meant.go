package talk

import (
	"cmp"
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// one is one of the fish that are talked of: one of an entry that has no report yet, or a
// report.
type one struct {
	at  int // in State.Fish, none where it is talked of no more
	row *Row
}

// fish is what is known of it.
func (t *teller) fish(o one) understand.Fish {
	if o.row != nil {
		return o.row.Fish
	}
	return t.s.Fish[o.at].Fish
}

// lacks is true for one of which it is not told how it went.
func (o one) lacks() bool {
	return o.row == nil || o.row.Fish.Done.Outcome == "" && o.row.Fish.Done.Method != advisor.Kept
}

// family are the fish among which "the first", "the little one" or "the other" may mean one:
// those of the newest message that told of several, else all, in the order told.
func (t *teller) family() []one {
	order := make([]int, len(t.s.Fish))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := t.s.Fish[a], t.s.Fish[b]
		return cmp.Or(cmp.Compare(x.Place, y.Place), cmp.Compare(len(y.Rows), len(x.Rows)))
	})
	var all []one
	for _, i := range order {
		all = append(all, t.each(i)...)
	}
	for k := len(all) - 1; k > 0; k-- {
		told := t.s.Fish[all[k].at].Told
		if t.s.Fish[all[k-1].at].Told == told {
			return slices.DeleteFunc(all, func(o one) bool { return t.s.Fish[o.at].Told != told })
		}
	}
	return all
}

// each are the fish of an entry: its reports, else as many as there are.
func (t *teller) each(i int) (list []one) {
	if len(t.s.Fish[i].Rows) == 0 {
		return slices.Repeat([]one{{at: i}}, max(1, t.s.Fish[i].Query.Count))
	}
	for _, r := range t.rowsOf(t.s.Fish[i]) {
		list = append(list, one{i, &r})
	}
	return list
}

// pick are the places in a family of the fish that words such as "the second", "the one with
// the eyes" or "both" mean; none where they mean none of them for sure.
func (t *teller) pick(family []one, taken []bool, f understand.Fish) []int {
	var free, lacking []int
	for k, o := range family {
		if taken[k] {
			continue
		}
		free = append(free, k)
		if o.lacks() {
			lacking = append(lacking, k)
		}
	}
	w, n := f.Which, max(1, f.Query.Count)
	if isNamed(f) {
		ofKind := func(k int) bool { return sameKind(t.fish(family[k]).Query, f.Query) }
		free = slices.DeleteFunc(free, func(k int) bool { return !ofKind(k) })
		lacking = slices.DeleteFunc(lacking, func(k int) bool { return !ofKind(k) })
		if w == (understand.Which{}) {
			return lacking[:min(n, len(lacking))]
		}
	}
	switch {
	case w.Nth > 0:
		return upTo(free, w.Nth, len(family))
	case w.Last:
		return []int{len(family) - 1}
	case w.Size != "" && len(free) == 1 && len(free) < len(family) && slices.Equal(free, lacking):
		return free // all others are told of already
	case w.Size != "" && len(free) == 1: // the last one left, if it is so among all
		all := make([]int, len(family))
		for k := range all {
			all[k] = k
		}
		if list := t.bySize(family, all, w.Size); slices.Equal(list, free) {
			return list
		}
		return t.bySize(family, free, w.Size)
	case w.Size != "":
		return t.bySize(family, free, w.Size)
	case w.Each, w.Rest:
		return lacking
	case w.Other:
		return lacking[:min(n, len(lacking))]
	}
	if k := t.described(family, free, f); k >= 0 && (len(lacking) == 0 || slices.Contains(lacking, k)) {
		return []int{k}
	}
	if f.Counted && n < len(lacking) && t.sameOf(family) {
		return lacking[:n]
	}
	return nil
}

// upTo is the n-th place of a family, if it is free.
func upTo(free []int, n, size int) []int {
	if n > size || !slices.Contains(free, n-1) {
		return nil
	}
	return []int{n - 1}
}

// sameOf is true for a family of one kind of fish.
func (t *teller) sameOf(family []one) bool {
	return !slices.ContainsFunc(family, func(o one) bool { return !sameKind(t.fish(family[0]).Query, t.fish(o).Query) })
}

// bySize is the one that is the biggest or the smallest by its figures, or was said to be.
func (t *teller) bySize(family []one, free []int, size understand.Size) []int {
	of := func(k int) float64 {
		q := t.fish(family[k]).Query
		switch {
		case q.WeightKg != nil:
			return *q.WeightKg
		case q.LengthCm != nil:
			return -*q.LengthCm
		}
		return 0
	}
	byFigure := slices.SortedStableFunc(slices.Values(free), func(a, b int) int {
		x, y := of(a), of(b)
		if x < 0 {
			x, y = -x, -y
		}
		return cmp.Compare(x, y)
	})
	comparable := len(free) > 1
	for _, k := range free {
		comparable = comparable && of(k)*of(free[0]) > 0
	}
	if comparable && of(byFigure[0]) != of(byFigure[len(byFigure)-1]) {
		switch size {
		case understand.SizeSmall:
			return byFigure[:1]
		case understand.SizeBig:
			return byFigure[len(byFigure)-1:]
		}
		if len(byFigure) == 3 {
			return byFigure[1:2]
		}
		return nil
	}
	said := func(s understand.Size) (list []int) {
		for _, k := range free {
			if at := family[k].at; at != none && t.s.Fish[at].Which.Size == s {
				list = append(list, k)
			}
		}
		return list
	}
	if list := said(size); len(list) == 1 {
		return list
	}
	other := map[understand.Size]understand.Size{understand.SizeSmall: understand.SizeBig, understand.SizeBig: understand.SizeSmall}[size]
	if list := said(other); len(free) == 2 && other != "" && len(list) == 1 {
		return []int{free[1-slices.Index(free, list[0])]}
	}
	return nil
}

// described is the only one of which something that is told is known already, so that the
// words point at it: "the one with the eyes floated"; -1 for none.
func (t *teller) described(family []one, free []int, f understand.Fish) int {
	return only(free, func(k int) bool { return describes(f, t.fish(family[k])) })
}

// only is the only place for which something is true; -1 for none, or more.
func only(places []int, is func(int) bool) int {
	found := -1
	for _, k := range places {
		if !is(k) {
			continue
		}
		if found >= 0 {
			return -1
		}
		found = k
	}
	return found
}

// describes is true where a sign, a size or a depth that is told is that of a known fish.
func describes(f, known understand.Fish) bool {
	signs, all := signsOf(f, known)
	fate, met := fateOf(f.Which, known)
	if !all || !met {
		return false
	}
	told := signs || fate
	for _, field := range captureFields {
		x, y := *f.Figure(field), *known.Figure(field)
		if x == nil {
			continue
		}
		if y == nil || differs(y, x) {
			return false
		}
		told = true
	}
	return told
}

// signsOf is whether signs are told or pointed with, and whether a known fish has them all.
func signsOf(f, known understand.Fish) (told, all bool) {
	signs := slices.Clone(f.Query.Signs)
	if f.Which.Sign != "" {
		signs = append(signs, f.Which.Sign)
	}
	return len(signs) > 0, !slices.ContainsFunc(signs, func(s advisor.Sign) bool { return !known.Query.Has(s) })
}

// fateOf is whether words point at a fish by how it went with it, and whether it went so with
// a known one.
func fateOf(w understand.Which, known understand.Fish) (told, met bool) {
	end := w.End == "" || known.Done.Outcome == w.End || w.End == advisor.Died && known.Query.Behaviour == advisor.Dead ||
		w.End == advisor.FloatedOff && known.Query.Behaviour == advisor.Floating
	return w.End != "" || w.Kept, end && (!w.Kept || known.Done.Method == advisor.Kept)
}

// marks is true where a sign, a figure or an end that is told is that of a report, whatever
// else is told of it: "the 3 kg one was 45 m".
func marks(f, known understand.Fish) bool {
	if told, met := fateOf(f.Which, known); told {
		return met
	}
	if told, all := signsOf(f, known); told {
		return all
	}
	if f.Done.Outcome != "" && f.Done.Outcome == known.Done.Outcome {
		return true
	}
	return slices.ContainsFunc(figureFields, func(field string) bool {
		x, y := *f.Figure(field), *known.Figure(field)
		return x != nil && y != nil && !differs(y, x)
	})
}

// points is true for a fish without a name of which the words say which it is.
func points(f understand.Fish) bool { return !isNamed(f) && f.Which != understand.Which{} }

// referred are the parts of a report that says by order, size, signs or "the other one" which
// of several fish it is about; nil where it does not.
func (t *teller) referred(groups []understand.Fish) (list []part) {
	family := t.family()
	named := slices.ContainsFunc(groups, isNamed)
	if len(family) < 2 || named && !slices.ContainsFunc(groups, points) || !slices.ContainsFunc(groups, isDone) {
		return nil
	}
	return t.spread(family, groups)
}

// spread gives what is told of several groups to those of a family that each means, none of
// them twice; nil where one means none for sure.
func (t *teller) spread(family []one, groups []understand.Fish) (list []part) {
	taken := make([]bool, len(family))
	var kind *understand.Fish // "the big gag went, the little one floated"
	for _, f := range groups {
		if isNamed(f) {
			kind = &f
		}
		places := t.pick(family, t.besides(family, taken, kind, f), f)
		if len(places) == 0 {
			return nil
		}
		for _, k := range places {
			taken[k] = true
		}
		list = append(list, t.partsOf(family, places, f)...)
	}
	return list
}

// besides are the places that are taken, and where a size is told after a name those that are of
// another kind.
func (t *teller) besides(family []one, taken []bool, kind *understand.Fish, f understand.Fish) []bool {
	if kind == nil || isNamed(f) || f.Which.Size == "" {
		return taken
	}
	besides, free := slices.Clone(taken), false
	for k, o := range family {
		alike := sameKind(t.fish(o).Query, kind.Query)
		free = free || alike && !taken[k]
		besides[k] = taken[k] || !alike
	}
	if !free {
		return taken
	}
	return besides
}

// partsOf are the parts of what is told of some of a family: of each entry one for those
// that have no report, and one for each report.
func (t *teller) partsOf(family []one, places []int, f understand.Fish) (list []part) {
	f.Counted, f.Query.Count = false, 1
	fresh := map[int]int{}
	for _, k := range places {
		o := family[k]
		if o.row != nil {
			list = append(list, part{fish: f, at: o.at, rows: []Row{*o.row}})
			continue
		}
		if at, ok := fresh[o.at]; ok {
			list[at].n++
			continue
		}
		fresh[o.at] = len(list)
		list = append(list, part{fish: mergeFish(t.s.Fish[o.at].Fish, f), at: o.at, n: 1})
	}
	return list
}

// setApart takes n of several alike that have no report out of their entry, and returns the
// place of theirs.
func (t *teller) setApart(i, n int) int {
	apart := t.s.Fish[i]
	apart.Query.Count = n
	t.s.Fish[i].Query.Count -= n
	t.s.Fish = append(t.s.Fish, apart)
	return t.s.focus()
}

// add puts a new fish into the talk.
func (t *teller) add(f understand.Fish, rows ...uint64) int {
	place := 1
	for _, known := range t.s.Fish {
		place = max(place, known.Place+1)
	}
	if t.told == 0 {
		t.told = place
	}
	t.s.Fish = append(t.s.Fish, Fish{Fish: f, Rows: rows, Place: place, Told: t.told})
	return t.s.focus()
}

// touchMeant puts what a message says of several fish that are talked of, without their names,
// into each that it means, and returns their places; nil where it means none of them.
func (t *teller) touchMeant(groups []understand.Fish) []int {
	family := t.family()
	open := !slices.ContainsFunc(family, func(o one) bool { return o.row != nil })
	if len(family) < 2 || !open || len(groups) == 0 || slices.ContainsFunc(groups, isNamed) || t.isAnother() {
		return nil
	}
	if len(groups) == 1 && t.depthOfAll(family, groups[0]) {
		groups[0].Which = understand.Which{Each: true}
	}
	if len(groups) == 1 && !points(groups[0]) {
		return nil
	}
	parts := t.spread(family, groups)
	entries := make([]int, len(parts))
	for k, p := range parts {
		if p.n < max(1, t.s.Fish[p.at].Query.Count) {
			p.at = t.setApart(p.at, p.n)
		}
		p.fish.Query.Count = t.s.Fish[p.at].Query.Count
		t.s.Fish[p.at].Fish = p.fish
		entries[k] = p.at
	}
	if len(entries) == 0 {
		return nil
	}
	return t.leadAll(entries)
}

// depthOfAll is true for a depth that is told after several fish, of none of which it is
// known.
func (t *teller) depthOfAll(family []one, f understand.Fish) bool {
	lacks := func(o one) bool { return t.fish(o).Query.DepthM == nil }
	same := !slices.ContainsFunc(family, func(o one) bool { return t.s.Fish[o.at].Told != t.s.Fish[family[0].at].Told })
	return f.Query.DepthM != nil && same && !hasSize(f.Query) && f.Which == understand.Which{} && !slices.ContainsFunc(family, func(o one) bool { return !lacks(o) })
}

// leadAll makes some fish those that are talked of now, in their order, and returns their
// places.
func (t *teller) leadAll(entries []int) (places []int) {
	var first, last []Fish
	for i, f := range t.s.Fish {
		if !slices.Contains(entries, i) {
			first = append(first, f)
		}
	}
	for _, i := range entries {
		places = append(places, len(first)+len(last))
		last = append(last, t.s.Fish[i])
	}
	t.s.Fish = slices.Concat(first, last)
	return places
}

// tellsFate takes what seems a correction for a report where it tells how it went with fish
// of which none is told yet: "the other two floated".
func (t *teller) tellsFate() {
	if t.r.Act != understand.ActCorrection || t.r.Number > 0 || len(t.r.Fish) == 0 || slices.ContainsFunc(t.r.Fish, isNamed) {
		return
	}
	family := t.family()
	if len(family) < 2 {
		return
	}
	for _, f := range t.r.Fish {
		places := t.pick(family, make([]bool, len(family)), f)
		if !points(f) || !isDone(f) || len(places) == 0 {
			return
		}
		for _, k := range places {
			if !family[k].lacks() {
				return
			}
		}
	}
	t.r.Act, t.r.Corrects = understand.ActReport, false
}

// describedRow is the report that a correction points at by its size, or by its end, a sign or
// a figure that it alone has, where the correction changes it: "the one that died was 32 m".
func (t *teller) describedRow(standing []Row, f understand.Fish) (Row, bool) {
	if isNamed(f) || len(standing) < 2 {
		return Row{}, false
	}
	family := make([]one, len(standing))
	free := make([]int, len(standing))
	for k := range standing {
		at := slices.IndexFunc(t.s.Fish, func(f Fish) bool { return slices.Contains(f.Rows, standing[k].No) })
		family[k], free[k] = one{at, &standing[k]}, k
	}
	if f.Which.Size != "" {
		if list := t.bySize(family, free, f.Which.Size); len(list) == 1 {
			return standing[list[0]], true
		}
	}
	found := only(free, func(k int) bool {
		known := standing[k].Fish
		return marks(f, known) && changes(known, f)
	})
	if found < 0 {
		return Row{}, false
	}
	return standing[found], true
}

// changes is true where what is told would change a figure of a report.
func changes(known, f understand.Fish) bool {
	for _, field := range figureFields {
		if x := *f.Figure(field); x != nil && differs(*known.Figure(field), x) {
			return true
		}
	}
	return len(f.Done.WeightsOz) > 0 && !slices.Equal(f.Done.WeightsOz, known.Done.WeightsOz)
}

// theOther takes a correction that only says which fish was meant, right after one: what was
// put right goes to that one: "no, the little one".
func (t *teller) theOther() (Move, bool) {
	if t.s.Did != Change || len(t.s.Before) != 1 || len(t.r.Fish) > 1 || len(t.s.Told) == 0 || t.r.Number > 0 {
		return Move{}, false
	}
	f := t.first()
	f.Which = t.which()
	if f.Which == (understand.Which{}) || isNamed(f) || !saysNothingElse(f) {
		return Move{}, false
	}
	was := t.s.Before[0]
	standing := t.s.Standing()
	at := slices.IndexFunc(standing, func(r Row) bool { return r.No == was.No })
	if at < 0 {
		return Move{}, false
	}
	now := standing[at]
	standing[at] = was
	meant, ok := t.describedRow(standing, f)
	if !ok || meant.No == was.No {
		return Move{}, false
	}
	for _, field := range t.s.Told {
		if field == usedField {
			meant.Fish.Done.WeightsOz = now.Fish.Done.WeightsOz
			continue
		}
		*meant.Fish.Figure(field) = *now.Fish.Figure(field)
	}
	m := Move{Do: Change, Change: []Row{was, meant}}
	t.change(m.Change)
	t.s.Asked = Ask{}
	return m, true
}

// which says which fish the message means, where it tells nothing else.
func (t *teller) which() understand.Which {
	if len(t.r.Fish) > 0 {
		return t.r.Fish[0].Which
	}
	return t.r.Which
}
