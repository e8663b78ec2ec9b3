package files

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"deepward/bot"
	"deepward/bot/words"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/importer"
)

// How much of a table is shown at a time.
const (
	pastRows     = 3
	pastNotes    = 6
	pastProblems = 3
	pastSeasons  = 4
)

// pastLog is one step of a past log: what is understood so far, and what is asked next or
// what came of keeping it.
type pastLog struct {
	*Maker
	person catch.PersonID
	log    bot.PastLog
	voice  words.Voice
	club   bot.Club
	talk   *importer.Talk
	// first is the table sent before, where it is needed and reads without a question;
	// joined are its fish with the recaptures of this one, once those belong to it.
	first, joined  *importer.Sheet
	known, unknown int
	// wrong is what was answered last and means nothing.
	wrong string
}

// pastLog reads the table that somebody sent as far as it was answered, and asks on. It
// may be made twice: what was kept already is only told again.
func (m *Maker) pastLog(ctx context.Context, a bot.Attachment) (bot.File, error) {
	m.reading.Lock()
	defer m.reading.Unlock()
	person, err := personIn(a.Args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose past log: %w", err)
	}
	p := &pastLog{Maker: m, person: person, voice: voiceIn(a.Args)}
	if err := m.store.View(p.load); err != nil {
		return bot.File{}, err
	}
	switch {
	case fmt.Sprint(p.log.Number) != a.Args["number"] || fmt.Sprint(p.log.Step) != a.Args["step"]:
		return bot.File{Caption: p.voice.Say("press.old")}, nil
	case p.log.Kept != nil:
		return p.told()
	case a.Fetch == nil:
		return bot.File{}, errors.New("this transport brings no files")
	}
	data, err := a.Fetch(ctx, p.log.File)
	if err != nil {
		return bot.File{}, err
	}
	if err := p.read(data); err != nil {
		return bot.File{Caption: p.refused(err), Buttons: bot.PastButtons(p.voice, p.log)}, nil
	}
	if err := p.readFirst(ctx, a.Fetch); err != nil {
		return bot.File{}, err
	}
	return p.step()
}

func (p *pastLog) load(tx *store.Tx) (err error) {
	if p.log, err = bot.PastLogOf(tx, p.person); err != nil {
		return err
	}
	p.club, err = bot.ClubOf(tx, p.log.Club())
	return err
}

// read reads the table by what was answered about such headings before, and by what was
// said of it; an answer that means nothing is taken back.
func (p *pastLog) read(data []byte) (err error) {
	said := ofTable(p.log.Said)
	var last *importer.Answer
	if n := len(said); n > 0 && said[n-1] == p.log.Said[len(p.log.Said)-1] {
		last, said = &said[n-1], said[:n-1]
	}
	if belong, _ := p.log.Settled(bot.SettingReturns); belong == bot.ReturnsBelong {
		said = append(said, importer.Answer{Setting: importer.SettingRecaptures, Value: string(importer.ReturnsOnly)})
	}
	if p.talk, err = p.talkOf(data, p.log.Name, said); err != nil || last == nil {
		return err
	}
	if p.talk.Add(*last) != nil {
		p.wrong = last.Value
		p.log.Said = p.log.Said[:len(p.log.Said)-1]
	}
	return nil
}

// ofTable are the answers that are of the table itself.
func ofTable(said []importer.Answer) []importer.Answer {
	return slices.DeleteFunc(slices.Clone(said), func(a importer.Answer) bool {
		return a.Setting == bot.SettingClub || a.Setting == bot.SettingSeason || a.Setting == bot.SettingReturns
	})
}

// talkOf reads a table by what was answered about such headings before, and by what was
// said of it.
func (p *pastLog) talkOf(data []byte, name string, said []importer.Answer) (*importer.Talk, error) {
	earlier := func(headings string) (answers importer.Answers) {
		_ = p.store.View(func(tx *store.Tx) (err error) { // without them it is only asked again
			answers, err = bot.HeadingAnswers(tx, p.log.Club(), headings)
			return err
		})
		for _, a := range said {
			_ = answers.Add(a) // it was right when it was said
		}
		return answers
	}
	o := importer.Options{
		Now: p.log.At, Chat: p.log.Club(), Doubts: bot.Doubts,
		Limits:      importer.Limits{Bytes: bot.MaxPastLogBytes, Unpacked: 16 * bot.MaxPastLogBytes, Rows: bot.MaxPastLogLines},
		FindSpecies: func(name string) (string, bool) { return p.names().SpeciesNamed(name, p.club.Region) },
	}
	return importer.NewTalk(bytes.NewReader(data), name, o, earlier)
}

