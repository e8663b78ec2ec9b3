package talk

import (
	"cmp"
	"slices"
	"strings"

	"deepward/bot/understand"
)

// undo takes reports back: those that are named, else what the last message brought
// about, and said again one further back.
func (t *teller) undo() Move {
	m := Move{Do: Undo, Want: understand.WantUndo}
	t.s.Asked = Ask{}
	if t.plainly() && t.s.Did == Change && len(t.s.Before) > 0 {
		m.Change = slices.Clone(t.s.Before)
		t.change(m.Change)
		return m
	}
	m.TakeBack = t.unwanted()
	if len(m.TakeBack) == 0 && t.s.Did == Undo && strings.Contains(t.r.Text, " ") && t.r.Number == 0 && len(t.r.Fish) == 0 && len(t.s.Standing()) == 0 && len(t.s.Taken) > 0 {
		return t.putBack() // "undo that" right after the last one was taken back
	}
	t.takeBack(m.TakeBack)
	return m
}

// plainly is true for an undo that names nothing.
func (t *teller) plainly() bool {
	return t.r.Number == 0 && len(t.r.Fish) == 0 && t.r.Verb == "undo"
}

// unwanted are the numbers to take back.
func (t *teller) unwanted() []uint64 {
	standing := t.s.Standing()
	if t.r.Number != 0 {
		return t.numbered()
	}
	if len(standing) == 0 {
		return nil
	}
	if t.r.Again.LastButOne { // "the one before that perch": the perch is not meant
		return []uint64{lastButOne(standing).No}
	}
	for _, r := range slices.Backward(standing) {
		if told, met := fateOf(t.which(), r.Fish); told && met { // "delete the dead one"
			return []uint64{r.No}
		}
	}
	for _, f := range t.r.Fish {
		if list := picked(standing, f); len(list) > 0 {
			return numbersOf(list)
		}
	}
	last := standing[len(standing)-1]
	if t.plainly() {
		return numbersOf(batch(standing))
	}
	return []uint64{last.No}
}

// isNumbered is true for a row of the number that was said.
func (t *teller) isNumbered(r Row) bool { return t.r.Number != 0 && cmp.Or(r.Told, r.No) == t.r.Number }

// numbered is the number in the store of the newest row that has the number said, none
// where no row has.
func (t *teller) numbered() []uint64 {
	for _, r := range slices.Backward(t.s.Rows) {
		if t.isNumbered(r) {
			return []uint64{r.No}
		}
	}
	return nil
}

// picked are the rows that a fish named for undoing is: of its kind, with its end.
func picked(rows []Row, f understand.Fish) []Row {
	ended := func(r Row) bool {
		return f.Done.Outcome == "" && f.Query.Behaviour == "" || f.Done.Outcome != "" && r.Fish.Done.Outcome == f.Done.Outcome ||
			f.Done.Outcome == "" && floats(f) && floats(r.Fish)
	}
	if isNamed(f) {
		list := ofKind(rows, f.Query)
		if some := slices.DeleteFunc(slices.Clone(list), func(r Row) bool { return !ended(r) }); len(some) > 0 {
			list = some
		}
		return list
	}
	if f.Done.Outcome == "" && f.Query.Behaviour == "" {
		return nil
	}
	for i := len(rows) - 1; i >= 0; i-- {
		if ended(rows[i]) {
			return rows[i : i+1]
		}
	}
	return nil
}

func numbersOf(rows []Row) (list []uint64) {
	for _, r := range rows {
		list = append(list, r.No)
	}
	return list
}

// mostTaken is how many undos can be put back.
const mostTaken = 8

// takeBack marks rows as taken back.
func (t *teller) takeBack(numbers []uint64) {
	if len(numbers) == 0 {
		return
	}
	t.mark(numbers, true)
	t.s.Taken = append(slices.Clone(t.s.Taken), numbers)
	if len(t.s.Taken) > mostTaken {
		t.s.Taken = t.s.Taken[1:]
	}
	t.s.Before = nil
}

func (t *teller) mark(numbers []uint64, undone bool) {
	for i := range t.s.Rows {
		if slices.Contains(numbers, t.s.Rows[i].No) {
			t.s.Rows[i].Undone = undone
		}
	}
}

// putsBack is true for words that want back what was taken back.
func (t *teller) putsBack() bool {
	if t.r.Want == understand.WantPutBack {
		return true
	}
	return t.r.Again.Back && t.s.Did == Undo && len(t.r.Fish) <= 1
}

// putBack lets what was taken back count again: the last undo, or the last ones where
// the words say how many.
func (t *teller) putBack() Move {
	m := Move{Do: PutBack, Want: understand.WantPutBack}
	if len(t.s.Taken) == 0 || t.s.Did == Undo && len(t.s.Before) > 0 {
		m.Change = slices.Clone(t.s.Before)
		t.change(m.Change)
		return m
	}
	if t.r.Number != 0 {
		m.PutBack = t.numbered()
		t.mark(m.PutBack, false)
		return m
	}
	n := 1
	if len(t.r.Fish) == 1 && t.r.Fish[0].Counted {
		n = t.r.Fish[0].Query.Count
	}
	for range min(n, len(t.s.Taken)) {
		last := len(t.s.Taken) - 1
		m.PutBack = append(m.PutBack, t.s.Taken[last]...)
		t.s.Taken = slices.Clone(t.s.Taken[:last])
	}
	t.mark(m.PutBack, false)
	return m
}
