package store

import (
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

var puzzles = passing{kindPuzzle, "what was not understood", puzzlesFor, puzzlesMost}

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
// newest 100 of each. What is over 5,000 of all goes with Sweep.
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
	return puzzles.drop(t, who, puzzlesOfOne)
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
func (t *Tx) PuzzlesOf(person catch.PersonID) ([]Puzzle, error) {
	return valuesOf[Puzzle](t, kindPuzzle, t.PersonKey(person)+"/")
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
