// Package understand reads what people type on a boat: it turns a message into a
// question, a report, a command, or nothing that concerns the bot.
//
// It guesses nothing silently: a figure without a unit, an impossible value and
// a name that may be two fish each come out as what they are.
package understand

import "deepward/advisor"

// Kind is what a message is.
type Kind string

// The kinds of message, by the names of the JSON contract.
const (
	Question Kind = "question"
	Report   Kind = "report"
	Command  Kind = "command"
	// Other is not for this bot: it stays silent in a group.
	Other Kind = "other"
)

// The things that would sharpen an answer, by the names of the JSON contract.
const (
	MissingDepth   = "depth"
	MissingSize    = "size"
	MissingSpecies = "species"
)

// Setting is what is known about the place where a message was written.
type Setting struct {
	// Region is one of advisor's region names, or "" when the chat set none.
	Region string
	// Language is a BCP 47 base language ("en", "es", "pt", "fr"); words of every
	// known language are understood whatever it is.
	Language string
	// Names are those that the person or the club taught; they go before what the catalogue
	// and the gazetteer know.
	Names Taught
	// Talked are the names of the fish that are talked of, as typed.
	Talked []string
	// Things are words for what serves as a weight, as they were told.
	Things []string
}

// Meaning is a message, understood.
type Meaning struct {
	// Text is the message as given.
	Text string
	Kind Kind

	// Query is the fish that was asked about or reported, the first if several.
	Query advisor.Query
	// Named is the name of the fish as it was typed, in small letters.
	Named string
	// More are the further fish of the same message, in order, each complete:
	// "3 gag 50m 2kg, 4kg and 5kg" gives Query with 2 kg and two more.
	More []advisor.Query
	// FollowUp is true when the message names no species and reads as a change to
	// the last question ("and 60 m?", "5kg", "20 oz only"). Only what it says is
	// set in Query.
	FollowUp bool

	// Correction is true when the words say that what came before was wrong: "no, 45 m",
	// "sorry, it was a gag".
	Correction bool

	// Done is what was done with the fish; set for a report.
	Done Done

	// Each is what was done with Query and with each of More, in order, when the
	// message tells it of several by themselves; else it is empty and Done holds for all.
	Each []Done

	// Verb is the command in lower case without slash, Rest what followed it.
	Verb string
	Rest string

	// Problems are the values that were refused.
	Problems []Problem
	// Missing are the things that would sharpen the answer: depth, size, species.
	Missing []string
}

// Done is what a report says was done with the fish.
type Done struct {
	advisor.Release
	// Day is when the fish was caught, nil if the words do not say: when the message
	// was written.
	Day *Day
}

// Problem is one value that was refused, cannot be read safely, or was taken on trust.
type Problem struct {
	// Field is the contract's name of the figure: depth_m, weight_kg, length_cm,
	// minutes_on_deck, count, release_weight_oz, species.
	Field string
	// Why says what is wrong and what to do; package bot words it.
	Why advisor.Note
}

// AnyFish stands in Problem.Why for a fish whose species is not known.
const AnyFish = "a fish"

// The codes of Problem.Why. Figures and Words are what the sentence needs.
const (
	// TooDeep: Figures[0] metres is deeper than this bot deals with (1,000 m).
	TooDeep advisor.NoteCode = "problem.too_deep"
	// TooHeavy: Figures[0] kg is more than any fish here (300 kg).
	TooHeavy advisor.NoteCode = "problem.too_heavy"
	// TooHeavyForSpecies: Figures[0] kg is far over Figures[1] kg, the most that
	// Words[0] reaches.
	TooHeavyForSpecies advisor.NoteCode = "problem.too_heavy_for_species"
	// TooLong: Figures[0] cm is far over Figures[1] cm, the most that Words[0] reaches.
	TooLong advisor.NoteCode = "problem.too_long"
	// NotPositive: Words[0] as typed is zero or below.
	NotPositive advisor.NoteCode = "problem.not_positive"
	// NoUnit: Words[0] as typed has no unit, so it is not used.
	NoUnit advisor.NoteCode = "problem.no_unit"
	// TakenAs: the bare Figures[0] was taken in the unit Words[0], as talk names it.
	TakenAs advisor.NoteCode = "assumed.unit"
	// TakenByHabit: the same, because the person mostly writes that unit.
	TakenByHabit advisor.NoteCode = "assumed.habit"
	// Contradiction: Words[0] and Words[1] as typed say two different things.
	Contradiction advisor.NoteCode = "problem.contradiction"
	// TooMany: Figures[0] fish in one message is more than is taken at once.
	TooMany advisor.NoteCode = "problem.too_many"
	// TooLongOut: Figures[0] minutes out of water is more than a fish lives.
	TooLongOut advisor.NoteCode = "problem.too_long_out"
	// NameUnsure: Words[0] as typed may mean Words[1] or Words[2]; it is not used.
	NameUnsure advisor.NoteCode = "problem.name_unsure"
)
