package understand

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed data/lessons.csv
var lessonsCSV string

// lessonWords are the words that a question about the trade itself is made of, by
// their roles: "how do i use the weight", "cuando no hay que bajarlo".
var lessonWords = sync.OnceValue(func() map[string]map[string]bool {
	table := map[string]map[string]bool{}
	for _, row := range mustRows(lessonsCSV) {
		if table[row[2]] == nil {
			table[row[2]] = map[string]bool{}
		}
		table[row[2]][row[1]] = true
	}
	return table
})

// longestLesson is how many words such a question may have.
const longestLesson = 12

// askedLesson finds the command that a whole sentence asks for. Every word must be one of
// the trade or a small one: talk that only begins with "how" or "when" is left alone.
func askedLesson(plain string) (verb string, ok bool) {
	first, rest, more := strings.Cut(plain, " ")
	opener := lessonWords()[first]
	if !more || !opener["how"] && !opener["why"] && !opener["when"] && !opener["which"] {
		return "", false
	}
	said, words := map[string]bool{}, strings.FieldsFunc(rest, isLessonBreak)
	if len(words) >= longestLesson {
		return "", false
	}
	for _, w := range words {
		roles := lessonWords()[w]
		if roles == nil {
			return "", false
		}
		for _, role := range []string{"weight", "carry", "deed", "vent", "depth", "small", "fish", "which"} {
			if roles[role] {
				said[role] = true
				break
			}
		}
	}
	return lessonOf(opener, said)
}

func isLessonBreak(r rune) bool { return strings.ContainsRune(" ,-'?", r) }

// lessonOf is the command for the word that opens a question and the roles of the others.
func lessonOf(opener, said map[string]bool) (verb string, ok bool) {
	deed := said["deed"] || said["vent"]
	switch {
	case opener["which"]:
		if said["carry"] && said["weight"] {
			return "kit", true
		}
		return "weights", said["weight"] && !said["fish"]
	case opener["why"]:
		return "why", deed
	case said["vent"] && !said["deed"]:
		return "venting", true
	case opener["when"]:
		return "whennot", deed
	default:
		return "how", deed
	}
}
