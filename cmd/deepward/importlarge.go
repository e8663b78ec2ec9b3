package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"

	"deepward/store"
	"deepward/store/catch"
	"deepward/store/importer"
)

// largeBytes is the size from which a table is read in parts without trying it at once.
const largeBytes = 16 << 20

// largeMemory is how many bytes the garbage may fill beside what is held, before it is
// collected more often: a million lines then stay under 300 MB that are no file's pages.
const largeMemory = 220 << 20

// inParts is true for a large file that is no workbook.
func (c importCmd) inParts() bool {
	f, err := os.Open(c.File)
	if err != nil {
		return false
	}
	defer f.Close()
	info, err := f.Stat()
	begins := make([]byte, 2)
	_, err2 := io.ReadFull(f, begins)
	return err == nil && err2 == nil && info.Size() > largeBytes && !bytes.Equal(begins, []byte("PK"))
}

// errLeft ends the reading of a large file because somebody left.
var errLeft = errors.New("left")

// large takes in a table that is read in parts: all of it is looked at before anything is
// kept.
func (c importCmd) large(e env, o importer.Options, kept answers) error {
	if c.Returns != "" || c.Rows {
		return usage("a table this large is read in parts: leave --returns and --rows out, or split it")
	}
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(largeMemory))
	open := func() (io.ReadCloser, error) { return os.Open(c.File) }
	headings := ""
	table, err := importer.NewLarge(open, filepath.Base(c.File), o, func(h string) importer.Answers { headings = h; return kept[h] })
	if err != nil {
		return err
	}
	lines := bufio.NewScanner(e.in)
	err = table.Look(func(t *importer.Talk) error { return c.lookAt(e, lines, t) })
	if c.asks(e) && !table.Answers().Empty() {
		kept[headings] = table.Answers()
		err = errors.Join(err, c.keepAnswers(kept))
	}
	if errors.Is(err, errLeft) {
		fmt.Fprintln(e.out, "Nothing was kept. The same command goes on where you left.")
		return nil
	}
	if err != nil {
		return err
	}
	return errors.Join(table.WriteSummary(e.out), c.largeKept(e, lines, table))
}

// lookAt asks what is open in a part of a large table, or says which flags answer it.
func (c importCmd) lookAt(e env, lines *bufio.Scanner, t *importer.Talk) error {
	if !c.asks(e) || t.Next() == nil {
		return t.Sheet().Asked()
	}
	showRows(e.out, t)
	if c.converse(e, lines, t) {
		return errLeft
	}
	return nil
}

// largeKept keeps a large table when it is told to.
func (c importCmd) largeKept(e env, lines *bufio.Scanner, table *importer.Large) error {
	if c.asks(e) {
		c.askSeason(e, lines)
		c.Keep, c.SkipProblems = c.agrees(e, lines, table.Tally.Left), true
		if !c.Keep {
			fmt.Fprintln(e.out, "Nothing was kept.")
			return nil
		}
	}
	switch {
	case !c.Keep:
		fmt.Fprintln(e.out, "Nothing was written. Add --keep when it reads right.")
		return nil
	case table.Tally.Left > 0 && !c.SkipProblems:
		return fmt.Errorf("%w (%d); mend them in the file, or leave them out with --skip-problems", importer.ErrProblems, table.Tally.Left)
	}
	return c.keepLarge(e, table)
}

func (c importCmd) keepLarge(e env, table *importer.Large) error {
	s, err := c.openToChange(e, stopFirst)
	if err != nil {
		return err
	}
	defer s.Close()
	var club catch.ClubID
	var made string
	err = s.Update(func(tx *store.Tx) (err error) {
		if club, err = c.club(tx); err != nil {
			return err
		}
		ends := []importer.Entry{{Report: &catch.Report{CaughtAt: table.First}}, {Report: &catch.Report{CaughtAt: table.Last}}}
		made, err = c.madeSeason(tx, club, slices.Values(ends))
		return err
	})
	added, there := 0, 0
	if err == nil {
		err = table.Sheets(func(sheet *importer.Sheet) error {
			for entry := range sheet.Entries() {
				entry.Report.Chat, entry.Report.Season = club, c.Season
			}
			a, t, err := importer.IntoParts(inTransactions(s), sheet, true)
			added, there = added+a, there+t
			return err
		})
	}
	if err != nil {
		return fmt.Errorf("%w (%d reports were added; the same command adds the rest)", err, added)
	}
	fmt.Fprintf(e.out, "%s%d reports added, %d were there already\n", made, added, there)
	return nil
}

// askSeason asks for the season, unless a flag names it.
func (c *importCmd) askSeason(e env, lines *bufio.Scanner) {
	if c.Season == "" {
		c.Season, _ = askLine(e, lines, "Season it counts in (a name such as Spring 2019, or nothing for none): ")
		c.Season = strings.TrimSpace(c.Season)
	}
}
