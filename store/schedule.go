package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// backupName makes names whose order is the order of time.
const backupName = "deepward-20060102T150405Z.db"

// BackupEvery copies the store into a folder, now and then, until ctx ends, and
// keeps the newest copies. A copy that fails is logged and tried at the next turn.
func (s *Store) BackupEvery(ctx context.Context, dir string, every time.Duration, keep int) {
	ticker := time.NewTicker(every)
	defer ticker.Stop()
	for {
		err := s.rotateOnce(ctx, dir, keep)
		if err != nil && ctx.Err() == nil {
			s.log.Error("the backup failed", "error", err)
		}
		s.health.copied(newestCopy(dir), err)
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}

// rotateOnce drops what a copy left that was cut off, and copies where the day has no copy
// yet: restarts make no more.
func (s *Store) rotateOnce(ctx context.Context, dir string, keep int) error {
	s.dropUnfinished(dir)
	today, err := filepath.Glob(filepath.Join(dir, s.now().UTC().Format("deepward-20060102T*Z*.db")))
	if err != nil || len(today) > 0 {
		return err
	}
	return s.Rotate(ctx, dir, keep)
}

// newestCopy is when the newest copy in the folder was made; zero if there is none.
func newestCopy(dir string) (newest time.Time) {
	list, _ := filepath.Glob(filepath.Join(dir, "deepward-*.db"))
	for _, path := range list {
		at, err := time.Parse(backupName, strings.Replace(filepath.Base(path), pinned, ".db", 1))
		if err == nil && at.After(newest) {
			newest = at
		}
	}
	return newest
}

// pinned ends the name of a copy that is never removed.
const pinned = "-pinned.db"

// Pin renames a copy that BackupEvery made so that it is never removed, and returns its
// new name. One that is pinned already stays as it is.
func Pin(copied string) (string, error) {
	if strings.HasSuffix(copied, pinned) {
		return copied, nil
	}
	if _, err := time.Parse(backupName, filepath.Base(copied)); err != nil {
		return "", fmt.Errorf("%s is no copy of the schedule, which alone are removed; nothing need be done", copied)
	}
	to := strings.TrimSuffix(copied, ".db") + pinned
	if err := publishNew(copied, to); err != nil {
		return "", explain(copied, err)
	}
	if err := os.Remove(copied); err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	return to, nil
}

// Older copies that are kept beyond the newest days: one of each week, one of each month.
const (
	weeksKept  = 4
	monthsKept = 12
)

// spare are the copies that may go: beyond the newest of each of so many days, weeks
// and months. Names that tell no time, and fresh, stay.
func spare(paths []string, fresh string, days int) (old []string) {
	slices.Sort(paths)
	day, week, month := map[string]bool{}, map[string]bool{}, map[string]bool{}
	newIn := func(span map[string]bool, most int, name string) bool {
		if span[name] || len(span) >= most {
			return false
		}
		span[name] = true
		return true
	}
	for _, path := range slices.Backward(paths) {
		at, err := time.Parse(backupName, filepath.Base(path))
		if err != nil {
			continue
		}
		year, n := at.ISOWeek()
		d := newIn(day, max(1, days), at.Format(time.DateOnly))
		w := newIn(week, weeksKept, fmt.Sprint(year, n))
		m := newIn(month, monthsKept, at.Format("2006-01"))
		if !d && !w && !m && path != fresh {
			old = append(old, path)
		}
	}
	return old
}

// Rotate makes one copy in the folder and drops copies beyond the newest of each of the last keep days, at least 1, of 4 weeks and of
// 12 months; never the one it made.
func (s *Store) Rotate(ctx context.Context, dir string, keep int) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return explain(dir, err)
	}
	fresh := filepath.Join(dir, s.now().UTC().Format(backupName))
	if err := s.Backup(ctx, fresh); err != nil {
		return err
	}
	old, err := filepath.Glob(filepath.Join(dir, "deepward-*Z.db"))
	if err != nil {
		return err
	}
	for _, path := range spare(old, fresh, keep) {
		err = errors.Join(err, os.Remove(path))
	}
	return err
}
