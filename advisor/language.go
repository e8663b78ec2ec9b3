package advisor

import "strings"

// Languages are the languages spoken, by their BCP 47 tags, English first: it is the
// fallback. A tag with a country is a sheet of what is said there in another way than in
// the language's own.
var Languages = [...]string{"en", "es", "pt", "fr", "pt-BR"}

// BaseLanguages are the languages without their countries, English first: those of names
// of fish and of what people type.
func BaseLanguages() (list []string) {
	for _, tag := range Languages {
		if !strings.Contains(tag, "-") {
			list = append(list, tag)
		}
	}
	return list
}
