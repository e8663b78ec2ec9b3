package season

import (
	"math"
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
)

// Fault is what cannot be in the life of one tagged fish.
type Fault string

// The faults of a tag's history.
const (
	// FaultTwice: the tag was put in twice with no sighting between.
	FaultTwice Fault = "twice"
	// FaultBefore: it was seen again before it was put in.
	FaultBefore Fault = "before"
	// FaultShrank: it got shorter by more than measuring error.
	FaultShrank Fault = "shrank"
	// FaultSpecies: it was reported as another species.
	FaultSpecies Fault = "species"
)

// measuringError is how much two measurements of one fish on a boat may differ, as a
// share of its length, with a floor in cm; common practice, no source.
const (
	measuringError   = 0.05
	measuringErrorCm = 2.0
)

// DayUnknown is the flag of an imported recapture whose day was not told: it stands
// right behind its release, and says nothing of the days between.
const DayUnknown = "recapture_date_unknown"

// DateFilled is the flag of an imported report whose day was not told: it has one that
// stands for the whole table. Its month, and the days to another report that has not the
// same, mean nothing.
const DateFilled = "date_filled"

// Sighting is one time that a tagged fish was seen again.
type Sighting struct {
	// Days at liberty since it was released with the tag, by the calendar; 0 on the
	// same day, and where DaysKnown is false.
	Days      int
	DaysKnown bool
	// GrewCm is its growth in cm; nil unless both lengths are known and of one type.
	GrewCm *float64
	// Cells is how many 0.1 degree cells away it was seen, 0 in the same one, 1 in a
	// neighbour; nil unless both places are known. It is all that may be told where
	// others read it: a distance draws a circle round somebody's mark.
	Cells *int
	// MovedM is the straight-line distance in metres between the centres of the two
	// cells, over land if need be, and PlusMinusM by how much either way it may be
	// off; nil and 0 within one cell.
	MovedM     *float64
	PlusMinusM float64
	// SameCell is true when both places lie in one cell.
	SameCell bool
}

// History is what the reports of one tag say together.
type History struct {
	// First is the release with the tag, nil if it was never reported.
	First *catch.Report
	// Sightings are the times it was seen again after that, in order.
	Sightings []Sighting
	Faults    []Fault
}

// HistoryOf reads the reports of one tag, in any order. Reports of a fish seen again
// whose release is not among them make no sightings: there is nothing to reckon from.
func HistoryOf(reports []*catch.Report) History {
	ordered := slices.Clone(reports)
	slices.SortStableFunc(ordered, func(a, b *catch.Report) int { return a.CaughtAt.Compare(b.CaughtAt) })
	marks := make([]mark, len(ordered))
	for i, r := range ordered {
		marks[i] = markOf(r)
	}
	l := lifeOf(marks)
	h := History{Sightings: l.sightings, Faults: l.faults}
	if l.first >= 0 {
		h.First = ordered[l.first]
	}
	return h
}

// mark is what one report says of a tagged fish, and no more: a season holds one for
// each.
type mark struct {
	*alike
	at         int64   // in nanoseconds, for the order
	lengthCm   float64 // NaN when not known, like depthM
	depthM     float64
	who        uint64
	day        int32 // of the calendar, by the zone of the report
	cell       catch.Cell
	placed     bool
	recapture  bool
	dayUnknown bool
	dayFilled  bool
	alive      bool // let go, and not seen to die
	tag        tagHash
}

// alike is what many marks have in common.
type alike struct {
	species    string
	method     advisor.Method
	lengthType advisor.LengthType
}

func markOf(r *catch.Report) mark {
	m := mark{
		alike: &alike{r.Species, r.Method, r.LengthType},
		at:    r.CaughtAt.UnixNano(), day: int32(dayOf(r.CaughtAt)), lengthCm: orNaN(r.LengthCm), depthM: orNaN(r.DepthM), who: r.Who, recapture: r.Recapture, dayUnknown: slices.Contains(r.Flags, DayUnknown), dayFilled: slices.Contains(r.Flags, DateFilled),
		alive: r.Outcome != advisor.Died && r.Outcome != advisor.TakenByOther && r.Behaviour != advisor.Dead && r.Method != advisor.Kept,
	}
	if r.Cell != nil {
		m.cell, m.placed = *r.Cell, true
	}
	return m
}

func orNaN(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// life is a History over marks.
type life struct {
	first     int // -1 when the release is not known
	sightings []Sighting
	seenBy    []uint64
	faults    []Fault
}

// lifeOf reads marks in order of time. Of those of one moment the first release
// comes first, and the others in the order in which they were told.
func lifeOf(marks []mark) life {
	l := life{first: slices.IndexFunc(marks, func(m mark) bool { return !m.recapture })}
	if l.first < 0 {
		return l
	}
	first := marks[l.first]
	for i, m := range marks {
		switch {
		case i == l.first:
		case m.at < first.at:
			l.faults = append(l.faults, FaultBefore)
		case !m.recapture && len(l.sightings) == 0:
			l.faults = append(l.faults, FaultTwice)
		default: // seen again, or released again after it was
			l.see(first, m)
		}
	}
	return l
}

func (l *life) see(first, again mark) {
	if first.species != "" && again.species != "" && first.species != again.species {
		l.faults = append(l.faults, FaultSpecies)
	}
	s := Sighting{DaysKnown: !again.dayUnknown && first.dayFilled == again.dayFilled}
	if s.DaysKnown {
		s.Days = int(again.day - first.day)
	}
	if grew, ok := growth(first, again); ok {
		s.GrewCm = &grew
		if grew < -max(measuringErrorCm, measuringError*first.lengthCm) {
			l.faults = append(l.faults, FaultShrank)
		}
	}
	if first.placed && again.placed {
		s.move(first.cell, again.cell)
	}
	l.sightings = append(l.sightings, s)
	l.seenBy = append(l.seenBy, again.who)
}

func (s *Sighting) move(from, to catch.Cell) {
	s.Cells, s.SameCell = new(cellsApart(from, to)), from == to
	if !s.SameCell {
		m, off := cellDistance(from, to)
		s.MovedM, s.PlusMinusM = &m, off
	}
}

func growth(first, again mark) (cm float64, ok bool) {
	cm = again.lengthCm - first.lengthCm
	return cm, first.lengthType == again.lengthType && !math.IsNaN(cm)
}

// dayOf counts the days of the calendar, each date by its own zone.
func dayOf(t time.Time) int {
	const day = 24 * 60 * 60
	_, east := t.Zone()
	return int(math.Floor(float64(t.Unix()+int64(east)) / day))
}

// has is true when the history shows one of these faults.
func (l life) has(faults ...Fault) bool {
	return slices.ContainsFunc(l.faults, func(f Fault) bool { return slices.Contains(faults, f) })
}