// refused says why a table cannot be read at all.
func (p *pastLog) refused(err error) string {
	switch {
	case errors.Is(err, importer.ErrTooLarge):
		return p.voice.Say("pastlog.large", bot.MaxPastLogBytes>>20, bot.MaxPastLogLines)
	case errors.Is(err, importer.ErrNoHeadings):
		return p.voice.Say("pastlog.headings")
	default:
		return p.voice.Say("pastlog.form")
	}
}

// step asks what is open of the table, then the season, then whether to keep it; or keeps it.
func (p *pastLog) step() (bot.File, error) {
	q := p.talk.Next()
	if p.asksWhoseReturns() {
		return p.askReturns()
	}
	_, seasonSaid := p.log.Settled(bot.SettingSeason)
	switch {
	case q != nil:
		return p.ask(q)
	case !seasonSaid:
		return p.askSeason()
	case p.log.Keep:
		return p.keep()
	}
	return p.askToKeep()
}

// asked shows the step and keeps what can be answered to it, unless something was said
// meanwhile.
func (p *pastLog) asked(lines []string, first ...bot.Button) (bot.File, error) {
	err := p.store.Update(func(tx *store.Tx) error {
		now, err := bot.PastLogOf(tx, p.person)
		if err != nil || now.Number != p.log.Number || now.Step != p.log.Step {
			return err
		}
		return bot.SavePastLog(tx, p.person, p.log)
	})
	text := strings.Join(slices.DeleteFunc(lines, func(l string) bool { return l == "" }), "\n")
	return bot.File{Caption: text, Buttons: bot.PastButtons(p.voice, p.log, first...)}, err
}

// head names the table and shows rows of it, after what was answered wrongly.
func (p *pastLog) head() []string {
	lines := []string{p.voice.Say("pastlog.head", p.log.Name, p.club.Title, p.talk.Sheet().Tally().Lines)}
	if p.wrong != "" {
		lines = append(lines, p.voice.Say("pastlog.no_answer", p.wrong))
	}
	rows := p.talk.Telling(pastRows)
	if len(rows) > 0 {
		lines = append(lines, p.voice.Say("pastlog.so_far"))
	}
	for _, r := range rows {
		lines = append(lines, bot.PastRow(p.voice, r))
	}
	return lines
}

func (p *pastLog) ask(q *importer.Question) (bot.File, error) {
	p.log.Choices, p.log.Own = nil, q.Own
	for _, c := range q.Choices {
		c.Label = c.In(p.voice.Tag())
		p.log.Choices = append(p.log.Choices, c)
	}
	lines := append(p.head(), words.SentenceCase(q.In(p.voice.Tag())))
	switch {
	case q.Own == nil && len(q.Choices) == 0:
		lines = append(lines, p.voice.Say("pastlog.mend"))
	case q.Own != nil && q.Own.Setting == importer.SettingDate:
		lines = append(lines, p.voice.Say("pastlog.own_day"))
	case q.Own != nil:
		lines = append(lines, p.voice.Say("pastlog.own"))
	}
	return p.asked(lines)
}

// askSeason offers the club's seasons, the newest first.
func (p *pastLog) askSeason() (bot.File, error) {
	var all []catch.Season
	err := p.store.View(func(tx *store.Tx) (err error) {
		all, err = tx.Seasons(p.log.Club())
		return err
	})
	if err != nil {
		return bot.File{}, err
	}
	slices.SortFunc(all, func(a, b catch.Season) int { return b.Opens.Compare(a.Opens) })
	p.log.Choices = nil
	for _, s := range all[:min(len(all), pastSeasons)] {
		p.log.Choices = append(p.log.Choices, importer.Choice{Label: s.Name, Answer: importer.Answer{Setting: bot.SettingSeason, Value: s.Name}})
	}
	p.log.Choices = append(p.log.Choices, importer.Choice{Label: p.voice.Say("pastlog.no_season"), Answer: importer.Answer{Setting: bot.SettingSeason}})
	p.log.Own = &importer.Answer{Setting: bot.SettingSeason}
	return p.asked(append(p.head(), p.voice.Say("pastlog.season")))
}

