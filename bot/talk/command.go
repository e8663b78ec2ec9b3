package talk

import (
	"slices"

	"deepward/bot/understand"
)

// command deals with what asks something of the bot itself.
func (s State) command(r understand.Reading) (Move, State) {
	switch r.Want {
	case understand.WantUndo:
		return s.undo(r)
	case understand.WantPutBack:
		return s.putBack()
	}
	return Move{Do: Command, Want: r.Want}, s
}

// undo takes the last row back, one that is named by its number, or those of a fish; each
// further undo goes one further back.
func (s State) undo(r understand.Reading) (Move, State) {
	standing := s.Standing()
	var numbers []uint64
	switch {
	case r.Number != 0:
		for _, row := range standing {
			if row.No == r.Number {
				numbers = append(numbers, row.No)
			}
		}
	case len(r.Fish) > 0 && isNamed(r.Fish[0]):
		numbers = s.lastOf(standing, r.Fish[0])
	}
	if len(numbers) == 0 && len(standing) > 0 && r.Number == 0 {
		numbers = []uint64{standing[len(standing)-1].No}
	}
	if len(numbers) == 0 {
		return Move{Do: Undo}, s
	}
	return Move{Do: Undo, TakeBack: numbers}, s.taken(numbers)
}

// lastOf are the last rows of a fish: all that one message made where several are meant.
func (s State) lastOf(standing []Row, f understand.Fish) []uint64 {
	var numbers []uint64
	with := uint64(0)
	for _, row := range slices.Backward(standing) {
		if !sameKind(row.Fish, f) || with != 0 && row.With != with {
			continue
		}
		with = row.With
		numbers = append([]uint64{row.No}, numbers...)
		if f.Query.Count <= 1 && !f.Counted && len(numbers) == 1 {
			break
		}
	}
	return numbers
}

// taken is the state after rows were taken back.
func (s State) taken(numbers []uint64) State {
	s.Rows = slices.Clone(s.Rows)
	for i := range s.Rows {
		if slices.Contains(numbers, s.Rows[i].No) {
			s.Rows[i].Undone = true
		}
	}
	s.Taken = append(slices.Clone(s.Taken), numbers)
	s.Asked = Ask{}
	return s
}

// putBack lets what was taken back last count again.
func (s State) putBack() (Move, State) {
	if len(s.Taken) == 0 {
		return Move{Do: PutBack}, s
	}
	numbers := s.Taken[len(s.Taken)-1]
	s.Taken = s.Taken[:len(s.Taken)-1]
	s.Rows = slices.Clone(s.Rows)
	for i := range s.Rows {
		if slices.Contains(numbers, s.Rows[i].No) {
			s.Rows[i].Undone = false
		}
	}
	return Move{Do: PutBack, PutBack: numbers}, s
}
