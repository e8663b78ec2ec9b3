package bot

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// isOrganiser is true for the people whom an admin made organisers of the chat,
// and for anybody in their own private chat.
func (t *turn) isOrganiser(c Club) bool {
	return slices.Contains(c.Organisers, t.tx.Who(t.m.Sender.ID))
}

// organiserRequest is a wish to be an organiser, waiting for an admin's tap.
type organiserRequest struct {
	Person uint64       `cbor:"1,keyasint"`
	Name   string       `cbor:"2,keyasint"`
	Chat   catch.ClubID `cbor:"3,keyasint"`
	At     time.Time    `cbor:"4,keyasint"`
}

// organiser makes an admin an organiser at once; anybody else's wish is put
// before the admins. "organiser none", by an admin, takes the role from all: who
// still wants it asks again.
func (t *turn) organiser(rest string) error {
	if !t.m.Chat.Group {
		t.tell("role.in_group")
		return nil
	}
	if yes, ok := readYes(rest); strings.EqualFold(rest, "none") || ok && !yes {
		return t.noOrganisers()
	}
	if catch.ChatID(t.m.Sender.ID) == t.m.Chat.ID { // an anonymous admin: nobody knows which of them
		t.tell("role.anonymous")
		return nil
	}
	who := t.tx.Who(t.m.Sender.ID)
	if slices.Contains(t.club.Organisers, who) {
		t.tell("role.already")
		return nil
	}
	if t.m.Sender.Admin {
		return t.makeOrganiser(who, t.m.Sender.Name)
	}
	n, err := t.tx.Next(kindRequest)
	if err != nil {
		return err
	}
	request := organiserRequest{who, t.m.Sender.Name, t.chat, t.now}
	if err := t.tx.Put(kindRequest, key(n), request); err != nil {
		return err
	}
	t.reply(Reply{
		Text:    t.voice.Say("role.request", t.m.Sender.Name),
		Buttons: [][]Button{{button(t.voice.Say("button.agree"), pressAgree, n)}},
	})
	return nil
}

func (t *turn) noOrganisers() error {
	if !t.m.Sender.Admin {
		t.tell("role.admins_only")
		return nil
	}
	c := t.club
	c.Organisers = nil
	if err := t.saveClub(c); err != nil {
		return err
	}
	t.tell("role.none")
	return nil
}

func (t *turn) makeOrganiser(who uint64, name string) error {
	c := t.club
	c.Organisers = append(slices.Clone(c.Organisers), who)
	if err := t.saveClub(c); err != nil {
		return err
	}
	t.tell("role.made", name)
	return nil
}

// pressAgree lets an admin of this chat agree to a wish; nobody else can.
func (t *turn) pressAgree(n uint64) error {
	request, err := load[organiserRequest](t.tx, kindRequest, key(n))
	switch {
	case err != nil:
		return err
	case request.Person == 0 || request.Chat != t.chat:
		return t.notice("press.old")
	case !t.m.Sender.Admin:
		return t.notice("role.admins_only")
	}
	c := t.club
	if !slices.Contains(c.Organisers, request.Person) {
		c.Organisers = append(slices.Clone(c.Organisers), request.Person)
	}
	if err := t.saveClub(c); err != nil {
		return err
	}
	if err := t.tx.Delete(kindRequest, key(n)); err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say("role.made", request.Name)})
}

// rules shows the local rules that the club has noted.
func (t *turn) rules(string) error {
	rules := t.rulesHere()
	if len(rules) == 0 {
		t.tell("rules.none")
		return nil
	}
	lines := []string{t.voice.Say("rules.head")}
	for _, rule := range rules {
		lines = append(lines, t.ruleLine(rule))
	}
	t.reply(Reply{Headline: true, Text: strings.Join(lines, "\n")})
	return nil
}

func (t *turn) ruleLine(rule ClubRule) string {
	name := rule.Species
	if s := advisor.LookUp(rule.Species); s != nil {
		name = nameOf(t.voice, s)
	}
	return t.voice.Say("rules.line", name, t.ruleText(rule), rule.Source, rule.Checked)
}

// ruleText is the minimum, if one was noted, and the club's own words.
func (t *turn) ruleText(rule ClubRule) string {
	if rule.MinCm == 0 {
		return rule.Text
	}
	minimum := t.voice.Say("rule.minimum", t.voice.Length(rule.MinCm))
	if rule.Text == "" {
		return minimum
	}
	return t.voice.Clauses(minimum, rule.Text)
}

// rule notes one local rule, as an admin enters it:
// "rule red snapper; 40 cm; one a day; harbour office; 2026-05-01".
// An empty third field takes the rule out.
func (t *turn) rule(rest string) error {
	if !t.m.Sender.Admin {
		t.tell("role.admins_only")
		return nil
	}
	fields := strings.Split(rest, ";")
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	rule, ok := t.readRule(fields)
	if fish, sure := t.Reader.FindSpecies(fields[0], t.setting()); !ok && !sure && len(fish) > 1 {
		t.tell("problem.name_unsure", fields[0], callFish(t.voice, fish[0].EnglishName), callFish(t.voice, fish[1].EnglishName))
		return nil
	}
	if !ok {
		t.tell("rules.how")
		return nil
	}
	c := t.club
	c.Rules = slices.DeleteFunc(slices.Clone(c.Rules), func(r ClubRule) bool { return r.Species == rule.Species })
	if rule.MinCm > 0 || rule.Text != "" {
		c.Rules = append(c.Rules, rule)
	}
	if err := t.saveClub(c); err != nil {
		return err
	}
	return t.rules("")
}

