package understand

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// properNames begin with a capital also inside a sentence.
var properNames = []string{
	"Atlantic", "Pacific", "European", "Warsaw", "Nassau", "Bight", "Samson", "West", "Western", "Chinook", "Narrow-barred Spanish",
}

// InSentence writes a name of a fish, in any language, as it stands inside a sentence:
// "mutton snapper", "Nassau grouper".
func InSentence(name string) string {
	for _, p := range properNames {
		if strings.HasPrefix(name, p) {
			return name
		}
	}
	first, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToLower(first)) + name[size:]
}
