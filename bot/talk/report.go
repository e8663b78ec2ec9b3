package talk

import (
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// report keeps what was done, or completes what was kept.
func (s State) report(r understand.Reading) (Move, State) {
	told := slices.Clone(r.Fish)
	if len(told) == 0 {
		told = []understand.Fish{{}}
	}
	told, s = s.withBare(told, r.Bare)
	for i := range told {
		told[i].Done.Day = r.Day
	}
	if rows := s.completed(told, r); len(rows) > 0 {
		return s.change(rows)
	}
	var keep []understand.Fish
	used := map[int]bool{}
	for i, f := range told {
		keep = append(keep, s.told(f, r, i, told, used))
	}
	if nothingTold(keep) {
		return Move{Do: AskBack}, s
	}
	for _, f := range told {
		s.Units = Units{}.learn(f.Query).or(s.Units)
	}
	return s.keep(keep, used)
}

// completed are the rows that words on how it went complete: the last ones, where nothing
// newer is talked of and they lack it or it happened after.
func (s State) completed(told []understand.Fish, r understand.Reading) []Row {
	i := s.focus()
	if len(told) != 1 || i >= 0 && len(s.Fish[i].Rows) == 0 || r.Again.Another || r.Again.All || r.Again.Spot || !ending(told[0]) || told[0].Done.Tag != "" && told[0].Done.Outcome != "" {
		return nil
	}
	rows := s.last()
	if len(rows) == 0 || s.At.Sub(rows[0].At) > EndingLasts {
		return nil
	}
	news := told[0]
	row := rows[len(rows)-1]
	adds := news.Done.Outcome != "" && row.Fish.Done.Outcome == "" || news.Done.Method != "" && row.Fish.Done.Method == "" ||
		news.Done.Tag != "" && row.Fish.Done.Tag == "" || news.Done.ReleaseDepthM != nil && row.Fish.Done.ReleaseDepthM == nil && news.Done.Outcome == "" ||
		len(news.Done.WeightsOz) > 0 && len(row.Fish.Done.WeightsOz) == 0 && news.Done.Outcome == ""
	turns := news.Done.Outcome != "" && row.Fish.Done.Outcome != "" && news.Done.Outcome != row.Fish.Done.Outcome && news.Done.Method == "" && !news.Counted
	if !adds && !turns {
		return nil
	}
	for i := range rows {
		rows[i].Fish = mergeFish(rows[i].Fish, news)
	}
	return rows
}

// last are the rows that the last report made and that stand.
func (s State) last() []Row {
	standing := s.Standing()
	if len(standing) == 0 {
		return nil
	}
	with := standing[len(standing)-1].With
	return slices.DeleteFunc(standing, func(r Row) bool { return r.With != with })
}

// told is one fish of a report with what the talk knows of it.
func (s State) told(f understand.Fish, r understand.Reading, n int, all []understand.Fish, used map[int]bool) understand.Fish {
	i := s.matching(f, r, n, all)
	if i < 0 {
		return s.inferred(f, r)
	}
	before := s.Fish[i]
	if len(before.Rows) == 0 && !r.Again.Another {
		used[i] = true
		whole := mergeFish(before.Fish, f)
		if f.Counted {
			whole.Query.Count = f.Query.Count
		}
		return s.inferred(s.deedOf(whole, f), r)
	}
	if !isNamed(f) || r.Again.All {
		base := fresh(before.Fish)
		if !r.Again.All && !r.Again.Size {
			base.Query.WeightKg, base.Query.LengthCm, base.Query.LengthType = nil, nil, ""
		}
		base.Query.Signs, base.Query.Behaviour = nil, ""
		if r.Again.All || r.Again.Deed {
			base.Done.Method, base.Done.WeightsOz = before.Done.Method, before.Done.WeightsOz
			if row, ok := s.rowOf(before); ok {
				base.Done.Method, base.Done.WeightsOz = row.Fish.Done.Method, row.Fish.Done.WeightsOz
				base.Query.DepthM = row.Fish.Query.DepthM
			}
		}
		return s.inferred(mergeFish(base, f), r)
	}
	f = s.carried(before.Fish, f, r)
	if r.Again.Deed && f.Done.Method == "" {
		if row, ok := s.rowOf(before); ok {
			f.Done.Method, f.Done.WeightsOz = row.Fish.Done.Method, row.Fish.Done.WeightsOz
		}
	}
	return s.inferred(f, r)
}

// rowOf is the last row that was made of a fish.
func (s State) rowOf(f Fish) (Row, bool) {
	for i := len(s.Rows) - 1; i >= 0; i-- {
		if slices.Contains(f.Rows, s.Rows[i].No) {
			return s.Rows[i], true
		}
	}
	return Row{}, false
}

// matching is the fish of the talk that a fish of a report is about, -1 for none.
func (s State) matching(f understand.Fish, r understand.Reading, n int, all []understand.Fish) int {
	var open []int
	for i, g := range s.Fish {
		if len(g.Rows) == 0 {
			open = append(open, i)
		}
	}
	if isNamed(f) {
		for _, i := range slices.Backward(open) {
			if sameKind(s.Fish[i].Fish, f) || s.Fish[i].Query.Ambiguous && slices.Contains(s.Fish[i].Query.Candidates, f.Query.Species) || !isNamed(s.Fish[i].Fish) {
				return i
			}
		}
		if i := s.focus(); i >= 0 && (r.Again.All || r.Again.Spot || r.Again.Deed || r.Again.Size) {
			return i
		}
		return -1
	}
	switch {
	case len(open) == 0:
		if f.Query.Count > 1 && n == 0 && !r.FollowUp && f.Query.DepthM == nil && !hasSize(f.Query) && !isDone(f) {
			return -1
		}
		return s.focus()
	case len(all) == len(open):
		return open[n]
	default:
		return open[len(open)-1]
	}
}

// deedOf fills in what is certain of a deed from the advice that was followed.
func (s State) deedOf(whole, f understand.Fish) understand.Fish {
	if whole.Done.Method != "" || s.Did != Answer && s.Did != AskBack {
		return whole
	}
	switch f.Done.Outcome {
	case advisor.Died, "":
		if f.Done.Outcome == advisor.Died {
			return whole
		}
	}
	if a := advisor.Advise(s.equipped(whole).Query); a.Action == advisor.ActRecompress {
		whole.Done.Method = advisor.Recompressed
	}
	return whole
}

// inferred fills in the weight where one alone is aboard and the fish was sent down.
func (s State) inferred(f understand.Fish, _ understand.Reading) understand.Fish {
	if f.Done.Method == advisor.Recompressed && len(f.Done.WeightsOz) == 0 && len(s.Aboard.ReleaseOz) == 1 {
		f.Done.WeightsOz = slices.Clone(s.Aboard.ReleaseOz)
	}
	return f
}

// nothingTold is true for a report that holds no fish, no figure and nothing done.
func nothingTold(list []understand.Fish) bool {
	return !slices.ContainsFunc(list, func(f understand.Fish) bool {
		q := f.Query
		return isNamed(f) || q.DepthM != nil || hasSize(q) || q.Behaviour != "" || len(q.Signs) > 0 || isDone(f) || f.Done.Tag != ""
	})
}

// keep makes one row of each single fish.
func (s State) keep(list []understand.Fish, used map[int]bool) (Move, State) {
	move := Move{Do: Keep}
	s.Fish = slices.Clone(s.Fish)
	var made []Fish
	for _, f := range list {
		talked := Fish{Fish: f}
		for range max(1, f.Query.Count) {
			one := f
			one.Query.Count = 1
			no := provisional | uint64(len(move.Keep))
			move.Keep = append(move.Keep, Row{No: no, With: provisional, Fish: one, Day: f.Done.Day, At: s.At})
			talked.Rows = append(talked.Rows, no)
		}
		made = append(made, talked)
	}
	var rest []Fish
	for i, f := range s.Fish {
		if !used[i] {
			rest = append(rest, f)
		}
	}
	s.Fish = append(rest, made...)
	s.Fish = s.Fish[max(0, len(s.Fish)-MostFish):]
	s.Rows = append(slices.Clone(s.Rows), move.Keep...)
	s.Rows = s.Rows[max(0, len(s.Rows)-MostRows):]
	s.Asked = Ask{}
	if slices.ContainsFunc(list, func(f understand.Fish) bool { return f.Done.Outcome == "" && f.Done.Method != advisor.Kept }) {
		s.Asked = Ask{What: AskWent}
	}
	return move, s
}

// change puts rows as they are to stand into the state and the move.
func (s State) change(rows []Row) (Move, State) {
	s.Rows = slices.Clone(s.Rows)
	move := Move{Do: Change, Change: rows}
	for _, r := range rows {
		for i := range s.Rows {
			if s.Rows[i].No == r.No {
				s.Before = append(s.Before, s.Rows[i])
				s.Rows[i] = r
			}
		}
		for i := range s.Fish {
			if slices.Contains(s.Fish[i].Rows, r.No) {
				s.Fish = slices.Clone(s.Fish)
				s.Fish[i].Fish = r.Fish
			}
		}
	}
	for _, r := range rows {
		if r.Fish.Done.Outcome == advisor.FloatedOff && r.Fish.Done.Method == advisor.Recompressed {
			move.Again, move.Fish = true, append(move.Fish, s.equipped(r.Fish))
		}
	}
	return move, s
}
