package bot

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"deepward/bot/understand"
	"deepward/store"
	"deepward/store/catch"
)

// nameWish is a name that a member would have hold for the whole club; it waits for an
// organiser, under a key that goes when the member is forgotten.
type nameWish struct {
	Name    string       `cbor:"1,keyasint"`
	Species string       `cbor:"2,keyasint"`
	Club    catch.ClubID `cbor:"3,keyasint"`
	At      time.Time    `cbor:"4,keyasint"`
}

func (w nameWish) key() string { return understand.TaughtKey(w.Name) }

// mostWishes is how many names of one club wait at a time.
const mostWishes = 50

// wishesOf are the names that wait in a club, the oldest first.
func (t *turn) wishesOf(club catch.ClubID) (list []nameWish, err error) {
	for k := range t.tx.Keys(kindNameWish, "") {
		w, err := load[nameWish](t.tx, kindNameWish, k)
		if err != nil {
			return nil, err
		}
		if w.Club == club {
			list = append(list, w)
		}
	}
	slices.SortFunc(list, func(a, b nameWish) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Name, b.Name)) })
	return list, nil
}

// propose puts a name before the organisers of a club and returns what to say of it. It
// names nobody: an organiser reads the name and the fish.
func (t *turn) propose(club catch.ClubID, n NameTaught) (said string, err error) {
	c, err := ClubOf(t.tx, club)
	if err != nil {
		return "", err
	}
	if len(c.Organisers) == 0 {
		return "", nil
	}
	if i := nameIn(c.Names, n.Name); i >= 0 && c.Names[i].Species == n.Species {
		return "", nil
	}
	waiting, err := t.wishesOf(club)
	same := slices.ContainsFunc(waiting, func(w nameWish) bool {
		return w.key() == n.Key && w.Species == n.Species
	})
	if err != nil || same || len(waiting) >= mostWishes {
		return "\n" + t.voice.Say("names.proposed", c.Title), err
	}
	w := nameWish{n.Name, n.Species, club, t.now}
	if err := t.tx.Put(kindNameWish, t.ownKey(n.No), w); err != nil {
		return "", err
	}
	t.tellOrganisers(club, c, w)
	return "\n" + t.voice.Say("names.proposed", c.Title), nil
}

// tellOrganisers writes to the organisers who have a private chat with us.
func (t *turn) tellOrganisers(club catch.ClubID, c Club, w nameWish) {
	for _, who := range c.Organisers {
		p, err := load[Profile](t.tx, kindPerson, store.WhoKey(who))
		if err != nil || p.Private == 0 {
			continue // a fault in what is kept of an organiser stops no member
		}
		its := *t
		its.voice = p.voice()
		t.replies = append(t.replies, Reply{
			Chat: p.Private, Language: its.voice.Tag(), Text: its.wishText(c, w), Buttons: [][]Button{its.wishButtons(club, w)},
		})
	}
}

func (t *turn) wishText(c Club, w nameWish) string {
	return t.voice.Say("names.wish", c.Title, w.Name, t.fishOf(w.Species))
}

func (t *turn) wishButtons(club catch.ClubID, w nameWish) []Button {
	return []Button{
		button(t.voice.Say("button.name_yes", w.Name), pressClubName, club, "yes", w.key()),
		button(t.voice.Say("button.name_no"), pressClubName, club, "no", w.key()),
	}
}

// organiserNames are, for an organiser, what waits in their clubs, with buttons for it and
// for the names that hold there.
func (t *turn) organiserNames(rows *[][]Button) (lines []string, err error) {
	clubs, _, err := t.organised()
	if err != nil {
		return nil, err
	}
	for _, club := range clubs {
		c, err := ClubOf(t.tx, club)
		if err != nil {
			return nil, err
		}
		waiting, err := t.wishesOf(club)
		if err != nil {
			return nil, err
		}
		for _, w := range waiting[:min(namesOffered, len(waiting))] {
			lines = append(lines, t.wishText(c, w))
			*rows = append(*rows, t.wishButtons(club, w))
		}
		*rows = append(*rows, t.dropButtons(c.Names, club)...)
	}
	return lines, nil
}

