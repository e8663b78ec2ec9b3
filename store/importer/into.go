package importer

import (
	"fmt"
	"iter"
	"slices"
	"strconv"

	"deepward/store/catch"
)

// Log is where reports are kept; *store.Tx is one. What it takes it takes all or
// nothing: one transaction holds the whole import.
type Log interface {
	KnownImports(ids []string) map[string]bool
	MarkImports(reports map[string]uint64) error
	AddReport(*catch.Report) (uint64, error)
}

// Into keeps the reports of a sheet in a log and returns how many were added and
// how many were there already. A sheet with questions is refused, and one with
// problems unless leaveOut says to leave those rows out. A row is there already
// when the same chat got it from any file before.
func Into(log Log, s *Sheet, leaveOut bool) (added, there int, err error) {
	if err := s.mayBeKept(leaveOut); err != nil {
		return 0, 0, err
	}
	return keep(log, s.Entries())
}

// mayBeKept is nil for a sheet that Into takes.
func (s *Sheet) mayBeKept(leaveOut bool) error {
	if leaveOut {
		return s.Asked()
	}
	return s.Ready()
}

// keep keeps reports, but for those that are there already; after an error none counts.
func keep(log Log, entries iter.Seq[Entry]) (added, there int, err error) {
	var ids []string
	for e := range entries {
		ids = append(ids, e.inLog())
	}
	known := log.KnownImports(ids)
	kept := make(map[string]uint64, len(ids)-len(known))
	n := 0
	var report catch.Report
	for e := range entries {
		id := ids[n]
		n++
		if known[id] {
			there++
			continue
		}
		known[id] = true
		report = *e.Report
		if kept[id], err = log.AddReport(&report); err != nil {
			return 0, 0, fmt.Errorf("keeping the import: %w", err)
		}
	}
	if err := log.MarkImports(kept); err != nil {
		return 0, 0, fmt.Errorf("keeping the import: %w", err)
	}
	return len(kept), there, nil
}

// inLog is the identity of the entry in the log of its club.
func (e Entry) inLog() string { return strconv.FormatInt(int64(e.Report.Chat), 10) + "/" + e.ID }

// AtOnce is how many reports are kept in one transaction at most: its pages are in memory
// until it ends. The marks of rows are strewn over all pages of theirs, which each transaction
// writes anew, so that few large ones write least: a part of a large table is one, with a
// recapture in each fifth of its lines.
const AtOnce = 12_000

// IntoParts is Into for large sheets: update runs a function in a transaction of its own,
// as often as there are AtOnce reports. An error leaves what went before it in the log;
// the same sheet again adds the rest.
func IntoParts(update func(func(Log) error) error, s *Sheet, leaveOut bool) (added, there int, err error) {
	if err := s.mayBeKept(leaveOut); err != nil {
		return 0, 0, err
	}
	for part := range slices.Chunk(slices.Collect(s.Entries()), AtOnce) {
		var fresh, old int
		err := update(func(log Log) (err error) {
			fresh, old, err = keep(log, slices.Values(part))
			return err
		})
		if err != nil {
			return added, there, err
		}
		added, there = added+fresh, there+old
	}
	return added, there, nil
}
