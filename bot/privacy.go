package bot

import "fmt"

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
	t.reply(Reply{
		Text:   t.voice.Say("privacy.mydata"),
		Attach: &Attachment{Kind: FileMyData, Args: map[string]string{"person": fmt.Sprint(t.m.Sender.ID)}},
	})
	return nil
}

// forget asks before it deletes.
func (t *turn) forget(string) error {
	t.reply(Reply{
		Text:    t.voice.Say("forget.sure"),
		Buttons: [][]Button{{button(t.voice.Say("button.forget"), pressForget, t.m.Sender.ID)}},
	})
	return nil
}

// pressForget deletes what is kept of the person who asked for it; the reports
// stay in the season's counts without a name, words or exact place.
func (t *turn) pressForget() error {
	if t.m.Press != fmt.Sprintf("%s %d", pressForget, t.m.Sender.ID) {
		return t.notice("press.not_yours")
	}
	n, err := t.tx.ForgetPerson(t.m.Sender.ID)
	if err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say("forget.done", n)})
}
