package bot

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store/catch"
)

// The questions that follow a tapped report, one at a time, each skippable.
var steps = []string{"went", "length", "tag"}

// nextStep asks the first thing that the fish of one tap still lack, from that step
// on, in place of the message with the buttons. How it went is asked of all of them
// together; a length and a tag are one fish's and asked of a single one only.
func (t *turn) nextStep(fish []*catch.Report, from string) error {
	for _, step := range steps[slices.Index(steps, from):] {
		if step != "went" && len(fish) > 1 {
			break
		}
		if t.lacks(fish[0], step) {
			return t.askStep(fish, step)
		}
	}
	return t.finishSteps(fish)
}

func (t *turn) lacks(r *catch.Report, step string) bool {
	alive := r.Method != advisor.Kept && r.Outcome != advisor.Died
	switch step {
	case "went":
		return alive && r.Outcome == ""
	case "length":
		return r.LengthCm == nil && r.WeightKg == nil
	default:
		return alive && r.Tag == ""
	}
}

func (t *turn) askStep(fish []*catch.Report, step string) error {
	r, s := fish[0], t.session
	s.Report, s.Awaiting = r.Number, step
	t.saveSession(s)
	question := t.voice.Say("step." + step)
	reply := Reply{Text: t.saved(fish) + "\n" + question, Ref: key("report", r.Number), Buttons: t.stepButtons(r, step)}
	inWords := t.m.Chat.Group && step != "went"
	if inWords && t.m.Press == "" {
		reply.Buttons, reply.Asks = nil, true
	}
	if err := t.replaceOrSend(reply); err != nil || !inWords || t.m.Press == "" || t.m.ReplyTo == 0 {
		return err
	}
	// A length or a tag is typed, which is heard in a group only in answer to us.
	t.reply(Reply{Text: question, Ref: reply.Ref, ReplyTo: t.m.ReplyTo, Asks: true})
	return nil
}

func (t *turn) stepButtons(r *catch.Report, step string) [][]Button {
	v, n := t.voice, r.Number
	last := []Button{button(v.Say("button.skip"), pressSkip, n, step), button(v.Say("button.undo"), pressUndo, n)}
	if step != "went" {
		return [][]Button{last}
	}
	return [][]Button{
		{button(v.Say("button.went_down"), pressWent, n, advisor.SwamDown), button(v.Say("button.floated"), pressWent, n, advisor.FloatedOff)},
		{button(v.Say("button.taken"), pressWent, n, advisor.TakenByOther), button(v.Say("button.not_seen"), pressWent, n, advisor.NotSeen)},
		last,
	}
}

func (t *turn) finishSteps(fish []*catch.Report) error {
	s := t.session
	s.Report, s.Awaiting = fish[0].Number, ""
	t.saveSession(s)
	return t.replaceOrSend(t.confirmation(t.saved(fish), fish, nil))
}

// replaceOrSend edits the message that was tapped, or sends a new one after words.
func (t *turn) replaceOrSend(r Reply) error {
	if t.m.Press != "" {
		return t.replace(r)
	}
	t.reply(r)
	return nil
}

// pressStep takes the answer to a step, or skips it.
func (t *turn) pressStep(n uint64, verb, detail string) error {
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
	if verb == pressSkip {
		return t.skipStep(fish, detail)
	}
	if !slices.Contains(advisor.Outcomes[:], advisor.Outcome(detail)) {
		return t.notice("press.old")
	}
	for _, f := range fish {
		f.Outcome = advisor.Outcome(detail)
		if err := t.tx.PutReport(f); err != nil {
			return err
		}
	}
	return t.nextStep(fish, "length")
}

func (t *turn) skipStep(fish []*catch.Report, step string) error {
	i := slices.Index(steps, step)
	if i < 0 || i+1 >= len(steps) {
		return t.finishSteps(fish)
	}
	return t.nextStep(fish, steps[i+1])
}

// skips is true for words that pass over what was asked.
func (t *turn) skips() bool {
	word := strings.ToLower(strings.Trim(t.m.Text, " .!"))
	return slices.Contains(strings.Split(t.voice.Say("step.skips"), ", "), word) ||
		slices.Contains(strings.Split(words.For("en", false).Say("step.skips"), ", "), word)
}

