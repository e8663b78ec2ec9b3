package bot

import (
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// press deals with a tap. Whatever the data says, only a thing of the person
// who taps is ever touched: forged and borrowed data find nothing.
func (t *turn) press() error {
	if t.typed {
		t.unheard(understand.Reading{Text: t.m.Text, Act: understand.ActCommand, Sure: 1})
	}
	verb, rest, _ := strings.Cut(t.m.Press, " ")
	arg, detail, _ := strings.Cut(rest, " ")
	n, ok := number(arg)
	if !ok {
		return t.notice("press.old")
	}
	foreign, err := t.standsUnderAnothers()
	if err != nil {
		return err
	}
	if foreign {
		return t.notice("press.not_yours")
	}
	switch verb {
	case pressDone:
		return t.pressDone(n, detail)
	case pressWhy, pressHow:
		return t.pressExplain(n, verb)
	case pressPick:
		return t.pressPick(n, detail)
	case pressUnit:
		return t.pressUnit(n, detail)
	case pressName:
		return t.pressName(n, detail)
	case pressNameOf:
		return t.pressNameOf(n, detail)
	case pressUnname:
		return t.pressUnname(n, detail)
	case pressPropose:
		return t.pressPropose(n)
	case pressClubName:
		return t.pressClubName(catch.ClubID(n), detail)
	case pressWent, pressSkip:
		return t.pressStep(n, verb, detail)
	case pressUndo:
		return t.pressUndo(n)
	case pressBack:
		return t.pressBack(n)
	case pressIdle:
		t.acknowledgeTap()
		return nil
	case pressShare:
		return t.pressShare(n, detail)
	case pressKeep:
		return t.pressKeep(n)
	case pressDay:
		return t.pressDay(n, detail)
	case pressForget:
		return t.pressForget()
	case pressAgree:
		return t.pressAgree(n)
	case pressPlace:
		return t.pressPlace(n, detail)
	case pressJoin:
		return t.pressJoin(catch.ClubID(n))
	case pressCount:
		return t.pressCount(catch.ClubID(n), detail)
	case pressLeave:
		return t.pressLeave(catch.ClubID(n))
	case pressFirst:
		return t.pressFirst(detail)
	case pressExport:
		return t.pressExport(catch.ClubID(n), detail)
	case pressLicense:
		return t.pressLicense(catch.ClubID(n), detail)
	case pressPast:
		return t.pressPastLog(n, detail)
	default:
		return t.notice("press.old")
	}
}

// taps are what can be tapped as done; data that says anything else was forged.
var taps = []string{string(advisor.Recompressed), string(advisor.Surface), string(advisor.Kept), died}

// standsUnderAnothers is true when the message that was tapped is about another
// person's question or report: an answer in its place would overwrite it.
func (t *turn) standsUnderAnothers() (bool, error) {
	r, ok := t.refOf(t.m.ID)
	switch {
	case ok && r.kind == kindQuestion:
		return r.person != key(t.m.Sender.ID), nil
	case ok && r.kind == "report":
		report, err := t.tx.Report(r.number)
		if err != nil {
			return false, ignoreMissing(err)
		}
		return report.Personal.Person != t.m.Sender.ID, nil
	default:
		return false, nil
	}
}

// acknowledgeTap ends the waiting of the button, with nothing to say.
func (t *turn) acknowledgeTap() {
	if !t.typed {
		t.reply(Reply{PressID: t.m.PressID})
	}
}

// notice answers a tap with a short note and nothing else.
func (t *turn) notice(key string, args ...any) error {
	t.reply(Reply{PressID: t.m.PressID, Text: t.voice.Say(key, args...)})
	return nil
}

// replace puts new text and buttons in place of the message with the button.
func (t *turn) replace(r Reply) error {
	if t.typed {
		t.reply(r)
		return nil
	}
	t.acknowledgeTap()
	r.Edit, r.Buttons = t.m.ID, t.idleAtThumb(r.Buttons)
	t.reply(r)
	return nil
}

// pressedQuestion is the kept question that a tap is about, if it is the
// person's own.
func (t *turn) pressedQuestion(n uint64) (Asked, bool) {
	a, err := load[Asked](t.tx, kindQuestion, t.ownKey(n))
	return a, err == nil && len(a.Fish) > 0 && a.Person == t.m.Sender.ID
}

// pressDone records what was done with the fish of a question. A second tap
// changes what was recorded; it never records twice.
func (t *turn) pressDone(n uint64, how string) error {
	asked, ok := t.pressedQuestion(n)
	if !ok {
		return t.notice("press.not_yours")
	}
	if !slices.Contains(taps, how) {
		return t.notice("press.old")
	}
	if len(asked.Reports) > 0 {
		return t.changeDone(n, asked, how)
	}
	t.origin = origin{asked.At, asked.Text, asked.Thread, asked.Message} // the message with the button may be too old to tell it
	reports, err := t.keep(asked.Fish, func(int) understand.Done { return understand.Done{Day: asked.Day} })
	if err != nil {
		return err
	}
	for _, r := range reports {
		advice := advisor.Advise(reportQueryAboard(r, asked))
		applyDone(r, how, advice)
		r.Advised = advised(advice)
		if err := t.tx.PutReport(r); err != nil {
			return err
		}
		asked.Reports = append(asked.Reports, r.Number)
	}
	if err := t.saveAsked(n, asked); err != nil {
		return err
	}
	return t.nextStep(reports, "went")
}

func reportQueryAboard(r *catch.Report, asked Asked) advisor.Query {
	q := reportQuery(r)
	q.WeightsAboardOz = asked.Fish[0].WeightsAboardOz
	return q
}

// applyDone writes one of the four taps into a report.
func applyDone(r *catch.Report, how string, a advisor.Advice) {
	r.WeightsOz, r.ReleaseDepthM = nil, nil
	r.Outcome = ""
	if how == died {
		r.Method, r.Outcome, r.Behaviour = "", advisor.Died, advisor.Dead
		return
	}
	r.Method = advisor.Method(how)
	if r.Method == advisor.Recompressed {
		r.WeightsOz, r.ReleaseDepthM = a.ReleaseWeightsOz, a.ReleaseDepthM
	}
}

// advised is what the bot had said, for the log: "recompress 40+20".
func advised(a advisor.Advice) string {
	weights := make([]string, len(a.ReleaseWeightsOz))
	for i, w := range a.ReleaseWeightsOz {
		weights[i] = trimNumber(w)
	}
	return strings.TrimSpace(string(a.Action) + " " + strings.Join(weights, "+"))
}

// changeDone moves a question's reports to another tap; the same tap again
// changes nothing.
func (t *turn) changeDone(n uint64, asked Asked, how string) error {
	var all []*catch.Report
	changed := false
	for _, number := range asked.Reports {
		r, err := t.tx.Report(number)
		if err != nil {
			return ignoreMissing(err)
		}
		before := *r
		applyDone(r, how, advisor.Advise(reportQueryAboard(r, asked)))
		r.Undone = false
		if before.Method != r.Method || before.Undone || (how == died) != (before.Outcome == advisor.Died) {
			changed = true
			if err := t.tx.PutReport(r); err != nil {
				return err
			}
		}
		all = append(all, r)
	}
	if !changed {
		return t.notice("press.already", reportNo(all[0]))
	}
	return t.nextStep(all, "went")
}

// pressExplain sends the reckoning or the steps for a question.
func (t *turn) pressExplain(n uint64, verb string) error {
	asked, ok := t.pressedQuestion(n)
	if !ok {
		return t.notice("press.not_yours")
	}
	t.acknowledgeTap()
	if verb == pressHow {
		t.reply(t.howReply(asked.Fish[0]))
		return nil
	}
	t.reply(Reply{Text: t.whyText(asked.Fish[0]), Headline: true})
	return nil
}

// pressPick settles which fish an ambiguous name meant, and answers anew in place.
func (t *turn) pressPick(n uint64, detail string) error {
	asked, ok := t.pressedQuestion(n)
	i, isNumber := number(detail)
	if !ok || !isNumber || int(i) >= len(asked.Fish[0].Candidates) {
		return t.notice("press.not_yours")
	}
	s := advisor.LookUp(asked.Fish[0].Candidates[i])
	if s == nil {
		return t.notice("press.old")
	}
	return t.settleName(n, asked, s)
}

// renameReports carries the choice into reports already made from the question.
func (t *turn) renameReports(asked Asked) error {
	for _, number := range asked.Reports {
		r, err := t.tx.Report(number)
		if err != nil {
			return ignoreMissing(err)
		}
		before := *r
		r.Species, r.SpeciesSure = asked.Fish[0].Species, true
		if err := t.putChanged(r, before); err != nil {
			return err
		}
	}
	return nil
}

// pressUndo takes a report back; all fish of the same message go with it.
func (t *turn) pressUndo(n uint64) error {
	taken, err := t.undo(n)
	if err != nil {
		return err
	}
	if len(taken) == 0 {
		return t.notice("press.not_yours")
	}
	r, err := t.takenBack(taken)
	if err != nil {
		return err
	}
	return t.replace(r)
}

// takenBack says which reports count no more, with a button to put them back.
func (t *turn) takenBack(numbers []uint64) (Reply, error) {
	text, err := t.takenBackNumbers(numbers)
	return Reply{
		Text: text, Ref: key("report", numbers[0]),
		Buttons: [][]Button{{button(t.voice.Say("button.put_back"), pressBack, numbers[0])}},
	}, err
}

// sayTakenBack says the same in a message of its own.
func (t *turn) sayTakenBack(numbers []uint64) error {
	r, err := t.takenBack(numbers)
	if err == nil {
		t.reply(r)
	}
	return err
}

// pressBack lets a report that was taken back count again, with its fellows of one
// message.
func (t *turn) pressBack(n uint64) error {
	r, err := t.tx.Report(n)
	if err != nil {
		return ignoreMissing(err)
	}
	switch {
	case r.Personal.Person != t.m.Sender.ID:
		return t.notice("press.not_yours")
	case !r.Undone:
		return t.notice("press.already", reportNo(r))
	}
	back := []*catch.Report{r}
	if r.Message != 0 {
		if back, err = t.tx.ReportsByMessage(r.Chat, r.Message); err != nil {
			return err
		}
	}
	if err := t.setUndone(numbersOf(back), false); err != nil {
		return err
	}
	t.talk.Taken = slices.DeleteFunc(slices.Clone(t.talk.Taken), func(list []uint64) bool { return slices.Contains(list, n) })
	t.saveSession(t.session)
	return t.replace(t.confirmation(t.voice.Say("report.put_back", t.describeAll(back)), back, nil))
}

// undo marks a report of this person, and its fellows of one message, as taken back, and
// returns their numbers.
func (t *turn) undo(n uint64) ([]uint64, error) {
	r, err := t.ownReport(n)
	if err != nil || r == nil {
		return nil, err
	}
	fellows, err := t.fellows(r)
	if err != nil {
		return nil, err
	}
	numbers := numbersOf(fellows)
	if err := t.setUndone(numbers, true); err != nil {
		return nil, err
	}
	// Words can put back what a tap or a command took back.
	t.talk.Taken, t.talk.Did, t.talk.Before = append(slices.Clone(t.talk.Taken), numbers), talk.Undo, nil
	t.saveSession(t.session)
	return numbers, nil
}

func numbersOf(reports []*catch.Report) []uint64 {
	numbers := make([]uint64, len(reports))
	for i, r := range reports {
		numbers[i] = r.Number
	}
	return numbers
}

// pressKeep says that odd figures are right.
func (t *turn) pressKeep(n uint64) error {
	r, err := t.ownReport(n)
	if err != nil {
		return err
	}
	if r == nil {
		return t.notice("press.not_yours")
	}
	fish, err := t.fellows(r)
	if err != nil {
		return err
	}
	for _, f := range fish {
		if !doubted(f) {
			continue
		}
		f.Flags = append(f.Flags, Confirmed)
		if err := t.tx.PutReport(f); err != nil {
			return err
		}
	}
	return t.replace(t.confirmation(t.saved(fish), fish, nil))
}
