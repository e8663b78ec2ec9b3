package main

import (
	"bufio"
	"errors"
	"fmt"
	"iter"
	"strings"
	"time"

	"deepward/bot"
	"deepward/bot/understand"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/importer"
)

// importCmd takes a past log into a season: it shows what it understood, and
// keeps it only when told to.
type importCmd struct {
	storeFlags
	Dates        string       `help:"Order of the dates where they can be read in two ways: dmy, mdy or ymd; serial for the day numbers of a spreadsheet."`
	Units        string       `help:"Units where neither heading nor cell names them: metric or imperial."`
	Recaptures   string       `help:"Where a column says recaptured: row when the row is the recapture, later when the fish of the row was seen again, repeat when the later lines of a tag are its recaptures."`
	Comma        string       `help:"What a comma in a figure is, where no figure proves it: thousands or decimal."`
	Date         string       `help:"The day of fish whose line has none, or of which it has only the year or month: 2016-07-01. They are marked."`
	Value        []string     `help:"Read a cell as something else: 'treatment:D=sent down'; 'depth:999=-' for not told." sep:"none"`
	Column       []string     `help:"Read a heading as something else: 'Dp=depth ft'; 'Dp=-' leaves it out." sep:"none"`
	Species      string       `help:"The fish of every row that names none."`
	Region       string       `help:"Where the log was kept: settles which fish a name means."`
	Zone         string       `help:"Where times of day were written down: America/New_York, or an offset such as -05:00."`
	Sheet        string       `help:"The sheet of a workbook; by default the first with a heading, and those with the same headings."`
	Also         []string     `help:"What another sheet of the workbook is: 'Returns=recaptures', or 'Returns=-' to leave it out." sep:"none"`
	Season       string       `help:"Season that the reports count in."`
	Chat         catch.ClubID `help:"The club they belong to, by its number in the store: deepward season shows it." default:"1"`
	Club         string       `help:"The club they belong to, by its name; made if there is none of that name."`
	SkipProblems bool         `help:"Leave out the rows with problems and keep the others."`
	Rows         bool         `help:"Show what was understood, row by row."`
	Keep         bool         `help:"Keep what was understood. Without it nothing is written."`
	Returns      string       `help:"A second file that holds the recaptures, joined by tag." type:"existingfile"`
	Ask          bool         `help:"Ask what is open one thing at a time, also where the answers come from a file."`
	Answers      string       `help:"Where answers are kept for the next table with the same headings; by default deepward-import.json beside the table." type:"path"`
	File         string       `arg:"" help:"CSV or XLSX file." type:"existingfile"`
}

func (importCmd) Help() string {
	return `Example:

    deepward import old-log.csv
    deepward import old-log.csv --units imperial --rows
    deepward import old-log.csv --units imperial --season "Spring 2019" --keep
    deepward import releases.csv --returns recaptures.csv

In a terminal it asks what is open, one thing at a time, shows rows as it
understands them, and keeps nothing before you say so. What you answered stands
in deepward-import.json beside the table, for the next one with the same
headings. In scripts, flags answer. --returns names recaptures in a file of
their own. A CSV file may be of any size: what is large is read in parts.

All rows are kept or none; of more than 20,000, what an error interrupts is added
by the same command again. The same file twice adds nothing. In a store that
serves a group, give the number of its club with --chat. A season that the club
does not have is made, closed, over the days of the log.`
}

func (c importCmd) Run(e env) error {
	o, err := c.options(e)
	if err != nil {
		return err
	}
	kept, err := c.readAnswers()
	if err != nil {
		return err
	}
	if c.inParts() {
		return optionError(c.large(e, o, kept))
	}
	talk, err := c.understand(c.File, o, kept)
	if errors.Is(err, importer.ErrTooLarge) {
		return optionError(c.large(e, o, kept))
	}
	if err != nil {
		return optionError(err)
	}
	if c.asks(e) {
		return c.talk(e, talk, o, kept)
	}
	sheet := talk.Sheet()
	if err := c.join(e, sheet, o, kept); err != nil {
		return optionError(err)
	}
	if c.Rows {
		err = sheet.WriteRows(e.out)
	}
	if err := errors.Join(err, sheet.WriteSummary(e.out)); err != nil {
		return err
	}
	if !c.Keep {
		fmt.Fprintln(e.out, "Nothing was written. Add --keep when it reads right.")
		return nil
	}
	return c.keep(e, sheet)
}

