package bot

import (
	"cmp"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// keepRows keeps what was reported, and changes what was put right or completed.
func (t *turn) keepRows(r understand.Reading, m talk.Move) error {
	changed, problems, err := t.changeRows(m.Change, r)
	if err != nil {
		return err
	}
	if err := t.setUndone(m.TakeBack, true); err != nil {
		return err
	}
	kept, err := t.addRows(m.Keep)
	if err != nil {
		return err
	}
	problems = append(t.openProblems(r.Problems), problems...)
	t.told = problemLines(t.voice, problems)
	s := t.session
	s.Awaiting = ""
	if all := append(changed, kept...); len(all) > 0 {
		s.Report = all[len(all)-1].Number
		if len(kept) > 0 {
			s.Report = kept[0].Number
			if _, _, unsure := t.doubtedDay(kept[0]); unsure {
				s.Awaiting = awaitingDay
			}
		}
	}
	t.saveSession(s)
	return t.confirmRows(changed, kept, problems, r, m)
}

// confirmRows says what stands now.
func (t *turn) confirmRows(changed, kept []*catch.Report, problems []understand.Problem, r understand.Reading, m talk.Move) error {
	if len(changed) > 0 {
		t.corrected(changed, problems)
		problems = nil
	}
	if len(kept) > 0 {
		if err := t.acknowledge(kept, problems); err != nil {
			return err
		}
	}
	if len(m.TakeBack) > 0 {
		words, err := t.takenBackNumbers(m.TakeBack)
		if err != nil {
			return err
		}
		t.say(words)
	}
	if len(m.Fish) == 0 {
		if len(changed)+len(kept)+len(m.TakeBack) == 0 {
			return t.askBack()
		}
		return nil
	}
	if m.Aboard {
		t.tell("report.still_aboard")
	}
	fish := queriesOf(m.Fish)
	t.arm(fish, m.Again)
	meaning := r.Meaning()
	meaning.Query, meaning.More, meaning.Problems, meaning.Missing = fish[0], fish[1:], nil, understand.Missing(fish[0])
	return t.answer(meaning, fish)
}

// changeRows puts rows as the talk has them over the reports of the person.
func (t *turn) changeRows(rows []talk.Row, reading understand.Reading) (list []*catch.Report, problems []understand.Problem, err error) {
	for i, row := range rows {
		r, err := t.ownReport(row.No)
		if err != nil {
			return nil, nil, err
		}
		if r == nil {
			continue
		}
		before := *r
		fillFish(r, row.Fish.Query)
		r.SignsLooked = before.SignsLooked || r.SignsLooked || row.Fish.NoSigns
		fillDone(r, row.Fish.Done)
		if told := t.redate(r, row.Day); i == 0 {
			problems = told
		}
		if err := t.putChanged(r, before); err != nil {
			return nil, nil, err
		}
		list = append(list, r)
	}
	return list, problems, nil
}

// addRows keeps new reports and tells the talk their numbers.
func (t *turn) addRows(rows []talk.Row) ([]*catch.Report, error) {
	if len(rows) == 0 {
		return nil, nil
	}
	var list []*catch.Report
	var numbers []uint64
	for i, row := range rows {
		d := row.Fish.Done
		d.Day = row.Day
		r := t.newReport(row.Fish.Query, d)
		r.SignsLooked = r.SignsLooked || row.Fish.NoSigns
		r.Message, r.Part = t.origin.message, i
		if r.Method == advisor.Recompressed {
			r.Advised = t.advisedFor(r)
		}
		if _, err := t.tx.AddReport(r); err != nil {
			return nil, err
		}
		list, numbers = append(list, r), append(numbers, r.Number)
	}
	t.talk = t.talk.Number(numbers)
	return list, t.greetTags(list)
}

// takeBackRows takes reports back, lets them count again, or undoes a correction.
func (t *turn) takeBackRows(m talk.Move) error {
	if len(m.Change) > 0 {
		changed, _, err := t.changeRows(m.Change, understand.Reading{})
		if err != nil || len(changed) == 0 {
			return err
		}
		t.corrected(changed, nil)
		return nil
	}
	taken, err := t.owned(m.TakeBack)
	if err != nil {
		return err
	}
	if err := t.setUndone(taken, true); err != nil {
		return err
	}
	if err := t.setUndone(m.PutBack, false); err != nil {
		return err
	}
	switch {
	case len(taken) > 0:
		return t.sayTakenBack(taken)
	case len(m.PutBack) > 0:
		return t.sayStanding(m.PutBack)
	default:
		t.tell("undo.nothing")
	}
	return nil
}

// owned are the numbers of those that are the person's and stand.
func (t *turn) owned(numbers []uint64) (list []uint64, err error) {
	for _, n := range numbers {
		r, err := t.ownReport(n)
		if err != nil {
			return nil, err
		}
		if r != nil {
			list = append(list, n)
		}
	}
	return list, nil
}

// setUndone takes reports of the person back, or lets them count again.
func (t *turn) setUndone(numbers []uint64, undone bool) error {
	for _, n := range numbers {
		r, err := t.tx.Report(n)
		if err != nil {
			if ignoreMissing(err) == nil {
				continue
			}
			return err
		}
		if r.Personal.Person != t.m.Sender.ID || r.Undone == undone {
			continue
		}
		r.Undone, t.touched = undone, cmp.Or(r.Club, r.Chat)
		if err := t.tx.PutReport(r); err != nil {
			return err
		}
	}
	return nil
}

// takenBackNumbers says which reports count no more.
func (t *turn) takenBackNumbers(numbers []uint64) (string, error) {
	first, err := t.tx.Report(numbers[0])
	if err != nil {
		return "", err
	}
	if len(numbers) == 1 {
		return t.voice.Say("report.undone", reportNo(first)), nil
	}
	last, err := t.tx.Report(numbers[len(numbers)-1])
	if err != nil {
		return "", err
	}
	return t.voice.Say("report.undone_several", reportNo(first), reportNo(last)), nil
}

// sayStanding says that reports count again.
func (t *turn) sayStanding(numbers []uint64) error {
	var list []*catch.Report
	for _, n := range numbers {
		r, err := t.ownReport(n)
		if err != nil {
			return err
		}
		if r != nil {
			list = append(list, r)
		}
	}
	if len(list) == 0 {
		t.tell("undo.nothing")
		return nil
	}
	t.reply(t.confirmation(t.voice.Say("report.put_back", t.describeAll(list)), list, nil))
	return nil
}

// advisedFor is what the bot says of the fish of a report, "" where it was not asked.
func (t *turn) advisedFor(r *catch.Report) string {
	a, ok := t.lastAsked()
	if !ok || a.Fish[0].Species != r.Species {
		return ""
	}
	return advised(advisor.Advise(reportQueryAboard(r, a)))
}