// readRule reads the five fields; the length is understood like any other.
func (t *turn) readRule(fields []string) (ClubRule, bool) {
	if len(fields) != 5 {
		return ClubRule{}, false
	}
	fish, sure := t.Reader.FindSpecies(fields[0], t.setting())
	if len(fish) == 0 || !sure {
		return ClubRule{}, false
	}
	rule := ClubRule{Species: fish[0].ScientificName, Text: fields[2], Source: fields[3], Checked: fields[4]}
	if _, err := time.Parse(time.DateOnly, rule.Checked); err != nil || rule.Source == "" {
		return ClubRule{}, false
	}
	if fields[1] != "" && fields[1] != "-" {
		length := understand.Measures(fields[1]).LengthCm
		if length == nil {
			return ClubRule{}, false
		}
		rule.MinCm = *length
	}
	return rule, true
}

// ClubTitles are the names of the groups that the bot is or was in, by their
// internal numbers.
func ClubTitles(tx memory) (map[catch.ClubID]string, error) {
	titles := map[catch.ClubID]string{}
	for k := range tx.Keys(kindClub, "") {
		c, err := load[Club](tx, kindClub, k)
		if err != nil {
			return nil, err
		}
		if n, ok := number(k); ok && c.Group {
			titles[catch.ClubID(n)] = c.Title
		}
	}
	return titles, nil
}

// season shows, opens or closes the season of this chat:
// "season", "season new Spring 2026-03-01 2026-09-30", "season close", "season open Spring".
func (t *turn) season(rest string) error {
	fields := strings.Fields(rest)
	if len(fields) == 0 {
		return t.showSeasons()
	}
	if !t.m.Sender.Admin && !t.isOrganiser(t.club) {
		t.tell("role.admins_only")
		return nil
	}
	switch strings.ToLower(fields[0]) {
	case "new":
		return t.newSeason(fields[1:])
	case "card":
		return t.seasonCard(strings.Join(fields[1:], " "))
	case "close", "open", "reopen":
		return t.turnSeason(strings.Join(fields[1:], " "), strings.EqualFold(fields[0], "close"))
	default:
		t.tell("season.how")
		return nil
	}
}

// maxSeasonName is the longest name of a season, in characters: it stands in lists.
const maxSeasonName = 60

func (t *turn) newSeason(fields []string) error {
	if len(fields) < 3 {
		t.tell("season.how")
		return nil
	}
	end := len(fields)
	opens, err1 := time.Parse(time.DateOnly, fields[end-2])
	closes, err2 := time.Parse(time.DateOnly, fields[end-1])
	name := strings.Join(fields[:end-2], " ")
	if err1 != nil || err2 != nil || closes.Before(opens) || utf8.RuneCountInString(name) > maxSeasonName {
		t.tell("season.how")
		return nil
	}
	s := catch.Season{
		Name: name, Chat: t.chat,
		Opens: opens, Closes: closes.Add(24*time.Hour - time.Second),
	}
	seasons, err := t.tx.Seasons(t.chat)
	if err != nil {
		return err
	}
	return t.putSeason(s, seasons)
}

// putSeason keeps a season unless another one is open in its days: a report must
// belong to one.
func (t *turn) putSeason(s catch.Season, all []catch.Season) error {
	for _, other := range all {
		if s.Clashes(other) {
			t.tell("season.overlaps", other.Name)
			return nil
		}
	}
	if err := t.tx.PutSeason(s); err != nil {
		return err
	}
	if err := t.takeIntoSeason(s); err != nil {
		return err
	}
	return t.showSeasons()
}

// takeIntoSeason gives a new season the reports of its days that were kept before
// anybody opened it.
func (t *turn) takeIntoSeason(s catch.Season) error {
	var early []*catch.Report
	for r, err := range t.tx.Reports(catch.Filter{Chat: s.Chat, From: s.Opens, To: s.Closes, Personal: true}) {
		if err != nil {
			return err
		}
		if r.Season == "" {
			early = append(early, new(*r))
		}
	}
	for _, r := range early {
		if err := t.tx.PutReport(r); err != nil {
			return err
		}
	}
	return nil
}

// turnSeason closes or reopens a season by name; the newest when none is named.
func (t *turn) turnSeason(name string, closed bool) error {
	seasons, err := t.tx.Seasons(t.chat)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(seasons, func(s catch.Season) bool { return strings.EqualFold(s.Name, name) })
	if name == "" {
		i = len(seasons) - 1
	}
	if i < 0 {
		t.tell("season.how")
		return nil
	}
	seasons[i].Closed = closed
	return t.putSeason(seasons[i], seasons)
}

func (t *turn) showSeasons() error {
	seasons, err := t.tx.Seasons(t.chat)
	if err != nil {
		return err
	}
	head := t.voice.Say("season.head")
	if n := t.homeChat(); len(seasons) == 0 && n != 0 {
		head = t.voice.Say("season.of", t.clubTitle(n))
		if seasons, err = t.tx.Seasons(n); err != nil { // of the club, like its rules
			return err
		}
	}
	if len(seasons) == 0 {
		t.tell("season.none")
		return nil
	}
	lines := []string{head}
	for _, s := range seasons {
		state := "season.open"
		if s.Closed {
			state = "season.closed"
		}
		lines = append(lines, t.voice.Say("season.line", s.Name, s.Opens.Format(time.DateOnly), s.Closes.Format(time.DateOnly), t.voice.Say(state)))
	}
	t.reply(Reply{Headline: true, Text: strings.Join(lines, "\n")})
	return nil
}
