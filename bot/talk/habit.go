package talk

import "deepward/bot/understand"

// When somebody's way of telling figures counts as known, in messages.
const (
	// habitKnown is how many more messages told a unit than another.
	habitKnown = 3
	// habitMost is the most that is counted: so many of another unit change the habit.
	habitMost = 5
)

// Habit is a unit that somebody tells figures of one kind in, as a factor to metres,
// kilograms or centimetres; Times is by how many messages it leads.
type Habit struct {
	Factor float64 `cbor:"1,keyasint,omitempty"`
	Times  int     `cbor:"2,keyasint,omitempty"`
}

// Habits are those of depths, weights and lengths.
type Habits struct {
	Depth  Habit `cbor:"1,keyasint,omitzero"`
	Weight Habit `cbor:"2,keyasint,omitzero"`
	Length Habit `cbor:"3,keyasint,omitzero"`
}

// After are the habits after a message that told figures in these units.
func (h Habits) After(told understand.UnitFactors) Habits {
	return Habits{h.Depth.after(told.Depth), h.Weight.after(told.Weight), h.Length.after(told.Length)}
}

func (h Habit) after(factor float64) Habit {
	switch {
	case factor == 0:
		return h
	case factor == h.Factor:
		h.Times = min(h.Times+1, habitMost)
		return h
	case h.Times > 1:
		h.Times--
		return h
	}
	return Habit{factor, 1}
}

// Units are the units that are known by now; 0 for the others.
func (h Habits) Units() Units {
	return Units{h.Depth.known(), h.Weight.known(), h.Length.known()}
}

func (h Habit) known() float64 {
	if h.Times < habitKnown {
		return 0
	}
	return h.Factor
}

// Names are the names of the units that are known by now, depths first.
func (u Units) Names() (list []string) {
	for _, field := range captureFields {
		if name := UnitName(field, u.of(field)); name != "" {
			list = append(list, name)
		}
	}
	return list
}
