package bot

import (
	"fmt"
	"math"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot/words"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/season"
)

// FileSeasonCard is the kind of attachment that a season card is made of: words only,
// reckoned when they are sent.
const FileSeasonCard = "seasoncard"

const (
	// cardRests is how long a season card stands before reports change it again.
	cardRests = time.Minute
	// cardLost is how long a card that is put up may be on its way.
	cardLost = 30 * time.Minute
	// week is how long after the last weekly line the next may follow.
	week = 7 * 24 * time.Hour
	// refCard begins the reference of a season card, with the number of its club.
	refCard = "card"
)

// SeasonCard is the one message in which a club sees its season grow.
type SeasonCard struct {
	Season string `cbor:"1,keyasint,omitempty"`
	// Chat and Message are where it stands; Message is 0 until it was delivered.
	Chat    catch.ChatID `cbor:"2,keyasint,omitempty"`
	Message int          `cbor:"3,keyasint,omitempty"`
	Thread  int          `cbor:"4,keyasint,omitempty"`
	// Changed is when it was last written, Told when the last weekly line was.
	Changed time.Time `cbor:"5,keyasint"`
	Told    time.Time `cbor:"6,keyasint"`
	Weekly  bool      `cbor:"7,keyasint,omitempty"`
	// Stale is true when a report came since.
	Stale bool `cbor:"8,keyasint,omitempty"`
}

// underWay is true while the card is to be delivered for the first time; what is not after
// so long was given up, and the card is put up anew.
func (c *SeasonCard) underWay(now time.Time) bool {
	return c.Message == 0 && now.Sub(c.Changed) < cardLost
}

// seasonCard sets the card up: "season card", "season card weekly", "season card off".
func (t *turn) seasonCard(how string) error {
	if !t.m.Chat.Group {
		t.tell("role.in_group")
		return nil
	}
	c := t.club
	switch yes, isAnswer := readYes(how); {
	case isAnswer && !yes:
		c.Card = nil
		t.tell("seasoncard.off")
		return t.saveClub(c)
	case how != "" && !strings.EqualFold(how, "weekly"):
		t.tell("season.how")
		return nil
	}
	name, err := t.tx.SeasonAt(t.chat, t.now)
	if err != nil {
		return err
	}
	c.Card = &SeasonCard{Season: name, Chat: t.m.Chat.ID, Thread: t.m.Chat.Thread, Changed: t.now, Told: t.now, Weekly: how != ""}
	if err := t.saveClub(c); err != nil {
		return err
	}
	t.replies = append(t.replies, t.cardReply(t.chat, c))
	return nil
}

// cardReply is the card anew, in the place of the one that stands.
func (t *turn) cardReply(club catch.ClubID, c Club) Reply {
	v := words.For(firstOf(c.Language, t.voice.Tag()), c.Imperial)
	args := map[string]string{"chat": fmt.Sprint(club), "season": c.Card.Season, "language": v.Tag(), "imperial": fmt.Sprint(v.Imperial)}
	return Reply{
		Chat: c.Card.Chat, Thread: c.Card.Thread, Edit: c.Card.Message, Group: true, Language: v.Tag(), Headline: true,
		Attach: &Attachment{Kind: FileSeasonCard, Args: args}, Ref: key(refCard, club), Pin: true,
	}
}

// refreshCard lets the card of the club that a message was about follow its reports: at
// most once in a minute, so that a busy deck does not use up the group's messages.
func (t *turn) refreshCard() error {
	number := t.chat
	if t.touched != 0 {
		number = t.touched
	}
	c := t.club
	if number != t.chat {
		var err error
		if c, err = ClubOf(t.tx, number); err != nil {
			return err
		}
	}
	if c.Card == nil || c.Card.underWay(t.now) || t.touched == 0 && !c.Card.Stale {
		return nil
	}
	card := *c.Card
	c.Card = &card
	card.Stale = true
	if t.now.Sub(card.Changed) >= cardRests {
		if on, ok := t.tx.TransportChat(number); ok && on != card.Chat {
			card.Chat, card.Message, card.Thread = on, 0, 0 // messages are numbered anew where the group went
		}
		card.Changed, card.Stale = t.now, false
		t.replies = append(t.replies, t.cardReply(number, c))
	}
	if card.Weekly && t.now.Sub(card.Told) >= week {
		card.Told = t.now
		weekly := t.cardReply(number, c)
		weekly.Edit, weekly.Ref, weekly.Pin = 0, "", false
		t.replies = append(t.replies, weekly)
	}
	return t.saveClubOf(number, c)
}

// rememberCard keeps where a season card came to stand.
func rememberCard(tx *store.Tx, r Reply, message int) (isCard bool, err error) {
	n, isCard := strings.CutPrefix(r.Ref, refCard+"/")
	if !isCard {
		return false, nil
	}
	c, err := load[Club](tx, kindClub, n)
	if err != nil || c.Card == nil {
		return true, err
	}
	card := *c.Card
	card.Chat, card.Message = r.Chat, message
	c.Card = &card
	return true, tx.Put(kindClub, n, c)
}

// SeasonCardText says how far a season has come: reports, sent down, gain, seen again.
func SeasonCardText(v words.Voice, name string, found season.Findings) string {
	lines := []string{v.Say("seasoncard.head", firstOf(name, v.Say("seasoncard.log"))), v.Say("summary.head", found.Reports)}
	if found.Released > 0 {
		lines = append(lines, v.Say("seasoncard.down", found.Methods[advisor.Recompressed].Fish, found.Released))
	}
	if a := found.Alive; math.Round(a.More) >= 1 {
		lines = append(lines, v.Say("summary.alive", v.Number(season.Rough(a.More), 0), v.Number(season.Rough(a.Low), 0), v.Number(season.Rough(a.High), 0)))
	}
	seen := season.Share{}
	for _, s := range found.Tags.Counted.Methods {
		seen.X, seen.N = seen.X+s.X, seen.N+s.N
	}
	if seen.N > 0 {
		lines = append(lines, v.Say("seasoncard.seen", seen.X, seen.N))
	}
	return strings.Join(lines, "\n")
}
