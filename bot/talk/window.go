package talk

import "time"

// The windows of time of a talk.
const (
	// FishLasts is how long a fish is talked of without being named.
	FishLasts = 6 * time.Hour
	// CorrectionLasts is how long after a report words of correction that name no
	// report are taken to be about it.
	CorrectionLasts = 2 * time.Hour
	// AskLasts is how long a bare figure or word answers what was asked.
	AskLasts = time.Hour
)

// MostRows is how many reports a talk remembers.
const MostRows = 24

// aged is the state at a later time: what is too old is gone. What is aboard is
// remembered until the day ends, by the clock that the times carry.
func (s State) aged(at time.Time) State {
	quiet := at.Sub(s.At)
	if quiet > FishLasts && !s.At.IsZero() {
		s.Fish = nil
	}
	if quiet > AskLasts {
		s.Asked = Ask{}
	}
	if !s.AboardAt.IsZero() && !sameDay(s.AboardAt, at) {
		s.Aboard, s.AboardAt = noWeights, time.Time{}
	}
	s.At = at
	return s
}

// Open is what a bare figure or word answers at that time.
func (s State) Open(at time.Time) Ask { return s.aged(at).Asked }

func sameDay(a, b time.Time) bool {
	a = a.In(b.Location())
	return a.Year() == b.Year() && a.YearDay() == b.YearDay()
}
