package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"deepward/bot"
	"deepward/bot/understand"
	"deepward/store"
	"deepward/store/importer"
)

// importCmd takes a past log into a season: it shows what it understood, and
// keeps it only when told to.
type importCmd struct {
	storeFlags
	Dates        string   `help:"Order of the dates where they can be read in two ways: dmy, mdy or ymd; serial for the day numbers of a spreadsheet."`
	Units        string   `help:"Units where neither heading nor cell names them: metric or imperial."`
	Recaptures   string   `help:"Where a column says recaptured: row when the row is the recapture, later when the fish of the row was seen again."`
	Comma        string   `help:"What a comma in a figure is, where no figure proves it: thousands or decimal."`
	Date         string   `help:"The day of fish whose line has none, or of which it has only the year or month: 2016-07-01. They are marked."`
	Value        []string `help:"Read a cell as something else: 'treatment:D=sent down'; 'depth:999=-' for not told." sep:"none"`
	Column       []string `help:"Read a heading as something else: 'Dp=depth ft'; 'Dp=-' leaves it out." sep:"none"`
	Species      string   `help:"The fish of every row that names none."`
	Region       string   `help:"Where the log was kept: settles which fish a name means."`
	Sheet        string   `help:"The sheet of a workbook; the first with a heading by default."`
	Season       string   `help:"Season that the reports count in."`
	Chat         int64    `help:"The club they belong to, by its number in the store." default:"1"`
	SkipProblems bool     `help:"Leave out the rows with problems and keep the others."`
	Rows         bool     `help:"Show what was understood, row by row."`
	Keep         bool     `help:"Keep what was understood. Without it nothing is written."`
	File         string   `arg:"" help:"CSV or XLSX file." type:"existingfile"`
}

func (importCmd) Help() string {
	return `Example: deepward import old-log.csv --rows

Then, when it reads right: deepward import old-log.csv --season "Spring 2019" --keep

All rows are kept or none; the same file twice adds nothing.`
}

func (c importCmd) Run(e env) error {
	o, err := c.options(e)
	if err != nil {
		return err
	}
	f, err := os.Open(c.File)
	if err != nil {
		return err
	}
	defer f.Close()
	sheet, err := importer.Read(f, filepath.Base(c.File), o)
	if err != nil {
		return err
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

func (c importCmd) options(e env) (importer.Options, error) {
	o := importer.Options{
		Now: e.now(), Dates: importer.DateOrder(c.Dates), Units: importer.Units(c.Units), Recaptures: importer.Recaptures(c.Recaptures),
		Columns: map[string]string{}, Species: c.Species, SheetName: c.Sheet, Chat: c.Chat, Season: c.Season,
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
	region, err := regionNamed(c.Region)
	if err != nil {
		return o, err
	}
	reader := understand.NewReader()
	o.FindSpecies = func(name string) (string, bool) {
		found := reader.FindSpecies(name, region)
		if len(found.Species) == 0 {
			return "", false
		}
		return found.Species[0].ScientificName, !found.Ambiguous && !found.Unsure
	}
	return o, nil
}

func (c importCmd) keep(e env, sheet *importer.Sheet) error {
	s, err := c.open(e)
	if err != nil {
		return err
	}
	defer s.Close()
	var added, there int
	err = s.Update(func(tx *store.Tx) (err error) {
		added, there, err = importer.Into(tx, sheet, c.SkipProblems)
		return err
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%d reports added, %d were there already\n", added, there)
	return nil
}
