package bot

// event deals with a change of the chat itself.
func (t *turn) event() error {
	switch t.m.Event {
	case EventMoved:
		return t.tx.MoveChat(t.m.Chat.ID, t.m.MovedTo)
	case EventAdded:
		return t.arrive()
	case EventRemoved:
		c := t.club
		c.Gone = true
		return t.saveClub(c)
	case EventLeft:
		return t.leave()
	default:
		return nil // being made admin changes only what the transport lets through
	}
}

// leave takes the group off the list of somebody who is no longer in it.
func (t *turn) leave() error {
	p := t.profile.without(t.chat)
	if len(p.Clubs) == len(t.profile.Clubs) {
		return nil
	}
	return t.saveProfile(p)
}

// arrive says hello in a group, once.
func (t *turn) arrive() error {
	c := t.club
	again := c.Transport != 0 && !c.Gone
	c.Gone, c.Title, c.Transport, c.Group = false, t.m.Chat.Title, t.m.Chat.ID, t.m.Chat.Group
	if err := t.saveClub(c); err != nil {
		return err
	}
	if t.m.Chat.Group && !again {
		t.replies = append(t.replies, Reply{Chat: t.m.Chat.ID, Group: true, Language: t.voice.Tag(), Text: t.voice.Say("hint.hello_group"), Headline: true, Buttons: t.joinButton()})
	}
	return nil
}
