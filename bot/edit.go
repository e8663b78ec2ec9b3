package bot

import (
	"slices"
	"time"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// editsLast is how long after it was sent an edited message is taken as a new one.
const editsLast = 24 * time.Hour

// edited takes an edit of a message: the words that stand now replace those
// that made the report, or the question.
func (t *turn) edited(m understand.Meaning) error {
	reports, err := t.tx.ReportsByMessage(t.chat, t.origin.message)
	if err != nil {
		return err
	}
	takenBack := slices.ContainsFunc(reports, t.sameWords)
	reports = slices.DeleteFunc(reports, func(r *catch.Report) bool { return r.Undone })
	switch {
	case len(reports) > 0:
		return t.rewrite(reports, m)
	case takenBack:
		return nil
	}
	if n, ok := t.questionOf(t.origin.message); ok && m.Kind == understand.Question {
		return t.reanswer(n, m)
	}
	if m.Kind == understand.Other || t.m.SentAt.Add(editsLast).Before(t.now) {
		return nil
	}
	return t.fresh(m)
}

// sameWords is true when a report was made from the words that stand now: the
// transport also tells of changes that nobody sees, which must not bring back what
// was taken back.
func (t *turn) sameWords(r *catch.Report) bool {
	return r.Personal.Person == t.m.Sender.ID && r.Personal.Words == t.m.Text
}

// fresh treats an edited message that made nothing before as a new one.
func (t *turn) fresh(m understand.Meaning) error {
	switch m.Kind {
	case understand.Report:
		return t.report(m)
	case understand.Question:
		return t.ask(m)
	default:
		return nil
	}
}

// rewrite makes reports anew from the edited words, keeping number, time and place.
func (t *turn) rewrite(reports []*catch.Report, m understand.Meaning) error {
	if reports[0].Personal.Person != t.m.Sender.ID || t.sameWords(reports[0]) {
		return nil
	}
	if m.Kind != understand.Report && m.Kind != understand.Question {
		t.reply(t.confirmation(t.saved(reports), reports, nil)) // words of no fish take nothing away
		return nil
	}
	asked := m.Kind == understand.Question // it was tapped
	fish, done := singles(m)
	for i, r := range reports {
		if i < len(fish) && asked && done[i].Method == "" && done[i].Outcome == "" {
			done[i] = doneWith(r)
		}
		if i >= len(fish) {
			r.Undone = true
			if err := t.tx.PutReport(r); err != nil {
				return err
			}
			continue
		}
		before := *r
		t.replaceFish(r, fish[i], done[i])
		if err := t.putChanged(r, before); err != nil {
			return err
		}
	}
	standing := reports[:min(len(fish), len(reports))]
	if len(fish) > len(reports) {
		added, err := t.addParts(fish[len(reports):], done[len(reports):], len(reports))
		if err != nil {
			return err
		}
		standing = append(standing, added...)
	}
	t.corrected(standing, m.Problems)
	return nil
}

// doneWith is what a report says was done with its fish.
func doneWith(r *catch.Report) understand.Done {
	return understand.Done{Release: r.Release}
}

func (t *turn) replaceFish(r *catch.Report, q advisor.Query, d understand.Done) {
	if q.Species == "" && q.SpeciesName == "" {
		q.Species, q.SpeciesName, q.Ambiguous = r.Species, r.SpeciesGiven, r.Species != "" && !r.SpeciesSure
	}
	fillFish(r, q)
	fillDone(r, d)
	r.Personal.Words = t.m.Text
	if r.DateOnly || d.Day != nil || contains(r.Flags, DoubtDay) { // the day is told by the words that stand now
		t.setDay(r, midnight(t.here(t.origin.at)), t.origin.at)
	}
	t.date(r, d.Day)
}

func (t *turn) addParts(fish []advisor.Query, done []understand.Done, part int) (added []*catch.Report, err error) {
	for i, q := range fish {
		r := t.newReport(q, done[i])
		r.Message, r.Part = t.origin.message, part+i
		if _, err := t.tx.AddReport(r); err != nil {
			return nil, err
		}
		added = append(added, r)
	}
	return added, t.greetTags(added)
}

// singles spreads the counts of a message over single fish, each with what was done
// with it.
func singles(m understand.Meaning) (fish []advisor.Query, done []understand.Done) {
	for i, q := range append([]advisor.Query{m.Query}, m.More...) {
		for range max(1, q.Count) {
			one := q
			one.Count = 1
			fish, done = append(fish, one), append(done, m.DoneWith(i))
		}
	}
	return fish, done
}
