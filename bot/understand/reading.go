package understand

import "deepward/advisor"

// Act is what a message does.
type Act string

// The acts, by the names of the JSON contract.
const (
	// ActQuestion wants advice about a fish now.
	ActQuestion Act = "question"
	// ActReport tells what was done with a fish.
	ActReport Act = "report"
	// ActCorrection says that what was said before is wrong.
	ActCorrection Act = "correction"
	// ActCommand wants something of the bot that is not about one fish.
	ActCommand Act = "command"
	// ActOther asks the bot nothing.
	ActOther Act = "other"
)

// Reading is one message as heard, before anything that was said earlier is thought of:
// the same words always give the same reading.
type Reading struct {
	// Text is the message as typed.
	Text string
	Act  Act
	// Want is set for questions and commands.
	Want Want
	// Verb is a command that was typed as one ("/log", "undo 3"), without its slash, and
	// Rest what followed it; Act and Want then say the same.
	Verb, Rest string
	// Sure is the chance, 0 to 1, that Act is right.
	Sure float64
	// Fish are the fish that are told of, one entry a group of like fish. An entry
	// without a name is the fish that is being talked of.
	Fish []Fish
	// Aboard is what the person says they have.
	Aboard Aboard
	// Predators is true when hunters are about.
	Predators bool
	// Hurt is true when the words say that a person is hurt.
	Hurt bool
	// Day is when it was, nil where it is not said.
	Day *Day
	// FollowUp is true when the message cannot stand alone.
	FollowUp bool
	// Further is the chance, 0 to 1, that a report is of one more fish where the one that is
	// talked of has its report.
	Further float64
	// Corrects is true when a word says that something before was wrong: no, sorry,
	// actually, scratch that; Denied are then the values that are taken back, as typed.
	Corrects bool
	// Number is the number of a report that the words name, "3 was 40 m"; 0 for none.
	Number uint64
	// Again says what is carried over from before.
	Again Again
	// Bare are figures without a unit that no tag of the message makes plain: answers
	// to what was asked, perhaps.
	Bare []Bare
	// BareUsed is true where the only weight used is told without a unit.
	BareUsed bool
	// Loose are figures without a unit that nothing in the message claims.
	Loose []Bare
	// Lead is true where a word for a release weight stands in the message.
	Lead bool
	// Things are words beside the weights told, for what may serve as one; Thing is that of
	// Setting.Things which the message speaks of, "" for none.
	Things []string
	Thing  string
	// Unit is a unit that stands without a figure: an answer to what was asked, perhaps.
	Unit LoneUnit
	// Which says which fish is meant where nothing is told of it: "no, the little one".
	Which Which
	// Told are the units in which the figures of fish were told.
	Told UnitFactors
	// Unread are the pieces by a name or a figure that could not be used, as typed.
	Unread []string
	// Problems are the values that were refused.
	Problems []Problem
}

// OnlyDay is the day that is told by words that say nothing of a fish: "it was 12 Nov",
// "ayer"; nil for other words.
func (r Reading) OnlyDay() *Day {
	if len(r.Fish) > 0 || len(r.Bare) > 0 || r.Verb != "" {
		return nil
	}
	return r.Day
}

// UnitFactors are the units of depths, weights and lengths, as factors to metres, kilograms
// and centimetres; 0 where none was told, or more than one.
type UnitFactors struct{ Depth, Weight, Length float64 }

// Fish is one group of like fish in a message.
type Fish struct {
	// Name is the name as typed, "" where none is said.
	Name string
	// Query holds what is said of the fish; what is not said is nil or empty. Count is
	// 1 where none is said.
	Query advisor.Query
	// Counted is true where a count was said.
	Counted bool
	// NoSigns is true when signs were denied; NotBleeding when blood was.
	NoSigns, NotBleeding bool
	// Done is what was done with it and how it went.
	Done Done
	// Which tells it from others that are talked of.
	Which Which
	// Times is how many times as heavy it is said to be as the fish told before it; 0 where
	// that is not said.
	Times float64
	// Pick is which of the weights aboard it was sent down with, by a word for it.
	Pick Pick
}

// Figure is where a fish keeps the figure of a field, by the names of the JSON contract;
// nil for a field that is no figure of a fish.
func (f *Fish) Figure(field string) **float64 {
	switch field {
	case "depth_m":
		return &f.Query.DepthM
	case "release_depth_m":
		return &f.Done.ReleaseDepthM
	case "weight_kg":
		return &f.Query.WeightKg
	case "length_cm":
		return &f.Query.LengthCm
	}
	return nil
}

// Aboard is the weights that somebody has with them.
type Aboard struct {
	// ReleaseOz are release weights, in ounces; LeadG other sinkers or heavy things, in grams.
	ReleaseOz, LeadG []float64
	// None is true when they say that they have no release weight.
	None bool
}

// Again is what words such as "same spot" or "another" say of the fish before.
type Again struct {
	// Spot: the same depth and place. Deed: the same method and weights. All: all of
	// it, the species too ("same again"). Size: the same size. Species: the same kind of fish.
	Spot, Deed, All, Size, Species bool
	// Another is true for a further fish: another, next, second, my mate's.
	Another bool
	// Otherwise is true for words that say that its size is another one: smaller, bigger.
	Otherwise bool
	// Result: it went the same way.
	Result bool
	// Alone is true for words that say that the fish went without help: "on its own".
	Alone bool
	// Returned is true for words that say that it came up again: "came back up".
	Returned bool
	// Nth is the place of the fish among those before, "the second": 0 for none.
	Nth int
	// Last is true for "the last one" among those before, LastButOne for the one before it.
	Last, LastButOne bool
	// Is is true for words that say what a fish is: "it's a gag".
	Is bool
	// AsTold is true for words that say that the advice was followed: "done", "did that".
	AsTold bool
	// Times is how many times as heavy it is said to be as the fish told before it; 0 where
	// that is not said.
	Times float64
	// Pick is which of the weights aboard was used, by a word for it.
	Pick Pick
	// Back is true for words that want back what was taken away: put it back, restore.
	Back bool
	// PutBack is true where those words say it by themselves, whatever was done before.
	PutBack bool
}

// Pick says which of several weights is meant without naming its figure.
type Pick string

// The picks, as the table of words has them.
const (
	PickLightest Pick = "lightest"
	PickHeaviest Pick = "heaviest"
	PickTogether Pick = "together"
	PickMiddle   Pick = "middle"
)

// Bare is a figure without a unit.
type Bare struct {
	Value float64
	// Role is what the words around it make of it: depth_m, weight_kg, length_cm, count,
	// no (the number of a report), "" if nothing tells.
	Role string
	// Words is the figure as typed.
	Words string
	// Sure is the chance, 0 to 1, that Role is right.
	Sure float64
	// Other is the likeliest other role, and OtherSure its chance.
	Other     string
	OtherSure float64
}
