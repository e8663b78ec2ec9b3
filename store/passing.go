package store

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"
	"time"
)

// passing is a kind of state that is kept for a while and in number. The second part of
// its keys is when that began, as 16 hexadecimal digits of Unix nanoseconds; the first is
// whose it is.
type passing struct {
	kind string
	says string        // for the log
	stay time.Duration // what is older goes
	most int           // the oldest beyond go
}

// keptAt is when the entry of a key was kept.
func keptAt(key string) time.Time {
	_, rest, _ := strings.Cut(key, "/")
	text, _, _ := strings.Cut(rest, "/")
	n, err := strconv.ParseInt(text, 16, 64)
	if err != nil {
		return time.Time{}
	}
	return time.Unix(0, n)
}

// outstayed is true for the key of what is too old.
func (p passing) outstayed(key string, now time.Time) bool { return now.Sub(keptAt(key)) >= p.stay }

// drop keeps the newest of what is under a prefix, to the time and the number.
func (p passing) drop(t *Tx, prefix string, most int) error {
	keys := slices.SortedFunc(t.Keys(p.kind, prefix), func(a, b string) int { return cmp.Or(keptAt(b).Compare(keptAt(a)), cmp.Compare(b, a)) })
	for i, key := range keys {
		if i < most && !p.outstayed(key, t.now) {
			continue
		}
		if err := t.Delete(p.kind, key); err != nil {
			return err
		}
	}
	return nil
}

// sweep writes only when there is something to drop.
func (s *Store) sweep(p passing) error {
	n, old := 0, false
	err := s.View(func(t *Tx) error {
		for key := range t.Keys(p.kind, "") {
			n++
			old = old || p.outstayed(key, t.now)
		}
		return nil
	})
	if err != nil || !old && n <= p.most {
		return err
	}
	return s.Update(func(t *Tx) error { return p.drop(t, "", p.most) })
}

// Sweep drops what was set aside, or not understood, once its time is over, now and every
// so often until ctx ends.
func (s *Store) Sweep(ctx context.Context, every time.Duration) {
	for ; ctx.Err() == nil; pause(ctx, every) {
		for _, p := range []passing{asides, puzzles} {
			if err := s.sweep(p); err != nil {
				s.log.Error(p.says+" could not be cleared away", "error", err)
			}
		}
	}
}

// valuesOf lists the values of a kind whose keys begin with a prefix, in the order of the
// keys.
func valuesOf[T any](t *Tx, kind, prefix string) (list []T, err error) {
	for key := range t.Keys(kind, prefix) {
		var value T
		if _, err := t.Get(kind, key, &value); err != nil {
			return nil, err
		}
		list = append(list, value)
	}
	return list, nil
}
