package advisor

// The most that is believed of any fish, whoever tells of it: common practice, no source.
const (
	// DeepestM is the greatest capture depth, in metres.
	DeepestM = 1000
	// HeaviestKg and LongestCm are the weight and the length of the largest fish.
	HeaviestKg = 300
	LongestCm  = 400
	// MostFish is how many fish one message or row may tell of.
	MostFish = 60
	// RecordSlack is how far over the record of its kind a length may be: records understate.
	RecordSlack = 1.25
)
