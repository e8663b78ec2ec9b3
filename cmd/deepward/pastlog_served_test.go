package main

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/telegram"
	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
)

const (
	theClub   = -100
	organiser = 501
	member    = 502
)

// club is a club with one organiser, served over the stand-in.
type club struct {
	*testing.T
	api   *standin.Server
	store *store.Store
}

// inClub plays a talk with a served club on a clock of its own, so that the limits of
// sending and the time between taps pass in no time.
func inClub(t *testing.T, test func(c *club)) {
	t.Helper()
	t.Parallel()
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC))) // after the days of the tables
		test(serveClub(t, dir))
	})
}

// serveClub serves a club whose store is in dir until the test ends, its desk changed as
// the test needs it.
func serveClub(t *testing.T, dir string, change ...func(*bot.Desk)) *club {
	t.Helper()
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
	require.NoError(t, err)
	c := &club{t, standin.NewDirect(), s}
	token, err := telegram.NewToken(standin.Token)
	require.NoError(t, err)
	log := slog.New(slog.DiscardHandler)
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, time.Now), Log: log}
	for _, f := range change {
		f(desk)
	}
	config := telegram.Config{Token: token, APIURL: c.api.URL, Transport: c.api, Limits: telegram.DefaultLimits, Log: log}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- telegram.Run(ctx, config, desk) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
		c.api.Close()
		require.NoError(t, s.Close())
	})
	c.api.SetAdmins(theClub, organiser)
	c.after(func() { c.api.Say(theClub, organiser, "/organiser") })
	c.after(func() { c.api.Say(theClub, member, "/ask gag 40 m") })
	return c
}

// after does something and returns the message that came of it, acknowledgements of taps
// left out.
func (c *club) after(do func()) standin.Call {
	c.Helper()
	before := len(c.messages())
	do()
	require.Eventually(c, func() bool { return len(c.messages()) > before }, 20*time.Second, 5*time.Millisecond)
	list := c.messages()
	return list[len(list)-1]
}

func (c *club) messages() (list []standin.Call) {
	for _, call := range c.api.Calls() {
		if call.Method != "answerCallbackQuery" {
			list = append(list, call)
		}
	}
	return list
}

// tap taps the button whose data ends so.
func (c *club) tap(m standin.Call, ending string) standin.Call {
	c.Helper()
	for _, data := range m.Buttons() {
		if strings.HasSuffix(data, " "+ending) {
			time.Sleep(450 * time.Millisecond) // a thumb is no faster: sooner taps are not meant
			return c.after(func() { c.api.Tap(organiser, organiser, m.Message, data) })
		}
	}
	require.Fail(c, "no such button", "%s in %v", ending, m.Buttons())
	return m
}

func (c *club) reports() (n int) {
	require.NoError(c, c.store.View(func(tx *store.Tx) error {
		for _, err := range tx.Reports(catch.Filter{}) {
			require.NoError(c, err)
			n++
		}
		return nil
	}))
	return n
}

const oldTable = "Tag No,Date tagged,Species,FL,Depth,Treatment\nA1,3/4/2024,gag,22,120,D\nA2,5/4/2024,red snapper,18,110,V\nA3,6/4/2024,loggerhead turtle,25,90,V\n"

