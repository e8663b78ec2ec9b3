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
	default:
		return nil // being made admin changes only what the transport lets through
	}
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
		t.replies = append(t.replies, Reply{Chat: t.m.Chat.ID, Text: t.voice.Say("hint.hello_group"), Headline: true})
	}
	return nil
}
