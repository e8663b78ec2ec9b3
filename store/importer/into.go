package importer

import (
	"fmt"
	"strconv"

	"deepward/store/catch"
)

// Log is where reports are kept; *store.Tx is one. What it takes it takes all or
// nothing: one transaction holds the whole import.
type Log interface {
	Imported(id string) bool
	MarkImported(id string, report uint64) error
	AddReport(*catch.Report) (uint64, error)
}

// Into keeps the reports of a sheet in a log and returns how many were added and
// how many were there already. A sheet with questions is refused, and one with
// problems unless leaveOut says to leave those rows out. A row is there already
// when the same chat got it from any file before.
func Into(log Log, s *Sheet, leaveOut bool) (added, there int, err error) {
	if err := s.Ready(); err != nil && !(leaveOut && len(s.Questions) == 0) {
		return 0, 0, err
	}
	for e := range s.Entries() {
		id := strconv.FormatInt(int64(e.Report.Chat), 10) + "/" + e.ID
		if log.Imported(id) {
			there++
			continue
		}
		report := *e.Report
		n, err := log.AddReport(&report)
		if err != nil {
			return 0, 0, fmt.Errorf("keeping the import: %w", err)
		}
		if err := log.MarkImported(id, n); err != nil {
			return 0, 0, fmt.Errorf("keeping the import: %w", err)
		}
		added++
	}
	return added, there, nil
}
