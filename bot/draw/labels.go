package draw

import (
	"cmp"
	"embed"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
	"deepward/bot/words"
)

//go:embed data/*.json
var labelFiles embed.FS

// labels holds what is compiled in, by language and key: a fault in it is a fault of
// the build, and a test reads every file.
var labels = sync.OnceValue(func() map[string]map[string]string {
	all := map[string]map[string]string{}
	for _, tag := range words.Languages {
		data, err := labelFiles.ReadFile("data/" + tag.String() + ".json")
		text := map[string]string{}
		if base, _ := tag.Base(); base.String() != tag.String() { // a country's sheet
			maps.Copy(text, all[base.String()])
		}
		if err = cmp.Or(err, json.Unmarshal(data, &text)); err != nil {
			panic("draw: embedded labels: " + err.Error())
		}
		all[tag.String()] = text
	}
	return all
})

func english() map[string]string { return labels()["en"] }

// In returns the labels of a language, "en", "es", "pt" or "fr" with any country
// behind it; English for another.
func In(language string, imperial bool) Labels {
	voice := words.For(language, imperial)
	return Labels{
		Language: voice.Tag(), Text: labels()[voice.Tag()], Imperial: imperial,
		Name: func(s *advisor.Species) string { return s.NameIn(voice.Language()) },
	}
}

// Labels are the words in the pictures. The zero value is English and metric.
type Labels struct {
	// Language is the BCP 47 tag of Text; "" means English.
	Language string
	// Text is by the keys that Keys lists; a key that is missing is written in
	// English. Where the English label has a %s, so must the other.
	Text map[string]string
	// Name is what a species is called; nil means its English name.
	Name func(*advisor.Species) string
	// Date is when a card was reckoned, as the reader writes it; "" leaves it out.
	Date string
	// AboardOz are the release weights aboard, in ounces; nil stands for the two that are
	// common. Lead is the unit they are written in, "g", "lb" or "oz"; "" as they are sold.
	AboardOz []float64
	Lead     string
	// Imperial puts feet and pounds first, metres and kilograms second.
	Imperial bool
}

// Keys lists the keys of all labels, sorted.
func Keys() []string { return slices.Sorted(maps.Keys(english())) }

// English returns the English label of a key, "" for a key that there is not.
func English(key string) string { return english()[key] }

// say returns the label of a key.
func (l Labels) say(key string) string {
	if text, ok := l.Text[key]; ok && text != "" {
		return text
	}
	return english()[key]
}

// put returns the label of a key with words in their places, in order.
func (l Labels) put(key string, words ...string) string {
	text := l.say(key)
	for _, word := range words {
		text = strings.Replace(text, "%s", word, 1)
	}
	return text
}

func (l Labels) name(s *advisor.Species) string {
	if l.Name == nil {
		return s.EnglishName
	}
	return l.Name(s)
}

// names lists what the species are called.
func (l Labels) names(species []*advisor.Species) []string {
	list := make([]string, len(species))
	for i, s := range species {
		list[i] = l.name(s)
	}
	return list
}

// kinds names the kinds of fish of a grid, as the chat does; a kind without a name
// is written as the core calls it.
func (l Labels) kinds(kinds []string) string {
	list := make([]string, len(kinds))
	voice := words.For(l.Language, l.Imperial)
	for i, kind := range kinds {
		list[i] = kind
		if key := "kind." + kind; words.Has(key) {
			list[i] = voice.Say(key)
		}
	}
	return strings.Join(list, ", ")
}
