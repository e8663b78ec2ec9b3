package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"
)

// glanceAt is how many entries at each end of a bucket Glance reads: what is written
// last is the likeliest to be torn, and a million reports keep no start waiting.
const glanceAt = 300

// Glance looks at both ends of every bucket, in some milliseconds however large the
// store is. An error means that the file cannot be worked with; entries that are
// damaged by themselves are counted and logged, for they stop nothing else.
func (s *Store) Glance(ctx context.Context) (damaged int, err error) {
	err = s.View(func(t *Tx) error {
		return guarded(func() error {
			c := t.checker(ctx)
			for _, p := range parts {
				n, err := s.glance(c, p)
				damaged += n
				if err != nil {
					return err
				}
			}
			return nil
		})
	})
	return damaged, explain(s.path, err)
}

func (s *Store) glance(c *checker, p part) (damaged int, err error) {
	b := c.t.bucket(p.bucket)
	if b == nil {
		return 0, fmt.Errorf("%w (%s is missing)", ErrNotAStore, p.bucket)
	}
	var reached []byte
	cursor := b.Cursor()
	n := 0
	for k, v := cursor.First(); k != nil && n < glanceAt; k, v = cursor.Next() {
		damaged += s.look(c, p, k, v)
		reached = k
		n++
	}
	n = 0
	for k, v := cursor.Last(); k != nil && n < glanceAt && bytes.Compare(k, reached) > 0; k, v = cursor.Prev() {
		damaged += s.look(c, p, k, v)
		n++
	}
	return damaged, c.ctx.Err()
}

// look is 1 for an entry that cannot be read, which it logs, and 0 for any other.
func (s *Store) look(c *checker, p part, k, v []byte) (damaged int) {
	if err := p.entry(c, k, v); err != nil {
		s.log.Error("an entry of the store cannot be read; restore a backup, or deepward backup --salvage", "bucket", string(p.bucket), "error", err)
		return 1
	}
	return 0
}

// The pace of Patrol: a million reports take an hour or two, at a hundredth of a
// processor.
const (
	patrolStep  = 200 // entries in one view
	patrolPause = 100 * time.Millisecond
	patrolEvery = 24 * time.Hour
	// idleAfter is how long nothing must have been written for a step to be made.
	idleAfter = 2 * time.Second
	// scrubInQuiet is how many slices are overwritten before the next step.
	scrubInQuiet = 600
)

// Patrol reads the whole store again and again, a little at a time while nothing is
// written, one round a day, until ctx ends. What is damaged is logged and counted.
func (s *Store) Patrol(ctx context.Context) {
	for ctx.Err() == nil {
		began := s.now()
		s.patrolOnce(ctx, patrolPause)
		for ctx.Err() == nil && s.now().Sub(began) < patrolEvery {
			s.scrub(ctx, scrubInQuiet, patrolPause)
			pause(ctx, time.Minute)
		}
	}
}

// patrolOnce is one round.
func (s *Store) patrolOnce(ctx context.Context, wait time.Duration) {
	damaged := 0
	for _, p := range parts {
		var from []byte
		for more := true; more && ctx.Err() == nil; pause(ctx, wait) {
			s.scrub(ctx, scrubInQuiet, wait)
			if wait > 0 && s.busy() {
				continue
			}
			n := 0
			from, n, more = s.patrolStep(ctx, p, from)
			damaged += n
			if damaged > s.State().Damaged {
				s.health.found(damaged)
			}
		}
	}
	if ctx.Err() == nil {
		s.health.checked(s.now(), damaged)
	}
}

func (h *health) found(damaged int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.damaged = damaged
}

func (h *health) checked(at time.Time, damaged int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.damaged, h.checkedAt = damaged, at
}

// busy is true while somebody writes.
func (s *Store) busy() bool {
	s.health.mu.Lock()
	defer s.health.mu.Unlock()
	since := s.now().Sub(s.health.lastWrite)
	return since >= 0 && since < idleAfter
}

// patrolStep reads some entries of a bucket after a key and says after which to go on,
// how many were damaged, and whether there may be more. Pages that make no sense end
// the bucket and count as one.
func (s *Store) patrolStep(ctx context.Context, p part, from []byte) (reached []byte, damaged int, more bool) {
	err := s.View(func(t *Tx) error {
		return guarded(func() error {
			defer t.advise(notNeeded)
			c := t.checker(ctx)
			b := t.bucket(p.bucket)
			if b == nil {
				return errPages
			}
			cursor := b.Cursor()
			k, v := cursor.Seek(from)
			if from != nil && bytes.Equal(k, from) {
				k, v = cursor.Next()
			}
			for n := 0; k != nil; k, v = cursor.Next() {
				if n == patrolStep {
					more = true
					return nil
				}
				damaged += s.look(c, p, k, v)
				reached = bytes.Clone(k)
				n++
			}
			return nil
		})
	})
	if errors.Is(err, ErrNotAStore) {
		s.log.Error("a part of the store cannot be read; restore a backup, or deepward backup --salvage", "error", err)
		return nil, damaged + 1, false
	}
	return reached, damaged, more && err == nil
}

// pause waits, or until ctx ends.
func pause(ctx context.Context, d time.Duration) {
	timer := time.NewTimer(max(d, 0))
	defer timer.Stop()
	select {
	case <-ctx.Done():
	case <-timer.C:
	}
}
