package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed data/words.csv
var wordsCSV []byte

// phrase is some words that mean something.
type phrase struct {
	words    []string
	concepts []string
}

// phraseBook finds phrases by their first word, the longest first, and knows
// the words that say nothing by themselves.
type phraseBook struct {
	byFirst map[string][]phrase
	filler  map[string]bool
	negates map[string]bool
	// vocabulary holds the long words of the phrases, by length.
	vocabulary map[int][]string
	known      map[string]bool
	parts      parts
	// chat are words of praise and talk, scene those of plans and kit.
	chat, scene map[string]bool
}

var book = sync.OnceValue(func() phraseBook {
	b := phraseBook{
		byFirst: map[string][]phrase{}, filler: map[string]bool{}, negates: map[string]bool{},
		vocabulary: map[int][]string{}, known: map[string]bool{},
		chat: map[string]bool{}, scene: map[string]bool{},
		parts: parts{whole: map[string][]string{}, stem: map[string][]string{}},
	}
	concepts := map[string][]string{}
	var order []string
	rows := mustRows(wordsCSV)
	for i := 0; i < len(rows); i++ {
		row := rows[i]
		concept, text := row[1], row[2]
		switch concept {
		case "filler":
			b.filler[text] = true
			continue
		case "lookalike": // no misspelt name of ours: "merlu" is no "merou"
			b.known[text] = true
			continue
		case "negation":
			b.negates[text] = true
			continue
		case "chat":
			b.chat[text] = true
			continue
		case "scene":
			b.scene[text] = true
			continue
		}
		if strings.HasPrefix(concept, partPrefix) {
			b.parts.add(concept, text)
			b.learn([]string{strings.TrimSuffix(text, "*")})
			continue
		}
		if short, ok := strings.CutPrefix(text, "ne "); ok && strings.Contains(text, " pas") {
			rows = append(rows, []string{row[0], concept, short}) // as French is spoken
		}
		if concepts[text] == nil {
			order = append(order, text)
		}
		if !slices.Contains(concepts[text], concept) {
			concepts[text] = append(concepts[text], concept)
		}
	}
	for _, text := range order {
		p := phrase{strings.Fields(text), concepts[text]}
		b.learn(p.words)
		b.byFirst[p.words[0]] = append(b.byFirst[p.words[0]], p)
	}
	for first, list := range b.byFirst {
		slices.SortStableFunc(list, func(a, c phrase) int { return len(c.words) - len(a.words) })
		b.byFirst[first] = list
	}
	return b
})

// longWord is the length from which a word of a phrase may be misspelt by a letter.
const longWord = 6

func (b *phraseBook) learn(words []string) {
	for _, w := range words {
		if !b.known[w] && len(w) >= longWord {
			b.vocabulary[len(w)] = append(b.vocabulary[len(w)], w)
		}
		b.known[w] = true
	}
}

// spell puts right words that are not of the phrases but near one: a letter off in a
// long word, another number, a diminutive.
func (b *phraseBook) spell(tokens []token) {
	for i, t := range tokens {
		if t.kind != tokenWord || t.used || len(t.text) < longWord-1 || b.known[t.text] || b.filler[t.text] || isNumberWord(t.text) {
			continue
		}
		if w := b.otherForm(t.text); w != "" {
			tokens[i].text = w
			continue
		}
		if len(t.text) < longWord {
			continue
		}
		for n := len(t.text) - 1; n <= len(t.text)+1; n++ {
			for _, w := range b.vocabulary[n] {
				if w[0] == t.text[0] && typos(t.text, w) == 1 {
					tokens[i].text = w
				}
			}
		}
	}
}

// diminutives are endings that make a word small, and what stands there in the word
// itself.
var diminutives = [...][2]string{{"inho", "o"}, {"inha", "a"}, {"inhos", "os"}, {"inhas", "as"}, {"ito", "o"}, {"ita", "a"}, {"itos", "os"}, {"itas", "as"}}

// otherForm is the word of the phrases of which this is the singular or plural, or
// the diminutive; "" if there is none.
func (b *phraseBook) otherForm(w string) string {
	if b.known[w+"s"] {
		return w + "s"
	}
	if one, ok := strings.CutSuffix(w, "s"); ok && b.known[one] {
		return one
	}
	for _, d := range diminutives {
		if stem, ok := strings.CutSuffix(w, d[0]); ok && b.known[stem+d[1]] {
			return stem + d[1]
		}
	}
	return ""
}

// hit is a phrase found in a message.
type hit struct {
	concept  string
	negated  bool
	from, to int
}

