package bot

import (
	"slices"

	"deepward/bot/words"
	"deepward/store/catch"
)

// pressShare shows a report from a private chat, with its fellows of one message, to
// the club's group, without its place, and counts it in the club's log. Shared twice
// it is shown once.
func (t *turn) pressShare(n uint64, detail string) error {
	r, err := t.ownReport(n)
	if err != nil {
		return err
	}
	if r == nil || len(t.profile.Clubs) == 0 {
		return t.notice("press.not_yours")
	}
	untold, err := t.isUntold(r)
	if err != nil {
		return err
	}
	if r.Club != 0 && !untold {
		return t.notice("share.already")
	}
	if untold {
		detail = key(r.Club)
	}
	clubs, open, err := t.ownClubs()
	if err != nil {
		return err
	}
	chosen, ok := number(detail)
	switch {
	case ok && slices.Contains(clubs, catch.ClubID(chosen)):
		return t.share(r, catch.ClubID(chosen))
	case ok && open && slices.Contains(t.profile.Clubs, catch.ClubID(chosen)), len(clubs) == 0 && open:
		return t.notice("member.unchecked")
	case len(clubs) == 0 && len(t.profile.Clubs) > 0:
		return t.notice("share.gone")
	case len(clubs) == 0, ok:
		return t.notice("member.left")
	case len(clubs) == 1:
		return t.share(r, clubs[0])
	}
	var rows [][]Button
	for _, c := range clubs {
		rows = append(rows, []Button{button(t.clubTitle(c), pressShare, n, c)})
	}
	return t.replace(Reply{Text: t.voice.Say("share.which"), Buttons: rows, Ref: key("report", n)})
}

func (t *turn) share(r *catch.Report, chat catch.ClubID) error {
	club, err := ClubOf(t.tx, chat)
	if err != nil {
		return err
	}
	to, ok := t.tx.TransportChat(chat)
	if !ok {
		return t.notice("share.gone")
	}
	fellows, err := t.fellows(r)
	if err != nil {
		return err
	}
	if err := t.tx.Put(kindTold, key(r.Number), true); err != nil {
		return err
	}
	t.touched = chat
	for _, f := range fellows {
		f.Club = chat
		// In the club's log it belongs to the club's season.
		if season, err := t.tx.SeasonAt(chat, f.CaughtAt); err != nil {
			return err
		} else if season != "" {
			f.Season = season
		}
		if err := t.tx.PutReport(f); err != nil {
			return err
		}
	}
	topic := 0
	if club.TopicSet {
		topic = club.ReportTopic
	}
	there := *t
	there.voice = words.For(firstOf(club.Language, t.voice.Tag()), club.Imperial)
	t.replies = append(t.replies, Reply{
		Chat: to, Group: true, Thread: topic, Language: there.voice.Tag(),
		Text: there.voice.Say("share.text", t.m.Sender.Name, there.describeAll(fellows)),
	})
	return t.replace(Reply{Text: t.saved(fellows) + "\n" + t.voice.Say("share.done", club.Title), Ref: key("report", r.Number)})
}

// describeAll puts the fish of one message in a line, like ones together.
func (t *turn) describeAll(reports []*catch.Report) string {
	var order []string
	count := map[string]int{}
	for _, r := range reports {
		line := t.dated(r)
		if count[line]++; count[line] == 1 {
			order = append(order, line)
		}
	}
	for i, line := range order {
		if n := count[line]; n > 1 {
			order[i] = t.voice.Say("line.several", n, line)
		}
	}
	return t.voice.Clauses(order...)
}
