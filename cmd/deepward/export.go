package main

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"os"
	"os/signal"
	"time"

	"github.com/schollz/progressbar/v3"

	"deepward/bot"
	"deepward/bot/terminal"
	"deepward/store"
	"deepward/store/export"
)

// filterFlags choose reports; the commands that read a log have them.
type filterFlags struct {
	From   string `help:"First day, as 2026-03-01."`
	To     string `help:"Last day, as 2026-09-30."`
	Season string `help:"Only this season."`
	Chat   int64  `help:"Only this club, by its number in the store."`
}

func (f filterFlags) filter() (store.Filter, error) {
	out := store.Filter{Season: f.Season, Chat: f.Chat}
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
	Grid      float64 `help:"Size of the grid cells for places, in degrees." default:"0.1"`
	WithNames bool    `help:"Put in the names of the people who agreed to it."`
	WithWords bool    `help:"Put in what people wrote: it may name people and places, so not for passing on."`
	Dataset   string  `help:"Begins every identifier of the archive, such as a web address of the club."`
	Club      string  `help:"Name of the club, for the formats that have a place for it."`
}

func (exportCmd) Help() string {
	return `Example: deepward export --format csv > season.csv
Example: deepward export --format all --season "Spring" -o season.zip
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
	s, err := c.openExisting(e)
	if err != nil {
		return err
	}
	defer s.Close()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	filter.Personal = c.WithNames || c.WithWords || c.Grid < 0.1
	o := export.Options{
		Format: format, GridDeg: c.Grid, WithNames: c.WithNames, WithWords: c.WithWords, Pseudonym: s.Pseudonym, Dataset: c.Dataset,
		Title: c.Season, Club: c.Club, MadeAt: e.now(),
	}
	done := showProgress(e, &o)
	defer done()
	err = s.View(func(tx *store.Tx) error {
		o.Chat = bot.ChatNames(tx)
		if c.Out == "" || c.Out == "-" {
			return export.Write(ctx, e.out, reportsOf(tx, filter), o)
		}
		return export.ToFile(ctx, c.Out, reportsOf(tx, filter), o)
	})
	if errors.Is(err, export.ErrGrid) {
		return usage("--grid: %v", err)
	}
	return err
}

func reportsOf(tx *store.Tx, f store.Filter) iter.Seq2[*store.Report, error] { return tx.Reports(f) }

// showProgress draws a bar on a terminal once the work takes more than a second.
func showProgress(e env, o *export.Options) (done func()) {
	f, ok := e.err.(*os.File)
	if !ok || !terminal.IsKeyboard(f) {
		return func() {}
	}
	started := time.Now()
	var bar *progressbar.ProgressBar
	o.Progress = func(n int) {
		if bar == nil && time.Since(started) > time.Second {
			bar = progressbar.NewOptions(-1, progressbar.OptionSetWriter(f), progressbar.OptionSetDescription("writing"), progressbar.OptionShowCount(), progressbar.OptionThrottle(200*time.Millisecond))
		}
		if bar != nil {
			_ = bar.Set(n)
		}
	}
	return func() {
		if bar != nil {
			fmt.Fprintln(f)
		}
	}
}
