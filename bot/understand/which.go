package understand

import (
	"cmp"
	_ "embed"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// Which says which of several fish is meant without naming it.
type Which struct {
	// Nth is the place among those told, 1 for the first; 0 for none.
	Nth int
	// Last is true for the last one, Other for the other one, Rest for all others, Each for all.
	Last, Other, Rest, Each bool
	// Size is how big it is beside the others.
	Size Size
	// Sign is the one that it shows and the others do not: "the one with the eyes".
	Sign advisor.Sign
	// End is how it went with it and not with the others: "the one that died"; Kept is true for
	// the one that was kept.
	End  advisor.Outcome
	Kept bool
}

// Size is how big a fish is beside others that are talked of.
type Size string

// The sizes, as the table of words has them.
const (
	SizeSmall  Size = "small"
	SizeMiddle Size = "middle"
	SizeBig    Size = "big"
)

// plus is both of what two words say.
func (w Which) plus(v Which) Which {
	if v.Nth > 0 {
		w.Nth = v.Nth
	}
	w.Size, w.Sign, w.End = cmp.Or(v.Size, w.Size), cmp.Or(v.Sign, w.Sign), cmp.Or(v.End, w.End)
	w.Last, w.Other, w.Rest, w.Each, w.Kept = w.Last || v.Last, w.Other || v.Other, w.Rest || v.Rest, w.Each || v.Each, w.Kept || v.Kept
	return w
}

//go:embed data/which.csv
var whichCSV string

// whichPhrases are the words that tell one of several fish from the others.
var whichPhrases = sync.OnceValue(func() map[string]Which {
	table := map[string]Which{}
	for _, row := range mustRows(whichCSV) {
		var w Which
		switch what := row[1]; what {
		case "last":
			w.Last = true
		case "other":
			w.Other = true
		case "rest":
			w.Rest = true
		case "each":
			w.Each = true
		case "small", "middle", "big":
			w.Size = Size(what)
		case string(advisor.BulgingEyes), string(advisor.BloatedBelly), string(advisor.EvertedStomach):
			w.Sign = advisor.Sign(what)
		default:
			w.Nth = int(what[0] - '0')
		}
		table[strings.Join(wordsOf(row[2]), " ")] = w
	}
	return table
})

// longestWhich is how many words such a phrase has at most.
const longestWhich = 3

// pointer is where words tell one of several fish from the others.
type pointer struct {
	from, to int
	which    Which
}

// pointers are those of the message, in order, but for what belongs to a weight, a state or
// something else that is no fish.
func (h *hearing) pointers() []pointer {
	list := h.whichWhere(func(p pointer) bool { return !h.isNoFish(p.from, p.to, p.which) })
	list = append(list, h.fated()...)
	slices.SortStableFunc(list, func(a, b pointer) int { return a.from - b.from })
	return list
}

// whichWhere are the phrases of the table of which something is true, in order, the longest at
// each place.
func (h *hearing) whichWhere(is func(pointer) bool) (list []pointer) {
	for i := 0; i < len(h.tokens); i++ {
		for n := min(longestWhich, len(h.tokens)-i); n > 0; n-- {
			w, ok := whichPhrases()[h.phrase(i, i+n)]
			if p := (pointer{i, i + n, w}); ok && is(p) {
				list = append(list, p)
				i += n - 1
				break
			}
		}
	}
	return list
}

// noFish are words behind such a word that make it one of something else: the other day.
var noFish = wordSet("day days time times side boat hook weight weights rod line drop night week trip thing hand eye eyes mouth guy way " +
	"dia dias vez veces lado barco anzuelo peso plomo plomos cosa semana tiempo mano ojo ojos boca " +
	"vezes anzol chumbo chumbada coisa barriga olho olhos fois jour cote bateau hamecon plomb lest chose semaine main oeil yeux bouche poids coup " +
	"sea seas swell waves wave mar vague vagues houle aid gear school " +
	"try tries attempt attempts go gos shot run essai tentative tentativa intento sinker sinkers lead leads plombs lests chumbos pesa pesas")

// isNoFish is true where such words are said of something else: what is tagged as a state or
// as a weight, or what another word behind them tells.
func (h *hearing) isNoFish(from, to int, w Which) bool {
	if noFish[word(h.tokens, to)] || lengthVerbs[word(h.tokens, to-1)] && to < len(h.tokens) && h.tokens[to].kind == tokenNumber { // "media 38 cm"
		return true
	}
	figures := h.scores.Tags[learned.Figures]
	if from < len(figures) && (strings.HasSuffix(figures[from], "weights_used_oz") || strings.HasSuffix(figures[from], "aboard_oz")) {
		return true
	}
	if w.Size == "" && w.Sign == "" {
		return false
	}
	if w.Size != "" && h.isWeight(from) {
		return true
	}
	for _, layer := range []learned.Layer{learned.States, learned.Ends} {
		if tags := h.scores.Tags[layer]; to <= len(tags) && slices.ContainsFunc(tags[from:to], isTag) {
			return true
		}
	}
	return from < len(figures) && figures[from] != "O" && figures[from] != "B-name" && figures[from] != "I-name"
}

// pointOut gives each fish of the message the words that tell it from others.
func (h *hearing) pointOut(all []span) {
	slices.SortStableFunc(all, func(a, b span) int { return a.from - b.from })
	for k, p := range h.points {
		until, since := len(h.tokens), 0
		if k+1 < len(h.points) {
			until = h.points[k+1].from
		}
		if k > 0 {
			since = h.points[k-1].to
		}
		if i := h.pointedAt(p, all, since, until); i >= 0 && i < len(h.groups) {
			h.groups[i].Which = h.groups[i].Which.plus(p.which)
		}
	}
}

// besides is how many words a size stands behind the name it is said of at most.
const besides = 2

// pointedAt is the fish that such words are said of: that of the name they stand behind, of
// what follows, or of what went before.
func (h *hearing) pointedAt(p pointer, all []span, since, until int) int {
	if len(h.groups) == 1 {
		return 0
	}
	last := -1
	for _, s := range all {
		if messageWide[s.tag] || len(s.fish) != 1 {
			continue
		}
		switch {
		case s.tag == "weights_used_oz" && s.to < p.from && s.from >= since && h.isOn(p):
			return s.fish[0]
		case s.to <= p.from && s.from >= since:
			last = s.fish[0]
			if p.which.Size != "" && s.tag == "name" && p.from-s.to < besides && word(h.tokens, p.from-1) != "" {
				return last
			}
		case s.to > p.from && s.from < until:
			return s.fish[0]
		}
	}
	return last
}

// withs stand before a word for the size of a weight: "with the big one".
var withs = wordSet("with w on used using con usando usamos use com usei avec no na")

// isWeight is true where a size is that of a weight that was used.
func (h *hearing) isWeight(i int) bool {
	at := i - 1
	if before := word(h.tokens, at); ones[before] || definite[before] && !withs[before] {
		at--
	}
	return withs[word(h.tokens, at)] && (!ontos[word(h.tokens, at)] || h.figureBefore(at) < 0) // not "3 lb on the big one"
}
