package understand

import (
	"slices"
	"strings"

	"deepward/bot/understand/learned"
)

// Label says which piece of a labelled text says what: the form in which texts are
// kept to learn from.
type Label struct {
	// Layer is the layer of tags that the label belongs to.
	Layer learned.Layer
	// Tag is the name of the figure, state or deed, Piece the words that say it.
	Tag, Piece string
	// Fish is the fish it is said of, counted from 0; -1 where it is of no one fish.
	Fish int
}

// Example is a labelled text as the learned reader sees it.
type Example struct {
	Words []string `json:"w"`
	// Tags are those of each layer, "O" or B- and I- before the name.
	Tags [learned.Layers][]string `json:"t"`
	// Lost are the labels whose piece is no whole words of the text.
	Lost []string `json:"lost,omitempty"`
}

// NewExample cuts a text into words and puts its labels on them.
func NewExample(text string, labels []Label) Example {
	f := foldPlaced(text)
	tokens := scan(f.text)
	e := Example{Words: make([]string, len(tokens))}
	for i, t := range tokens {
		e.Words[i] = t.text
	}
	for layer := range e.Tags {
		e.Tags[layer] = slices.Repeat([]string{"O"}, len(tokens))
	}
	b := exampleBuilder{text: text, folded: f, tokens: tokens, example: &e}
	groups := together(labels)
	slices.SortStableFunc(groups, func(a, b []Label) int { return len(a[0].Piece) - len(b[0].Piece) })
	for _, group := range groups { // of two that overlap the shorter keeps its words
		b.put(group)
	}
	return e
}

// together groups the labels that say the same by the same words.
func together(labels []Label) [][]Label {
	var groups [][]Label
next:
	for _, l := range labels {
		for i, g := range groups {
			if g[0].Layer == l.Layer && g[0].Tag == l.Tag && g[0].Piece == l.Piece {
				groups[i] = append(g, l)
				continue next
			}
		}
		groups = append(groups, []Label{l})
	}
	return groups
}

type exampleBuilder struct {
	text    string
	folded  folded
	tokens  []token
	example *Example
}

// put tags the places of a piece: one a fish where the text has it so often, else the
// first for all of them.
func (b exampleBuilder) put(group []Label) {
	spans := b.spans(group[0].Piece)
	if len(spans) == 0 {
		b.example.Lost = append(b.example.Lost, group[0].Tag+"="+group[0].Piece)
		return
	}
	if len(spans) >= len(group) {
		for i, l := range group {
			b.tag(l, spans[i], fishTag(l.Fish))
		}
		return
	}
	whose := fishTag(group[0].Fish)
	if len(group) > 1 {
		whose = learned.AllFish
	}
	b.tag(group[0], spans[0], whose)
}

func fishTag(n int) string {
	if n < 0 {
		return learned.NoFish
	}
	return learned.FishTags[min(n, len(learned.FishTags)-1)]
}

// tag marks the words of a span that have no tag of that layer yet.
func (b exampleBuilder) tag(l Label, span [2]int, whose string) {
	first := true
	tags := b.example.Tags[l.Layer]
	for i := span[0]; i < span[1]; i++ {
		if tags[i] != "O" {
			continue
		}
		head := "I-"
		if first {
			head = "B-"
		}
		tags[i], first = head+l.Tag, false
		if owners := b.example.Tags[learned.Whose]; owners[i] == "O" {
			owners[i] = whose
		}
	}
}

// spans are the places of a piece in the text, as tokens from and to; those at the
// edges of words come first.
func (b exampleBuilder) spans(piece string) [][2]int {
	var whole, parts [][2]int
	for at := 0; piece != ""; {
		i := strings.Index(b.text[at:], piece)
		if i < 0 {
			break
		}
		from, to := at+i, at+i+len(piece)
		at = to
		span, exact := b.span(from, to)
		switch {
		case span[0] >= span[1]:
		case exact:
			whole = append(whole, span)
		default:
			parts = append(parts, span)
		}
	}
	return append(whole, parts...)
}

// span are the tokens that overlap bytes of the text.
func (b exampleBuilder) span(from, to int) (span [2]int, exact bool) {
	span = [2]int{len(b.tokens), 0}
	exact = true
	for i, t := range b.tokens {
		start, end := b.place(t.from), b.place(t.to)
		if end <= from || start >= to {
			continue
		}
		span[0], span[1] = min(span[0], i), i+1
		exact = exact && start >= from && end <= to
	}
	return span, exact
}

func (b exampleBuilder) place(i int) int {
	if b.folded.at == nil {
		return i
	}
	return b.folded.at[i]
}

// Lexicon is what the word lists tell the learned reader, for the program that trains it.
func Lexicon() *learned.Lexicon { return lexicon() }
