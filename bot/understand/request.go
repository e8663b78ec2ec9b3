package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed data/requests.csv
var requestsCSV string

// requests are the words around a command that is asked for in a sentence: "show me
// the signs", "borra el último informe".
type requests struct {
	// openers are phrases by their first word, longest first.
	openers map[string][]string
	// words are single words by their role: article, undo, last, report.
	words map[string]map[string]bool
}

var requestWords = sync.OnceValue(func() requests {
	r := requests{openers: map[string][]string{}, words: map[string]map[string]bool{}}
	for _, row := range mustRows(requestsCSV) {
		role, text := row[1], row[2]
		if role == "opener" {
			first, _, _ := strings.Cut(text, " ")
			r.openers[first] = append(r.openers[first], text+" ")
			continue
		}
		if r.words[role] == nil {
			r.words[role] = map[string]bool{}
		}
		r.words[role][text] = true
	}
	for _, list := range r.openers {
		slices.SortStableFunc(list, func(a, b string) int { return len(b) - len(a) })
	}
	return r
})

// longestRequest is the length of "can i have all that you keep of me", in bytes.
const longestRequest = 40

// dashes take "montre-moi" and "c'est" apart as the table has them.
var dashes = strings.NewReplacer("-", " ", "'", "")

// bareRequest takes the words of asking from a folded message: "signs" of "show me
// the signs". It is the message itself when nothing is asked for that way.
func bareRequest(plain string) string {
	if len(plain) > longestRequest {
		return plain
	}
	plain = dashes.Replace(plain)
	first, _, _ := strings.Cut(plain, " ")
	for _, opener := range requestWords().openers[first] {
		if rest, ok := strings.CutPrefix(plain, opener); ok {
			plain = rest
			break
		}
	}
	if first, rest, ok := strings.Cut(plain, " "); ok && requestWords().words["article"][first] {
		return rest
	}
	return plain
}

// longestUndo is how many words "delete my last report please" may have.
const longestUndo = 5

// isUndoLast is true for a message of nothing but taking the last report back.
func isUndoLast(plain string) bool {
	first, _, more := strings.Cut(plain, " ")
	r := requestWords().words
	if !more || !r["undo"][first] {
		return false
	}
	words := strings.Fields(plain)
	if len(words) > longestUndo {
		return false
	}
	last := false
	for _, w := range words[1:] {
		last = last || r["last"][w]
		if !r["last"][w] && !r["report"][w] && !r["article"][w] {
			return false
		}
	}
	return last
}
