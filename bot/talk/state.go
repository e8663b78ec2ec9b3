package talk

import (
	"slices"
	"time"

	"deepward/bot/understand"
	"deepward/bot/understand/learned"
)

// State is what is remembered of one person's talk in one chat.
type State struct {
	// At is when the last message was written.
	At time.Time
	// Fish are the fish that are talked of, the last one last.
	Fish []Fish
	// Asked is what the last answer asked.
	Asked Ask
	// Rows are the reports kept last, in the order kept, those taken back among them.
	Rows []Row
	// Aboard is what weights are aboard, AboardAt when that was told.
	Aboard   understand.Aboard
	AboardAt time.Time
	// Did is what the last message brought about.
	Did Deed
	// Act is the act of the last message.
	Act understand.Act
	// Before are the rows that the last message changed, as they were; Taken are the
	// numbers that were taken back, one entry an undo, the last one last.
	Before []Row
	Taken  [][]uint64
	// Told are the figures that the last message told, by their fields.
	Told []string
	// Things are words for what serves as a weight, as they were told.
	Things []string
	// Units are the units in which the person told figures.
	Units Units
}

// Fish is a fish, or several alike, that is talked of.
type Fish struct {
	understand.Fish
	// Rows are the numbers of the reports made of it.
	Rows []uint64
	// Place is its place in the order in which the fish were told, Told that of the first
	// fish of the same message.
	Place, Told int
}

// Row is one report.
type Row struct {
	// No is its number in the store, Told the one that people are told, 0 for the same. A
	// row that is to be kept has a provisional one until State.Number.
	No, Told uint64
	// With is the number of the first row that the same message made.
	With uint64
	// Fish is the one fish and what was done with it.
	Fish understand.Fish
	// Day is when it was, nil where it was not said.
	Day *understand.Day
	// Undone is true when it was taken back.
	Undone bool
	// At is when it was kept.
	At time.Time
}

// Ask is what was asked: a plain answer to it is understood.
type Ask struct {
	// What is depth, size, species, went, or unit: in what unit Value of Field was told.
	What  string
	Field string
	Value float64
	// Other is another field that Value may be of; "" for none.
	Other string
}

// The things that are asked.
const (
	AskDepth   = understand.MissingDepth
	AskSize    = understand.MissingSize
	AskSpecies = understand.MissingSpecies
	AskWent    = "went"
	AskUnit    = "unit"
	// AskFish: a message that says something of a fish, and no fish is known.
	AskFish = "fish"
)

var noWeights understand.Aboard

// provisional marks the number of a row that has none yet.
const provisional = 1 << 63

// Number gives the rows that were to be kept the numbers they got, in their order.
func (s State) Number(numbers []uint64) State {
	give := func(no uint64) uint64 {
		if i := int(no &^ provisional); no&provisional != 0 && i < len(numbers) {
			return numbers[i]
		}
		return no
	}
	s.Rows = slices.Clone(s.Rows)
	for i := range s.Rows {
		s.Rows[i].No, s.Rows[i].With = give(s.Rows[i].No), give(s.Rows[i].With)
	}
	s.Fish = slices.Clone(s.Fish)
	for i := range s.Fish {
		s.Fish[i].Rows = slices.Clone(s.Fish[i].Rows)
		for j, no := range s.Fish[i].Rows {
			s.Fish[i].Rows[j] = give(no)
		}
	}
	return s
}

// WithoutRows is the state to keep where the reports themselves are kept elsewhere.
func (s State) WithoutRows() State {
	s.Rows = nil
	return s
}

// Standing are the rows that were not taken back.
func (s State) Standing() []Row {
	return slices.DeleteFunc(slices.Clone(s.Rows), func(r Row) bool { return r.Undone })
}

// Context is the state as the learned reader takes it in.
func (s State) Context() learned.Context {
	c := learned.Context{Begun: !s.At.IsZero(), Kept: len(s.Standing()) > 0, Last: string(s.Act), Asks: s.asks()}
	if i := s.focus(); i >= 0 && len(s.Fish[i].Rows) == 0 {
		q := s.Fish[i].Query
		c.Open, c.Species, c.Depth = true, q.Species != "", q.DepthM != nil
		c.Size = q.WeightKg != nil || q.LengthCm != nil
	}
	return c
}

// asks is what was asked, by the names of the learned reader.
func (s State) asks() string {
	switch s.Asked.What {
	case AskUnit:
		if s.Asked.Field == "weight_kg" || s.Asked.Field == "length_cm" {
			return AskSize
		}
		return AskDepth
	case AskFish:
		return AskSpecies
	}
	return s.Asked.What
}

// Names are the names of the fish that are talked of, as typed.
func (s State) Names() (list []string) {
	for _, f := range s.Fish {
		if f.Name != "" && !slices.Contains(list, f.Name) {
			list = append(list, f.Name)
		}
	}
	return list
}

// focus is the fish that is talked of now, -1 for none.
func (s State) focus() int { return len(s.Fish) - 1 }
