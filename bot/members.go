package bot

import (
	"context"
	"slices"
	"strings"

	"deepward/store"
	"deepward/store/catch"
)

// clubsChecked is how many groups of one person are asked about at once, the newest.
const clubsChecked = 8

// memberActs are the commands whose answer in private depends on being in a group.
var memberActs = []string{"summary", "export", "report", "start", "join", "names"}

// ClubsToCheck names, for each message of a batch, the groups by their numbers on the
// transport that it can act on only while its sender is in them: those of a message from
// a private chat that shows or changes what is a group's. The transport looks there and
// fills Message.Members before it hands the batch in. Most messages need none.
func (d *Desk) ClubsToCheck(_ context.Context, batch []Message) ([][]catch.ChatID, error) {
	clubs := make([][]catch.ChatID, len(batch))
	err := d.Store.View(func(tx *store.Tx) error {
		for i, m := range batch {
			if m.Chat.Group || m.Sender.ID == 0 {
				continue
			}
			m, err := asTap(tx, m)
			if err != nil || !d.Engine.actsOnClubs(m) {
				continue // what is kept of one chat stops nobody
			}
			if clubs[i], err = clubsOf(tx, m.Sender.ID); err != nil {
				return err
			}
			clubs[i] = append(clubs[i], writtenIn(batch[:i], m.Sender.ID)...)
			if clubs[i], err = withOffered(tx, m, clubs[i]); err != nil {
				return err
			}
		}
		return nil
	})
	return clubs, err
}

// roleActs are the commands that only an admin of a group, or who is made one's equal,
// may use there.
var roleActs = []string{"setup", "rule", "organiser", "organizer", "season", "letter"}

// NeedsRole is true for a message in a group that can do something only if its sender
// administers the group: the transport looks there before it hands the message in.
func (d *Desk) NeedsRole(m Message) bool {
	if !m.Chat.Group || !m.Addressed || m.Event != "" {
		return false
	}
	if m.Press != "" {
		return strings.HasPrefix(m.Press, pressAgree+" ")
	}
	return slices.Contains(roleActs, d.Engine.Reader.Verb(m.Text))
}

// clubsOf are the groups on a person's list, by their numbers on the transport.
func clubsOf(tx interface {
	own
	chats
}, person catch.PersonID) (list []catch.ChatID, err error) {
	p, err := ProfileOf(tx, person)
	if err != nil {
		return nil, err
	}
	for _, n := range newestClubs(p) {
		club, err := ClubOf(tx, n)
		if err != nil {
			return nil, err
		}
		if chat, ok := tx.TransportChat(n); ok && !club.Gone {
			list = append(list, chat)
		}
	}
	return list, nil
}

// writtenIn are the groups that a person wrote in just before, in the same batch: they
// come on the person's list with it.
func writtenIn(batch []Message, person catch.PersonID) (list []catch.ChatID) {
	for _, m := range batch {
		if m.Chat.Group && m.Sender.ID == person && !slices.Contains(list, m.Chat.ID) {
			list = append(list, m.Chat.ID)
		}
	}
	return list[max(0, len(list)-clubsChecked):]
}

// withOffered adds the group that a message names in a link or a tap, and for somebody
// on no list those that the bot came into last: one of them may be theirs.
func withOffered(tx *store.Tx, m Message, list []catch.ChatID) ([]catch.ChatID, error) {
	verb, rest, _ := strings.Cut(firstOf(m.Press, m.Text), " ")
	club, named := numberInLink(rest)
	if verb == pressJoin {
		n, ok := number(rest)
		club, named = catch.ClubID(n), ok
	}
	if named {
		if chat, ok := tx.TransportChat(club); ok && !slices.Contains(list, chat) {
			list = append(list, chat)
		}
		return list, nil
	}
	if len(list) > 0 || m.Press != "" {
		return list, nil
	}
	for k := range tx.Keys(kindClub, "") {
		c, err := load[Club](tx, kindClub, k)
		if err != nil {
			return nil, err
		}
		if c.Group && !c.Gone && c.Transport != 0 {
			list = append(list, c.Transport)
		}
	}
	return list[max(0, len(list)-clubsChecked):], nil
}

func newestClubs(p Profile) []catch.ClubID { return p.Clubs[max(0, len(p.Clubs)-clubsChecked):] }

// actsOnClubs is true for a tap or a command that shows or changes what is a group's.
func (e *Engine) actsOnClubs(m Message) bool {
	switch verb, _, _ := strings.Cut(m.Press, " "); verb {
	case pressShare, pressExport, pressJoin, pressCount, pressPropose, pressClubName, pressUnname, pressPast, pressLicense:
		return true
	}
	if m.File != nil || pastVerb(m.Text) == pastKeep {
		return true
	}
	if m.Text == "" || m.Edited {
		return false
	}
	return slices.Contains(memberActs, e.Reader.Verb(m.Text))
}

// standing is how a person stands to a group.
type standing int

const (
	// unchecked: the transport could not learn it.
	unchecked standing = iota
	isMember
	hasLeft
)

// refusal is the sentence for what only a member may do, "" for one.
func (s standing) refusal() string {
	switch s {
	case unchecked:
		return "member.unchecked"
	case hasLeft:
		return "member.not_in"
	}
	return ""
}

// standingIn is how the sender stands to a group, as the transport saw just now.
func (t *turn) standingIn(club catch.ClubID) standing {
	chat, ok := t.tx.TransportChat(club)
	if !ok {
		return hasLeft // the bot itself has lost that group
	}
	in, asked := t.m.Members[chat]
	switch {
	case !asked:
		return unchecked
	case in:
		return isMember
	default:
		return hasLeft
	}
}

// ownClubs are the groups that the sender is in, the newest last. Those that they have
// left are taken off their list; open is true when others could not be looked at. A
// group that the bot was removed from is neither.
func (t *turn) ownClubs() (list []catch.ClubID, open bool, err error) {
	var left []catch.ClubID
	for _, n := range newestClubs(t.profile) {
		club, err := ClubOf(t.tx, n)
		if err != nil {
			return nil, false, err
		}
		switch in := t.standingIn(n); {
		case club.Gone:
		case in == isMember:
			list = append(list, n)
		case in == unchecked:
			open = true
		default:
			left = append(left, n)
		}
	}
	if len(left) == 0 {
		return list, open, nil
	}
	p := t.profile
	for _, n := range left {
		p = p.without(n)
	}
	return list, open, t.saveProfile(p)
}
