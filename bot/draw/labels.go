package draw

import (
	_ "embed"
	"encoding/json"
	"maps"
	"slices"
	"sync"

	"deepward/advisor"
)

//go:embed data/labels.json
var labelsJSON []byte

// english holds what is compiled in: a fault in it is a fault of the build.
var english = sync.OnceValue(func() map[string]string {
	var all map[string]string
	if err := json.Unmarshal(labelsJSON, &all); err != nil {
		panic("draw: embedded labels: " + err.Error())
	}
	return all
})

// Labels are the words in the pictures. The zero value is English and metric.
type Labels struct {
	// Text is by the keys that Keys lists; a key that is missing is written in English.
	Text map[string]string
	// Name is what a species is called; nil means its English name.
	Name func(*advisor.Species) string
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

// has reports whether there is a label of that key.
func (l Labels) has(key string) bool { return l.say(key) != "" }

func (l Labels) name(s *advisor.Species) string {
	if l.Name == nil {
		return s.EnglishName
	}
	return l.Name(s)
}
