package talk

import (
	"slices"

	"deepward/bot/understand"
)

// question completes the fish that are asked about with what is known of them.
func (s State) question(r understand.Reading) (Move, State) {
	told := r.Fish
	if len(told) == 0 {
		return s.questionOfNone(r)
	}
	told, s = s.withBare(told, r.Bare)
	var group []Fish
	for i, f := range told {
		group = append(group, s.asked(f, r, i == 0 && len(told) == 1))
	}
	s.Fish = append(s.withoutOpen(group), group...)
	s.Fish = s.Fish[max(0, len(s.Fish)-MostFish):]
	for _, f := range told {
		s.Units = Units{}.learn(f.Query).or(s.Units)
	}
	if s.Asked.What != AskUnit {
		s.Asked = s.lacking(group)
	}
	move := Move{Do: Answer, Want: r.Want}
	for _, f := range group {
		move.Fish = append(move.Fish, s.equipped(f.Fish))
	}
	return move, s
}

// MostFish is how many fish a talk remembers.
const MostFish = 12

// withoutOpen drops the fish that were asked about and never reported: the new ones take
// their place. Those that rows were made of stay.
func (s State) withoutOpen([]Fish) []Fish {
	return slices.DeleteFunc(slices.Clone(s.Fish), func(f Fish) bool { return len(f.Rows) == 0 })
}

// questionOfNone is a question that says nothing of a fish: about the one that is talked
// of, or about the trade.
func (s State) questionOfNone(r understand.Reading) (Move, State) {
	if len(r.Bare) > 0 && s.focus() >= 0 {
		told, next := s.withBare([]understand.Fish{{}}, r.Bare)
		if next.Asked.What == AskUnit {
			return next.answerAgain(r.Want)
		}
		return next.amend(told[0], r.Want)
	}
	if s.focus() < 0 {
		return Move{Do: Answer, Want: r.Want}, s
	}
	return s.answerAgain(r.Want)
}

// answerAgain answers about the fish talked of, with what is aboard now.
func (s State) answerAgain(want understand.Want) (Move, State) {
	move := Move{Do: Answer, Want: want}
	for _, f := range s.open() {
		move.Fish = append(move.Fish, s.equipped(f.Fish))
	}
	return move, s
}

// open are the fish that are talked of: those without rows, else the last one.
func (s State) open() []Fish {
	var list []Fish
	for _, f := range s.Fish {
		if len(f.Rows) == 0 {
			list = append(list, f)
		}
	}
	if len(list) == 0 && len(s.Fish) > 0 {
		list = s.Fish[s.focus():]
	}
	return list
}

// asked is a fish of a question with what the talk knows of it. alone is true where it is
// the only one of the message.
func (s State) asked(f understand.Fish, r understand.Reading, alone bool) Fish {
	i := s.focus()
	if i < 0 || !alone {
		return Fish{Fish: f}
	}
	before := s.Fish[i]
	switch {
	case !r.Again.Another && len(before.Rows) == 0 && s.isSame(before.Fish, f, r):
		return Fish{Fish: mergeFish(before.Fish, f)}
	case isNamed(f) && !sameKind(before.Fish, f):
		return Fish{Fish: s.carried(before.Fish, f, r)}
	case isNamed(f):
		return Fish{Fish: s.carried(before.Fish, f, r)}
	default:
		base := fresh(before.Fish)
		if !r.Again.Size && !r.Again.All && hasSize(f.Query) {
			base.Query.WeightKg, base.Query.LengthCm, base.Query.LengthType = nil, nil, ""
		}
		if !r.Again.Size && !r.Again.All && !r.FollowUp {
			base.Query.WeightKg, base.Query.LengthCm, base.Query.LengthType = nil, nil, ""
		}
		if !r.Again.All {
			base.Query.Signs, base.Query.Behaviour = nil, ""
		}
		return Fish{Fish: mergeFish(base, f)}
	}
}

// isSame is true where words are about the fish that is talked of: they name none, or the
// same, or they put its name right.
func (s State) isSame(before, f understand.Fish, r understand.Reading) bool {
	if !isNamed(f) || sameKind(before, f) {
		return true
	}
	if r.Corrects {
		return true
	}
	// a name alone after a fish without one, or that tells the kind more closely
	return !isNamed(before) || before.Query.Ambiguous && slices.Contains(before.Query.Candidates, f.Query.Species)
}

// sameKind is true for two names of one fish.
func sameKind(a, b understand.Fish) bool {
	if a.Query.Species != "" && b.Query.Species != "" {
		return a.Query.Species == b.Query.Species
	}
	return a.Query.SpeciesName != "" && a.Query.SpeciesName == b.Query.SpeciesName
}

// fresh is the fish of before as a new one: what was done with it is not carried over.
func fresh(f understand.Fish) understand.Fish {
	f.Done = understand.Done{}
	f.Query.Count, f.Counted = 1, false
	f.Query.Hook, f.Query.Bleeding, f.Query.MinutesOnDeck = "", false, nil
	return f
}

// carried gives a new fish what words such as "same spot" carry over from the last one.
func (s State) carried(before, f understand.Fish, r understand.Reading) understand.Fish {
	if (r.Again.Spot || r.Again.All) && f.Query.DepthM == nil {
		f.Query.DepthM, f.Query.DepthRangeM = before.Query.DepthM, before.Query.DepthRangeM
	}
	if (r.Again.Size || r.Again.All) && !hasSize(f.Query) {
		f.Query.WeightKg, f.Query.LengthCm, f.Query.LengthType = before.Query.WeightKg, before.Query.LengthCm, before.Query.LengthType
	}
	return f
}

// withBare puts figures without a unit where they belong: in the unit in which the person
// told such figures before, else they are asked about.
func (s State) withBare(told []understand.Fish, bare []understand.Bare) ([]understand.Fish, State) {
	told = slices.Clone(told)
	if s.Asked.What == AskUnit {
		s.Asked = Ask{}
	}
	for _, b := range bare {
		role := b.Role
		if role == "" {
			continue
		}
		if factor := s.Units.of(role); factor != 0 {
			told[0] = withFigure(told[0], role, b.Value*factor)
			continue
		}
		if s.Asked.What == "" && role == "depth_m" {
			s.Asked = Ask{What: AskUnit, Field: role, Value: b.Value}
		}
	}
	return told, s
}

// lacking is what an answer about these fish asks for.
func (s State) lacking(group []Fish) Ask {
	for _, f := range group {
		if f.Query.DepthM == nil {
			return Ask{What: AskDepth}
		}
	}
	return Ask{}
}

// equipped is a fish with the weights that are aboard.
func (s State) equipped(f understand.Fish) understand.Fish {
	if len(s.Aboard.ReleaseOz) > 0 {
		f.Query.WeightsAboardOz = slices.Clone(s.Aboard.ReleaseOz)
	}
	return f
}
