package bot

import (
	"fmt"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/store/catch"
	"deepward/store/export"
)

// The kinds of file that replies carry; package files makes them.
const (
	FileExport  = "export"
	FileSummary = "summary"
	FileReport  = "report"
	FileCard    = "card"
	FileLesson  = "lesson"
	FileMyData  = "mydata"
)

// ExportFormats are the formats that /export offers, by the names of package export.
var ExportFormats = []string{"csv", "xlsx", "geojson", "dwca", "all"}

// export gives an organiser the season log: in private only, and only of the
// clubs that made the person an organiser.
func (t *turn) export(rest string) error {
	if t.m.Chat.Group {
		t.tell("export.private")
		return nil
	}
	format := "csv"
	for word := range strings.FieldsSeq(strings.ToLower(rest)) {
		if slices.Contains(ExportFormats, word) {
			format = word
		}
	}
	clubs, open, err := t.organised()
	if err != nil {
		return err
	}
	switch {
	case len(clubs) == 0 && open:
		t.tell("member.unchecked")
		return nil
	case len(clubs) == 0:
		return t.exportOwn(format)
	case len(clubs) == 1:
		return t.sendExport(clubs[0], format, "export.here")
	}
	return t.whichClub(clubs, format)
}

// whichClub asks for the club whose log is wanted.
func (t *turn) whichClub(clubs []catch.ClubID, what string) error {
	var rows [][]Button
	for _, n := range clubs {
		rows = append(rows, []Button{button(t.clubTitle(n), pressExport, n, what)})
	}
	t.reply(Reply{Text: t.voice.Say("export.which"), Buttons: rows})
	return nil
}

// seasonReport gives an organiser the page of the season and the sheet for the club's
// meeting, in private.
func (t *turn) seasonReport(rest string) error {
	if rest != "" || t.m.Chat.Group {
		return t.logHint(rest)
	}
	clubs, open, err := t.organised()
	switch {
	case err != nil:
		return err
	case len(clubs) == 0 && open:
		t.tell("member.unchecked")
		return nil
	case len(clubs) == 0:
		t.tell("export.nothing")
		return nil
	case len(clubs) == 1:
		return t.sendReport(clubs[0])
	}
	return t.whichClub(clubs, FileReport)
}

// sendReport sends the sheet, as a picture to look at and as a page to print, and the page
// of the club's season: of the one that is on, or else its last.
func (t *turn) sendReport(club catch.ClubID) error {
	name, err := t.tx.SeasonAt(club, t.now)
	if err != nil {
		return err
	}
	if name == "" {
		all, err := t.tx.Seasons(club)
		if err != nil {
			return err
		}
		if len(all) > 0 {
			name = slices.MaxFunc(all, func(a, b catch.Season) int { return a.Closes.Compare(b.Closes) }).Name
		}
	}
	for _, form := range []string{"picture", "sheet", "page"} {
		t.reply(Reply{
			Text: t.voice.Say("report." + form),
			Attach: &Attachment{Kind: FileReport, Photo: form == "picture", Args: map[string]string{
				"chat": fmt.Sprint(club), "season": name, "form": form, "language": t.voice.Language(),
			}},
		})
	}
	return nil
}

// exportOwn gives a person who organises nothing the log of this private chat,
// which holds only their own reports.
func (t *turn) exportOwn(format string) error {
	own, err := t.tx.ReportsByPerson(t.m.Sender.ID, 0)
	if err != nil {
		return err
	}
	here := func(r *catch.Report) bool { return r.Chat == t.chat && !r.Undone }
	if !slices.ContainsFunc(own, here) { // what they told in a group is in the group's log alone
		t.tell("export.nothing")
		return nil
	}
	return t.sendExport(t.chat, format, "export.own")
}

// organised lists the clubs whose log this person may take out: an organiser who is in
// the group. open is true when it could not be learnt of one that they organise.
func (t *turn) organised() (list []catch.ClubID, open bool, err error) {
	if _, _, err := t.ownClubs(); err != nil {
		return nil, false, err
	}
	for _, n := range t.profile.Clubs {
		c, err := ClubOf(t.tx, n)
		if err != nil {
			return nil, false, err
		}
		switch in := t.standingIn(n); {
		case !t.isOrganiser(c):
		case in == isMember, c.Gone: // who organised a group that put the bot out may still take its log
			list = append(list, n)
		case in == unchecked:
			open = true
		}
	}
	return list, open, nil
}

