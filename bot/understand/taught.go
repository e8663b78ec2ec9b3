package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// Taught are the names that a person or a club taught: scientific names by TaughtKey.
type Taught map[string]string

// TaughtKey is a name as Taught has it, however its plural, blanks and accents are written;
// "" for what holds no word.
func TaughtKey(name string) string { return joinedKey(name) }

// Refusal is why a name may not be taught, "" if it may.
type Refusal string

// The refusals, by the ends of their sentences.
const (
	// NoName: too long, too short, or with a figure in it.
	NoName Refusal = "no_name"
	// OrdinaryWord: it is used for other things than fish too, and would turn up in messages
	// that are about none.
	OrdinaryWord Refusal = "ordinary"
	// OtherKind: it is the name of fish whose gas behaves in another way.
	OtherKind Refusal = "other_kind"
)

// What a name is that can be taught, in words and in letters of its key; the longest is
// longer than any in the gazetteer needs to be, and fits into a button.
const (
	mostTaughtWords               = 4
	shortestTaught, longestTaught = 3, 32
)

// Teachable says whether a name may be remembered for a fish. It never may where that would
// turn an ordinary word, or the known name of fish with another kind of bladder, into it.
func Teachable(name, taxon string) Refusal {
	words := strings.Fields(nameKey(name))
	key := TaughtKey(name)
	switch {
	case len(words) == 0, len(words) > mostTaughtWords, len(key) < shortestTaught, len(key) > longestTaught,
		strings.ContainsFunc(key, unicode.IsDigit):
		return NoName
	case !slices.ContainsFunc(words, func(w string) bool { return !isOrdinary(w) }):
		return OrdinaryWord
	}
	senses := theNameBook().senses(key)
	means := func(x sense) bool { return x.taxon == taxon || belongs(taxon, x.taxon) }
	if len(senses) > 0 && !slices.ContainsFunc(senses, means) && slices.ContainsFunc(senses, func(x sense) bool { return otherGas(x.taxon, taxon) }) {
		return OtherKind
	}
	return ""
}

// otherGas is true for fish whose kinds of bladder are known to differ.
func otherGas(a, b string) bool {
	x, y := advisor.BladderOf(a), advisor.BladderOf(b)
	return x != y && x != ""
}

// isOrdinary is true for a word that people use for other things than a fish.
func isOrdinary(word string) bool {
	if ordinary(word) || listed().known[word] || everyday(word) {
		return true
	}
	return learned.Trained().Knows(word) && !theNameBook().knows(word)
}

// everyday is true for a name of a fish that is an everyday word too.
func everyday(word string) bool { return nameMark(word) == markEveryday }

// resolve finds a name that was taught, with or without words that only describe the fish.
func (t Taught) resolve(name string) (Resolved, bool) {
	if len(t) == 0 {
		return Resolved{}, false
	}
	words := strings.Fields(nameKey(name))
	for _, form := range []string{strings.Join(words, " "), strings.Join(undescribed(words), " ")} {
		if taxon := t[TaughtKey(form)]; taxon != "" && Teachable(form, taxon) == "" {
			return Resolved{Taxa: []string{taxon}, Sure: true, Taught: true}, true
		}
	}
	return Resolved{}, false
}

func (t Taught) knows(name string) bool {
	return len(t) > 0 && t[TaughtKey(name)] != ""
}

// lexicon is what the learned reader is told of words: of names that were taught too.
func (h *hearing) lexicon() *learned.Lexicon {
	l := lexicon()
	if len(h.setting.Names) == 0 {
		return l
	}
	with := *l
	with.Names = func(phrase string) uint8 {
		if h.setting.Names.knows(phrase) {
			return markPlain
		}
		return l.Names(phrase)
	}
	return &with
}

// knows is true for a whole name that is known to all, or was taught.
func (h *hearing) knows(name string) bool {
	return h.setting.Names.knows(name) || theNameBook().knows(name)
}

//go:embed data/teaching.csv
var teachingCSV string

// teaching are the words between a name and the fish that it means, and those before a
// name that is to be forgotten, by use, the longest first.
var teaching = sync.OnceValue(func() map[string][]string {
	table := map[string][]string{}
	for _, row := range mustRows(teachingCSV) {
		table[row[1]] = append(table[row[1]], row[2])
	}
	for _, list := range table {
		slices.SortStableFunc(list, func(a, b string) int { return len(b) - len(a) })
	}
	return table
})

// Teaching is a message that says what a name means.
type Teaching struct {
	// Name is the name as typed, in small letters; Taxon the scientific name of the fish
	// that it is to mean, "" where it is to be forgotten. Fish is what was typed for it.
	Name, Taxon, Fish string
	// Drop is true where the name is to be forgotten, Outright where the words say nothing
	// else than what a name means, Here where they say so of these parts; "is" alone may say
	// what one fish was.
	Drop, Outright, Here bool
}