// findPhrases reads the phrases among the words that have no meaning yet.
func findPhrases(tokens []token) []hit {
	b := book()
	b.spell(tokens)
	hits := findPairs(tokens)
	for i := 0; i < len(tokens); {
		p, to, ok := longestPhrase(tokens, i)
		if !ok {
			i++
			continue
		}
		negated := isNegated(tokens, i, hits) || isDeniedAfter(tokens, to)
		for _, c := range p.concepts {
			hits = append(hits, hit{c, negated, i, to})
		}
		if !softConcept(p.concepts) {
			use(tokens, i, to)
		}
		i = to
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return a.from - b.from })
	return hits
}

// softConcept is true for words that only lean a message one way, such as
// "with": they stay free to be something else.
func softConcept(concepts []string) bool {
	return !slices.ContainsFunc(concepts, func(c string) bool {
		switch c {
		case "ask", "caught", "aboard", "depthword", "weightword", "longword", "bottomdepth", "tag", "again", "whatif":
			return false
		}
		return true
	})
}

// longestPhrase finds the phrase at token i with the most words.
func longestPhrase(tokens []token, i int) (p phrase, to int, ok bool) {
	if tokens[i].kind != tokenWord || tokens[i].used {
		return phrase{}, 0, false
	}
	for _, p := range book().byFirst[tokens[i].text] {
		if to, ok := matches(tokens, i, p.words); ok {
			return p, to, true
		}
	}
	return phrase{}, 0, false
}

// between are words that people put inside a phrase without changing it: "eyes
// are bulging", "hook in its throat".
var between = map[string]bool{
	"is": true, "are": true, "was": true, "were": true, "its": true, "the": true, "all": true, "really": true,
	"very": true, "a": true, "bit": true, "so": true, "both": true, "right": true, "his": true, "her": true, "of": true,
	"esta": true, "est": true, "sont": true, "les": true, "los": true, "os": true, "muy": true, "tres": true, "muito": true,
}

// matches reports whether the words stand at token i, and where they end;
// hyphens and the words in between do not count.
func matches(tokens []token, i int, words []string) (to int, ok bool) {
	if tokens[i].used {
		return 0, false
	}
	for j, at := 0, i; ; at++ {
		if j == len(words) {
			return at, true
		}
		if at >= len(tokens) || tokens[at].used {
			return 0, false
		}
		switch t := tokens[at]; {
		case t.kind == tokenWord && t.text == words[j]:
			j++
		case t.kind == tokenMark && t.text == "-" && j > 0:
		case t.kind == tokenWord && between[t.text] && j > 0:
		default:
			return 0, false
		}
	}
}

// negationReach is how many words back a "no" still counts.
const negationReach = 3

// isInThe is true for the Portuguese "no" of "no fundo", which denies nothing.
func isInThe(tokens []token, at int) bool {
	return word(tokens, at) == "no" && word(tokens, at+1) == "fundo"
}

// isDeniedAfter is true for the "pas" behind a verb, "il saigne pas", with nothing of its
// own to deny: not in "yeux sortis pas de sang".
func isDeniedAfter(tokens []token, to int) bool {
	if word(tokens, to) != "pas" {
		return false
	}
	switch next := word(tokens, to+1); next {
	case "", "et", "mais", "du":
		return true
	}
	return false
}

// endsDenial are words that take a "no" before them to themselves, or end it: "not tagged
// sent down".
var endsDenial = map[string]bool{
	"but": true, "pero": true, "mas": true, "mais": true, "tagged": true, "weighed": true, "measured": true,
	"marcado": true, "marcada": true, "medido": true, "medida": true, "pesado": true, "pesada": true,
	"marque": true, "marquee": true, "mesure": true, "mesuree": true, "pese": true, "pesee": true,
}

// toldOfRelease is true for a word of how a fish went, which takes the "no" before it:
// "nao desceu ficou boiando".
func toldOfRelease(hits []hit, i int) bool {
	return slices.ContainsFunc(hits, func(h hit) bool {
		return i >= h.from && i < h.to && h.negated && (strings.HasPrefix(h.concept, "outcome:") || strings.HasPrefix(h.concept, "behaviour:"))
	})
}

// isNegated looks back for a "no", within the clause; "no bloat or bulging eyes"
// denies both.
func isNegated(tokens []token, at int, hits []hit) bool {
	for i, reach := at-1, negationReach; i >= 0 && reach > 0; i, reach = i-1, reach-1 {
		switch w := tokens[i]; {
		case w.kind == tokenMark && w.text != "'", w.kind == tokenNumber:
			return false
		case endsDenial[w.text] || toldOfRelease(hits, i):
			return false
		case book().negates[w.text] && !isInThe(tokens, i):
			return true
		case (w.text == "or" || w.text == "nor" || w.text == "and" || w.text == "ni" || w.text == "nem" || w.text == "ou" || w.text == "o") && len(hits) > 0:
			if k := slices.IndexFunc(hits, func(h hit) bool { return h.to == i }); k >= 0 {
				return hits[k].negated && w.text != "and"
			}
		}
	}
	return false
}
