package learned

import "sync"

// scratch is the room that one reading works in: it is used again by the next, for a
// message takes a hundred thousand numbers and leaves a dozen.
type scratch struct {
	room []float32
	used int
}

// roomAtFirst is enough for a message of some twenty words.
const roomAtFirst = 1 << 16

var scratches = sync.Pool{New: func() any { return &scratch{room: make([]float32, roomAtFirst)} }}

// take returns n numbers, all nothing, that are good until the reading ends. They begin
// where sums of products of four may begin: the order of a sum, and so its last bit, is
// the same each time.
func (s *scratch) take(n int) []float32 {
	const four = 4
	if s.used+n > len(s.room) { // what was taken of the old room stays with its takers
		s.room, s.used = make([]float32, 2*len(s.room)+n), 0
	}
	list := s.room[s.used : s.used+n : s.used+n]
	s.used += (n + four - 1) / four * four
	clear(list)
	return list
}

// free lets the next reading use the room.
func (s *scratch) free() {
	s.used = 0
	scratches.Put(s)
}