// Teaches reads the words that teach a name: "dhuie means West Australian dhufish here",
// "zorbie = gag", "forget zorbie". ok is false for other words, and Taxon is "" for a fish
// that nobody knows.
func Teaches(text string, s Setting) (Teaching, bool) {
	plain := strings.Trim(strings.Join(strings.Fields(strings.ToLower(text)), " "), " .!¡")
	if name, ok := cutAnyPrefix(plain, teaching()["forget"]); ok {
		return Teaching{Name: unquoted(name), Drop: true}, name != ""
	}
	plain, saying := cutAnyPrefix(plain, teaching()["saying"])
	plain, _ = cutAnyPrefix(plain, teaching()["article"])
	for _, use := range linksAfter(saying) {
		if t, ok := taughtBy(plain, use, s); ok {
			return t, true
		}
	}
	return Teaching{}, false
}

// linksAfter are the uses of the words that may stand between a name and its fish; "I mean"
// does so only after "when I say".
func linksAfter(saying bool) []string {
	if saying {
		return []string{"meant"}
	}
	return []string{"means", "is"}
}

// taughtBy reads a name and its fish with a word of that use between them.
func taughtBy(plain, use string, s Setting) (Teaching, bool) {
	for _, link := range teaching()[use] {
		name, fish, ok := strings.Cut(plain, linked(link))
		if !ok || unquoted(name) == "" || !mayBeName(fish) {
			continue
		}
		t := Teaching{Name: unquoted(name)}
		t.Fish, t.Here = fishTaught(fish)
		if t.Outright = use != "is"; !t.Outright && !t.Here && (!mayBeName(name) || !hasNewWord(name) && !s.Names.knows(t.Name)) {
			continue
		}
		if slices.Contains(teaching()["nothing"], t.Fish) {
			t.Drop = true
			return t, true
		}
		t.Taxon = fishMeant(t.Fish, s)
		return t, true
	}
	return Teaching{}, false
}

// mayBeName is true for a few words without a figure.
func mayBeName(text string) bool {
	const most = 6
	n := strings.Count(strings.TrimSpace(text), " ") + 1
	return strings.TrimSpace(text) != "" && n <= most && !strings.ContainsFunc(text, unicode.IsDigit)
}

// hasNewWord is true for a name with a word that nobody knows.
func hasNewWord(name string) bool {
	return slices.ContainsFunc(strings.Fields(nameKey(name)), func(w string) bool {
		return !learned.Trained().Knows(w) && !theNameBook().knows(w) && !isOrdinary(w)
	})
}

// fishMeant is the fish that a whole name means, "" where it may be several or nobody knows
// it. Who teaches may speak of a fish of other waters.
func fishMeant(fish string, s Setting) string {
	for _, s := range []Setting{s, {Language: s.Language}, {}} {
		if found := theNameBook().resolve(fish, s); found.Sure && !found.Qualifier && found.Corrected == "" {
			return found.Taxa[0]
		}
	}
	return ""
}

// linked is a word as it stands between two others; a sign needs no blanks.
func linked(link string) string {
	if link == "=" {
		return link
	}
	return " " + link + " "
}

// fishTaught is the name of a fish without the words around it: "a gag here"; here is true
// where they say that it holds in these parts.
func fishTaught(text string) (fish string, here bool) {
	text = unquoted(text)
	for _, last := range teaching()["last"] {
		if less, ok := strings.CutSuffix(text, " "+last); ok {
			text, here = less, true
			break
		}
	}
	text, _ = cutAnyPrefix(text, teaching()["article"])
	return unquoted(text), here
}

func unquoted(text string) string { return strings.Trim(text, ` .,;:"'“”«»‘’`) }

func cutAnyPrefix(text string, prefixes []string) (rest string, ok bool) {
	for _, p := range prefixes {
		if rest, ok := strings.CutPrefix(text, p+" "); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return text, false
}

// IsTaughtPlainly is true for words that teach a name without having been asked to: the
// name has a word that nobody knows, and the fish is one that everybody does, or they say
// outright, or of these parts, that the one means the other.
func (t Teaching) IsTaughtPlainly() bool {
	if Teachable(t.Name, t.Taxon) != "" || t.Taxon == "" && !t.Outright && !(t.Here && hasNewWord(t.Name)) {
		return false
	}
	return t.Here || hasNewWord(t.Name)
}

// NamesKind is true for a name that tells no more than a kind of fish, such as "grouper": it
// may be another fish tomorrow.
func NamesKind(name string) bool {
	b, key := theNameBook(), joinedKey(name)
	return b.kinds[key] || slices.ContainsFunc(b.senses(key), func(x sense) bool { return !strings.Contains(x.taxon, " ") })
}