func (p *pastLog) askToKeep() (bot.File, error) {
	v, sheet := p.voice, p.sheet()
	n := sheet.Tally()
	p.log.Choices, p.log.Own, p.log.Ready = nil, nil, n.Reports > 0
	lines := append(p.head(), "", v.Say("pastlog.tally", n.Reports, n.Recaptures))
	if p.joined != nil {
		lines = append(lines, v.Say("pastlog.joined", p.known, p.unknown, p.log.First.Name))
	}
	lines = append(lines, v.Say("pastlog.into", p.seasonName()))
	for i, note := range sheet.Notes {
		if i == pastNotes {
			lines = append(lines, v.Say("pastlog.more", len(sheet.Notes)-i))
			break
		}
		lines = append(lines, "· "+words.SentenceCase(note.In(v.Tag())))
	}
	if n.Left > 0 {
		lines = append(lines, v.Say("pastlog.left_out", n.Left))
	}
	shown := 0
	for problem := range sheet.Problems() {
		if shown++; shown > pastProblems {
			lines = append(lines, v.Say("pastlog.more", n.Left-pastProblems))
			break
		}
		lines = append(lines, "· "+v.Say("pastlog.line", problem.Line)+problem.In(v.Tag()))
	}
	if !p.log.Ready {
		return p.asked(append(lines, v.Say("pastlog.mend")))
	}
	return p.asked(append(lines, v.Say("pastlog.nothing_yet")), bot.PastKeepButton(v.Say("button.past_keep", n.Reports), p.log))
}

func (p *pastLog) seasonName() string {
	name, _ := p.log.Settled(bot.SettingSeason)
	if name == "" {
		return p.voice.Say("pastlog.no_season")
	}
	return name
}

// keep takes the reports into the log, all in one transaction with the note of it.
func (p *pastLog) keep() (bot.File, error) {
	sheet := p.sheet()
	kept := &bot.PastKept{Club: p.log.Club(), Left: sheet.Tally().Left}
	kept.Season, _ = p.log.Settled(bot.SettingSeason)
	for e := range sheet.Entries() {
		e.Report.Chat, e.Report.Season = kept.Club, kept.Season
	}
	err := p.store.Update(func(tx *store.Tx) (err error) {
		now, err := bot.PastLogOf(tx, p.person)
		if err != nil || now.Number != p.log.Number {
			return err
		}
		if _, err = bot.SeasonOfPast(tx, kept.Club, kept.Season, sheet.Entries()); err != nil {
			return err
		}
		if kept.Added, kept.There, err = importer.Into(tx, sheet, true); err != nil {
			return err
		}
		p.log.Kept = kept
		if err := bot.SaveHeadingAnswers(tx, kept.Club, p.talk.Sheet().Headings(), p.talk.Answers()); err != nil {
			return err
		}
		return bot.SavePastLog(tx, p.person, p.log)
	})
	if err != nil {
		return bot.File{}, err
	}
	return p.told()
}

// told says what came of it; nothing is left to tap.
func (p *pastLog) told() (bot.File, error) {
	k := p.log.Kept
	if k == nil {
		return bot.File{Caption: p.voice.Say("press.old")}, nil
	}
	lines := []string{p.voice.Say("pastlog.kept", k.Added, p.seasonName(), p.club.Title)}
	if k.There > 0 {
		lines = append(lines, p.voice.Say("pastlog.there", k.There))
	}
	if k.Left > 0 {
		lines = append(lines, p.voice.Say("pastlog.left_out", k.Left))
	}
	return bot.File{Caption: strings.Join(append(lines, p.voice.Say("pastlog.now")), "\n")}, nil
}