func TestOrganiserSendsAnOldLogInPrivateAndIsAskedWithButtons(t *testing.T) {
	inClub(t, func(c *club) {
		m := c.after(func() { c.api.SendFile(organiser, "old.csv", []byte(oldTable)) })
		assert.Contains(c, m.Plain(), "In which units")
		m = c.tap(m, "pick 1") // feet and pounds
		assert.Contains(c, m.Plain(), "day first or month first")
		m = c.tap(m, "back")
		assert.Contains(c, m.Plain(), "In which units", "an answer can be taken back")
		m = c.after(func() { c.api.Say(organiser, organiser, "feet and pounds (ft, in, lb, °F)") })
		assert.Contains(c, m.Plain(), "day first or month first", "words answer too")
		m = c.tap(m, "pick 1") // month first
		assert.Contains(c, m.Plain(), "2: 2024-03-04, Gag grouper, 56 cm FL, 37 m, tag A1", "rows are shown as understood")
		assert.Contains(c, m.Plain(), `What does "V" mean`)
		m = c.after(func() { c.api.Say(organiser, organiser, "upwards") })
		assert.Contains(c, m.Plain(), "“upwards” means nothing here")
		m = c.tap(m, "pick 1")
		assert.Contains(c, m.Plain(), "vented")
		m = c.tap(m, "pick 2")
		assert.Contains(c, m.Plain(), "In which season")
		m = c.after(func() { c.api.Say(organiser, organiser, "Spring 2024") })
		assert.Contains(c, m.Plain(), "Reports: 2")
		assert.Contains(c, m.Plain(), `line 4, Species: "loggerhead turtle" is no fish`)
		assert.Contains(c, m.Plain(), "Nothing is kept yet")
		assert.Zero(c, c.reports())
		kept := c.tap(m, "keep")
		assert.Contains(c, kept.Plain(), "Reports added: 2 (Club, Spring 2024)")
		assert.Empty(c, kept.Buttons())
		assert.Equal(c, 2, c.reports())

		m = c.after(func() { c.api.SendFile(organiser, "next.csv", []byte(oldTable)) })
		assert.Contains(c, m.Plain(), "In which season", "tables of the same headings are read by the same answers")
		m = c.tap(m, "pick 0")
		m = c.tap(m, "keep")
		assert.Contains(c, m.Plain(), "There already: 2")
		assert.Equal(c, 2, c.reports())
	})
}

func TestOldLogIsForOrganisersAndOfSizeAndFormThatCanBeRead(t *testing.T) {
	inClub(t, func(c *club) {
		m := c.after(func() { c.api.SendFile(member, "old.csv", []byte(oldTable)) })
		assert.Contains(c, m.Plain(), "Only organisers")
		for name, c2 := range map[string]struct {
			data []byte
			says string
		}{
			"old.xls":   {[]byte("x"), "CSV or XLSX"},
			"pic.csv":   {[]byte("\x89PNG\r\n\x1a\n"), "no line of headings"},
			"lines.csv": {[]byte("1\n2\n"), "no line of headings"},
			"large.csv": {bytes.Repeat([]byte("x"), bot.MaxPastLogBytes+1), "at most 5 MB and 20,000 lines"},
			"rows.csv":  {[]byte("Date,Species\n" + strings.Repeat("2024-03-04,gag\n", bot.MaxPastLogLines+1)), "at most 5 MB and 20,000 lines"},
		} {
			m := c.after(func() { c.api.SendFile(organiser, name, c2.data) })
			assert.Contains(c, m.Plain(), c2.says, name)
		}
		m = c.after(func() { c.api.SendFile(organiser, "photo.pdf", []byte("%PDF")) })
		assert.NotContains(c, m.Plain(), "table", "what is no table is no old log")
		assert.Zero(c, c.reports())
	})
}

