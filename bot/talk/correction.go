package talk

import (
	"math"
	"slices"

	"deepward/bot/understand"
)

// correction puts right what was said before: the rows that were kept last, one that is
// named by its number or its fish, or the fish that is asked about.
func (s State) correction(r understand.Reading) (Move, State) {
	rows := s.meant(r)
	i := s.focus()
	openIsNewer := i >= 0 && len(s.Fish[i].Rows) == 0
	if len(rows) == 0 || openIsNewer && r.Number == 0 && s.At.Sub(s.At) == 0 {
		if i < 0 {
			return s.question(r)
		}
		if openIsNewer {
			return s.correctOpen(r)
		}
	}
	if len(rows) == 0 {
		return s.question(r)
	}
	return s.correctRows(rows, r)
}

// correctOpen changes the fish that is asked about.
func (s State) correctOpen(r understand.Reading) (Move, State) {
	news := understand.Fish{}
	if len(r.Fish) > 0 {
		news = r.Fish[0]
	}
	news, s = s.figures(news, s.Fish[s.focus()].Fish, r.Bare)
	return s.amend(news, understand.WantRelease)
}

// meant are the rows that a correction is about.
func (s State) meant(r understand.Reading) []Row {
	standing := s.Standing()
	if r.Number != 0 {
		for _, row := range standing {
			if row.No == r.Number {
				return []Row{row}
			}
		}
	}
	if len(standing) == 0 {
		return nil
	}
	for _, f := range r.Fish {
		if !isNamed(f) {
			continue
		}
		for _, row := range slices.Backward(standing) {
			if sameKind(row.Fish, f) && !sameKind(standing[len(standing)-1].Fish, f) && hasNews(f) {
				return []Row{row}
			}
		}
	}
	last := s.last()
	if len(r.Fish) == 1 && r.Fish[0].Counted || len(last) == 1 {
		return last
	}
	return last[len(last)-1:]
}

// hasNews is true where more than a name is told.
func hasNews(f understand.Fish) bool { return f.Query.DepthM != nil || hasSize(f.Query) || isDone(f) || f.Done.Tag != "" }

// correctRows changes rows as the words say.
func (s State) correctRows(rows []Row, r understand.Reading) (Move, State) {
	news := understand.Fish{}
	if len(r.Fish) > 0 {
		news = r.Fish[0]
	}
	news.Done.Day = r.Day
	news, s = s.figures(news, rows[len(rows)-1].Fish, r.Bare)
	count := news.Counted && !hasNews(news) && news.Query.Count != len(rows)
	n := news.Query.Count
	news.Counted, news.Query.Count = false, 1
	for i := range rows {
		rows[i].Fish = mergeFish(rows[i].Fish, news)
		if r.Day != nil {
			rows[i].Day = r.Day
		}
	}
	move, s := s.change(rows)
	if count {
		return s.recount(move, rows, n)
	}
	return move, s
}

// recount keeps more rows like the last one, or takes the last ones back.
func (s State) recount(move Move, rows []Row, n int) (Move, State) {
	if n < len(rows) {
		for _, row := range rows[n:] {
			move.TakeBack = append(move.TakeBack, row.No)
		}
		return move, s.taken(move.TakeBack)
	}
	for range n - len(rows) {
		row := rows[len(rows)-1]
		row.No, row.At = provisional|uint64(len(move.Keep)), s.At
		move.Keep = append(move.Keep, row)
	}
	s.Rows = append(slices.Clone(s.Rows), move.Keep...)
	return move, s
}

// figures gives figures without a unit the one that they must have: of the field that the
// words name, else of the one that the old figure is nearest to.
func (s State) figures(news, old understand.Fish, bare []understand.Bare) (understand.Fish, State) {
	units := Units{}.learn(old.Query).or(s.Units).or(Metric)
	for _, b := range bare {
		field := b.Role
		if field == "" || figureOf(old, field) == nil && field != "release_depth_m" {
			if near := nearest(old, units, b.Value); near != "" {
				field = near
			}
		}
		if factor := units.of(field); factor != 0 {
			news = withFigure(news, field, b.Value*factor)
		}
	}
	return news, s
}

// nearest is the field whose old figure, in the person's units, is the nearest to a new one.
func nearest(old understand.Fish, units Units, x float64) string {
	best, least := "", math.Log(6)
	for _, field := range []string{"depth_m", "weight_kg", "length_cm"} {
		p := figureOf(old, field)
		if p == nil || units.of(field) == 0 {
			continue
		}
		if d := math.Abs(math.Log(*p / units.of(field) / x)); d < least {
			best, least = field, d
		}
	}
	return best
}
