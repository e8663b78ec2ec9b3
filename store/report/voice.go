package report

import (
	"embed"
	"fmt"
	"strings"
	"sync"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"deepward/advisor"
)

//go:generate go run deepward/advisor/pack words/es.json words/fr.json words/pt.json words/pt-BR.json

//go:embed words/*.json.gz
var wordFiles embed.FS

// catalogues hold the page's sentences; a test reads them all.
var catalogues = sync.OnceValue(func() advisor.Sheets { return advisor.ReadSheets(wordFiles, "words") })

// voice says sentences and writes figures in one language. The zero value is English.
type voice struct {
	language string
	text     map[string]string
	printer  *message.Printer
}

// voiceOf is the voice of a language, with any country behind it; English for another.
func voiceOf(code string) voice {
	sheet, text := catalogues().For(code)
	if text == nil {
		sheet, text = catalogues().For("en")
	}
	return voice{sheet, text, message.NewPrinter(language.Make(sheet))}
}

// code is the tag of the language.
func (v voice) code() string {
	if v.language == "" {
		return "en"
	}
	return v.language
}

// base is the language without a country.
func (v voice) base() string {
	base, _, _ := strings.Cut(v.code(), "-")
	return base
}

// say is a sentence of the page, given in English. A sentence that has no words in a
// language is said in English.
func (v voice) say(english string, args ...any) string {
	sentence := english
	if text, ok := v.text[english]; ok {
		sentence = text
	}
	if len(args) == 0 {
		return sentence
	}
	return fmt.Sprintf(sentence, args...)
}

// decimal writes a figure with the comma of the language, where it has one.
func (v voice) decimal(figure string) string {
	if v.code() == "en" {
		return figure
	}
	return strings.Replace(figure, ".", ",", 1)
}

// way is what a method of release is called, of several fish.
func (v voice) way(m advisor.Method) string { return v.say(ways[m]) }

// semicolon parts two sentences as the language does: French has a space before it.
func (v voice) semicolon() string {
	if v.code() == "fr" {
		return "\u00a0; "
	}
	return "; "
}