// optionError is a wrong use where a flag has a value that it cannot have.
func optionError(err error) error {
	if errors.Is(err, importer.ErrOption) {
		return usage("%v", err)
	}
	return err
}

// join adds the file of returns, if one is named, and says how many found their release.
func (c importCmd) join(e env, sheet *importer.Sheet, o importer.Options, kept answers) error {
	if c.Returns == "" {
		return nil
	}
	o.Recaptures = importer.ReturnsOnly
	returns, err := c.understand(c.Returns, o, kept)
	if err != nil {
		return err
	}
	return c.joined(e, sheet, returns.Sheet())
}

func (c importCmd) joined(e env, sheet, returns *importer.Sheet) error {
	known, unknown := sheet.Join(returns)
	_, err := fmt.Fprintf(e.out, "%s: %d recaptures have their release in %s, %d do not\n", returns.Name, known, sheet.Name, unknown)
	return err
}

// talk asks, shows, and keeps what was understood when it is told to.
func (c importCmd) talk(e env, talk *importer.Talk, o importer.Options, kept answers) error {
	lines := bufio.NewScanner(e.in)
	fmt.Fprintf(e.out, "%s: %d lines. One question at a time; quit leaves, and nothing is kept before you say so.\n", c.File, len(talk.Sheet().Rows))
	showRows(e.out, talk)
	if c.converse(e, lines, talk) {
		return c.left(e, talk, kept)
	}
	sheet := talk.Sheet()
	if c.Returns != "" {
		o.Recaptures = importer.ReturnsOnly
		returns, err := c.understand(c.Returns, o, kept)
		if err != nil {
			return err
		}
		fmt.Fprintf(e.out, "\nNow %s, the recaptures.\n", c.Returns)
		stopped := c.converse(e, lines, returns)
		kept.note(returns)
		if stopped {
			return c.left(e, talk, kept)
		}
		if err := c.joined(e, sheet, returns.Sheet()); err != nil {
			return err
		}
	}
	fmt.Fprintln(e.out)
	if err := errors.Join(sheet.WriteSummary(e.out), c.noteAnswers(e, talk, kept)); err != nil {
		return err
	}
	return c.askToKeep(e, lines, sheet)
}

// left ends a conversation before its end: the answers stay, nothing else.
func (c importCmd) left(e env, talk *importer.Talk, kept answers) error {
	err := c.noteAnswers(e, talk, kept)
	fmt.Fprintln(e.out, "Nothing was kept. The same command goes on where you left.")
	return err
}

// noteAnswers keeps the answers for the next table with the same headings.
func (c importCmd) noteAnswers(e env, talk *importer.Talk, kept answers) error {
	kept.note(talk)
	if len(kept) == 0 {
		return nil
	}
	fmt.Fprintf(e.out, "Your answers are in %s, for the next table with these headings.\n", c.answersPath())
	return c.keepAnswers(kept)
}

// askToKeep asks for the season and whether to keep what was understood.
func (c importCmd) askToKeep(e env, lines *bufio.Scanner, sheet *importer.Sheet) error {
	c.askSeason(e, lines)
	for entry := range sheet.Entries() {
		entry.Report.Season = c.Season
	}
	problems := 0
	for range sheet.Problems() {
		problems++
	}
	if !c.agrees(e, lines, problems) {
		fmt.Fprintln(e.out, "Nothing was kept.")
		return nil
	}
	c.SkipProblems = c.SkipProblems || problems > 0
	return c.keep(e, sheet)
}

// agrees asks whether to keep what was understood.
func (c importCmd) agrees(e env, lines *bufio.Scanner, problems int) bool {
	question := "Keep this? keep or no: "
	if problems > 0 {
		question = fmt.Sprintf("Keep this without the lines that have problems (%d)? keep or no: ", problems)
	}
	answer, _ := askLine(e, lines, question)
	w := strings.ToLower(strings.TrimSpace(answer))
	return w == "keep" || w == "yes" || w == "y"
}

