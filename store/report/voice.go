package report

import (
	"embed"
	"encoding/json"
	"fmt"
	"maps"
	"strings"
	"sync"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"deepward/advisor"
)

//go:embed words/*.json
var wordFiles embed.FS

// catalogues hold the page's sentences by language and by what they are in English. A
// fault in one is a fault of the build, and a test reads them all.
var catalogues = sync.OnceValue(func() map[string]map[string]string {
	all := map[string]map[string]string{"en": {}}
	for _, code := range advisor.Languages[1:] {
		data, err := wordFiles.ReadFile("words/" + code + ".json")
		text := map[string]string{}
		if base, _, ok := strings.Cut(code, "-"); ok { // a country's sheet
			maps.Copy(text, all[base])
		}
		if err == nil {
			err = json.Unmarshal(data, &text)
		}
		if err != nil {
			panic("report: embedded words: " + err.Error())
		}
		all[code] = text
	}
	return all
})

// voice says sentences and writes figures in one language. The zero value is English.
type voice struct {
	language string
	text     map[string]string
	printer  *message.Printer
}

// voiceOf is the voice of a language, with any country behind it; English for another.
func voiceOf(code string) voice {
	base, country, _ := strings.Cut(code, "-")
	if sheet := base + "-" + strings.ToUpper(country); catalogues()[sheet] != nil {
		base = sheet
	}
	text, known := catalogues()[base]
	if !known {
		base, text = "en", catalogues()["en"]
	}
	return voice{base, text, message.NewPrinter(language.Make(base))}
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
