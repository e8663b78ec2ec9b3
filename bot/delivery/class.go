package delivery

import "deepward/bot"

// class says what goes first. In an emergency on deck seconds count; a mark that says
// "noted" has time.
type class int

const (
	answers class = iota // to a question or a command, and anything told unasked
	taps                 // what a tap brought
	marks                // that a report was kept
	refused              // what was refused before: behind all that is newer
)

// classOf sorts a reply by what it is. In a private chat there is nobody to go before:
// there all that is said keeps its order.
func classOf(r bot.Reply) class {
	switch {
	case r.PressID != "":
		return taps
	case !r.Group:
		return answers
	case r.IsCard():
		return marks
	case r.Edit != 0:
		return taps
	case r.React || r.Confirms():
		return marks
	default:
		return answers
	}
}

// leaves is how much of a limit a class leaves to those before it, in fifths: of the
// twenty messages that a group may get, marks leave eight and taps four.
func (c class) leaves(most int) int {
	switch c {
	case answers:
		return 0
	case taps:
		return most / 5
	default:
		return most / 5 * 2
	}
}
