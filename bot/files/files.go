// Package files makes the pictures and documents that replies carry: the season
// log, the summary, the pocket card, the drawings of the lessons, and what is
// kept of a person.
package files

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"time"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/export"
	"deepward/store/report"
	"deepward/store/season"
)

// Maker makes files from one store.
type Maker struct {
	store *store.Store
	now   func() time.Time
	// reading holds the one table that is read at a time: several would not fit.
	reading sync.Mutex
	// names finds fish for it.
	names func() *understand.Reader
}

// New returns a maker for a store; now is the clock.
func New(s *store.Store, now func() time.Time) *Maker {
	return &Maker{store: s, now: now, names: sync.OnceValue(understand.NewReader)}
}

// Make makes the file that an attachment names.
func (m *Maker) Make(ctx context.Context, a bot.Attachment) (bot.File, error) {
	switch a.Kind {
	case bot.FileExport:
		return m.export(ctx, a.Args)
	case bot.FileSummary:
		return m.summary(a.Args)
	case bot.FileReport:
		return m.report(a.Args)
	case bot.FileSeasonCard:
		return m.seasonCard(a.Args)
	case bot.FileCard:
		return m.card(a.Args)
	case bot.FileLesson:
		return m.lesson(a.Args)
	case bot.FileLetter:
		return m.letter(a.Args)
	case bot.FilePastLog:
		return m.pastLog(ctx, a)
	case bot.FileMyData:
		return m.myData(a.Args)
	default:
		return bot.File{}, fmt.Errorf("no maker for %q here", a.Kind)
	}
}

// readable leaves damaged reports out, and logs which.
func (m *Maker) readable(reports export.Reports) export.Reports {
	return catch.Readable(reports, m.store.NoteDamaged)
}

// clubIn is the club that the file is about.
func clubIn(args map[string]string) (catch.ClubID, error) {
	n, err := strconv.ParseInt(args["chat"], 10, 64)
	return catch.ClubID(n), err
}

// personIn is whose file is wanted.
func personIn(args map[string]string) (catch.PersonID, error) {
	n, err := strconv.ParseInt(args["person"], 10, 64)
	return catch.PersonID(n), err
}

// voiceIn is the language and the units that a file is wanted in.
func voiceIn(args map[string]string) words.Voice {
	return words.For(args["language"], args["imperial"] == "true")
}

// export writes the season log of one club to a temporary file, from a view that
// holds no writer up, and names it by the day.
func (m *Maker) export(ctx context.Context, args map[string]string) (bot.File, error) {
	club, err := clubIn(args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose log: %w", err)
	}
	format, err := export.ParseFormat(args["format"])
	if err != nil {
		return bot.File{}, err
	}
	dir, err := os.MkdirTemp("", "deepward-export-")
	if err != nil {
		return bot.File{}, err
	}
	name := "season-log-" + m.now().Format(time.DateOnly) + "." + format.Extension()
	f := bot.File{Name: name, Path: filepath.Join(dir, name), Cleanup: func() { os.RemoveAll(dir) }}
	o := export.Options{Format: format, WithNames: true, Pseudonym: m.store.Pseudonym, Identifier: m.store.Identifier, MadeAt: m.now()}
	err = m.store.View(func(tx *store.Tx) error {
		c, err := bot.ClubOf(tx, club)
		if err != nil {
			return err
		}
		o.Club, o.Chat, o.Dataset = c.Title, bot.ChatNames(tx), tx.Dataset()
		if o.License, o.Contact, err = passedOn(tx, club, args["license"]); err != nil {
			return err
		}
		return export.ToFile(ctx, f.Path, m.readable(tx.Reports(catch.Filter{Chat: club, Personal: true})), o)
	})
	if err != nil {
		f.Done()
		return bot.File{}, err
	}
	return f, nil
}

// passedOn is what others may do with the log of a club, and whom to ask: as was just said,
// else as its seasons say. A format that nobody passes on needs neither.
func passedOn(tx *store.Tx, club catch.ClubID, said string) (license export.License, contact string, err error) {
	of, err := bot.LicenseOf(tx, club)
	if word := cmp.Or(said, of.License); err == nil && word != "" {
		license, err = export.ParseLicense(word)
	}
	return license, of.Contact, err
}

// summary is what a season in a chat achieved: in words, with a chart where there is
// something to draw. The log is read in one pass, from a view that holds no writer up.
func (m *Maker) summary(args map[string]string) (bot.File, error) {
	club, err := clubIn(args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose season: %w", err)
	}
	var made *report.Report
	err = m.store.View(func(tx *store.Tx) (err error) {
		made, err = report.Build(m.readable(tx.Reports(catch.Filter{Chat: club, Season: args["season"]})), report.Options{})
		return err
	})
	if err != nil {
		return bot.File{}, err
	}
	voice := voiceIn(args)
	f := bot.File{Caption: bot.SummaryText(voice, made.Findings)}
	if !bot.HasPicture(made.Findings) {
		return f, nil
	}
	var out bytes.Buffer
	if err := made.ChartPNG(&out, labelsOfChart(voice)); err != nil {
		return bot.File{}, err
	}
	f.Name, f.Data = "season.png", out.Bytes()
	return f, nil
}

// seasonCard is how far a season has come, in words.
func (m *Maker) seasonCard(args map[string]string) (bot.File, error) {
	club, err := clubIn(args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose season: %w", err)
	}
	var found season.Findings
	err = m.store.View(func(tx *store.Tx) (err error) {
		found, err = season.Find(m.readable(tx.Reports(catch.Filter{Chat: club, Season: args["season"]})), season.Options{})
		return err
	})
	voice := voiceIn(args)
	return bot.File{Caption: bot.SeasonCardText(voice, args["season"], found)}, err
}

// labelsOfChart are the words of the chart in the reader's language.
func labelsOfChart(v words.Voice) report.Labels {
	return report.Labels{
		Hundred: v.Say("chart.hundred"), Saved: v.Say("chart.saved", "%.0f", "%.0f"), Anyway: v.Say("chart.anyway"),
		Died: v.Say("chart.died"), Reckoned: v.Say("chart.reckoned"), Seen: v.Say("chart.seen"),
		Share: v.Say("chart.share", "%s", "%s"), Axis: v.Say("chart.axis"),
		Language: v.Language(), Way: func(m advisor.Method) string { return v.Say("method." + string(m)) },
	}
}
