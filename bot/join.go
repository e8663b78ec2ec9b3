package bot

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/words"
	"deepward/store/catch"
)

// kindTold marks reports that count for a club without a post and were told there later.
const kindTold = "told"

// offersAtMost is how many clubs somebody new is offered: the groups we came into last.
const offersAtMost = 4

// clubLink is what a link to a club hands to /start: "club-7-code". The code is a keyed
// hash, so that nobody comes in by counting.
func (t *turn) clubLink(club catch.ClubID) string {
	return fmt.Sprintf("club-%d-%s", club, t.tx.ClubCode(club))
}

// linkedClub is the club of a link; ok is false for any other words and a wrong code.
func (t *turn) linkedClub(link string) (club catch.ClubID, ok bool) {
	club, ok = numberInLink(link)
	return club, ok && link == t.clubLink(club)
}

func numberInLink(link string) (catch.ClubID, bool) {
	parts := strings.Split(link, "-")
	if len(parts) != 3 || parts[0] != "club" {
		return 0, false
	}
	n, ok := number(parts[1])
	return catch.ClubID(n), ok
}

// joinButton opens a private chat in which a member joins the club.
func (t *turn) joinButton() [][]Button {
	return [][]Button{{{Label: t.voice.Say("button.join"), Start: t.clubLink(t.chat)}}}
}

// join shows the way into the club: in its group the button, in private the clubs that
// the person could join, or else the one that they are in.
func (t *turn) join(string) error {
	if t.m.Chat.Group {
		t.reply(Reply{Text: t.voice.Say("club.how"), Buttons: t.joinButton()})
		return nil
	}
	rows, home := t.offers(), t.homeChat()
	switch {
	case len(rows) > 0:
		t.reply(Reply{Text: t.voice.Say("club.which"), Buttons: rows})
	case home != 0:
		return t.enter(home, t.standingIn(home))
	default:
		t.tell("club.none")
	}
	return nil
}

// start greets somebody new, with what to do first; by a club's link it lets them in.
func (t *turn) start(rest string) error {
	if strings.HasPrefix(rest, "club-") && !t.m.Chat.Group {
		club, ok := t.linkedClub(rest)
		if !ok {
			t.tell("club.unknown")
			return nil
		}
		return t.enter(club, t.standingIn(club))
	}
	if rest == startLetter && !t.m.Chat.Group {
		return t.letter("")
	}
	v := t.voice
	rows := [][]Button{{
		button(v.Say("button.try"), pressFirst, 0, "try"),
		button(v.Say("button.my_weights"), pressFirst, 0, "weights"),
		button(v.Say("button.how_to"), pressFirst, 0, "how"),
	}}
	t.reply(Reply{Headline: true, Text: v.Say("hint.start"), Buttons: append(rows, t.offers()...)})
	return nil
}

// offers are buttons for the groups whose member the person certainly is without having
// written to us there.
func (t *turn) offers() (rows [][]Button) {
	if t.m.Chat.Group {
		return nil
	}
	for chat, in := range t.m.Members {
		club, err := t.tx.ChatNumber(chat)
		if err != nil || !in || t.m.Presumed[chat] || slices.Contains(t.profile.Clubs, club) {
			continue
		}
		if c, err := ClubOf(t.tx, club); err == nil && !c.Gone && c.Group {
			rows = append(rows, []Button{button(t.voice.Say("button.join_club", c.Title), pressJoin, club)})
		}
	}
	slices.SortFunc(rows, func(a, b []Button) int { return strings.Compare(a[0].Data, b[0].Data) })
	return rows[:min(offersAtMost, len(rows))]
}

// enter puts a club on a member's list, the newest last, and shows what is set there.
func (t *turn) enter(club catch.ClubID, how standing) error {
	if no := how.refusal(); no != "" {
		t.tell(no)
		return nil
	}
	p := t.profile
	p.Clubs = append(slices.DeleteFunc(slices.Clone(p.Clubs), func(n catch.ClubID) bool { return n == club }), club)
	if err := t.saveProfile(p); err != nil {
		return err
	}
	c, err := ClubOf(t.tx, club)
	if err != nil {
		return err
	}
	t.home = c
	t.voice = t.voiceFor(p)
	t.reply(Reply{Headline: true, Text: t.clubText(c), Buttons: t.clubButtons(club)})
	return nil
}

