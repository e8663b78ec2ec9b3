package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/demo"
)

// slowMaker takes its time over every file, as a large season does.
type slowMaker struct{ *files.Maker }

const (
	slowToMake = 20 * time.Second
	slowToSend = 30 * time.Second
)

func (m slowMaker) Make(ctx context.Context, a bot.Attachment) (bot.File, error) {
	time.Sleep(slowToMake)
	return m.Maker.Make(ctx, a)
}

// largeSeason fills the club's store with some thousand reports, the last of them before now.
func largeSeason(t *testing.T, s *store.Store) (club catch.ClubID) {
	t.Helper()
	require.NoError(t, s.Update(func(tx *store.Tx) (err error) {
		if club, err = tx.ChatNumber(theClub); err != nil {
			return err
		}
		return tx.PutSeason(catch.Season{Name: demo.SeasonName, Chat: club, Opens: demo.Opens(), Closes: demo.Closes()})
	}))
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, r := range demo.Reports(3000, club, 5) {
			if r.CaughtAt.After(time.Now()) {
				continue
			}
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
	return club
}

// slowly makes every upload last.
func slowly(x *standin.Exchange) bool {
	if x.Method == "sendDocument" || x.Method == "sendPhoto" {
		time.Sleep(slowToSend)
	}
	return false
}

// sentFiles are the files that came to the organiser.
func (c *club) sentFiles() map[string][]byte {
	list := map[string][]byte{}
	for _, call := range c.messages() {
		if call.File != "" {
			require.EqualValues(c, organiser, call.Chat, "files go to who asked, nowhere else")
			list[call.File] = call.Data
		}
	}
	return list
}

// answered asks about a fish in a chat and fails if the answer that names it is late.
func (c *club) answered(chat, person int64, fish string) {
	c.Helper()
	asked, before := time.Now(), len(c.messages())
	c.api.Say(chat, person, "/ask "+fish+" 45 m")
	for time.Since(asked) < 2*time.Second {
		time.Sleep(50 * time.Millisecond)
		for _, call := range c.messages()[before:] {
			if call.Chat == chat && strings.Contains(strings.ToLower(call.Plain()), fish) {
				return
			}
		}
	}
	assert.Fail(c, "an answer was held", "%s in %d: %v", fish, chat, time.Since(asked))
}

// The files that an organiser asks for are those that the command writes, and while they are
// made and sent, every chat has its answers, that of the organiser too.
func TestFilesOfALargeSeasonAreThoseOfTheCommandAndHoldNobodyUp(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	var number catch.ClubID
	var sent map[string][]byte
	now := time.Date(2026, 9, 20, 12, 0, 0, 0, time.UTC)
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(now))
		c := serveClub(t, dir, func(d *bot.Desk) { d.Maker = slowMaker{files.New(d.Store, time.Now)} })
		number = largeSeason(t, c.store)
		c.api.Spoil(slowly)
		for _, ask := range []string{"/report", "/export csv", "/export xlsx"} {
			c.api.Say(organiser, organiser, ask)
			for range 3 {
				time.Sleep(11 * time.Second)
				c.answered(organiser, organiser, "gag")
				c.answered(theClub, member, "red snapper")
				c.answered(member, member, "gag")
			}
		}
		time.Sleep(10 * time.Minute)
		sent = c.sentFiles()
	})
	require.Len(t, sent, 5, "picture, sheet, page and two logs")
	written := func(args ...string) []byte {
		var out, errs bytes.Buffer
		name := filepath.Join(dir, "out")
		os.Remove(name)
		args = append(args, "-o", name, "--db", filepath.Join(dir, "t.db"), "--key-file", filepath.Join(dir, "key"), "--chat", fmt.Sprint(number))
		require.Equal(t, exitDone, run(args, env{in: strings.NewReader(""), out: &out, err: &errs, now: func() time.Time { return now }}), errs.String())
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		return data
	}
	day := now.Format(time.DateOnly)
	assert.Equal(t, string(written("report", "--season", demo.SeasonName)), string(sent["season.html"]))
	assert.Equal(t, string(written("report", "--season", demo.SeasonName, "--sheet")), string(sent["season-sheet.html"]))
	assert.True(t, bytes.HasPrefix(sent["season-sheet.png"], []byte("\x89PNG")))
	assert.Equal(t, string(written("export", "--with-names")), string(sent["season-log-"+day+".csv"]))
	assert.Equal(t, len(written("export", "--with-names", "--format", "xlsx")), len(sent["season-log-"+day+".xlsx"]))
}