func TestOldLogMayBeAWorkbookAndMayBeLeft(t *testing.T) {
	inClub(t, func(c *club) {
		f := excelize.NewFile()
		for i, row := range [][]any{{"Date", "Species", "Depth (ft)", "Release method"}, {"2024-03-04", "gag", 120, "descended"}, {"2024-03-05", "gag", 130, "vented"}} {
			require.NoError(c, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
		}
		var book bytes.Buffer
		require.NoError(c, f.Write(&book))
		m := c.after(func() { c.api.SendFile(organiser, "old.xlsx", book.Bytes()) })
		assert.Contains(c, m.Plain(), "In which season")
		m = c.tap(m, "pick 0")
		left := c.tap(m, "leave")
		assert.Contains(c, left.Plain(), "Nothing was kept")
		before := len(c.messages())
		c.api.Tap(organiser, organiser, m.Message, m.Buttons()[0])
		time.Sleep(600 * time.Millisecond)
		assert.Len(c, c.messages(), before, "a button of what was left does nothing")
		assert.Zero(c, c.reports())
	})
}

func TestOldLogSurvivesAServerThatFails(t *testing.T) {
	inClub(t, func(c *club) {
		c.api.Spoil(standin.On("download", standin.Times(2, standin.Page(http.StatusBadGateway))))
		m := c.after(func() { c.api.SendFile(organiser, "old.csv", []byte(oldTable)) })
		assert.Contains(c, m.Plain(), "In which units")
		c.api.Spoil(standin.On("getFile", standin.Says(http.StatusBadRequest, "Bad Request: wrong file_id", nil)))
		m = c.after(func() { c.api.SendFile(organiser, "old.csv", []byte(oldTable)) })
		assert.Contains(c, m.Plain(), "send it again")
	})
}

// Recaptures in a file of their own are joined to the fish of the file sent before, when the
// organiser says that they are theirs; the species comes from the release.
func TestRecapturesSentAfterTheirReleasesAreJoined(t *testing.T) {
	inClub(t, func(c *club) {
		const releases = "Tag No,Date,Species,Depth (ft),Release method\nA1,2024-03-04,gag,120,descended\nA2,2024-03-05,red snapper,110,vented\n"
		const returns = "Tag No,Recapture date,Depth (ft)\nA1,2024-06-10,115\nA9,2024-07-01,90\n"
		m := c.after(func() { c.api.SendFile(organiser, "releases.csv", []byte(releases)) })
		assert.Contains(c, m.Plain(), "In which season")
		m = c.tap(m, "pick 0")
		m = c.tap(m, "keep")
		assert.Contains(c, m.Plain(), "Reports added: 2")

		m = c.after(func() { c.api.SendFile(organiser, "returns.csv", []byte(returns)) })
		assert.Contains(c, m.Plain(), "Are these the recaptures of fish in releases.csv")
		m = c.tap(m, "pick 0")
		assert.Contains(c, m.Plain(), "In which season")
		m = c.tap(m, "back")
		assert.Contains(c, m.Plain(), "Are these the recaptures", "it can be taken back")
		m = c.tap(m, "pick 0")
		m = c.tap(m, "pick 0")
		assert.Contains(c, m.Plain(), "Recaptures whose release is in releases.csv: 1; without one there: 1")
		assert.Equal(c, 2, c.reports(), "nothing is kept before it is said")
		m = c.tap(m, "keep")
		assert.Contains(c, m.Plain(), "Reports added: 2")
		assert.Contains(c, m.Plain(), "There already: 2")
		again := 0
		require.NoError(c, c.store.View(func(tx *store.Tx) error {
			list, err := tx.ReportsByTag("A1")
			for _, r := range list {
				if r.Recapture {
					again++
					assert.Equal(c, "Mycteroperca microlepis", r.Species, "as at its release")
				}
			}
			return err
		}))
		assert.Equal(c, 1, again)

		m = c.after(func() { c.api.SendFile(organiser, "others.csv", []byte(releases)) })
		assert.NotContains(c, m.Plain(), "Are these the recaptures", "releases are nobody's recaptures")
	})
}

// The table sent before is brought where it may have to do with the new one, and one that the
// server has no more keeps nobody from sending another.
func TestTableSentBeforeIsBroughtOnlyWhereItMayMatter(t *testing.T) {
	inClub(t, func(c *club) {
		const releases = "Tag No,Date,Species,Depth (ft),Release method\nA1,2024-03-04,gag,120,descended\n"
		var sent string
		send := func(name, data string) standin.Call {
			return c.after(func() { sent = fmt.Sprintf("file-%d", c.api.SendFile(organiser, name, []byte(data))) })
		}
		var asked atomic.Int64
		lose := func(file string) {
			asked.Store(0)
			c.api.Spoil(standin.On("getFile", func(x *standin.Exchange) bool {
				return x.Params["file_id"] == file && asked.Add(1) > 0 && standin.Says(http.StatusBadRequest, "Bad Request: wrong file_id", nil)(x)
			}))
		}
		assert.Contains(c, send("releases.csv", releases).Plain(), "In which season")
		lose(sent)
		assert.Contains(c, send("more.csv", releases).Plain(), "In which season")
		assert.EqualValues(c, 1, asked.Load())
		lose(sent)
		assert.Contains(c, send("old.csv", oldTable).Plain(), "In which units", "asked of any table")
		assert.Zero(c, asked.Load())
	})
}
