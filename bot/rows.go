package bot

import (
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// keepRows keeps new rows, changes others and takes back what no longer counts, and
// confirms it with the whole rows.
func (t *turn) keepRows(move talk.Move, next talk.State, r understand.Reading) (talk.State, error) {
	kept, numbers, err := t.newRows(move.Keep, r)
	if err != nil {
		return next, err
	}
	changed, err := t.changeRows(move.Change)
	if err != nil {
		return next, err
	}
	if _, err := t.setUndone(move.TakeBack, true); err != nil {
		return next, err
	}
	if err := t.rememberReport(append(changed, kept...)); err != nil {
		return next, err
	}
	problems := r.Problems
	switch {
	case len(kept) > 0:
		err = t.acknowledge(kept, problems)
	case len(changed) > 0:
		t.corrected(changed, problems)
	}
	if err == nil && len(move.Fish) > 0 {
		err = t.answerAfterReport(move, r)
	}
	return next.Number(numbers), err
}

// answerAfterReport advises again on a fish that came back up.
func (t *turn) answerAfterReport(move talk.Move, r understand.Reading) error {
	if move.Again {
		t.headline("report.came_back")
		return nil
	}
	m := r.Meaning()
	m.Kind = understand.Question
	fish := queriesOf(move.Fish)
	m.Query, m.More, m.Missing = fish[0], nil, understand.Missing(fish[0])
	return t.answer(m, fish)
}

// newRows keeps rows as reports and returns the numbers they got.
func (t *turn) newRows(rows []talk.Row, r understand.Reading) (kept []*catch.Report, numbers []uint64, err error) {
	for _, row := range rows {
		done := row.Fish.Done
		done.Day = row.Day
		report := t.newReport(row.Fish.Query, done)
		if row.Fish.Name != "" {
			report.SpeciesGiven = row.Fish.Query.SpeciesName
		}
		report.Message, report.Part = t.message, len(kept)
		if _, err := t.tx.AddReport(report); err != nil {
			return nil, nil, err
		}
		kept, numbers = append(kept, report), append(numbers, report.Number)
	}
	return kept, numbers, t.greetTags(kept)
}

// changeRows puts rows as they are to stand over their reports.
func (t *turn) changeRows(rows []talk.Row) (changed []*catch.Report, err error) {
	for _, row := range rows {
		report, err := t.ownReport(row.No)
		if err != nil {
			return nil, err
		}
		if report == nil {
			continue
		}
		before := *report
		looked := report.SignsLooked
		fillFish(report, row.Fish.Query)
		fillDone(report, row.Fish.Done)
		report.SignsLooked = looked || report.SignsLooked
		if row.Day != nil {
			t.redate(report, row.Day)
		}
		if err := t.putChanged(report, before); err != nil {
			return nil, err
		}
		changed = append(changed, report)
	}
	return changed, nil
}

// rememberReport is the report that buttons and further words are about.
func (t *turn) rememberReport(reports []*catch.Report) error {
	if len(reports) == 0 {
		return nil
	}
	s := Session{Report: reports[0].Number}
	if _, _, unsure := t.doubtedDay(reports[0]); unsure {
		s.Awaiting = awaitingDay
	}
	return t.saveSession(s)
}

// setUndone takes reports of this person back, or lets them count again.
func (t *turn) setUndone(numbers []uint64, undone bool) (list []*catch.Report, err error) {
	for _, n := range numbers {
		r, err := t.tx.Report(n)
		if err != nil || r.Personal.Person != t.m.Sender.ID || r.Undone == undone {
			if err := ignoreMissing(err); err != nil {
				return nil, err
			}
			continue
		}
		r.Undone = undone
		if err := t.tx.PutReport(r); err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return list, nil
}

func (t *turn) takeBackRows(numbers []uint64) error {
	taken, err := t.setUndone(numbers, true)
	if err != nil {
		return err
	}
	if len(taken) == 0 {
		return t.command(understand.Meaning{Kind: understand.Command, Verb: "undo"})
	}
	t.say(t.takenBack(taken))
	return nil
}

func (t *turn) putBackRows(numbers []uint64) error {
	back, err := t.setUndone(numbers, false)
	if err != nil {
		return err
	}
	if len(back) == 0 {
		t.tell("put_back.nothing")
		return nil
	}
	t.corrected(back, nil)
	return t.rememberReport(back)
}
