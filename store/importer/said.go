package importer

import (
	"embed"
	"fmt"
	"strings"
	"sync"

	"deepward/advisor"
)

// Said is a sentence about a file. It stands in English, with the flags that settle it
// for scripts; its people's part, without flags, is said in each language.
type Said struct {
	format string
	args   []any
}

// String is the whole sentence in English, with its flags.
func (s Said) String() string { return fmt.Sprintf(s.format, s.args...) }

// In is the sentence without flags, in a language by its BCP 47 tag; English where it is
// not known.
func (s Said) In(language string) string {
	format := plain(s.format)
	known := sentences(language)
	args := make([]any, strings.Count(format, "%")-2*strings.Count(format, "%%"))
	copy(args, s.args)
	// A figure or a heading is the file's own; a bare word may be ours.
	for i, verb := range verbs(format) {
		switch arg := args[i].(type) {
		case interface{ In(string) string }:
			args[i] = arg.In(language)
		case string:
			if said, ok := known[arg]; ok && verb == 's' {
				args[i] = said
			}
		}
	}
	if said, ok := known[format]; ok {
		format = said
	}
	return fmt.Sprintf(format, args...)
}

// fishName is a species by its name in the language of the sentence.
type fishName struct{ *advisor.Species }

func (f fishName) String() string { return f.EnglishName }

// In is the name in a language.
func (f fishName) In(language string) string { return f.NameIn(language) }

// verbs are the letters of the verbs of a format, in order; indexed ones do not occur
// in the English.
func verbs(format string) (list []byte) {
	for i := 0; i+1 < len(format); i++ {
		if format[i] == '%' {
			if i++; format[i] != '%' {
				list = append(list, format[i])
			}
		}
	}
	return list
}

// flagMarks begin the part of a sentence that only scripts need.
var flagMarks = []string{"; say", "; to ", "; if ", "; name it", "; leave one", "; mend", "; a day ", "; --", ": --", ". Write", " (if it stands"}

// plain is the part of a sentence for people: without its flags.
func plain(format string) string {
	end := len(format)
	for _, mark := range flagMarks {
		if at := strings.Index(format[:end], mark); at >= 0 {
			end = at
		}
	}
	return format[:end]
}

// The sentences in the other languages, by the English ones without their flags.
//
//go:embed says/*.json
var saysFiles embed.FS

var allSentences = sync.OnceValue(func() advisor.Sheets { return advisor.ReadSheets(saysFiles, "says") })

// sentences are those of a language: in English those that people are told in another way.
func sentences(language string) map[string]string {
	_, said := allSentences().For(language)
	return said
}