// sendExport sends a log with the sentence of that key. For a format that is made to be
// passed on it first asks what others may do with it, once: the seasons remember.
func (t *turn) sendExport(chat catch.ClubID, format, key string) error {
	license, err := LicenseOf(t.tx, chat)
	if err != nil {
		return err
	}
	if f, err := export.ParseFormat(format); err == nil && f.NeedsLicense() && license.License == "" {
		var rows [][]Button
		for _, l := range export.Licenses {
			rows = append(rows, []Button{button(t.voice.Say("license."+l.Key), pressLicense, chat, format, l.Key)})
		}
		t.reply(Reply{Text: t.voice.Say("export.license"), Buttons: rows})
		return nil
	}
	t.exported(chat, format, key, "")
	return nil
}

func (t *turn) exported(chat catch.ClubID, format, key, license string) {
	t.reply(Reply{
		Text:   t.voice.Say(key) + "\n" + t.voice.Say("export.formats"),
		Attach: &Attachment{Kind: FileExport, Args: map[string]string{"chat": fmt.Sprint(chat), "format": format, "license": license}},
	})
}

// LicenseOf is what the seasons of a club say of passing its log on: licence and contact,
// each "" while nothing was chosen.
func LicenseOf(tx seasons, club catch.ClubID) (of catch.Season, err error) {
	all, err := tx.Seasons(club)
	for _, s := range all {
		of.License, of.Contact = firstOf(of.License, s.License), firstOf(of.Contact, s.Contact)
	}
	return of, err
}

// pressLicense keeps with the seasons what others may do with the log, and sends it.
func (t *turn) pressLicense(chat catch.ClubID, detail string) error {
	format, key, _ := strings.Cut(detail, " ")
	license, err := export.ParseLicense(key)
	if err != nil || !slices.Contains(ExportFormats, format) || t.m.Chat.Group {
		return t.notice("press.old")
	}
	clubs, open, err := t.organised()
	if err != nil {
		return err
	}
	sentence := "export.here"
	switch {
	case slices.Contains(clubs, chat):
	case chat == t.chat:
		sentence = "export.own"
	case open:
		return t.notice("member.unchecked")
	default:
		return t.notice("press.not_yours")
	}
	all, err := t.tx.Seasons(chat)
	if err != nil {
		return err
	}
	for _, s := range all {
		s.License = license.URI
		if err := t.tx.PutSeason(s); err != nil {
			return err
		}
	}
	t.acknowledgeTap()
	t.exported(chat, format, sentence, license.Key)
	return nil
}

// pressExport sends the log of the club that was tapped, if it is one of the
// person's own.
func (t *turn) pressExport(chat catch.ClubID, format string) error {
	clubs, open, err := t.organised()
	if err != nil {
		return err
	}
	if open && len(clubs) == 0 {
		return t.notice("member.unchecked")
	}
	if !slices.Contains(clubs, chat) || !slices.Contains(ExportFormats, format) && format != FileReport || t.m.Chat.Group {
		return t.notice("press.not_yours")
	}
	t.acknowledgeTap()
	if format == FileReport {
		return t.sendReport(chat)
	}
	return t.sendExport(chat, format, "export.here")
}

// card sends the pocket card for the weights aboard: a picture for the phone, or
// with "print" a page for paper. It goes as a document, which keeps a picture
// sharp and at hand without signal.
func (t *turn) card(rest string) error {
	args := t.drawn()
	args["region"] = t.region()
	text := t.voice.Say("card.here")
	if strings.Contains(strings.ToLower(rest), "print") {
		args["form"], text = "html", t.voice.Say("card.print")
	}
	t.reply(Reply{Text: text, Attach: &Attachment{Kind: FileCard, Args: args}})
	return nil
}

// lesson teaches one thing in under ten lines, with a drawing.
func (t *turn) lesson(name string) error {
	v := t.voice
	text := v.Say("lesson."+name, v.DepthAbout(advisor.PracticeDepthM), v.MassAbout(advisor.PracticeKg), v.Depth(advisor.SignsBeginM), v.Depth(advisor.ExpectBarotrauma))
	t.reply(Reply{Headline: true, Text: text, Attach: t.drawing(name)})
	return nil
}

// drawing is the picture of a lesson, in the reader's language and units.
func (t *turn) drawing(name string) *Attachment {
	args := t.drawn()
	args["name"] = name
	return &Attachment{Kind: FileLesson, Args: args, Photo: true}
}

// drawn is what every drawing needs to know of its reader: language, units and what is
// aboard.
func (t *turn) drawn() map[string]string {
	var weights []string
	aboard, unit := t.setWeights()
	for _, oz := range aboard {
		weights = append(weights, trimNumber(oz))
	}
	return map[string]string{"imperial": fmt.Sprint(t.voice.Imperial), "language": t.voice.Tag(), "weights": strings.Join(weights, " "), "lead": unit}
}
