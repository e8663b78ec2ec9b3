package talk

import (
	"time"

	"deepward/bot/understand"
)

// Next takes one message into the talk: what is to be done, and the state after it.
func Next(s State, r understand.Reading, at time.Time) (Move, State) {
	s = s.aged(at)
	s.Before = nil
	s = s.withAboard(r, at)
	move, s := s.step(r)
	s.Act, s.Did = r.Act, move.Do
	return move, s
}

// step finds the rule for a message.
func (s State) step(r understand.Reading) (Move, State) {
	if r.Hurt {
		return Move{Do: Command, Want: understand.WantFirstAid}, s
	}
	if move, next, ok := s.answered(r); ok {
		return move, next
	}
	switch r.Act {
	case understand.ActCommand:
		return s.command(r)
	case understand.ActQuestion:
		return s.question(r)
	case understand.ActReport:
		return s.report(r)
	case understand.ActCorrection:
		return s.correction(r)
	}
	return Move{}, s
}

// withAboard remembers what somebody has with them.
func (s State) withAboard(r understand.Reading, at time.Time) State {
	a := r.Aboard
	if r.Act == understand.ActOther || len(a.ReleaseOz) == 0 && len(a.LeadG) == 0 && !a.None {
		return s
	}
	s.Aboard, s.AboardAt = a, at
	return s
}

// answered takes a plain answer to what was asked: a unit, or a figure without one.
func (s State) answered(r understand.Reading) (Move, State, bool) {
	if s.Asked.What != AskUnit || s.focus() < 0 {
		return Move{}, s, false
	}
	factor, ok := understand.UnitNamed(r.Text, s.Asked.Field)
	if !ok {
		return Move{}, s, false
	}
	news := withFigure(understand.Fish{}, s.Asked.Field, s.Asked.Value*factor)
	s.Asked = Ask{}
	move, next := s.amend(news, understand.WantRelease)
	return move, next, true
}

// withFigure sets one figure of a fish by the name of its field.
func withFigure(f understand.Fish, field string, x float64) understand.Fish {
	switch field {
	case "depth_m":
		f.Query.DepthM, f.Query.DepthRangeM = &x, nil
	case "weight_kg":
		f.Query.WeightKg = &x
	case "length_cm":
		f.Query.LengthCm = &x
	case "minutes_on_deck":
		f.Query.MinutesOnDeck = &x
	case "release_depth_m":
		f.Done.ReleaseDepthM = &x
	}
	return f
}

// figureOf is a figure of a fish by the name of its field, nil where it is not known.
func figureOf(f understand.Fish, field string) *float64 {
	switch field {
	case "depth_m":
		return f.Query.DepthM
	case "weight_kg":
		return f.Query.WeightKg
	case "length_cm":
		return f.Query.LengthCm
	case "minutes_on_deck":
		return f.Query.MinutesOnDeck
	case "release_depth_m":
		return f.Done.ReleaseDepthM
	}
	return nil
}

// amend changes the fish that is talked of and answers anew.
func (s State) amend(news understand.Fish, want understand.Want) (Move, State) {
	i := s.focus()
	s.Fish = append([]Fish(nil), s.Fish...)
	s.Fish[i].Fish = mergeFish(s.Fish[i].Fish, news)
	s.Units = s.Units.or(Units{}.learn(news.Query))
	return Move{Do: Answer, Want: want, Fish: []understand.Fish{s.equipped(s.Fish[i].Fish)}}, s
}
