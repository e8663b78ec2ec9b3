package bot

import (
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// nameOf is what the reader calls a species, as it heads a line. Where only the English
// name is known the scientific one stands beside it, which is the same in every language.
func nameOf(v words.Voice, s *advisor.Species) string {
	name := s.NameIn(v.Language())
	if !s.NamedIn(v.Language()) {
		name, _, _ = strings.Cut(name, " (")
		name, _, _ = strings.Cut(name, " / ")
		name += " (" + s.ScientificName + ")"
	}
	return name
}

// callFish is what the reader calls, inside a sentence, a fish that the core calls by
// its English name; other words stay as they are.
func callFish(v words.Voice, english string) string {
	if s := advisor.InEnglish(english); s != nil {
		return understand.InSentence(nameOf(v, s))
	}
	switch english {
	case advisor.General().EnglishName:
		return understand.InSentence(v.Say("fish.general"))
	case understand.AnyFish:
		return v.Say("report.some_fish")
	}
	return english
}

// beside is what a fish is called beside a name of it: where that is the same, as it is one
// of several of the name, the scientific one tells which.
func beside(name, called string, s *advisor.Species) string {
	if s != nil && strings.EqualFold(name, called) {
		return called + " (" + s.ScientificName + ")"
	}
	return called
}
