package words

// System is a system of units; Unsaid where nobody told.
type System int

// The systems of units.
const (
	Unsaid System = iota
	Metric
	Imperial
)

// Units are the systems in which figures are told, by what they are of.
type Units struct{ Depth, Mass, Length System }

// In returns the voice with figures in the units that somebody told them in. Units that
// were set stay; what was not told follows depth, or else the weight of the fish.
func (v Voice) In(told Units) Voice {
	if v.Set {
		return v
	}
	for _, lead := range [...]System{told.Length, told.Mass, told.Depth} {
		if lead != Unsaid {
			v.Imperial = lead == Imperial
		}
	}
	v.told = told
	return v
}

func (v Voice) inFeet() bool   { return v.imperial(v.told.Depth) }
func (v Voice) inPounds() bool { return v.imperial(v.told.Mass) }
func (v Voice) inInches() bool { return v.imperial(v.told.Length) }

func (v Voice) imperial(told System) bool { return told == Imperial || told == Unsaid && v.Imperial }
