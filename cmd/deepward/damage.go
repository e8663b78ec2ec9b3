package main

import (
	"fmt"
	"slices"
	"strings"

	"deepward/store/catch"
	"deepward/store/export"
)

// damage is which reports of a log could not be read.
type damage []uint64

// readable walks what can be read and notes the rest, each once however often the log
// is walked.
func (d *damage) readable(reports export.Reports) export.Reports {
	return catch.Readable(reports, func(number uint64) {
		if !slices.Contains(*d, number) {
			*d = append(*d, number)
		}
	})
}

// namedAtMost is how many damaged reports a line names.
const namedAtMost = 20

// err names and counts what was left out; nil if nothing was.
func (d damage) err() error {
	if len(d) == 0 {
		return nil
	}
	return fmt.Errorf("%d damaged reports are left out (%s), the rest is whole; restore a backup, or take what can be read with deepward backup --salvage FILE", len(d), d)
}

// lost names and counts what could not be taken; nil if nothing was lost.
func (d damage) lost() error {
	if len(d) == 0 {
		return nil
	}
	return fmt.Errorf("%d reports could not be read and are lost (%s), unless a backup has them: look with deepward export --db BACKUP", len(d), d)
}

// String names the first of them.
func (d damage) String() string {
	names := make([]string, min(len(d), namedAtMost))
	for i := range names {
		names[i] = fmt.Sprint(d[i])
	}
	if len(d) > namedAtMost {
		names = append(names, "and more")
	}
	return strings.Join(names, ", ")
}
