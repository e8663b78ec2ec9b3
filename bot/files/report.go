package files

import (
	"bytes"
	"fmt"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/report"
)

// report is the page of a club's season, or the sheet for its meeting with the season
// before beside it. Tagged fish are followed into later seasons.
func (m *Maker) report(args map[string]string) (bot.File, error) {
	club, err := clubIn(args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose season: %w", err)
	}
	var made, before *report.Report
	err = m.store.View(func(tx *store.Tx) (err error) {
		if made, err = m.added(tx, club, args["season"], args["language"]); err != nil || args["form"] == "page" {
			return err
		}
		name, ok, err := seasonBefore(tx, club, args["season"])
		if ok {
			before, err = m.added(tx, club, name, args["language"])
		}
		return err
	})
	if err != nil {
		return bot.File{}, err
	}
	var out bytes.Buffer
	name := "season.html"
	switch args["form"] {
	case "sheet":
		name, err = "season-sheet.html", made.WriteSheet(&out, before)
	case "picture":
		name, err = "season-sheet.png", made.SheetPNG(&out, before)
	default:
		err = made.WriteHTML(&out)
	}
	return bot.File{Name: name, Data: out.Bytes()}, err
}

// added adds a season of a club up; "" is its whole log.
func (m *Maker) added(tx *store.Tx, club catch.ClubID, name, language string) (*report.Report, error) {
	c, err := bot.ClubOf(tx, club)
	if err != nil {
		return nil, err
	}
	f := catch.Filter{Chat: club, Season: name}
	o := report.Options{Title: name, Club: c.Title, MadeAt: m.now(), Language: language}
	if name != "" {
		o.Season.Later = f.Outside(m.readable(tx.Reports(catch.Filter{Chat: club})))
	}
	return report.Build(m.readable(tx.Reports(f)), o)
}

// seasonBefore is the club's season before the one of that name.
func seasonBefore(tx *store.Tx, club catch.ClubID, name string) (string, bool, error) {
	all, err := tx.Seasons(club)
	last, ok := catch.SeasonBefore(all, name)
	return last, ok && err == nil, err
}
