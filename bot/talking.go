package bot

import (
	"errors"
	"slices"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// Trace is one message as the conversation took it.
type Trace struct {
	Reading understand.Reading
	Move    talk.Move
	State   talk.State
	// Answered are the questions that were answered, complete.
	Answered []advisor.Query
	// Said are the lines that tell what the answer lacked, assumed or refused of the fish.
	Said []string
}

// loadTalk is what is remembered of the talk of this person here: the kept state, with
// reports and questions as they stand in the store now, for taps change them too.
func (t *turn) loadTalk() (talk.State, error) {
	s := t.session.Talk
	if err := t.loadRows(&s); err != nil {
		return s, err
	}
	if a, ok := t.followed(); ok {
		t.followAsked(&s, a)
	}
	t.listenIn(&s)
	return s, nil
}

// loadRows fills in the reports that the person kept last in this chat.
func (t *turn) loadRows(s *talk.State) error {
	if t.session.Report == 0 {
		return nil
	}
	reports, err := t.tx.ReportsByPerson(t.m.Sender.ID, talk.MostRows)
	if err != nil {
		return err
	}
	s.Rows = nil
	message := 0
	for _, r := range slices.Backward(reports) {
		if r.Chat != t.chat {
			continue
		}
		row := rowOf(r)
		row.At = t.here(row.At) // by the clock that the talk goes by
		if n := len(s.Rows); n > 0 && r.Message != 0 && r.Message == message {
			row.With = s.Rows[n-1].With
		}
		s.Rows, message = append(s.Rows, row), r.Message
	}
	return nil
}

// fetchNumbered puts the report of a number that was said before the others, where it is
// not among them: it is older, or of another chat.
func (t *turn) fetchNumbered(s *talk.State, told uint64) error {
	if told == 0 || slices.ContainsFunc(s.Rows, func(r talk.Row) bool { return r.Told == told }) {
		return nil
	}
	reports, err := t.tx.ReportsByPerson(t.m.Sender.ID, 0)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(reports, func(r *catch.Report) bool { return r.Told() == told && t.showsHere(r) })
	if i >= 0 {
		s.Rows = slices.Insert(slices.Clone(s.Rows), 0, rowOf(reports[i]))
	}
	return nil
}

// rowOf is a report as the talk remembers it.
func rowOf(r *catch.Report) talk.Row {
	return talk.Row{
		No: r.Number, Told: r.Told(), With: r.Number, Undone: r.Undone, At: r.SavedAt,
		Fish: understand.Fish{Name: r.SpeciesGiven, Query: reportQuery(r), Done: doneWith(r)},
	}
}

// followAsked lets the question that is followed up be what is talked of: with the
// changes and the reports that taps made, or another's advice that was replied to.
func (t *turn) followAsked(s *talk.State, a Asked) {
	own := a.Person == t.m.Sender.ID && len(s.Fish) >= len(a.Fish)
	if own {
		last := s.Fish[len(s.Fish)-len(a.Fish):]
		for i, q := range a.Fish {
			if len(a.Reports) == 0 && len(last[i].Rows) > 0 {
				continue // it was reported in words, and is as the report says
			}
			last[i].Query = q
			if len(a.Reports) > 0 {
				last[i].Rows = a.Reports
			}
		}
		return
	}
	for _, q := range a.Fish {
		s.Fish = append(s.Fish, talk.Fish{Fish: understand.Fish{Name: q.SpeciesName, Query: q}})
	}
}

// units are those that the person or the club has set.
func (t *turn) units() talk.Units {
	switch {
	case t.profile.Units == unitsFathoms:
		return talk.Fathoms
	case t.profile.Units == unitsImperial, t.profile.Units == "" && t.club.Imperial && t.habit() == talk.Units{}:
		return talk.Imperial
	case t.profile.Units != "":
		return talk.Metric
	}
	return talk.Units{}
}

// usualUnits are those of the region, where anglers agree on them: in Europe's north those
// who do not write English tell metres.
func (t *turn) usualUnits() talk.Units {
	r := advisor.RegionNamed(t.region())
	if r.Metric || r.Name == "NE Atlantic" && t.voice.Language() != "en" {
		return talk.Metric
	}
	return talk.Units{}
}

// converse takes the message into the talk and does what it brings about.
func (t *turn) converse(r understand.Reading, s talk.State) error {
	if err := t.fetchNumbered(&s, talk.NumberIn(r)); err != nil {
		return err
	}
	move, next := talk.Next(s, r, talk.Now{At: t.here(t.origin.at), Units: t.units(), Usual: t.usualUnits(), Habit: t.habit()})
	if move.Do != talk.Nothing {
		r.Unread = slices.Concat(r.Unread, move.Dropped)
	}
	t.talk, t.unread, t.lent = next, r.Unread, move.Assumed
	if err := errors.Join(t.noteHabit(r.Told), t.answersName(r, s, next)); err != nil {
		return err
	}
	before := t.putRight(r, move)
	t.voice = t.voiceFor(t.profile) // in the units that were told just now
	if err := t.perform(r, move); err != nil {
		return err
	}
	if err := t.puzzled(r, move, before); err != nil {
		return err
	}
	if t.Heard != nil {
		t.Heard(Trace{r, move, t.talk, t.answered, t.told})
	}
	if t.m.Sender.ID == 0 || move.Do == talk.Nothing && t.borrowed {
		return nil
	}
	if move.Do == talk.Nothing && t.talk.Fish == nil && t.session.Talk.At.IsZero() {
		return nil
	}
	t.saveSession(t.session)
	return nil
}

// perform does what a message brings about.
func (t *turn) perform(r understand.Reading, m talk.Move) error {
	if r.Hurt { // people first; a fish told in the same breath is not lost
		t.headline("hurt.first_aid")
		if m.Do != talk.Keep && m.Do != talk.Change && !(m.Do == talk.Answer && tellsDepth(r.Fish)) {
			return nil
		}
	}
	switch m.Do {
	case talk.Answer:
		return t.advise(r, m)
	case talk.Keep, talk.Change:
		return t.keepRows(r, m)
	case talk.Undo, talk.PutBack:
		return t.takeBackRows(m)
	case talk.Command:
		return t.commanded(r)
	case talk.AskBack:
		return t.askBack()
	}
	return t.chatter(r)
}

// askBack asks for the fish, or what was done with it.
func (t *turn) askBack() error {
	if t.talk.Asked.What == talk.AskWent {
		t.askDone()
		return nil
	}
	t.tell("hint.ask")
	return nil
}

// commanded does what a command asks, typed or in own words.
func (t *turn) commanded(r understand.Reading) error {
	m := r.Meaning()
	if m.Verb == "" {
		m.Verb = r.Want.Verb()
	}
	if m.Verb == "" {
		return t.help("")
	}
	return t.command(m)
}

// advise answers on the fish that are talked of.
func (t *turn) advise(r understand.Reading, m talk.Move) error {
	fish := queriesOf(m.Fish)
	t.arm(fish, m.Again)
	t.answered = fish
	verb := m.Want.Verb()
	if m.Want == understand.WantWeights && len(fish) > 0 && fish[0].DepthM != nil {
		verb = "" // which weight for this fish: its answer says it
	}
	if verb == "" || len(fish) > 0 && len(r.Fish) > 0 {
		meaning := r.Meaning()
		if len(fish) > 0 {
			meaning.Query, meaning.More = fish[0], fish[1:]
			meaning.Problems = append(t.openProblems(meaning.Problems), understand.CheckSize(&fish[0])...)
			meaning.Query = fish[0]
			meaning.Missing = understand.Missing(fish[0])
			if verb != "" {
				if _, err := t.keepQuestion(meaning, fish); err != nil {
					return err
				}
			}
		}
		if verb == "" {
			if len(fish) == 0 {
				t.tell("hint.ask")
				return nil
			}
			return t.answer(meaning, fish)
		}
		if isLessonOnFish[m.Want] && tellsDepth(r.Fish) {
			if err := t.answer(meaning, fish); err != nil {
				return err
			}
		}
	}
	return doers[verb](t, r.Rest)
}

// isLessonOnFish are lessons that do not say what to do with the fish that the question tells of:
// that is answered before them.
var isLessonOnFish = map[understand.Want]bool{understand.WantVenting: true, understand.WantHow: true, understand.WantSigns: true}

// tellsDepth is true where a fish is told with its depth.
func tellsDepth(list []understand.Fish) bool {
	return slices.ContainsFunc(list, func(f understand.Fish) bool { return f.Query.DepthM != nil })
}

// openProblems are the problems that remain in the light of the talk: figures without a
// unit that were understood from it are said to be taken so, and the one that is asked
// about is named.
func (t *turn) openProblems(list []understand.Problem) []understand.Problem {
	noUnit := func(p understand.Problem) bool { return p.Why.Code == understand.NoUnit }
	list, asked := slices.Clone(list), t.talk.Asked
	switch {
	case asked.What != talk.AskUnit:
		list = slices.DeleteFunc(list, noUnit)
	case !slices.ContainsFunc(list, noUnit):
		figure := trimNumber(asked.Value)
		list = append(list, understand.Problem{Field: asked.Field, Why: advisor.Note{Code: understand.NoUnit, Words: []string{figure}}})
	}
	return append(takenAs(t.lent), list...)
}

func queriesOf(fish []understand.Fish) []advisor.Query {
	list := make([]advisor.Query, len(fish))
	for i, f := range fish {
		list[i] = f.Query
		list[i].NoSigns = f.NoSigns && len(f.Query.Signs) == 0
	}
	return list
}
