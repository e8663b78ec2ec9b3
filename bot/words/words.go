// Package words holds every sentence that deepward says, in each language, and
// writes quantities the way people read them.
//
// The voice: the action first; plain words; no more than one thought a line;
// ranges as they are; never a legal limit as ours; never blame. Sentences stand
// in the catalogues en.json, es.json, pt.json and fr.json beside this file; a
// sentence that is missing in a language is said in English. What Brazil says in
// another way than Portugal is in pt-BR.json. They are compiled in packed: go generate
// after a change.
package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"

	"deepward/advisor"
	"deepward/advisor/packed"
)

//go:generate go run deepward/advisor/pack en.json es.json fr.json pt.json pt-BR.json

//go:embed *.json.gz
var files embed.FS

// Languages are advisor.Languages as tags.
var Languages = func() (tags []language.Tag) {
	for _, tag := range advisor.Languages {
		tags = append(tags, language.MustParse(tag))
	}
	return tags
}()

// spokenTags are Languages by their tags in small letters: most people's programs have one
// of them, and to match a tag takes 5 µs.
var spokenTags = func() map[string]language.Tag {
	tags := map[string]language.Tag{}
	for _, tag := range Languages {
		tags[strings.ToLower(tag.String())] = tag
	}
	return tags
}()

var matcher = language.NewMatcher(Languages)

// sentence is one entry of a catalogue: a text, or one text per plural form of
// its first figure.
type sentence struct {
	Text  string
	Forms map[string]string
}

// sentenceOf reads "text" or {"one": "text", "other": "text"}.
func sentenceOf(value any) (s sentence, ok bool) {
	forms, several := value.(map[string]any)
	if !several {
		s.Text, ok = value.(string)
		return s, ok
	}
	s.Forms = map[string]string{}
	for form, value := range forms {
		if s.Forms[form], ok = value.(string); !ok {
			return s, false
		}
	}
	return s, true
}

// read returns the sentences of one language or sheet.
func read(tag language.Tag) (map[string]sentence, error) {
	data, err := files.ReadFile(tag.String() + ".json.gz")
	if err != nil {
		return nil, err
	}
	text := packed.Text(data)
	if tag == language.French {
		text = frenchSpaces.Replace(text)
	}
	var values map[string]any
	if err := json.Unmarshal([]byte(text), &values); err != nil {
		return nil, fmt.Errorf("catalogue %s: %w", tag, err)
	}
	all := make(map[string]sentence, len(values))
	for key, value := range values {
		s, ok := sentenceOf(value)
		if !ok {
			return nil, fmt.Errorf("catalogue %s: %s is neither a text nor forms of one", tag, key)
		}
		all[key] = s
	}
	return all, nil
}

// frenchSpaces keeps a line from breaking at the space that French has before : ; ? and
// ! and inside its quotes.
var frenchSpaces = strings.NewReplacer(" :", "\u00a0:", " ;", "\u00a0;", " ?", "\u00a0?", " !", "\u00a0!", " »", "\u00a0»", "« ", "«\u00a0")

// spoken are the sentences of a language, in English where it has none. They are
// compiled in: a fault in them is a fault of the build, and a test reads every one.
func spoken(tag language.Tag) map[string]sentence {
	if tag == language.English {
		return english()
	}
	all, err := read(tag)
	if err != nil {
		panic("words: " + err.Error())
	}
	fallback := english()
	if base, _ := tag.Base(); base.String() != tag.String() {
		fallback = spoken(language.Make(base.String()))
	}
	for key, s := range fallback {
		if _, translated := all[key]; !translated {
			all[key] = s
		}
	}
	return all
}

// printerOf writes the sentences of a language; those of the others are left unread.
func printerOf(tag language.Tag, all map[string]sentence) *message.Printer {
	builder := catalog.NewBuilder(catalog.Fallback(tag))
	for key, s := range all {
		if err := set(builder, tag, key, s); err != nil {
			panic("words: " + key + ": " + err.Error())
		}
	}
	return message.NewPrinter(tag, message.Catalog(builder))
}

