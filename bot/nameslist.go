package bot

import (
	"slices"
	"strings"

	"deepward/bot/understand"
	"deepward/store/catch"
)

// namesOffered is how many names of a list have a button.
const namesOffered = 4

// names shows, teaches and takes back names: "names", "names zorbie = red snapper", "names zorbie = none",
// and for an organiser "names club zorbie = red snapper".
func (t *turn) names(rest string) error {
	forClub := false
	if more, ok := strings.CutPrefix(strings.ToLower(rest), "club "); ok {
		rest, forClub = more, true
	}
	teaching, ok := understand.Teaches(rest, t.setting())
	switch {
	case !ok:
		return t.listNames()
	case forClub:
		return t.teachClub(teaching)
	}
	return t.teachOwn(teaching)
}

// taughtInWords takes words that teach a name, or take one back, without the command.
func (t *turn) taughtInWords(r understand.Reading) (done bool, err error) {
	if r.Verb != "" {
		return false, nil
	}
	teaching, ok := understand.Teaches(t.m.Text, t.setting())
	switch {
	case !ok:
		return false, nil
	case teaching.Drop && nameIn(t.profile.Names, teaching.Name) >= 0, !teaching.Drop && t.teachesUs(teaching):
		return true, t.teachOwn(teaching)
	}
	return false, nil
}

// teachesUs is true for words that plainly teach a name, or what was taught anew.
func (t *turn) teachesUs(x understand.Teaching) bool {
	return x.IsTaughtPlainly() || x.Taxon != "" && x.Outright || x.Taxon != "" && nameIn(t.profile.Names, x.Name) >= 0
}

// teachOwn does what a message says of one of the person's own names.
func (t *turn) teachOwn(x understand.Teaching) error {
	if x.Drop {
		i := nameIn(t.profile.Names, x.Name)
		if i < 0 {
			t.tell("names.not_taught", x.Name)
			return nil
		}
		return t.dropOwn(i)
	}
	if no := t.refusal(x); no != "" {
		t.say(no)
		return nil
	}
	if err := t.teach(x.Name, x.Taxon); err != nil {
		return err
	}
	r := Reply{}
	t.showTaught(&r)
	r.Text = strings.TrimSpace(r.Text)
	t.reply(r)
	return nil
}

// refusal says why a name cannot be taught, "" where it can.
func (t *turn) refusal(x understand.Teaching) string {
	if x.Taxon == "" {
		return t.voice.Say("names.unknown_fish", x.Fish)
	}
	switch understand.Teachable(x.Name, x.Taxon) {
	case understand.NoName:
		return t.voice.Say("names.no_name", x.Name)
	case understand.OrdinaryWord:
		return t.voice.Say("names.ordinary", x.Name)
	case understand.OtherKind:
		return t.voice.Say("names.other_kind", x.Name, t.fishOf(x.Taxon))
	}
	setting := t.setting()
	setting.Names = nil
	if known := understand.Resolve(x.Name, setting); known.Sure && known.Corrected == "" && known.Taxa[0] == x.Taxon && nameIn(t.profile.Names, x.Name) < 0 {
		return t.voice.Say("names.known", x.Name, t.fishOf(x.Taxon))
	}
	return ""
}

func (t *turn) dropOwn(i int) error {
	p, name := t.profile, t.profile.Names[i].Name
	p.Names = slices.Delete(slices.Clone(p.Names), i, i+1)
	p.NamesAsked = slices.DeleteFunc(slices.Clone(p.NamesAsked), func(k string) bool { return k == understand.TaughtKey(name) })
	if err := t.saveProfile(p); err != nil {
		return err
	}
	return t.replaceOrSend(Reply{Text: t.voice.Say("names.dropped", name)})
}

// listNames shows the names that hold here: in a group those of its club, in private the
// person's own too, and to an organiser what waits for a yes.
func (t *turn) listNames() error {
	v := t.voice
	club, here := t.home, t.homeChat()
	if t.m.Chat.Group {
		club, here = t.club, t.chat
	}
	var lines []string
	var rows [][]Button
	if !t.m.Chat.Group {
		lines = append(lines, v.Say("names.head"))
		lines = append(lines, t.nameLines(t.profile.Names)...)
		rows = t.dropButtons(t.profile.Names)
	}
	if here != 0 && (t.m.Chat.Group || len(club.Names) > 0) {
		lines = append(lines, v.Say("names.club_head", firstOf(club.Title, v.Say("names.this_club"))))
		lines = append(lines, t.nameLines(club.Names)...)
	}
	if !t.m.Chat.Group {
		wished, err := t.organiserNames(&rows)
		if err != nil {
			return err
		}
		lines = append(lines, wished...)
	}
	lines = append(lines, v.Say("names.how"))
	t.reply(Reply{Headline: true, Text: strings.Join(lines, "\n"), Buttons: rows})
	return nil
}

// nameLines are names with their fish, or that there are none.
func (t *turn) nameLines(list []NameTaught) []string {
	if len(list) == 0 {
		return []string{t.voice.Say("names.none")}
	}
	var lines []string
	for _, n := range namesSorted(list) {
		lines = append(lines, t.voice.Say("names.line", n.Name, t.fishBeside(n.Name, n.Species)))
	}
	return lines
}

// namesShown is how many names stand among what is set; /names lists them all.
const namesShown = 5

// namesLine tells the newest names of a club among what it has set, nothing for none.
func (t *turn) namesLine(list []NameTaught) []string {
	if len(list) == 0 {
		return nil
	}
	var said []string
	for _, n := range slices.Backward(list[max(0, len(list)-namesShown):]) {
		said = append(said, t.voice.Say("names.quoted", n.Name))
	}
	return []string{t.voice.Say("settings.names", strings.Join(said, ", "))}
}

// dropButtons take the newest names back; of says whose they are, nothing for the person's own.
func (t *turn) dropButtons(list []NameTaught, of ...any) (rows [][]Button) {
	for _, n := range slices.Backward(list[max(0, len(list)-namesOffered):]) {
		rows = append(rows, []Button{button(t.voice.Say("button.unname", n.Name), pressUnname, append([]any{n.No}, of...)...)})
	}
	return rows
}

// pressUnname takes a name back: the person's own, or as an organiser the club's.
func (t *turn) pressUnname(no uint64, club string) error {
	if n, ok := number(club); ok {
		return t.pressUnnameClub(catch.ClubID(n), no)
	}
	i := slices.IndexFunc(t.profile.Names, func(n NameTaught) bool { return n.No == no })
	if i < 0 {
		return t.notice("press.not_yours")
	}
	return t.dropOwn(i)
}
