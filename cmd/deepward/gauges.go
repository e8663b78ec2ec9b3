package main

import (
	"fmt"
	"runtime"
	"time"

	"deepward/bot/telegram"
	"deepward/store"
)

// copyPatience is how old the newest copy may be before the service counts as unsafe:
// one a day, and half a day to make it.
const copyPatience = 36 * time.Hour

// unready says why the store cannot do its work.
func (c serveCmd) unready(s *store.Store, now func() time.Time) func() string {
	return func() string { return s.State().Line(now(), c.BackupDir != "", copyPatience) }
}

// gauges are the figures of the program and the store.
func (c serveCmd) gauges(s *store.Store, now func() time.Time, b build) []telegram.Gauge {
	started := now()
	since := func(at time.Time) float64 {
		if at.IsZero() {
			at = started
		}
		return now().Sub(at).Seconds()
	}
	list := []telegram.Gauge{
		{Name: fmt.Sprintf("deepward_build_info{commit=%q,go=%q}", b.commit, runtime.Version()),
			Help: "What the program was built from; always 1.", Value: func() float64 { return 1 }},
		{Name: "deepward_store_writable", Help: "1 while the store can be written, 0 when the disk is full or read-only.",
			Value: func() float64 { return truth(s.State().Unwritable == nil) }},
		{Name: "deepward_store_reports", Help: "Reports ever kept, those taken back included.",
			Value: func() float64 { return float64(s.Stats().Reports) }},
		{Name: "deepward_store_bytes", Help: "Size of the store.", Value: func() float64 { return float64(s.Stats().FileBytes) }},
		{Name: "deepward_store_free_bytes", Help: "Room in the store that deletions left.", Value: func() float64 { return float64(s.Stats().FreeBytes) }},
		{Name: "deepward_store_damaged_entries", Help: "Entries of the store that could not be read in the last round.",
			Value: func() float64 { return float64(s.State().Damaged) }},
		{Name: "deepward_store_check_age_seconds", Help: "Time since the store was last read through, or since the start.",
			Value: func() float64 { return since(s.State().CheckedAt) }},
	}
	for _, kind := range store.PuzzleKinds {
		list = append(list, telegram.Gauge{Name: fmt.Sprintf("deepward_heard_pieces{kind=%q}", kind),
			Help:  "Pieces of messages that are kept because they were not understood, asked back about or put right.",
			Value: func() float64 { return float64(s.PuzzleCounts()[kind]) }})
	}
	if c.BackupDir == "" {
		return list
	}
	return append(list,
		telegram.Gauge{Name: "deepward_copy_age_seconds", Help: "Age of the newest copy of the store, or time since the start.",
			Value: func() float64 { return since(s.State().CopyAt) }},
		telegram.Gauge{Name: "deepward_copy_failed", Help: "1 when the last copy of the store failed.",
			Value: func() float64 { return truth(s.State().CopyFailed != nil) }})
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
