package bot

import (
	"slices"
	"time"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
)

// lateAfter is how long after its question an answer leaves that says so: the fish is
// gone.
const lateAfter = 10 * time.Minute

// talkLasts is how long a question can be followed up without naming the fish.
const talkLasts = 6 * time.Hour

// ask answers a question about one fish or several.
func (t *turn) ask(m understand.Meaning) error {
	fish := append([]advisor.Query{m.Query}, m.More...)
	if m.FollowUp {
		if last, ok := t.followed(); ok {
			fish = []advisor.Query{talk.Merge(last.Fish[0], m.Query)}
			m.More = nil
			m.Problems = append(m.Problems, understand.CheckSize(&fish[0])...)
			m.Query = fish[0]
			m.Missing = understand.Missing(fish[0])
		}
	}
	return t.answer(m, fish)
}

// lastAsked is the question that a follow-up changes: the one replied to, else
// the person's last one here, if it is not too long ago.
func (t *turn) lastAsked() (Asked, bool) {
	n := t.session.Question
	if ref, ok := t.refOf(t.m.ReplyTo); ok && ref.kind == kindQuestion {
		n = ref.number
	}
	if n == 0 || t.origin.at.Sub(t.session.At) > talkLasts {
		return Asked{}, false
	}
	a, err := load[Asked](t.tx, kindQuestion, t.ownKey(n))
	return a, err == nil && len(a.Fish) > 0
}

// followed is the question that a follow-up question changes. In answer to advice that
// all can read, it may be another person's.
func (t *turn) followed() (Asked, bool) {
	r, ok := t.refOf(t.m.ReplyTo)
	if !ok || r.kind != kindQuestion || r.person == key(t.m.Sender.ID) || !t.m.Chat.Group {
		return t.lastAsked()
	}
	return t.askedHere(key(r.kind, r.person, r.number))
}

// askedHere is the question of that reference, whoever asked it, if it was in this chat.
func (t *turn) askedHere(reference string) (Asked, bool) {
	question, ok := questionIn(t.tx, reference)
	if !ok {
		return Asked{}, false
	}
	a, err := load[Asked](t.tx, kindQuestion, question)
	return a, err == nil && len(a.Fish) > 0 && a.Chat == t.m.Chat.ID
}

// ownKey makes a key that goes when the person is forgotten.
func (t *turn) ownKey(n uint64) string { return key(t.tx.PersonKey(t.m.Sender.ID), n) }

// answer advises on each fish, keeps the question and replies.
func (t *turn) answer(m understand.Meaning, fish []advisor.Query) error {
	asked, err := t.keepQuestion(m, fish)
	if err != nil {
		return err
	}
	return t.replaceOrSend(t.advice(t.session.Question, asked, m))
}

// keepQuestion keeps a question, so that its buttons work and what follows is about it.
func (t *turn) keepQuestion(m understand.Meaning, fish []advisor.Query) (Asked, error) {
	t.equip(fish)
	t.answered = fish
	n, err := t.tx.Next(kindQuestion)
	if err != nil {
		return Asked{}, err
	}
	asked := Asked{
		Person: t.m.Sender.ID, Chat: t.m.Chat.ID, Thread: t.origin.thread, Message: t.origin.message,
		Text: m.Text, Fish: fish, At: t.origin.at, Missing: m.Missing, Day: m.Done.Day,
	}
	if err := t.askName(&asked, m.Named); err != nil {
		return Asked{}, err
	}
	if err := t.saveAsked(n, asked); err != nil {
		return Asked{}, err
	}
	if err := t.keepNewest(n); err != nil {
		return Asked{}, err
	}
	t.saveSession(Session{Question: n, Report: t.session.Report})
	return asked, nil
}

func (t *turn) saveAsked(n uint64, a Asked) error {
	return t.tx.Put(kindQuestion, t.ownKey(n), a)
}

// equip puts the weights aboard into each question that names none, and the practice.
func (t *turn) equip(fish []advisor.Query) {
	for i := range fish {
		fish[i].Practice = t.practice()
		if q := fish[i]; len(q.WeightsAboardOz)+len(q.LeadAboardOz) == 0 && !q.NoWeight {
			t.hand(&fish[i])
		}
	}
}

// advice words the answer to a kept question, with its buttons.
func (t *turn) advice(n uint64, asked Asked, m understand.Meaning) Reply {
	r := Reply{Headline: true, Ref: key(kindQuestion, t.m.Sender.ID, n), Text: t.adviceText(asked, m)}
	if reportable(asked.Fish) {
		r.Buttons = t.adviceButtons(n, asked)
	}
	r.Buttons = append(t.unitButtons(n, m), r.Buttons...)
	t.showNames(&r, n, asked)
	if t.m.Press == "" {
		r.AskedAt = t.m.SentAt
	}
	return r
}

func (t *turn) adviceText(asked Asked, m understand.Meaning) string {
	if len(asked.Fish) > 1 {
		t.told = append(t.told, problemLines(t.voice, m.Problems)...)
		return wordSeveral(t.voice, asked.Fish, m, t.unread...)
	}
	a := advisor.Advise(asked.Fish[0])
	m.Query = asked.Fish[0]
	t.told = append(append(t.told, problemLines(t.voice, m.Problems)...), saidOf(t.voice, m, a)...)
	text := wordAdvice(t.voice, m, a, t.unread...)
	if note := t.clubRuleLine(asked.Fish[0]); note != "" {
		text += "\n" + note
	}
	return text
}

// reportable is true when there is a fish to report: one that was named or
// whose depth is known.
func reportable(fish []advisor.Query) bool {
	return slices.ContainsFunc(fish, func(q advisor.Query) bool { return q.DepthM != nil || q.Species != "" })
}

// clubRuleLine shows the local rule the club noted for this fish, with its date.
func (t *turn) clubRuleLine(q advisor.Query) string {
	for _, rule := range t.rulesHere() {
		if rule.Species != q.Species || q.Species == "" {
			continue
		}
		if rule.MinCm > 0 && q.LengthCm != nil && *q.LengthCm < rule.MinCm {
			return t.voice.Say("line.under_minimum", t.voice.Length(rule.MinCm), rule.Source, rule.Checked)
		}
		return t.voice.Say("line.club_rule", t.ruleText(rule), rule.Source, rule.Checked)
	}
	return ""
}
