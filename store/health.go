package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// health is what an operator should know of a store in use.
type health struct {
	mu sync.Mutex
	// writing is why the last transaction could not be kept, probing why the last probe
	// of the disk could not.
	writing, probing error
	lastWrite        time.Time
	copyAt           time.Time
	copying          error
	damaged          int
	checkedAt        time.Time
}

// wrote notes how a transaction ended; only a disk that takes nothing counts.
func (h *health) wrote(at time.Time, err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.lastWrite = at
	switch {
	case err == nil:
		h.writing = nil
	case errors.Is(err, ErrDiskFull), errors.Is(err, ErrReadOnly):
		h.writing = err
	}
}

func (h *health) copied(newest time.Time, err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.copyAt, h.copying = newest, err
}

// State is how a store in use does.
type State struct {
	// Unwritable is why nothing can be kept now, nil if it can; WrittenAt when something
	// was, or should have been, the last time.
	Unwritable error
	WrittenAt  time.Time
	// CopyAt is when the newest copy of the schedule was made, zero if there is none;
	// CopyFailed why the last one failed, nil if it did not.
	CopyAt     time.Time
	CopyFailed error
	// Damaged is how many entries could not be read in the last round of Patrol, or so
	// far in the first; CheckedAt when the last whole round ended, zero before.
	Damaged   int
	CheckedAt time.Time
}

// State tells at once, without a look at the file.
func (s *Store) State() State {
	h := &s.health
	h.mu.Lock()
	defer h.mu.Unlock()
	why := h.writing
	if why == nil {
		why = h.probing
	}
	return State{why, h.lastWrite, h.copyAt, h.copying, h.damaged, h.checkedAt}
}

// How the disk is probed. Flash wears by writing, so while the system tells of plenty of
// room nothing is written but now and then, for what it does not tell, such as a quota.
const (
	probeSize     = 64 << 10         // bytes written: a few pages, as a transaction needs
	plentyOfRoom  = 64 << 20         // bytes: a store grows by 16 MB at once
	probeAnywayIn = 15 * time.Minute // at the latest
)

// Probe finds out every so often, until ctx ends, whether the disk takes anything: a
// store that is idle would notice only when somebody writes.
func (s *Store) Probe(ctx context.Context, every time.Duration) { s.probeBy(ctx, every, roomIn) }

// probeBy does so by what is told of the room in the folder.
func (s *Store) probeBy(ctx context.Context, every time.Duration, room func(dir string) uint64) {
	var wrote time.Time
	for ; ctx.Err() == nil; pause(ctx, every) {
		if s.State().Unwritable == nil && time.Since(wrote) < probeAnywayIn && room(filepath.Dir(s.path)) > plentyOfRoom {
			continue
		}
		wrote = time.Now()
		s.noteProbe(s.probe())
	}
}

// noteProbe keeps how a probe ended.
func (s *Store) noteProbe(err error) {
	s.health.mu.Lock()
	if err == nil && s.health.probing != nil {
		s.health.writing = nil // there is room again
	}
	turned := (err == nil) != (s.health.probing == nil)
	s.health.probing = err
	s.health.mu.Unlock()
	if turned && err != nil {
		s.log.Error("the store cannot be written", "error", err)
	}
}

// probe writes a file beside the store and takes it away again. That this folder may not
// be written is no fault of the store.
func (s *Store) probe() error {
	name := filepath.Join(filepath.Dir(s.path), ".deepward-probe")
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return unlessForbidden(s.path, err)
	}
	_, err = f.Write(make([]byte, probeSize))
	return unlessForbidden(s.path, errors.Join(err, f.Close(), os.Remove(name)))
}

func unlessForbidden(path string, err error) error {
	if errors.Is(err, fs.ErrPermission) {
		return nil
	}
	return explain(path, err)
}

// Line says in one line why the store cannot do its work, or is not safe, "" if it does.
// Copies are asked for where copies is true; patience is how old the newest may be.
func (s State) Line(now time.Time, copies bool, patience time.Duration) string {
	switch {
	case s.Unwritable != nil:
		return s.Unwritable.Error()
	case copies && s.CopyFailed != nil:
		return fmt.Sprintf("the last copy of the store failed: %v", s.CopyFailed)
	case copies && !s.CopyAt.IsZero() && now.Sub(s.CopyAt) > patience:
		return fmt.Sprintf("the newest copy of the store is %.0f hours old", now.Sub(s.CopyAt).Hours())
	}
	return ""
}
