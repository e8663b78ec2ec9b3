// Package learned is the part of reading that was learned from labelled messages: a
// small recurrent network that tells what a message wants, and for each of its words
// which figure, name, state or deed it says.
//
// It knows no fish and no units: those come in as hints on the words (a Lexicon) and
// are reckoned by whoever asks. It is deterministic: the same words give the same
// scores on every machine but for the last bits of a float32.
package learned

import "strings"

// longestPhrase is how many words a phrase or a name of the lexicon has at most.
const longestPhrase = 5

// Lexicon is what is known of words before anything is learned.
type Lexicon struct {
	// Concepts are the names of the hints; a hint is an index in it.
	Concepts []string
	// Phrases are the hints of a phrase: its words joined by blanks.
	Phrases map[string][]int
	// Names tells of words joined by blanks how far they name a fish: 0 for no name, 1
	// for a plain one, 2 for one that is also an everyday word.
	Names func(phrase string) uint8
}

// Mark says how a word stands in the name of a fish; 0 for a word of none.
type Mark uint8

const (
	markFirst    Mark = 1
	markInside   Mark = 2
	markSeveral  Mark = 2 // added where the name has several words
	markEveryday Mark = 4 // added where the name is an everyday word too
	marks             = 16
)

// Hints are the marks and the hints of each word.
func (l *Lexicon) Hints(words []string) ([]Mark, [][]int) {
	return l.marks(words), l.phrases(words)
}

// marks finds the longest names, from the left.
func (l *Lexicon) marks(words []string) []Mark {
	out := make([]Mark, len(words))
	for i := range words {
		for n := min(longestPhrase, len(words)-i); n > 0; n-- {
			kind := l.Names(strings.Join(words[i:i+n], " "))
			if kind == 0 {
				continue
			}
			for j := i; j < i+n; j++ {
				if out[j] == 0 {
					out[j] = markOf(j == i, n > 1, kind)
				}
			}
			break
		}
	}
	return out
}

func markOf(first, several bool, kind uint8) Mark {
	m := markInside
	if first {
		m = markFirst
	}
	if several {
		m += markSeveral
	}
	return m + Mark(kind-1)*markEveryday
}

// phrases finds the longest phrase at each word; every word of it gets its hints.
func (l *Lexicon) phrases(words []string) [][]int {
	out := make([][]int, len(words))
	for i := range words {
		for n := min(longestPhrase, len(words)-i); n > 0; n-- {
			found, ok := l.Phrases[strings.Join(words[i:i+n], " ")]
			if !ok {
				continue
			}
			for j := i; j < i+n; j++ {
				out[j] = union(out[j], found)
			}
			break
		}
	}
	return out
}

func union(a, b []int) []int {
	out := append([]int(nil), a...)
next:
	for _, x := range b {
		for _, y := range a {
			if x == y {
				continue next
			}
		}
		out = append(out, x)
	}
	return out
}
