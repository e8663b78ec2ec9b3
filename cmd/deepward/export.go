package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"time"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/export"
)

// filterFlags choose reports; the commands that read a log have them.
type filterFlags struct {
	From   string       `help:"First day, as 2026-03-01."`
	To     string       `help:"Last day, as 2026-09-30."`
	Season string       `help:"Only this season."`
	Chat   catch.ClubID `help:"Only this club, by its number in the store."`
}

func (f filterFlags) filter() (catch.Filter, error) {
	out := catch.Filter{Season: f.Season, Chat: f.Chat}
	for _, day := range []struct {
		text string
		into *time.Time
		add  time.Duration
	}{{f.From, &out.From, 0}, {f.To, &out.To, 24*time.Hour - time.Second}} {
		if day.text == "" {
			continue
		}
		t, err := time.Parse(time.DateOnly, day.text)
		if err != nil {
			return out, usage("%q is no day; write it as 2026-03-01", day.text)
		}
		*day.into = t.Add(day.add)
	}
	return out, nil
}

// exportCmd writes the season log.
type exportCmd struct {
	storeFlags
	filterFlags
	Format    string  `help:"csv, table, xlsx, geojson, dwca or all." default:"csv"`
	Out       string  `help:"File to write; standard output by default." type:"path" short:"o"`
	Grid      float64 `help:"Size of the grid cells for places, in degrees; finer than 0.1 is for organisers." default:"0.1"`
	WithNames bool    `help:"Put in the names of the people who agreed to it."`
	WithWords bool    `help:"Put in what people wrote: it may name people and places, so not for passing on."`
	Dataset   string  `help:"Begins every identifier of the archive, such as a web address of the club; by default a name that only this store has."`
	Club      string  `help:"Name of the club, for the formats that have a place for it."`
	License   string  `help:"What others may do with the log: cc0, cc-by or cc-by-nc. Asked once for the formats that are made to be passed on, and kept with the season."`
	Contact   string  `help:"Whom to ask about the log, as 'Name <address>'; kept with the season."`
}

func (exportCmd) Help() string {
	return `Example:

    deepward export --format csv > season.csv
    deepward export --format all --season "Spring 2026" --license cc-by -o season.zip

csv is safe to open in a spreadsheet; table is the same for programs.`
}

func (c exportCmd) Run(e env) error {
	format, err := export.ParseFormat(c.Format)
	if err != nil {
		return usage("%v", err)
	}
	filter, err := c.filter()
	if err != nil {
		return err
	}
	license, err := c.license()
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	s, copied, err := c.openOrCopy(ctx, e)
	if err != nil {
		return err
	}
	defer s.Close()
	filter.Personal = c.WithNames || c.WithWords || c.Grid < 0.1
	o := export.Options{
		Format: format, GridDeg: c.Grid, WithNames: c.WithNames, WithWords: c.WithWords, Pseudonym: s.Pseudonym, Identifier: s.Identifier,
		Title: c.Season, Club: c.Club, MadeAt: e.now(),
	}
	if err := c.licensed(e, s, copied, &o, license); err != nil {
		return err
	}
	done := showProgress(e, &o)
	defer done()
	if err := mayReplace(c.Out); err != nil {
		return err
	}
	var left damage
	err = s.View(func(tx *store.Tx) error {
		o.Chat = bot.ChatNames(tx)
		o.Invented = inventedIn(tx, filter)
		o.Dataset = cmp.Or(c.Dataset, tx.Dataset())
		if err := anyReport(tx, filter); err != nil {
			return err
		}
		reports := left.readable(tx.Reports(filter))
		if c.Out == "" || c.Out == "-" {
			return export.Write(ctx, e.out, reports, o)
		}
		return export.ToFile(ctx, c.Out, reports, o)
	})
	switch {
	case errors.Is(err, export.ErrGrid):
		return usage("--grid %g: %v", c.Grid, err)
	case errors.Is(err, context.Canceled):
		return errors.New("stopped before the log was whole: no file was left, and what went to standard output is not all")
	case err == nil && len(left) > 0:
		return left.err()
	}
	return err
}

// anyReport is nil when the filter finds a report; else the error says what there is.
func anyReport(tx *store.Tx, f catch.Filter) error {
	for _, err := range tx.Reports(f) {
		if err == nil || errors.As(err, new(*catch.Damaged)) {
			return nil
		}
		return err
	}
	return nothingFound(tx, f)
}

// showEvery is how often progress is shown, at the earliest after showAfter.
const showEvery, showAfter = 200 * time.Millisecond, time.Second

// showProgress counts on a terminal what was written, once the work takes longer. A library
// for it would weigh two megabytes, in memory too, for the widths of all letters.
func showProgress(e env, o *export.Options) (done func()) {
	if !atKeyboard(e.err) {
		return func() {}
	}
	next, shown := time.Now().Add(showAfter), false
	o.Progress = func(n int) {
		if now := time.Now(); now.After(next) {
			fmt.Fprintf(e.err, "\rwriting: %d", n)
			next, shown = now.Add(showEvery), true
		}
	}
	return func() {
		if shown {
			fmt.Fprintln(e.err)
		}
	}
}