// fillIn takes words that tell more of the fish whose steps are open, whichever of
// them was asked, and goes on from there. Words that do not are left to be
// understood as anything else.
func (t *turn) fillIn(m understand.Meaning) (bool, error) {
	r, err := t.ownReport(t.session.Report)
	if err != nil || r == nil {
		return false, err
	}
	fish, err := t.fellows(r)
	if err != nil {
		return false, err
	}
	if t.skips() {
		return true, t.skipStep(fish, t.session.Awaiting)
	}
	if told := t.reading.OnlyDay(); told != nil && m.Query.SpeciesName == "" {
		return true, t.dateSteps(fish, *told)
	}
	if !t.tellMore(r, m) {
		return false, nil
	}
	for _, f := range fish {
		before := *f
		if f.Number == r.Number {
			*f = *r
		} else if r.Outcome != "" {
			f.Outcome = r.Outcome
		}
		if err := t.putChanged(f, before); err != nil {
			return true, err
		}
	}
	return true, t.nextStep(fish, t.session.Awaiting)
}

// dateSteps gives the fish whose steps are open the day that was told, and asks on.
func (t *turn) dateSteps(fish []*catch.Report, told understand.Day) error {
	found := reckon(told, t.here(t.origin.at))
	if !found.sure {
		t.say(sayNote(t.voice, dayProblem(found, told).Why))
		return nil
	}
	for _, f := range fish {
		t.setDay(f, found.days[0], t.origin.at)
		if err := t.tx.PutReport(f); err != nil {
			return err
		}
	}
	return t.nextStep(fish, t.session.Awaiting)
}

// tellMore puts how it went off, a size or a tag into a report; false when the words
// hold none of them, or are about another fish.
func (t *turn) tellMore(r *catch.Report, m understand.Meaning) bool {
	q := m.Query
	tag, outcome := firstOf(m.Done.Tag, tagOf(t.m.Text)), t.outcomeTold(m)
	switch {
	case q.Species != "" || q.DepthM != nil || len(m.More) > 0 || m.Done.Method != "" && m.Done.Method != r.Method:
		return false
	case tag != "":
		r.Tag = tag
	case outcome != "":
		r.Outcome = outcome
	case q.LengthCm != nil || q.WeightKg != nil:
		tellSize(r, q)
	default:
		return false
	}
	return true
}

// outcomeTold is how the fish went off by the words of the message, "" if they do not
// say. A bare "floated" says so only in answer to that question.
func (t *turn) outcomeTold(m understand.Meaning) advisor.Outcome {
	if m.Done.Outcome != "" || t.session.Awaiting != "went" {
		return m.Done.Outcome
	}
	if m.Query.Behaviour == advisor.Floating {
		return advisor.FloatedOff
	}
	return ""
}

// tellSize adds the length or the weight that was told; the other one stays.
func tellSize(r *catch.Report, q advisor.Query) {
	if q.LengthCm != nil {
		r.LengthCm, r.LengthType = q.LengthCm, q.LengthType
	}
	if q.WeightKg != nil {
		r.WeightKg = q.WeightKg
	}
}

// tagOf reads a message that is nothing but a tag number, such as "AAD000123"
// or "aad 123"; "" if it is anything else.
func tagOf(text string) string {
	tag := strings.ToUpper(strings.Join(strings.Fields(text), ""))
	digits := strings.IndexFunc(tag, func(r rune) bool { return r >= '0' && r <= '9' })
	if digits < 0 || digits > 4 || len(tag) > 12 || len(tag)-digits < 3 {
		return ""
	}
	if strings.Trim(tag[:digits], "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" || strings.Trim(tag[digits:], "0123456789") != "" {
		return ""
	}
	return tag
}

// letteredTag is tagOf where a bare number may as well be a figure without a unit.
func letteredTag(text string) string {
	if !strings.ContainsFunc(text, unicode.IsLetter) {
		return ""
	}
	return tagOf(text)
}

func trimNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func contains(list []string, s string) bool { return slices.Contains(list, s) }
