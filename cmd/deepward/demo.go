package main

import (
	"fmt"
	"os"
	"path/filepath"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/demo"
)

// demoCmd fills a scratch store with an invented season.
type demoCmd struct {
	Dir     string `help:"Where to put the scratch store; a new temporary folder by default." type:"path"`
	Reports int    `help:"How many reports to invent." default:"400"`
	Seed    uint64 `help:"The same seed invents the same season." default:"1"`
}

func (demoCmd) Help() string {
	return `Example:

    deepward demo`
}

func (c demoCmd) Run(e env) error {
	if c.Reports < 1 || c.Reports > 1_000_000 {
		return usage("--reports must be from 1 to 1,000,000")
	}
	dir, err := c.folder()
	if err != nil {
		return err
	}
	db, key := filepath.Join(dir, "demo.db"), filepath.Join(dir, "demo.key")
	if _, err := os.Stat(db); err == nil {
		return usage("%s is there already; choose another --dir", db)
	}
	s, err := store.Open(db, store.Options{KeyFile: key, Now: e.now})
	if err != nil {
		return err
	}
	defer s.Close()
	if err := fillDemo(s, c.Reports, c.Seed); err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: %d invented reports in %s\nLook around:\n", demo.ClubName, c.Reports, db)
	for _, line := range []string{"report -o season.html", "export --format csv", "chat"} {
		fmt.Fprintf(e.out, "  deepward %s --db %s --key-file %s\n", line, db, key)
	}
	return nil
}

func (c demoCmd) folder() (string, error) {
	if c.Dir == "" {
		return os.MkdirTemp("", "deepward-demo-")
	}
	return c.Dir, os.MkdirAll(c.Dir, 0o700)
}

// demoBatch is how many reports go into one transaction.
const demoBatch = 1000

func fillDemo(s *store.Store, n int, seed uint64) error {
	var chat catch.ClubID
	err := s.Update(func(tx *store.Tx) (err error) {
		if chat, err = tx.ChatNumber(demo.Chat); err != nil {
			return err
		}
		if err := bot.NameClub(tx, chat, demo.ClubName); err != nil {
			return err
		}
		return tx.PutSeason(catch.Season{Name: demo.SeasonName, Chat: chat, Opens: demo.Opens(), Closes: demo.Closes()})
	})
	if err != nil {
		return err
	}
	reports := demo.Reports(n, chat, seed)
	for len(reports) > 0 {
		batch := reports[:min(demoBatch, len(reports))]
		reports = reports[len(batch):]
		err := s.Update(func(tx *store.Tx) error {
			for _, r := range batch {
				if _, err := tx.AddReport(r); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}
