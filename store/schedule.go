package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
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
		if err := s.Rotate(ctx, dir, keep); err != nil && ctx.Err() == nil {
			s.log.Error("the backup failed", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}

// Rotate makes one copy in the folder and drops the oldest beyond keep, which is
// at least 1, and what a copy left that was cut off.
func (s *Store) Rotate(ctx context.Context, dir string, keep int) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return explain(dir, err)
	}
	if err := s.dropUnfinished(dir); err != nil {
		return err
	}
	if err := s.Backup(ctx, filepath.Join(dir, s.now().UTC().Format(backupName))); err != nil {
		return err
	}
	old, err := filepath.Glob(filepath.Join(dir, "deepward-*Z.db"))
	if err != nil {
		return err
	}
	slices.Sort(old)
	for _, path := range old[:max(0, len(old)-max(1, keep))] {
		err = errors.Join(err, os.Remove(path))
	}
	return err
}

// unfinishedFor is after how long a copy that is not finished never will be.
const unfinishedFor = 24 * time.Hour

func (s *Store) dropUnfinished(dir string) error {
	list, err := filepath.Glob(filepath.Join(dir, tempName))
	for _, path := range list {
		if info, e := os.Stat(path); e == nil && s.now().Sub(info.ModTime()) > unfinishedFor {
			err = errors.Join(err, os.Remove(path))
		}
	}
	return err
}
