package store

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"deepward/store/catch"
)

// What people wrote and the reader did not understand is kept sealed for whoever teaches the
// next one, for a while and in number, and goes with ForgetPerson.
const (
	puzzlesFor   = 90 * 24 * time.Hour
	puzzlesOfOne = 100   // of one person; the oldest beyond go
	puzzlesMost  = 5_000 // of all

	kindPuzzle = "puzzle"
)

// PuzzleKind says why something puzzled the reader.
type PuzzleKind string

// The kinds of puzzles.
const (
	PuzzleUnread    PuzzleKind = "unread"    // words that could not be used
	PuzzleAsked     PuzzleKind = "asked"     // what was asked back about
	PuzzleCorrected PuzzleKind = "corrected" // what was put right soon after
)

// PuzzleKinds are all kinds.
var PuzzleKinds = []PuzzleKind{PuzzleUnread, PuzzleAsked, PuzzleCorrected}

// Puzzle is a piece of a message that was not understood. Whoever keeps one has taken names,
// places and what else may tell of somebody out of it.
type Puzzle struct {
	Kind PuzzleKind `cbor:"1,keyasint" json:"kind"`
	// Piece is what puzzled, Text the message that it stood in.
	Piece string `cbor:"2,keyasint" json:"piece"`
	Text  string `cbor:"3,keyasint" json:"text"`
	// Language and Region are what the message was read with.
	Language string    `cbor:"4,keyasint,omitempty" json:"language,omitempty"`
	Region   string    `cbor:"5,keyasint,omitempty" json:"region,omitempty"`
	At       time.Time `cbor:"6,keyasint" json:"at"`
}

// KeepPuzzle keeps what puzzled the reader in a message of that person: for 90 days, the
// newest 100 of each. What is over 5,000 of all goes with SweepPuzzles.
func (t *Tx) KeepPuzzle(person catch.PersonID, p Puzzle) error {
	p.At = t.now
	who := t.PersonKey(person) + "/"
	n, err := t.Next(kindPuzzle)
	if err != nil {
		return err
	}
	if err := t.Put(kindPuzzle, fmt.Sprintf("%s%016x/%s/%d", who, p.At.UnixNano(), p.Kind, n), p); err != nil {
		return err
	}
	return t.dropPuzzles(slices.Collect(t.Keys(kindPuzzle, who)), puzzlesOfOne)
}

// dropPuzzles keeps the newest of these, as many as most and not older than they may be.
func (t *Tx) dropPuzzles(keys []string, most int) error {
	slices.SortFunc(keys, func(a, b string) int { return cmp.Or(asideAt(b).Compare(asideAt(a)), cmp.Compare(b, a)) })
	for i, key := range keys {
		if i < most && t.now.Sub(asideAt(key)) < puzzlesFor {
			continue
		}
		if err := t.Delete(kindPuzzle, key); err != nil {
			return err
		}
	}
	return nil
}

// puzzleKind is the kind of the entry of a key.
func puzzleKind(key string) PuzzleKind {
	parts := strings.Split(key, "/")
	if len(parts) != 4 {
		return ""
	}
	return PuzzleKind(parts[2])
}

// WhosePuzzle is a puzzle, with a number that is the same for the same person and for nobody
// else: in this list only.
type WhosePuzzle struct {
	Puzzle
	Person int
}

// Puzzles lists what puzzled the reader, the oldest first.
func (t *Tx) Puzzles() (list []WhosePuzzle, err error) {
	people := map[string]int{}
	for key := range t.Keys(kindPuzzle, "") {
		who, _, _ := strings.Cut(key, "/")
		if people[who] == 0 {
			people[who] = len(people) + 1
		}
		p := WhosePuzzle{Person: people[who]}
		if _, err := t.Get(kindPuzzle, key, &p.Puzzle); err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	slices.SortStableFunc(list, func(a, b WhosePuzzle) int { return a.At.Compare(b.At) })
	return list, nil
}

// PuzzlesOf lists those of a person.
func (t *Tx) PuzzlesOf(person catch.PersonID) (list []Puzzle, err error) {
	for key := range t.Keys(kindPuzzle, t.PersonKey(person)+"/") {
		var p Puzzle
		if _, err := t.Get(kindPuzzle, key, &p); err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	return list, nil
}

// PuzzleCounts is how many of each kind are kept; it opens none. All are zero once the store
// is closed.
func (s *Store) PuzzleCounts() map[PuzzleKind]int {
	counts := map[PuzzleKind]int{}
	_ = s.View(func(t *Tx) error {
		for key := range t.Keys(kindPuzzle, "") {
			counts[puzzleKind(key)]++
		}
		return nil
	})
	return counts
}

// SweepPuzzles drops what is too old or too much, now and every so often until ctx ends.
func (s *Store) SweepPuzzles(ctx context.Context, every time.Duration) {
	ticker := time.NewTicker(every)
	defer ticker.Stop()
	for {
		if err := s.sweepPuzzles(); err != nil {
			s.log.Error("what was not understood could not be cleared away", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}

// sweepPuzzles writes only when there is something to drop.
func (s *Store) sweepPuzzles() error {
	n, old := 0, false
	err := s.View(func(t *Tx) error {
		for key := range t.Keys(kindPuzzle, "") {
			n++
			old = old || t.now.Sub(asideAt(key)) >= puzzlesFor
		}
		return nil
	})
	if err != nil || !old && n <= puzzlesMost {
		return err
	}
	return s.Update(func(t *Tx) error { return t.dropPuzzles(slices.Collect(t.Keys(kindPuzzle, "")), puzzlesMost) })
}
