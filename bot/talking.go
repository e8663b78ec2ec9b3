package bot

import (
	"slices"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// loadTalk is what is remembered of this person's talk in this chat. The reports stand in
// the store, where buttons change them too: their rows are read from there.
func (t *turn) loadTalk() (talk.State, error) {
	s, err := load[talk.State](t.tx, kindTalk, t.sessionKey())
	if err != nil {
		return s, err
	}
	for i := range s.Rows {
		r, err := t.tx.Report(s.Rows[i].No)
		if err != nil {
			if err := ignoreMissing(err); err != nil {
				return s, err
			}
			s.Rows[i].Undone = true
			continue
		}
		s.Rows[i].Undone = r.Undone
		s.Rows[i].Fish = fishOf(r)
	}
	return s, nil
}

// fishOf is the fish of a report, as the talk has it.
func fishOf(r *catch.Report) understand.Fish {
	return understand.Fish{Name: r.SpeciesGiven, Query: reportQuery(r), Done: doneWith(r)}
}

func (t *turn) saveTalk(s talk.State) error { return t.tx.Put(kindTalk, t.sessionKey(), s) }

// talkOn takes a message that was read into the talk and does what follows.
func (t *turn) talkOn(state talk.State, r understand.Reading) error {
	move, next := talk.Next(state, r, talk.Now{At: t.here(t.m.SentAt), Units: t.unitsSet()})
	next, err := t.carryOut(move, next, r)
	if err != nil {
		return err
	}
	if t.Watch != nil {
		t.watch(move, next, r)
	}
	return t.saveTalk(next)
}

// unitsSet are the units that the person or the club has set.
func (t *turn) unitsSet() talk.Units {
	switch {
	case t.profile.Units == unitsImperial, t.profile.Units == "" && t.club.Imperial:
		return talk.Imperial
	case t.profile.Units != "":
		return talk.Metric
	}
	return talk.Units{}
}

// carryOut does what a message brings about.
func (t *turn) carryOut(move talk.Move, next talk.State, r understand.Reading) (talk.State, error) {
	if r.Hurt {
		t.headline("hurt.first_aid")
		return next, nil
	}
	switch move.Do {
	case talk.Answer:
		return next, t.answerFish(move, next, r)
	case talk.Keep, talk.Change:
		return t.keepRows(move, next, r)
	case talk.Undo:
		if len(move.Change) > 0 {
			return t.keepRows(move, next, r)
		}
		return next, t.takeBackRows(move.TakeBack)
	case talk.PutBack:
		return next, t.putBackRows(move.PutBack)
	case talk.Command:
		return next, t.command(commandOf(r))
	case talk.AskBack:
		return next, t.askBack(next)
	}
	return next, t.chatter()
}

// verbOf are the commands that do what is asked in own words.
var verbOf = map[understand.Want]string{
	understand.WantWhy: "why", understand.WantHow: "how", understand.WantVenting: "venting", understand.WantSigns: "signs",
	understand.WantWeights: "weights", understand.WantNotNeeded: "whennot", understand.WantHelp: "help",
	understand.WantSettings: "settings", understand.WantSummary: "summary", understand.WantSeason: "season",
	understand.WantExport: "export", understand.WantKit: "kit", understand.WantCard: "card", understand.WantPrivacy: "privacy",
	understand.WantForget: "forget", understand.WantMine: "mine", understand.WantRules: "rules", understand.WantUndo: "undo",
}

// commandOf is a command in own words as one that was typed.
func commandOf(r understand.Reading) understand.Meaning {
	m := r.Meaning()
	if m.Verb == "" {
		m.Verb = verbOf[r.Want]
	}
	m.Kind = understand.Command
	return m
}

// lessons are the requests that are answered with what is always true; the rest is about
// the fish.
var lessons = []understand.Want{
	understand.WantWhy, understand.WantHow, understand.WantVenting, understand.WantSigns, understand.WantWeights, understand.WantNotNeeded,
}

// answerFish answers a question: with advice on the fish, or with the lesson that was
// asked for.
func (t *turn) answerFish(move talk.Move, next talk.State, r understand.Reading) error {
	if slices.Contains(lessons, r.Want) {
		if len(move.Fish) > 0 && len(r.Fish) > 0 { // the lesson is about this fish
			if err := t.rememberAsked(move.Fish, r); err != nil {
				return err
			}
		}
		return t.command(commandOf(r))
	}
	if len(move.Fish) == 0 {
		if r.Want == understand.WantNoWeight {
			return t.how("")
		}
		t.tell("hint.ask")
		return nil
	}
	m := r.Meaning()
	m.Text, m.Kind, m.More = r.Text, understand.Question, nil
	fish := queriesOf(move.Fish)
	m.Query, m.Missing = fish[0], understand.Missing(fish[0])
	for i := range fish {
		m.Problems = append(m.Problems, understand.CheckSize(&fish[i])...)
	}
	return t.answer(m, fish)
}

// queriesOf are the questions about fish.
func queriesOf(list []understand.Fish) []advisor.Query {
	fish := make([]advisor.Query, len(list))
	for i, f := range list {
		fish[i] = f.Query
		if fish[i].Candidates == nil {
			fish[i].Candidates = []string{}
		}
		fish[i].Count = max(1, fish[i].Count)
	}
	return fish
}

// rememberAsked keeps the fish of a question without answering it.
func (t *turn) rememberAsked(list []understand.Fish, r understand.Reading) error {
	n, err := t.tx.Next(kindQuestion)
	if err != nil {
		return err
	}
	fish := queriesOf(list)
	t.equip(fish)
	asked := Asked{
		Person: t.m.Sender.ID, Chat: t.m.Chat.ID, Thread: t.m.Chat.Thread, Message: t.message,
		Text: r.Text, Fish: fish, At: t.m.SentAt, Missing: understand.Missing(fish[0]),
	}
	if err := t.saveAsked(n, asked); err != nil {
		return err
	}
	return t.saveSession(Session{Question: n, Report: t.session.Report})
}

// askBack asks what a message left open.
func (t *turn) askBack(next talk.State) error {
	if next.Asked.What == talk.AskFish || next.Asked.What == talk.AskSpecies {
		t.askDone()
		return nil
	}
	t.tell("hint.ask")
	return nil
}
