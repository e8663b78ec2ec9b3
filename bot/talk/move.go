package talk

import (
	"deepward/bot/understand"
)

// Deed is the kind of a move.
type Deed string

// What a message brings about.
const (
	// Answer: advise on Move.Fish.
	Answer Deed = "answer"
	// Keep: keep Move.Keep, change Move.Change, take back Move.TakeBack.
	Keep Deed = "keep"
	// Change: change Move.Change, keep Move.Keep, take back Move.TakeBack.
	Change Deed = "change"
	// Undo: take back Move.TakeBack, or put rows back as they were, Move.Change.
	Undo Deed = "undo"
	// PutBack: let Move.PutBack count again.
	PutBack Deed = "put_back"
	// Command: do what Move.Want, or the typed command, says.
	Command Deed = "command"
	// AskBack: ask State.Asked.
	AskBack Deed = "ask_back"
	// Nothing concerns the bot.
	Nothing Deed = ""
)

// Move is what one message brings about.
type Move struct {
	Do   Deed
	Want understand.Want
	// Fish are the complete fish to advise on. With Keep or Change too, where what was
	// told asks for a new answer.
	Fish []understand.Fish
	// Again is true when the fish came back up: the same advice again would not help.
	Again bool
	// Aboard is true when what was kept may be no report: Fish is answered too.
	Aboard bool
	// Keep are new rows, Change rows as they are to stand, TakeBack and PutBack numbers.
	Keep, Change      []Row
	TakeBack, PutBack []uint64
	// Assumed are the bare figures that were taken in the unit of the person or the region.
	Assumed []Lent
	// Dropped are names of fish that nobody knows and that were not taken for one here.
	Dropped []string
	// Renamed is true when a name took the place of another.
	Renamed bool
}
