package bot

import (
	"slices"
	"strings"

	"deepward/bot/understand"
	"deepward/store/catch"
)

// ref is what a message of ours was about.
type ref struct {
	kind   string
	number uint64
	// person is whose question it was, "" for anything else.
	person string
}

// refOf finds what one of our messages in this chat was about.
func (t *turn) refOf(message int) (ref, bool) {
	if message == 0 {
		return ref{}, false
	}
	text, err := load[string](t.tx, kindSent, key(t.chat, t.tx.MessageNumber(t.m.Chat.ID, message)))
	if err != nil || text == "" {
		return ref{}, false
	}
	parts := strings.Split(text, "/")
	n, ok := number(parts[len(parts)-1])
	r := ref{kind: parts[0], number: n}
	if len(parts) == 3 {
		r.person = parts[1]
	}
	return r, ok
}

// questionOf finds the question that a message of the person had asked: the last
// one, else any of the earlier ones.
func (t *turn) questionOf(message int) (uint64, bool) {
	if n := t.session.Question; n != 0 && t.askedBy(message, t.ownKey(n)) {
		return n, true
	}
	own := t.tx.PersonKey(t.m.Sender.ID) + "/"
	for k := range t.tx.Keys(kindQuestion, own) {
		if t.askedBy(message, k) {
			return number(strings.TrimPrefix(k, own))
		}
	}
	return 0, false
}

// askedBy is true when the question of that key was asked by a message of this chat.
func (t *turn) askedBy(message int, question string) bool {
	a, err := load[Asked](t.tx, kindQuestion, question)
	return err == nil && a.Message == message && a.Chat == t.m.Chat.ID
}

// longestDay is how many words a message has at most that tells a day and nothing else.
const longestDay = 3

// answersUs takes words that answer something we asked or confirmed: a length,
// a tag, or a correction in reply to a confirmation.
func (t *turn) answersUs(m understand.Meaning) (done bool, err error) {
	if t.session.Awaiting == awaitingDay && (m.Kind == understand.Other || m.Kind != understand.Command && len(strings.Fields(t.m.Text)) <= longestDay) {
		if done, err := t.fillDay(); done || err != nil {
			return done, err
		}
	}
	if t.session.Awaiting != "" && t.session.Awaiting != awaitingDay && (m.Kind != understand.Command || t.skips()) {
		if done, err := t.fillIn(m); done || err != nil {
			return done, err
		}
	}
	r, ok := t.refOf(t.m.ReplyTo)
	if t.correctsOwn(m) {
		r, ok = t.ownReportIn(t.m.ReplyTo)
	}
	if !ok || r.kind != "report" || m.Kind == understand.Command {
		return false, nil
	}
	if m.Kind == understand.Other {
		m.Done.Tag, m.Done.Day = letteredTag(t.m.Text), t.reading.OnlyDay()
	}
	report, err := t.ownReport(r.number)
	if err != nil || correctsNothing(m) {
		return false, err
	}
	if report == nil {
		if m.Query.SpeciesName != "" {
			return false, nil // a fish of their own
		}
		t.tell("press.not_yours")
		return true, nil
	}
	fellows, err := t.fellows(report)
	if err != nil {
		return true, err
	}
	return true, t.correct(meant(fellows, report, m.Query.Species), m)
}

// correctsOwn is true for words in answer to the person's own message that made a
// report: where it was acknowledged with a mark there is nothing else to answer to. A
// whole report with its fish is a new one.
func (t *turn) correctsOwn(m understand.Meaning) bool {
	if correctsNothing(m) || m.Kind == understand.Command || m.Kind == understand.Report && m.Query.SpeciesName != "" {
		return false
	}
	_, ok := t.ownReportIn(t.m.ReplyTo)
	return ok
}

// ownReportIn is the first standing report that a message of the person made.
func (t *turn) ownReportIn(message int) (ref, bool) {
	if message == 0 {
		return ref{}, false
	}
	reports, err := t.tx.ReportsByMessage(t.chat, t.tx.MessageNumber(t.m.Chat.ID, message))
	if err != nil {
		return ref{}, false
	}
	i := slices.IndexFunc(reports, func(r *catch.Report) bool { return !r.Undone && r.Personal.Person == t.m.Sender.ID })
	if i < 0 {
		return ref{}, false
	}
	return ref{kind: "report", number: reports[i].Number}, true
}

// correctsNothing is true for words that name nothing of a report, such as thanks.
func correctsNothing(m understand.Meaning) bool {
	q, d := m.Query, m.Done
	return m.Kind == understand.Other && len(m.Problems) == 0 && q.Species == "" && q.DepthM == nil &&
		q.WeightKg == nil && q.LengthCm == nil && len(q.Signs) == 0 && q.Hook == "" && q.Behaviour == "" &&
		len(q.WeightsAboardOz) == 0 && q.MinutesOnDeck == nil && d.Method == "" && d.Outcome == "" && d.Tag == "" && len(d.WeightsOz) == 0 && d.Day == nil
}

// fellows are the standing reports of the message that made a report, itself among
// them, in the order in which the fish were named.
func (t *turn) fellows(r *catch.Report) ([]*catch.Report, error) {
	if r.Message == 0 {
		return []*catch.Report{r}, nil
	}
	list, err := t.tx.ReportsByMessage(r.Chat, r.Message)
	return slices.DeleteFunc(list, func(f *catch.Report) bool { return f.Undone }), err
}

// meant are the fish of one message that a correction is about: those of the kind it
// names, else those of the kind of the confirmed one, or all when it names none.
func meant(fellows []*catch.Report, confirmed *catch.Report, species string) []*catch.Report {
	if species == "" {
		return fellows
	}
	of := func(kind string) (list []*catch.Report) {
		for _, f := range fellows {
			if f.Species == kind {
				list = append(list, f)
			}
		}
		return list
	}
	if list := of(species); len(list) > 0 {
		return list
	}
	return of(confirmed.Species)
}

// ownReport returns a report of this person that still stands, or nil.
func (t *turn) ownReport(n uint64) (*catch.Report, error) {
	r, err := t.tx.Report(n)
	if err != nil || r.Personal.Person != t.m.Sender.ID || r.Undone {
		return nil, ignoreMissing(err)
	}
	return r, nil
}