// pressPropose proposes one of the person's own names to their club.
func (t *turn) pressPropose(no uint64) error {
	i := slices.IndexFunc(t.profile.Names, func(n NameTaught) bool { return n.No == no })
	home := t.homeChat()
	if i < 0 || home == 0 {
		return t.notice("press.not_yours")
	}
	if no := t.standingIn(home).refusal(); no != "" {
		return t.notice(no)
	}
	n := t.profile.Names[i]
	if t.isOrganiser(t.home) {
		return t.nameForClub(home, n.Name, n.Species)
	}
	said, err := t.propose(home, n)
	if err != nil {
		return err
	}
	return t.replace(Reply{Text: firstOf(strings.TrimSpace(said), t.voice.Say("names.kept_club", n.Name, t.fishOf(n.Species), t.home.Title))})
}

// mayName is true for an organiser of a club: in private one who is in it now.
func (t *turn) mayName(club catch.ClubID) (bool, error) {
	if t.m.Chat.Group {
		return club == t.chat && t.isOrganiser(t.club), nil
	}
	clubs, _, err := t.organised()
	return slices.Contains(clubs, club), err
}

// pressClubName is an organiser's answer to a name that waits: "yes zorbie".
func (t *turn) pressClubName(club catch.ClubID, detail string) error {
	answer, k, _ := strings.Cut(detail, " ")
	may, err := t.mayName(club)
	if err != nil {
		return err
	}
	if !may {
		return t.notice("press.not_yours")
	}
	waiting, err := t.wishesOf(club)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(waiting, func(w nameWish) bool { return w.key() == k })
	if i < 0 {
		return t.notice("press.old")
	}
	w := waiting[i]
	if answer == "yes" {
		return t.nameForClub(club, w.Name, w.Species)
	}
	if err := t.endWishes(club, k); err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say("names.declined", w.Name)})
}

// endWishes deletes what waits of a name in a club.
func (t *turn) endWishes(club catch.ClubID, nameKey string) error {
	for _, k := range slices.Collect(t.tx.Keys(kindNameWish, "")) {
		w, err := load[nameWish](t.tx, kindNameWish, k)
		if err == nil && w.Club == club && w.key() == nameKey {
			err = t.tx.Delete(kindNameWish, k)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// nameForClub lets a name hold for a club.
func (t *turn) nameForClub(club catch.ClubID, name, species string) error {
	c, err := ClubOf(t.tx, club)
	if err != nil {
		return err
	}
	n, err := t.newName(name, species)
	if err != nil {
		return err
	}
	c.Names = withName(c.Names, n, mostClubNames)
	if err := t.saveClubOf(club, c); err != nil {
		return err
	}
	if err := t.endWishes(club, n.Key); err != nil {
		return err
	}
	return t.replaceOrSend(Reply{
		Text:    t.voice.Say("names.kept_club", name, t.fishOf(species), firstOf(c.Title, t.voice.Say("names.this_club"))),
		Buttons: [][]Button{{button(t.voice.Say("button.unname", name), pressUnname, n.No, club)}},
	})
}

// teachClub does what an organiser says in words of a name of their club.
func (t *turn) teachClub(x understand.Teaching) error {
	club := t.homeChat()
	if t.m.Chat.Group {
		club = t.chat
	}
	may, err := t.mayName(club)
	if err != nil {
		return err
	}
	if !may {
		t.tell("names.organisers_only")
		return nil
	}
	if x.Drop {
		return t.dropClub(club, func(n NameTaught) bool { return n.Key == understand.TaughtKey(x.Name) }, x.Name)
	}
	if no := t.refusal(x); no != "" {
		t.say(no)
		return nil
	}
	return t.nameForClub(club, x.Name, x.Taxon)
}

func (t *turn) pressUnnameClub(club catch.ClubID, no uint64) error {
	may, err := t.mayName(club)
	if err != nil {
		return err
	}
	if !may {
		return t.notice("press.not_yours")
	}
	return t.dropClub(club, func(n NameTaught) bool { return n.No == no }, "")
}

// dropClub takes a name of a club back.
func (t *turn) dropClub(club catch.ClubID, is func(NameTaught) bool, said string) error {
	c, err := ClubOf(t.tx, club)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(c.Names, is)
	if i < 0 && t.m.Press != "" {
		return t.notice("press.old")
	}
	if i < 0 {
		t.tell("names.not_taught", said)
		return nil
	}
	name := c.Names[i].Name
	c.Names = slices.Delete(slices.Clone(c.Names), i, i+1)
	if err := t.saveClubOf(club, c); err != nil {
		return err
	}
	return t.replaceOrSend(Reply{Text: t.voice.Say("names.dropped", name)})
}
