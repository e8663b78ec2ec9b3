package understand

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

//go:embed data/again.csv
var againCSV string

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
			if !ok || h.isNoPlace(i, i+n) {
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
			case "otherwise":
				a.Otherwise = true
			case "back":
				a.Back = true
			case "put back":
				a.Back, a.PutBack = true, true
			case "result":
				a.Result = true
			case "alone":
				a.Alone = true
			case "returned":
				a.Returned = true
			case "as told":
				a.AsTold = true
			case "is":
				a.Is = true
			case "last":
				a.Last = true
			case "last but one":
				a.LastButOne = true
			case "1", "2", "3", "4":
				if a.Nth == 0 {
					a.Nth = int(what[0] - '0')
				}
			}
			break
		}
	}
	a.Back = a.Back || h.wantsBack()
	if picks := h.picks(); len(picks) > 0 {
		a.Pick = picks[0].pick
	}
	if h.countsMore() {
		a.Another = true
	}
	counted := slices.Contains(h.scores.Tags[learned.Figures], "B-count")
	if (a.Another || counted) && slices.ContainsFunc(h.tokens, isAlike) {
		a.All = true
	}
	switch w := h.sameElsewhere(); {
	case h.withSame():
		a.Deed = true
	case w == "":
	case isWeightWord(w):
		a.Deed = true
	default:
		a.Spot = true
	}
	return a
}

// wantsBack is true for "put", "bring" or "add" with "back" a little further on: "put dat back".
func (h *hearing) wantsBack() bool {
	const apart = 3
	for i := range h.tokens {
		if w := h.tokens[i].text; w != "put" && w != "bring" && w != "add" {
			continue
		}
		for k := i + 1; k <= i+apart; k++ {
			if word(h.tokens, k) == "back" {
				return true
			}
		}
	}
	return false
}

// isNoPlace is true for a bare word of order that tells no fish among several: "one second",
// "moved the boat first".
func (h *hearing) isNoPlace(i, to int) bool {
	if noFish[word(h.tokens, to)] && orders[h.tokens[to-1].text] {
		return true
	}
	if to > i+1 || !bareOrders[h.tokens[i].text] {
		return false
	}
	return i > 0 && isNumberWord(h.tokens[i-1].text) || word(h.tokens, to) == ""
}

var (
	bareOrders = wordSet("first second third")
	// orders are words that tell no further fish where one for something else follows: "the
	// second try", "otra vez".
	orders = wordSet("first second third 1st 2nd 3rd another otro otra outro outra autre primero primera segundo segunda tercera primeiro primeira " +
		"terceira premier premiere deuxieme troisieme seconde")
)

// isAlike is true for a word that says that a further fish is like the one before.
func isAlike(t token) bool {
	return slices.ContainsFunc(alikeWords, func(lead string) bool { return strings.HasPrefix(t.text, lead) })
}

// alikeWords are how words for alike begin.
var alikeWords = []string{"igual", "iguai", "pareil", "identi", "calcad"}

// mores are the words that make a count one of further fish, before or after it.
var mores = wordSet("more mas mais otros otras outros outras autres others another encore further")

// countsMore is true for a count with a word for more beside it: "tres más", "2 fêmeas mais".
func (h *hearing) countsMore() bool {
	figures := h.scores.Tags[learned.Figures]
	for i := range min(len(h.tokens), len(figures)) {
		if figures[i] != "B-count" {
			continue
		}
		for _, k := range []int{i - 2, i - 1, i + 1, i + 2} {
			if k >= 0 && k < len(h.tokens) && mores[h.tokens[k].text] {
				return true
			}
		}
	}
	return false
}

// sames are words for the same; sameElse are words after them that are no place, besides
// those of the table.
var (
	sames    = wordSet("same mismo misma mismos mismas mesmo mesma mesmos mesmas meme memes")
	sameElse = wordSet("time day one ones thing here as dia tiempo vez tiempos tempo hora horas jour heure temps moment chose tiempo fish bloke guy guys que cosa coisa")
)

// weightWords are how words for a release weight begin.
var weightWords = []string{"pes", "plom", "chumb", "lest", "lead", "weight", "sinker", "poids"}

// sameElsewhere is the word behind "the same" where the table does not know the two: a
// place, as a rule, for which people have too many words to list; "" for none.
func (h *hearing) sameElsewhere() string {
	figures := h.scores.Tags[learned.Figures]
	for i := range h.tokens {
		w := word(h.tokens, i+1)
		if !sames[h.tokens[i].text] || w == "" || sameElse[w] || isNumberWord(w) || h.knownAgain(i) {
			continue
		}
		if i+1 < len(figures) && figures[i+1] == "O" {
			return w
		}
	}
	return ""
}

// withSame is true for the same weight where it is not named: "with the same", "com a mesma".
func (h *hearing) withSame() bool {
	for i, t := range h.tokens {
		if !sames[t.text] || !h.isWeight(i) {
			continue
		}
		if w := word(h.tokens, i+1); w == "" || joints[w] || ofs[w] || w == "one" {
			return true
		}
	}
	return false
}

// sameAsBefore gives a fish the weight of the one told before it, where the words say that it was
// the same: "red 3 lb, gone, the scamp same one".
func (h *hearing) sameAsBefore(used []int) {
	whose := h.scores.Tags[learned.Whose]
	for i := range min(len(h.tokens), len(whose)) {
		w := word(h.tokens, i+1)
		if !sames[h.tokens[i].text] || !(h.isWeight(i) || isWeightWord(w) || w == "one") {
			continue
		}
		for _, k := range h.placed(i, i+1, used) {
			f := &h.groups[k].Done
			if k > 0 && len(f.WeightsOz) == 0 && (f.Method == "" || f.Method == advisor.Recompressed) {
				f.WeightsOz = h.groups[k-1].Done.WeightsOz
			}
		}
	}
}

// ofs stand before whose it is, or what.
var ofs = wordSet("of from as do da dos das de del des que than du")

// knownAgain is true where the table has words that begin at i or cover it.
func (h *hearing) knownAgain(i int) bool {
	for from := max(0, i-1); from <= i; from++ {
		for n := min(longestAgain, len(h.tokens)-from); n > i-from; n-- {
			if _, ok := againPhrases()[h.phrase(from, from+n)]; ok {
				return true
			}
		}
	}
	return false
}

// reportNumber is the number of a report that the words name before they say what was
// wrong with it: "3 was 40 m", "report 12", "la 2 era de 30".
func (h *hearing) reportNumber() uint64 {
	if h.act != ActCorrection && h.want != WantUndo && h.want != WantPutBack {
		return 0
	}
	if n := h.numberInWords(); n > 0 {
		return n
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

// numberInWords is the number of a report told in words behind a word for number:
// "number four was taken"; 0 for none.
func (h *hearing) numberInWords() uint64 {
	for i := range h.tokens {
		if !numberLead[h.tokens[i].text] || !isNumberWord(word(h.tokens, i+1)) {
			continue
		}
		if n, ok := readNumberAt(h.tokens, i+1); ok && n.value >= 1 && n.value == float64(int(n.value)) {
			return uint64(n.value)
		}
	}
	return 0
}

// numberLead are the words that stand before the number of a report.
var numberLead = wordSet("number num numero report reporte registro rapport")
