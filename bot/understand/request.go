package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed data/requests.csv
var requestsCSV []byte

// requests are the words around a command that is asked for in a sentence: "show me
// the signs", "borra el último informe".
type requests struct {
	// openers are phrases, longest first.
	openers []string
	// words are single words by their role: article, undo, last, report.
	words map[string]map[string]bool
}

var requestWords = sync.OnceValue(func() requests {
	r := requests{words: map[string]map[string]bool{}}
	for _, row := range mustRows(requestsCSV) {
		role, text := row[1], row[2]
		if role == "opener" {
			r.openers = append(r.openers, text+" ")
			continue
		}
		if r.words[role] == nil {
			r.words[role] = map[string]bool{}
		}
		r.words[role][text] = true
	}
	slices.SortStableFunc(r.openers, func(a, b string) int { return len(b) - len(a) })
	return r
})

// bareRequest takes the words of asking from a folded message: "signs" of "show me
// the signs". It is the message itself when nothing is asked for that way.
func bareRequest(plain string) string {
	plain = strings.NewReplacer("-", " ", "'", "").Replace(plain)
	for _, opener := range requestWords().openers {
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
	words := strings.Fields(plain)
	r := requestWords().words
	if len(words) < 2 || len(words) > longestUndo || !r["undo"][words[0]] {
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