func set(b *catalog.Builder, tag language.Tag, key string, s sentence) error {
	if s.Forms == nil {
		return b.SetString(tag, key, s.Text)
	}
	var cases []any
	for _, form := range []string{"=0", "one", "other"} {
		if text, ok := s.Forms[form]; ok {
			cases = append(cases, form, text)
		}
	}
	return b.Set(tag, key, plural.Selectf(1, "%d", cases...))
}

// Voice says things in one language and one system of units.
type Voice struct {
	sentences map[string]sentence
	// printer is made for the first sentence that needs it, with figures or a plural.
	printer func() *message.Printer
	marks   marks
	tag     language.Tag
	// Imperial writes depths in feet and weights in pounds.
	Imperial bool
	// Grams writes release weights in grams and kilograms, else they are in ounces.
	Grams bool
	// Pounds writes release weights in pounds.
	Pounds bool
	// Set is true where somebody chose the units, so that what is told changes none.
	Set  bool
	told Units
}

var voices sync.Map // language.Tag → Voice

// For returns the voice for a BCP 47 tag such as "pt-BR"; English when nothing
// closer is spoken.
func For(languageTag string, imperial bool) Voice {
	tag, plain := spokenTags[strings.ToLower(languageTag)]
	if !plain {
		_, i, _ := matcher.Match(language.Make(languageTag))
		tag = Languages[i]
	}
	known, ok := voices.Load(tag)
	if !ok {
		all := spoken(tag)
		printer := sync.OnceValue(func() *message.Printer { return printerOf(tag, all) })
		known, _ = voices.LoadOrStore(tag, Voice{sentences: all, printer: printer, marks: marksOf(message.NewPrinter(tag)), tag: tag})
	}
	v := known.(Voice)
	v.Imperial = imperial
	return v
}

// Language is the base language of the voice: "en", "es", "pt" or "fr".
func (v Voice) Language() string {
	base, _ := v.tag.Base()
	return base.String()
}

// Tag is the BCP 47 tag of the voice, with the country where it has a sheet of its own:
// "pt-BR".
func (v Voice) Tag() string { return v.tag.String() }

// Say returns the sentence of that key with its arguments put in. A key that no
// catalogue has comes out as the key itself, and a test sees to it that none is used.
func (v Voice) Say(key string, args ...any) string {
	if s, ok := v.sentences[key]; ok && s.Forms == nil && !slices.ContainsFunc(args, isFigure) {
		if !strings.Contains(s.Text, "%[") {
			args = nil // a sentence need not use what it is given, such as the fish
		}
		return fmt.Sprintf(s.Text, args...)
	}
	return v.printer().Sprintf(key, args...)
}

// isFigure is true for what languages write in different ways; whole numbers without
// thousands they write alike.
func isFigure(arg any) bool {
	switch x := arg.(type) {
	case string:
		return false
	case int:
		return x < 0 || x >= 1000
	}
	return true
}

// List joins the items of a list: "20, 40 and 60". Where an item has a decimal comma,
// semicolons part them.
func (v Voice) List(items ...string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	comma := ", "
	if slices.ContainsFunc(items, func(s string) bool { return strings.Contains(s, ",") }) {
		comma = v.Say("word.semicolon")
	}
	last := len(items) - 1
	return strings.Join(items[:last], comma) + " " + v.Say("word.and") + " " + items[last]
}

// Clauses joins parts of a sentence with the semicolon of the language.
func (v Voice) Clauses(parts ...string) string { return strings.Join(parts, v.Say("word.semicolon")) }

// SentenceCase makes the first letter a capital, also after the mark that opens a question
// in Spanish.
func SentenceCase(text string) string {
	rest, opened := strings.CutPrefix(text, "¿")
	first, n := utf8.DecodeRuneInString(rest)
	if n == 0 {
		return text
	}
	rest = strings.ToUpper(string(first)) + rest[n:]
	if opened {
		return "¿" + rest
	}
	return rest
}

// Has reports whether the English catalogue has the key.
func Has(key string) bool {
	all := english()
	_, ok := all[key]
	return ok
}

var english = sync.OnceValue(func() map[string]sentence {
	all, err := read(language.English)
	if err != nil {
		panic("words: " + err.Error())
	}
	return all
})
