package understand

import (
	_ "embed"
	"strconv"
	"strings"
	"sync"

	"deepward/bot/understand/learned"
)

//go:embed data/again.csv
var againCSV []byte

// againPhrases are the words that carry something over from before, by their first word.
var againPhrases = sync.OnceValue(func() map[string]string {
	table := map[string]string{}
	for _, row := range mustRows(againCSV) {
		table[strings.Join(wordsOf(row[2]), " ")] = row[1]
	}
	return table
})

// longestAgain is how many words such a phrase has at most.
const longestAgain = 4

// again finds the words that carry something over from the fish before.
func (h *hearing) again() Again {
	var a Again
	for i := range h.tokens {
		for n := min(longestAgain, len(h.tokens)-i); n > 0; n-- {
			what, ok := againPhrases()[h.phrase(i, i+n)]
			if !ok {
				continue
			}
			switch what {
			case "spot":
				a.Spot = true
			case "deed":
				a.Deed = true
			case "all":
				a.All = true
			case "size":
				a.Size = true
			case "species":
				a.Species = true
			case "another":
				a.Another = true
			case "back":
				a.Back = true
			case "put back":
				a.Back, a.PutBack = true, true
			case "result":
				a.Result = true
			case "1", "2", "3":
				if a.Nth == 0 {
					a.Nth = int(what[0] - '0')
				}
			}
			break
		}
	}
	return a
}

// reportNumber is the number of a report that the words name before they say what was
// wrong with it: "3 was 40 m", "report 12", "la 2 era de 30".
func (h *hearing) reportNumber() uint64 {
	if h.act != ActCorrection && h.want != WantUndo && h.want != WantPutBack {
		return 0
	}
	for i, t := range h.tokens {
		if t.kind != tokenNumber || h.scores.Tags[learned.Figures][min(i, len(h.scores.Tags[learned.Figures])-1)] != "O" || strings.ContainsAny(t.text, ".,/") {
			continue
		}
		if _, ok := h.quantityAt(i); ok {
			continue
		}
		if n, err := strconv.ParseUint(t.text, 10, 32); err == nil && n > 0 {
			return n
		}
	}
	return 0
}
