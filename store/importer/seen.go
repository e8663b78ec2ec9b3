package importer

import (
	"hash/maphash"
	"maps"
)

// seen is what the parts of a large file must know of those before them: how often a row
// said the same, and the first line of each tag. A part may be read several times, while
// it is asked about.
type seen struct {
	seed maphash.Seed
	// once has what was said, more how often where that was more than once: nearly all rows
	// say something of their own.
	once   map[uint64]struct{}
	more   map[uint64]int32
	firsts map[uint64]packedDay
	// counted is what the part has added so far.
	counted map[uint64]int32
}

func newSeen() *seen {
	s := &seen{seed: maphash.MakeSeed(), firsts: map[uint64]packedDay{}}
	s.forgetCounts()
	return s
}

// forgetCounts begins the count anew, for the file to be read again.
func (s *seen) forgetCounts() { s.once, s.more = map[uint64]struct{}{}, map[uint64]int32{} }

// count is how often the parts before said it.
func (s *seen) count(k uint64) int32 {
	if n, ok := s.more[k]; ok {
		return n
	}
	if _, ok := s.once[k]; ok {
		return 1
	}
	return 0
}

// begin starts a part, or starts it anew. It may be called of none.
func (s *seen) begin() {
	if s != nil {
		s.counted = map[uint64]int32{}
	}
}

// occurrence is how often a report that says this has come, with this one.
func (s *seen) occurrence(said []byte) int {
	k := maphash.Bytes(s.seed, said)
	s.counted[k]++
	return int(s.count(k) + s.counted[k])
}

// first is the first line of a tag in the parts before.
func (s *seen) first(tag string) (firstLine, bool) {
	if s == nil {
		return firstLine{}, false
	}
	day, ok := s.firsts[maphash.String(s.seed, tag)]
	return firstLine{day: day.civil()}, ok // a line of another part is none of this one
}

// keep adds a part that was read to the end.
func (s *seen) keep(sheet *Sheet) {
	for k, n := range s.counted {
		if n += s.count(k); n > 1 {
			s.more[k] = n
		}
		s.once[k] = struct{}{}
	}
	for tag, f := range maps.All(sheet.firsts) {
		k := maphash.String(s.seed, tag)
		if before, ok := s.firsts[k]; !ok || f.day.before(before.civil()) {
			s.firsts[k] = packed(f.day)
		}
	}
}

// packedDay is a day in four bytes: a large file has a first day for each of its tags.
type packedDay int32

// packed holds years from 0 to 4 million, of months under 16 and days under 32.
func packed(c civil) packedDay { return packedDay(c.year<<9 | c.month<<5 | c.day) }

func (p packedDay) civil() civil { return civil{int(p >> 9), int(p >> 5 & 15), int(p & 31)} }
