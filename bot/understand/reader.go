package understand

import (
	"strings"
	"unicode"

	"deepward/advisor"
)

// Reader understands messages. It holds nothing but tables that are read once
// and never change, so one serves every chat at the same time.
type Reader struct{}

// NewReader returns a reader. It does no work: the tables are read when the
// first message needs them.
func NewReader() *Reader { return &Reader{} }

// Tables read what every message needs, each a part of it that can be read beside the others.
func Tables() []func() {
	return []func(){
		func() { nameMark("") },
		func() { lexicon() },
		func() { theNameBook() },
		func() { LanguageOf("a") },
		func() { listed() },
		func() { regions() },
	}
}

// Verb is the command that a message is, "" for anything else. It reads no more of it.
func (r *Reader) Verb(text string) string {
	folded := strings.TrimSpace(fold(text))
	if folded == "" {
		return ""
	}
	verb, _, _, _ := readCommand(folded)
	return verb
}

// afterWords is what follows so many words of a text, as it was typed: names and
// notes keep their capitals.
func afterWords(text string, n int) string {
	text = strings.TrimSpace(text)
	for range n {
		i := strings.IndexFunc(text, unicode.IsSpace)
		if i < 0 {
			return ""
		}
		text = strings.TrimSpace(text[i:])
	}
	return text
}

// blankQuery is a question that says nothing; its lists are empty, not absent.
func blankQuery() advisor.Query {
	return advisor.Query{Candidates: []string{}, Capture: advisor.Capture{Signs: []advisor.Sign{}}, Count: 1}
}

// Missing lists what would sharpen the answer to a question: the depth before all
// else, since without it nothing can be said. The list is empty, never nil.
func Missing(q advisor.Query) []string {
	list := []string{}
	if q.DepthM == nil {
		list = append(list, MissingDepth)
	} else if q.WeightKg == nil && q.LengthCm == nil {
		list = append(list, MissingSize)
	}
	if q.Species == "" {
		list = append(list, MissingSpecies)
	}
	return list
}
