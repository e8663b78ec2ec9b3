package store

import (
	"bytes"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

func keepPuzzle(t *testing.T, s *Store, person catch.PersonID, piece string) {
	t.Helper()
	require.NoError(t, s.Update(func(tx *Tx) error {
		return tx.KeepPuzzle(person, Puzzle{Kind: PuzzleUnread, Piece: piece, Text: piece + " 60 m"})
	}))
}

func puzzlesIn(t *testing.T, s *Store) (list []WhosePuzzle) {
	t.Helper()
	require.NoError(t, s.View(func(tx *Tx) (err error) { list, err = tx.Puzzles(); return err }))
	return list
}

func TestPuzzlesAreBoundedInNumberAndAge(t *testing.T) {
	s, now, _ := asideStore(t)
	for n := range puzzlesOfOne + 10 {
		*now = now.Add(time.Minute)
		keepPuzzle(t, s, 7, fmt.Sprint("word", n))
	}
	keepPuzzle(t, s, 8, "other")
	list := puzzlesIn(t, s)
	require.Len(t, list, puzzlesOfOne+1)
	assert.Equal(t, "word10", list[0].Piece, "the newest of each stay")
	last := list[len(list)-2:]
	assert.NotEqual(t, last[0].Person, last[1].Person)
	assert.Equal(t, map[PuzzleKind]int{PuzzleUnread: puzzlesOfOne + 1}, s.PuzzleCounts())

	*now = now.Add(puzzlesFor - time.Minute)
	require.NoError(t, s.sweep(puzzles))
	assert.Len(t, puzzlesIn(t, s), 2, "those of the last minute")
	*now = now.Add(time.Minute)
	require.NoError(t, s.sweep(puzzles))
	assert.Empty(t, puzzlesIn(t, s))
}

func TestNoMorePuzzlesThanMost(t *testing.T) {
	t.Parallel()
	s, now, _ := asideStore(t)
	require.NoError(t, s.Update(func(tx *Tx) error {
		for n := range puzzlesMost + 20 {
			tx.now = now.Add(time.Duration(n) * time.Second)
			if err := tx.KeepPuzzle(catch.PersonID(1+n/90), Puzzle{Kind: PuzzleAsked, Piece: "x"}); err != nil {
				return err
			}
		}
		return nil
	}))
	*now = now.Add(3 * time.Hour)
	require.NoError(t, s.sweep(puzzles))
	assert.Len(t, puzzlesIn(t, s), puzzlesMost)
}

// The words stand in the file sealed, and go when their person is forgotten.
func TestPuzzlesAreSealedAndGoWithTheirPerson(t *testing.T) {
	s, _, _ := asideStore(t)
	keepPuzzle(t, s, 7, "wonklefish")
	keepPuzzle(t, s, 8, "zorbiefish")
	data, err := os.ReadFile(s.path)
	require.NoError(t, err)
	assert.False(t, bytes.Contains(data, []byte("wonklefish")))
	require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.ForgetPerson(7); return err }))
	list := puzzlesIn(t, s)
	require.Len(t, list, 1)
	assert.Equal(t, "zorbiefish", list[0].Piece)
	require.NoError(t, s.View(func(tx *Tx) error {
		mine, err := tx.PuzzlesOf(8)
		assert.Len(t, mine, 1)
		return err
	}))
}
