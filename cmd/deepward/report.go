package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/report"
	"deepward/store/season"
)

// reportCmd writes the season report.
type reportCmd struct {
	storeFlags
	filterFlags
	Out      string `help:"Page to write." type:"path" short:"o" default:"season.html"`
	Club     string `help:"Name of the club."`
	Title    string `help:"Title of the page."`
	Days     int    `help:"Days a tagged fish must have been out before the end of the log to count." default:"7"`
	Language string `help:"Language of the page: en, es, pt, pt-BR or fr; that of the club by default." enum:",en,es,pt,pt-BR,fr" default:""`
	Sheet    bool   `help:"Write one page for the club's meeting instead, with the season before beside this one."`
	JSON     bool   `help:"Print all figures, unrounded, as one JSON object; write no page."`
	AllClubs bool   `help:"Add the reports of several clubs up as one."`
	Seed     uint64 `help:"The same seed gives the same range." default:"0"`
}

func (reportCmd) Help() string {
	return `Example:

    deepward report --season "Spring 2026" -o season.html
    deepward report --chat 1 --language es -o season-es.html
    deepward report --season "Spring 2026" --json > season.json`
}

func (c reportCmd) Run(e env) error {
	filter, err := c.filter()
	if err != nil {
		return err
	}
	s, err := c.openToRead(context.Background(), e)
	if err != nil {
		return err
	}
	defer s.Close()
	var made *report.Report
	var before *report.Report
	var left damage
	err = s.View(func(tx *store.Tx) (err error) {
		if c.Language == "" && c.Chat != 0 {
			club, err := bot.ClubOf(tx, c.Chat)
			if err != nil {
				return err
			}
			c.Language = club.Language
		}
		clubs, seasons := map[catch.ClubID]bool{}, map[string]bool{}
		o := report.Options{
			Title: c.Title, Club: c.Club, MadeAt: e.now(), Language: c.Language, Season: season.Options{Seed: c.Seed, MinDays: &c.Days},
		}
		if filter.Season != "" || !filter.To.IsZero() {
			o.Season.Later = filter.Outside(left.readable(tx.Reports(catch.Filter{Chat: c.Chat})))
		}
		made, err = report.Build(countsIn(left.readable(tx.Reports(filter)), clubs, seasons), o)
		if err == nil {
			err = c.head(tx, made, clubs, seasons)
		}
		if err == nil && c.Sheet {
			before, err = c.seasonBefore(tx, cmp.Or(c.Season, only(seasons)), &left)
		}
		switch {
		case err != nil:
			return err
		case made.Findings.Reports == 0:
			return nothingFound(tx, filter)
		case c.AllClubs:
			return nil
		}
		return oneClub(tx, clubs)
	})
	if err != nil {
		return err
	}
	if c.JSON {
		return errors.Join(made.WriteJSON(e.out), left.err())
	}
	write := made.WriteHTML
	if c.Sheet {
		write = func(w io.Writer) error { return made.WriteSheet(w, before) }
	}
	if err := writeFile(c.Out, forAll, write); err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: open it, or print it on A4\n", c.Out)
	return left.err()
}

// head names the season and the club over the report, where no flag does and its reports
// are of one.
func (c reportCmd) head(tx *store.Tx, made *report.Report, clubs map[catch.ClubID]bool, seasons map[string]bool) error {
	titles, err := bot.ClubTitles(tx)
	if err == nil {
		made.Head(cmp.Or(c.Title, c.Season, only(seasons)), cmp.Or(c.Club, titles[cmp.Or(c.Chat, only(clubs))]))
	}
	return err
}

// seasonBefore is the season before that of the report, added up; nil if there is none.
func (c reportCmd) seasonBefore(tx *store.Tx, this string, left *damage) (*report.Report, error) {
	all, err := tx.Seasons(c.Chat)
	if err != nil {
		return nil, err
	}
	name, ok := catch.SeasonBefore(all, this)
	if !ok {
		return nil, nil
	}
	f := catch.Filter{Chat: c.Chat, Season: name}
	return report.Build(left.readable(tx.Reports(f)), report.Options{Title: name, Language: c.Language, Season: season.Options{Seed: c.Seed}})
}
