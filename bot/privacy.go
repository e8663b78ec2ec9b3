package bot

import (
	"fmt"
	"slices"
	"strings"
)

// privacy says what is kept, for how long and who sees it.
func (t *turn) privacy(string) error {
	t.reply(Reply{Headline: true, Text: t.voice.Say("privacy.text")})
	return nil
}

// mydata hands a person what is kept of them: in private, as a file.
func (t *turn) mydata(string) error {
	if t.m.Chat.Group {
		t.tell("privacy.in_private")
		return nil
	}
	args := t.drawn()
	args["person"] = fmt.Sprint(t.m.Sender.ID)
	t.reply(Reply{Text: t.voice.Say("privacy.mydata"), Attach: &Attachment{Kind: FileMyData, Args: args}})
	return nil
}

// forget asks before it deletes.
func (t *turn) forget(string) error {
	roles, err := organisedBy(t.tx, t.tx.Who(t.m.Sender.ID))
	if err != nil {
		return err
	}
	text := t.voice.Say("forget.sure")
	for _, n := range roles {
		if t.m.Chat.Group && n != t.chat {
			continue // what they are elsewhere is nobody's business here
		}
		text += ". " + t.voice.Say("forget.role", t.clubTitle(n))
	}
	t.reply(Reply{
		Text:    text,
		Buttons: [][]Button{{button(t.voice.Say("button.forget"), pressForget, t.m.Sender.ID).styled("danger")}},
	})
	return nil
}

// pressForget deletes what is kept of the person who asked for it; the reports
// stay in the season's counts without a name, words or exact place.
func (t *turn) pressForget() error {
	if t.m.Press != fmt.Sprintf("%s %d", pressForget, t.m.Sender.ID) {
		return t.notice("press.not_yours")
	}
	if err := t.forgetTraces(); err != nil {
		return err
	}
	n, err := t.tx.ForgetPerson(t.m.Sender.ID)
	if err != nil {
		return err
	}
	if err := t.forgetPrivateChat(); err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say("forget.done", n)})
}

// forgetRoles takes the person off the organisers of every club.
func (t *turn) forgetRoles() error {
	who := t.tx.Who(t.m.Sender.ID)
	roles, err := organisedBy(t.tx, who)
	if err != nil {
		return err
	}
	for _, n := range roles {
		c, err := ClubOf(t.tx, n)
		if err != nil {
			return err
		}
		c.Organisers = slices.DeleteFunc(slices.Clone(c.Organisers), func(o uint64) bool { return o == who })
		if err := t.saveClubOf(n, c); err != nil {
			return err
		}
	}
	return nil
}

// forgetTraces deletes what leads to the person elsewhere: that they organise a club, a wish
// to that waits, with their name, and which messages answered them or confirmed their reports.
func (t *turn) forgetTraces() error {
	if err := t.forgetRoles(); err != nil {
		return err
	}
	for _, k := range slices.Collect(t.tx.Keys(kindRequest, "")) {
		request, err := load[organiserRequest](t.tx, kindRequest, k)
		if err == nil && request.Person == t.tx.Who(t.m.Sender.ID) {
			err = t.tx.Delete(kindRequest, k)
		}
		if err != nil {
			return err
		}
	}
	mine, err := t.tx.ReportsByPerson(t.m.Sender.ID, 0)
	if err != nil {
		return err
	}
	refs := map[string]bool{}
	for _, r := range mine {
		refs[key("report", r.Number)] = true
	}
	asked := key(kindQuestion, t.m.Sender.ID) + "/"
	for _, k := range slices.Collect(t.tx.Keys(kindSent, "")) {
		ref, err := load[string](t.tx, kindSent, k)
		if err == nil && (refs[ref] || strings.HasPrefix(ref, asked)) {
			err = t.tx.Delete(kindSent, k)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// forgetPrivateChat deletes what is kept of a private chat itself: it is the
// person's alone. A group's settings belong to the club and stay.
func (t *turn) forgetPrivateChat() error {
	if t.m.Chat.Group {
		return nil
	}
	if err := t.tx.Delete(kindClub, key(t.chat)); err != nil {
		return err
	}
	for _, sent := range slices.Collect(t.tx.Keys(kindSent, key(t.chat)+"/")) {
		if err := t.tx.Delete(kindSent, sent); err != nil {
			return err
		}
	}
	return nil
}