// clubText is what a club has set, for somebody who comes in.
func (t *turn) clubText(c Club) string {
	v := t.voice
	weights := v.Say("settings.common_weights")
	if len(c.WeightsOz) > 0 {
		weights = Weighing(v, c.WeightUnit, c.WeightsOz).ListOunces(c.WeightsOz)
	}
	lines := []string{
		v.Say("club.head", c.Title),
		v.Say("settings.weights", weights),
		v.Say("settings.units", unitsName(v, c.Imperial)),
		v.Say("settings.region", firstOf(v.Region(c.Region), v.Say("settings.no_region"))),
	}
	if c.Language != "" {
		lines = append(lines, v.Say("settings.language", words.For(c.Language, false).Say("language.name")))
	}
	lines = append(lines, t.namesLine(c.Names)...)
	for _, rule := range c.Rules {
		lines = append(lines, t.ruleLine(rule))
	}
	return strings.Join(append(lines, v.Say("club.what")), "\n")
}

// clubTitle is what a club is called, its number where it has no name.
func (t *turn) clubTitle(club catch.ClubID) string {
	c, err := ClubOf(t.tx, club)
	if err != nil {
		return fmt.Sprint(club)
	}
	return firstOf(c.Title, fmt.Sprint(club))
}

// clubButtons are the two taps of a member: to count or not, and to leave.
func (t *turn) clubButtons(club catch.ClubID) [][]Button {
	count := button(t.voice.Say("button.count"), pressCount, club, "yes")
	if t.profile.CountFor == club {
		count = button(t.voice.Say("button.uncount"), pressCount, club, "no")
	}
	return [][]Button{{count}, {button(t.voice.Say("button.leave"), pressLeave, club)}}
}

// pressJoin lets somebody in who was offered the club.
func (t *turn) pressJoin(club catch.ClubID) error {
	how := t.standingIn(club)
	if chat, ok := t.tx.TransportChat(club); ok && t.m.Presumed[chat] {
		how = unchecked // no link led here: the server itself must say so
	}
	t.acknowledgeTap()
	return t.enter(club, how)
}

// pressCount says once and for all that what is told in private counts for a club, or
// no longer does.
func (t *turn) pressCount(club catch.ClubID, detail string) error {
	if !slices.Contains(t.profile.Clubs, club) || t.m.Chat.Group {
		return t.notice("press.not_yours")
	}
	p, said := t.profile, "club.uncounts"
	p.CountFor = 0
	if detail == "yes" {
		if no := t.standingIn(club).refusal(); no != "" {
			return t.notice(no)
		}
		p.CountFor, said = club, "club.counts"
	}
	if err := t.saveProfile(p); err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say(said, t.clubTitle(club)), Buttons: t.clubButtons(club)})
}

// pressLeave takes a club off the person's list; their reports stay in its log.
func (t *turn) pressLeave(club catch.ClubID) error {
	if !slices.Contains(t.profile.Clubs, club) || t.m.Chat.Group {
		return t.notice("press.not_yours")
	}
	if err := t.saveProfile(t.profile.without(club)); err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say("club.left", t.clubTitle(club))})
}

// without is the profile of somebody who is in that club no more.
func (p Profile) without(club catch.ClubID) Profile {
	p.Clubs = slices.DeleteFunc(slices.Clone(p.Clubs), func(n catch.ClubID) bool { return n == club })
	if p.CountFor == club {
		p.CountFor = 0
	}
	return p
}

// isUntold is true for a report that counts for a club without having been told there.
func (t *turn) isUntold(r *catch.Report) (bool, error) {
	if r.Club == 0 || r.Club != t.profile.CountFor {
		return false, nil
	}
	told, err := load[bool](t.tx, kindTold, key(r.Number))
	return !told, err
}

// firstSets are the sets of release weights offered to somebody new; in ounces, as most
// are sold, and in grams.
var firstSets = []string{"20 40 oz", "20 40 60 oz", "8 16 24 32 oz", "500 g 1 kg"}

// pressFirst is one of the three things to do first, or one of the sets of weights.
func (t *turn) pressFirst(detail string) error {
	v := t.voice
	what, set, _ := strings.Cut(detail, " ")
	t.acknowledgeTap()
	switch what {
	case "try":
		m := t.meaningOf(v.Say("example.question"))
		t.reply(Reply{Text: v.Say("start.tried", v.Say("example.question")) + "\n" + wordAdvice(v, m, advisor.Advise(m.Query))})
	case "how":
		t.reply(Reply{Headline: true, Text: v.Say("how.down"), Attach: t.drawing("hook")})
	case "weights":
		var rows [][]Button
		for i, set := range firstSets {
			weights, unit, _ := ReadWeights(set)
			rows = append(rows, []Button{button(Weighing(v, unit, weights).ListOunces(weights), pressFirst, 0, "set", i)})
		}
		t.reply(Reply{Text: t.voice.Say("weights.which"), Buttons: rows})
	case "set":
		i, err := strconv.Atoi(set)
		if err != nil || i < 0 || i >= len(firstSets) {
			return nil
		}
		p := t.profile
		p.WeightsOz, p.WeightUnit, _ = ReadWeights(firstSets[i])
		return t.keepSetting(true, "", func() error { return t.saveProfile(p) })
	}
	return nil
}
