package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// seasonCmd shows the clubs and seasons of a store, and opens and closes seasons,
// as /season does in a club's chat.
type seasonCmd struct {
	List  seasonListCmd  `cmd:"" default:"withargs" help:"Show the clubs and their seasons, with the numbers that --chat takes."`
	New   seasonNewCmd   `cmd:"" help:"Add a season, or give one other days."`
	Close seasonCloseCmd `cmd:"" help:"Take no more reports into a season."`
	Open  seasonOpenCmd  `cmd:"" help:"Take reports into a closed season again."`
}

func (seasonCmd) Help() string {
	return `Example:

    deepward season
    deepward season new "Spring 2026" --from 2026-03-01 --to 2026-09-30 --chat 1
    deepward season close "Spring 2026" --chat 1`
}

type seasonListCmd struct{ storeFlags }

func (c seasonListCmd) Run(e env) error {
	s, err := c.openToRead(context.Background(), e)
	if err != nil {
		return err
	}
	defer s.Close()
	return s.View(func(tx *store.Tx) error { return listSeasons(e.out, tx) })
}

// seasonOf names a season of a club. The empty name stands for reports in none.
type seasonOf struct {
	chat catch.ClubID
	name string
}

// listSeasons writes a line for each season, for each club that has none, and for
// the reports that are in none.
func listSeasons(w io.Writer, tx *store.Tx) error {
	titles, err := bot.ClubTitles(tx)
	if err != nil {
		return err
	}
	rows, err := tx.Seasons(0)
	if err != nil {
		return err
	}
	count, err := countReports(tx)
	if err != nil {
		return err
	}
	for _, s := range rows {
		titles[s.Chat] = cmp.Or(titles[s.Chat], "-")
	}
	for of := range count { // a season that reports name and the club does not have
		if of.name != "" && !slices.ContainsFunc(rows, func(s catch.Season) bool { return s.Chat == of.chat && s.Name == of.name }) {
			titles[of.chat] = cmp.Or(titles[of.chat], "-")
		}
	}
	for chat := range titles {
		titles[chat] = cmp.Or(titles[chat], "-")
	}
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "CHAT\tCLUB\tSEASON\tFROM\tTO\tSTATE\tREPORTS")
	for _, chat := range slices.Sorted(maps.Keys(titles)) {
		for _, s := range rows {
			if s.Chat == chat {
				fmt.Fprintf(tab, "%d\t%s\t%s\t%d\n", chat, titles[chat], spanOf(s), count[seasonOf{chat, s.Name}])
				delete(count, seasonOf{chat, s.Name})
			}
		}
		for _, of := range slices.SortedFunc(maps.Keys(count), func(a, b seasonOf) int { return strings.Compare(a.name, b.name) }) {
			if of.chat == chat && of.name != "" {
				fmt.Fprintf(tab, "%d\t%s\t%s\t\t\tnot made\t%d\n", chat, titles[chat], of.name, count[of])
				delete(count, of)
			}
		}
		fmt.Fprintf(tab, "%d\t%s\tin no season\t\t\t\t%d\n", chat, titles[chat], count[seasonOf{chat, ""}])
		delete(count, seasonOf{chat, ""})
	}
	rest := 0
	for _, n := range count {
		rest += n
	}
	fmt.Fprintf(tab, "\tprivate chats\t\t\t\t\t%d\n", rest)
	return tab.Flush()
}

// countReports counts the reports of each club's seasons; those of a chat that is
// no club's count with it once they are shared.
func countReports(tx *store.Tx) (map[seasonOf]int, error) {
	count := map[seasonOf]int{}
	damaged := func(uint64) {} // deepward export and backup --check name them
	for r, err := range catch.Readable(tx.Reports(catch.Filter{}), damaged) {
		if err != nil {
			return nil, err
		}
		count[seasonOf{cmp.Or(r.Club, r.Chat), r.Season}]++
	}
	return count, nil
}

// spanOf is a season's name, days and state as columns.
func spanOf(s catch.Season) string {
	state := "open"
	if s.Closed {
		state = "closed"
	}
	return strings.Join([]string{s.Name, s.Opens.Format(time.DateOnly), s.Closes.Format(time.DateOnly), state}, "\t")
}

