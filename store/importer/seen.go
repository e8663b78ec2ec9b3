package importer

import (
	"hash/maphash"
	"maps"
)

// seen is what the parts of a large file must know of those before them: how often a row
// said the same, and the first line of each tag. A part may be read several times, while
// it is asked about.
type seen struct {
	seed   maphash.Seed
	counts map[uint64]int32
	firsts map[uint64]firstLine
	// counted is what the part has added so far.
	counted map[uint64]int32
}

func newSeen() *seen {
	return &seen{seed: maphash.MakeSeed(), counts: map[uint64]int32{}, firsts: map[uint64]firstLine{}}
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
	return int(s.counts[k] + s.counted[k])
}

// first is the first line of a tag in the parts before.
func (s *seen) first(tag string) (firstLine, bool) {
	if s == nil {
		return firstLine{}, false
	}
	f, ok := s.firsts[maphash.String(s.seed, tag)]
	return f, ok
}

// keep adds a part that was read to the end.
func (s *seen) keep(sheet *Sheet) {
	for k, n := range s.counted {
		s.counts[k] += n
	}
	for tag, f := range maps.All(sheet.firsts) {
		k := maphash.String(s.seed, tag)
		if before, ok := s.firsts[k]; !ok || f.day.before(before.day) {
			f.line = 0 // of another part
			s.firsts[k] = f
		}
	}
}
