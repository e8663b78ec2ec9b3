package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed data/commands.csv
var commandsCSV string

// spokenCommand is a command that people write without a slash.
type spokenCommand struct {
	phrase, verb, rest string
	// more is what may follow: "" or "alone" nothing, "number" a number, "words" anything.
	more string
}

// aloneOnly marks the title of a lesson: it is a command where nothing else is said, and
// tells the learned reader nothing of words among others.
const aloneOnly = "alone"

// spokenCommands are by the first word of their phrase, longer phrases first; phrases
// are folded.
var spokenCommands = sync.OnceValue(func() map[string][]spokenCommand {
	byFirst := map[string][]spokenCommand{}
	for _, row := range mustRows(commandsCSV) {
		first, _, _ := strings.Cut(row[1], " ")
		byFirst[first] = append(byFirst[first], spokenCommand{row[1], row[2], row[3], row[4]})
	}
	for _, list := range byFirst {
		slices.SortStableFunc(list, func(a, b spokenCommand) int { return len(b.phrase) - len(a.phrase) })
	}
	return byFirst
})

// readCommand takes "/verb@bot rest" and the plain command words. lead is what the
// plain words say already, such as "weights" of "my weights", and skip how many
// words of the message come before what else follows.
func readCommand(folded string) (verb, lead string, skip int, ok bool) {
	if strings.HasPrefix(folded, "/") {
		verb, _, _ = strings.Cut(strings.Fields(folded)[0][1:], "@")
		if other, lead, _, ok := plainCommand(verb); ok && lead == "" {
			verb = other // "/resumen": the word that is spoken, with a slash
		}
		return verb, "", 1, isVerb(verb)
	}
	plain := strings.TrimLeft(strings.TrimRight(folded, "?!. "), "¿¡")
	if verb, lead, skip, ok = plainCommand(plain); ok {
		return verb, lead, skip, ok
	}
	if isUndoLast(plain) {
		return "undo", "last", strings.Count(plain, " ") + 1, true
	}
	if verb, ok = askedLesson(plain); ok {
		return verb, "", strings.Count(folded, " ") + 1, true
	}
	if asked := bareRequest(plain); asked != plain {
		verb, lead, _, ok = plainCommand(asked)
		return verb, lead, strings.Count(folded, " ") + 1, ok && !wordsMayFollow(verb)
	}
	return "", "", 0, false
}

// wordsMayFollow is true for commands that a sentence around them would garble.
func wordsMayFollow(verb string) bool { return verb == "my" || verb == "kit" }

// plainCommand finds the command that a message begins with.
func plainCommand(plain string) (verb, lead string, skip int, ok bool) {
	first, _, _ := strings.Cut(plain, " ")
	for _, c := range spokenCommands()[first] {
		more, ok := strings.CutPrefix(plain, c.phrase)
		if ok && (more == "" || more[0] == ' ' && c.takes(more[1:])) {
			return c.verb, c.rest, strings.Count(c.phrase, " ") + 1, true
		}
	}
	return "", "", 0, false
}

// takes reports whether words may follow the command.
func (c spokenCommand) takes(words string) bool {
	return c.more == "words" || c.more == "number" && isUndoRest(words)
}

// isUndoRest is true for "12", "#12", "no. 12", "last", "that": not for other talk.
func isUndoRest(rest string) bool {
	if first, number, two := strings.Cut(rest, " "); two && (numberLead[first] || numberSigns[first]) {
		rest = number
	}
	rest = strings.TrimLeft(rest, "#")
	return rest != "" && strings.Trim(rest, "0123456789") == "" || rest == "last" || rest == "that"
}

// numberSigns stand for the word number.
var numberSigns = wordSet("no. no nr. nr n. n nº n°")

func isVerb(s string) bool {
	return s != "" && len(s) <= 32 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789_-") == ""
}
