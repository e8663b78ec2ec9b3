package learned

// Context is what is open in a talk when a message comes; the zero value stands before
// the first one.
type Context struct {
	// Begun is true after the first message.
	Begun bool
	// Open is true while a fish is asked about that no report was made of, with what is
	// known of it.
	Open, Species, Depth, Size bool
	// Kept is true after a report was kept.
	Kept bool
	// Last is the act of the message before: question, report, correction, command, other.
	Last string
	// Asks is what was asked last: depth, size, species, went, "" for nothing.
	Asks string
	// Group is true where several people write.
	Group bool
}

var (
	contextActs = []string{"question", "report", "correction", "command", "other"}
	contextAsks = []string{"depth", "size", "species", "went"}
)

// contextSize is the length of Vector.
const contextSize = 16

// Vector is the context as the network takes it in.
func (c Context) Vector() []float32 {
	v := make([]float32, 0, contextSize)
	for _, b := range []bool{c.Begun, c.Open, c.Species, c.Depth, c.Size, c.Kept} {
		v = append(v, bit(b))
	}
	for _, a := range contextActs {
		v = append(v, bit(c.Last == a))
	}
	for _, a := range contextAsks {
		v = append(v, bit(c.Asks == a))
	}
	return append(v, bit(c.Group))
}

func bit(b bool) float32 {
	if b {
		return 1
	}
	return 0
}