func (c importCmd) options(e env) (importer.Options, error) {
	o := importer.Options{
		Now: e.now(), Dates: importer.DateOrder(c.Dates), Units: importer.Units(c.Units), Recaptures: importer.Recaptures(c.Recaptures),
		Columns: map[string]string{}, Species: c.Species, SheetName: c.Sheet, Sheets: map[string]string{}, Chat: c.Chat, Season: c.Season,
		Doubts: bot.Doubts, Values: map[string]string{}, Date: c.Date, Comma: importer.Comma(c.Comma),
	}
	for _, value := range c.Value {
		at := strings.LastIndexByte(value, '=')
		if at < 0 || !strings.Contains(value[:at], ":") {
			return o, usage("write --value as 'HEADING:CELL=MEANING', such as 'treatment:D=sent down'; %q is not", value)
		}
		o.Values[value[:at]] = value[at+1:]
	}
	for _, column := range c.Column {
		heading, as, ok := strings.Cut(column, "=")
		if !ok {
			return o, usage("write --column as 'heading=depth ft'; %q has no =", column)
		}
		o.Columns[heading] = as
	}
	for _, sheet := range c.Also {
		name, as, ok := strings.Cut(sheet, "=")
		if !ok {
			return o, usage("write --also as 'SHEET=recaptures' or 'SHEET=-'; %q has no =", sheet)
		}
		o.Sheets[name] = as
	}
	zone, err := zoneNamed(c.Zone)
	if err != nil {
		return o, err
	}
	o.Zone = zone
	region, err := regionNamed(c.Region)
	if err != nil {
		return o, err
	}
	reader := understand.NewReader()
	o.FindSpecies = func(name string) (string, bool) { return reader.SpeciesNamed(name, region) }
	return o, nil
}

// zoneNamed is the zone of a name or an offset, nil for "".
func zoneNamed(text string) (*time.Location, error) {
	if text == "" {
		return nil, nil
	}
	if t, err := time.Parse("-07:00", text); err == nil {
		_, east := t.Zone()
		return time.FixedZone("", east), nil
	}
	zone, err := time.LoadLocation(text)
	if err != nil || text == "Local" {
		return nil, usage("--zone %q is no zone; write it as America/New_York or -05:00", text)
	}
	return zone, nil
}

// oneTransaction is how many reports are kept all together or none; more go in parts, and
// after an error the same command adds the rest.
const oneTransaction = 20_000

// inTransactions runs each part in a transaction of its own.
func inTransactions(s *store.Store) func(func(importer.Log) error) error {
	return func(do func(importer.Log) error) error {
		return s.Update(func(tx *store.Tx) error { return do(tx) })
	}
}

// place gives the reports their club, and makes the season where it must; made says so.
func (c importCmd) place(tx *store.Tx, sheet *importer.Sheet) (made string, err error) {
	club, err := c.club(tx)
	if err != nil {
		return "", err
	}
	for entry := range sheet.Entries() {
		entry.Report.Chat = club
	}
	return c.madeSeason(tx, club, sheet.Entries())
}

// madeSeason makes the season where the club has none of that name, and says so.
func (c importCmd) madeSeason(tx *store.Tx, club catch.ClubID, entries iter.Seq[importer.Entry]) (string, error) {
	season, err := bot.SeasonOfPast(tx, club, c.Season, entries)
	if err != nil || season == nil {
		return "", err
	}
	return fmt.Sprintf("Season %s of club %d was made: %s to %s, closed.\n", season.Name, club, season.Opens.Format(time.DateOnly), season.Closes.Format(time.DateOnly)), nil
}

func (c importCmd) keep(e env, sheet *importer.Sheet) error {
	s, err := c.openToChange(e, stopFirst)
	if err != nil {
		return err
	}
	defer s.Close()
	var added, there int
	var made string
	large := sheet.Tally().Reports > oneTransaction
	err = s.Update(func(tx *store.Tx) (err error) {
		if made, err = c.place(tx, sheet); err != nil || large {
			return err
		}
		added, there, err = importer.Into(tx, sheet, c.SkipProblems)
		return err
	})
	if err == nil && large {
		added, there, err = importer.IntoParts(inTransactions(s), sheet, c.SkipProblems)
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s%d reports added, %d were there already\n", made, added, there)
	return nil
}

// club is the number of the club that the reports belong to. In a new store the first
// one is made: else the first person who writes to the bot would get its number, and
// with it the log.
func (c importCmd) club(tx *store.Tx) (catch.ClubID, error) {
	titles, err := bot.ClubTitles(tx)
	if err != nil {
		return 0, err
	}
	if c.Club != "" {
		for number, title := range titles {
			if strings.EqualFold(title, c.Club) {
				return number, nil
			}
		}
		return bot.NewClub(tx, c.Club)
	}
	if _, known := tx.TransportChat(c.Chat); known {
		return c.Chat, nil
	}
	if c.Chat == 1 {
		if number, err := bot.NewClub(tx, ""); err != nil || number == c.Chat {
			return number, err
		}
	}
	return 0, usage("there is no club %d here; deepward season shows their numbers, and --club NAME makes one", c.Chat)
}