// oneSeason names a season to change.
type oneSeason struct {
	storeFlags
	Chat catch.ClubID `help:"The club, by its number in the store: deepward season shows it." required:""`
	Name string       `arg:"" help:"The name of the season."`
}

// change changes the season; found is false for a new one. It is kept when change
// returns nil. inChat is what does the same in the club's chat.
func (c oneSeason) change(e env, inChat string, change func(tx *store.Tx, s *catch.Season, found bool) error) error {
	if _, err := os.Stat(c.path()); err != nil {
		return noStore(c.path())
	}
	s, err := c.openToChange(e, "an admin can say "+inChat+" in the club's chat; or "+stopFirst)
	if err != nil {
		return err
	}
	err = s.Update(func(tx *store.Tx) error {
		if _, known := tx.TransportChat(c.Chat); !known {
			return usage("there is no club %d here; deepward season shows their numbers", c.Chat)
		}
		season, found, err := tx.Season(c.Chat, c.Name)
		if err != nil {
			return err
		}
		if err := change(tx, &season, found); err != nil {
			return err
		}
		all, err := tx.Seasons(c.Chat)
		if err != nil {
			return err
		}
		if i := slices.IndexFunc(all, season.Clashes); i >= 0 {
			return usage("%s is open in some of these days; close it first, or choose others", all[i].Name)
		}
		if err := tx.PutSeason(season); err != nil {
			return err
		}
		return listSeasons(e.out, tx)
	})
	return errors.Join(err, s.Close())
}

type seasonNewCmd struct {
	oneSeason
	From string `help:"First day, as 2026-03-01." required:""`
	To   string `help:"Last day, as 2026-09-30." required:""`
	Yes  bool   `help:"Set the days also where reports of the season lie outside them."`
}

func (seasonNewCmd) Help() string {
	return `Example:

    deepward season new "Spring 2026" --from 2026-03-01 --to 2026-09-30 --chat 1`
}

func (c seasonNewCmd) Run(e env) error {
	days, err := filterFlags{From: c.From, To: c.To}.filter()
	if err != nil {
		return err
	}
	if days.To.Before(days.From) {
		return usage("the season ends before it begins; give its first day with --from")
	}
	inChat := fmt.Sprintf("/season new %s %s %s", c.Name, c.From, c.To)
	return c.change(e, inChat, func(tx *store.Tx, s *catch.Season, _ bool) error {
		if err := c.outside(tx, days); err != nil {
			return err
		}
		*s = catch.Season{Name: c.Name, Chat: c.Chat, Opens: days.From, Closes: days.To, Closed: s.Closed, License: s.License, Contact: s.Contact}
		return nil
	})
}

// outside refuses days that leave reports of the season outside, unless told to.
func (c seasonNewCmd) outside(tx *store.Tx, days catch.Filter) error {
	n := 0
	var first, last time.Time
	for r, err := range days.Outside(catch.Readable(tx.Reports(catch.Filter{Season: c.Name, Chat: c.Chat}), func(uint64) {})) {
		if err != nil {
			return err
		}
		if n++; first.IsZero() {
			first = r.CaughtAt
		}
		last = r.CaughtAt
	}
	if n == 0 || c.Yes {
		return nil
	}
	return usage("%d reports of %s would lie outside these days (%s to %s); choose others, or add --yes: the reports stay in the season", n, c.Name, first.Format(time.DateOnly), last.Format(time.DateOnly))
}

type seasonCloseCmd struct{ oneSeason }

func (seasonCloseCmd) Help() string {
	return `Example:

    deepward season close "Spring 2026" --chat 1`
}

func (c seasonCloseCmd) Run(e env) error { return c.turn(e, true) }

type seasonOpenCmd struct{ oneSeason }

func (seasonOpenCmd) Help() string {
	return `Example:

    deepward season open "Spring 2026" --chat 1`
}

func (c seasonOpenCmd) Run(e env) error { return c.turn(e, false) }

// turn closes or reopens a season that is there.
func (c oneSeason) turn(e env, closed bool) error {
	verb := "open"
	if closed {
		verb = "close"
	}
	return c.change(e, "/season "+verb+" "+c.Name, func(_ *store.Tx, s *catch.Season, found bool) error {
		if !found {
			return usage("club %d has no season %q; deepward season shows them", c.Chat, c.Name)
		}
		s.Closed = closed
		return nil
	})
}
