package understand

import (
	"slices"

	"deepward/bot/understand/learned"
)

// picked is where words say which of the weights aboard was used.
type picked struct {
	from, to int
	pick     Pick
}

// picks are those of the message: by the words of the table, and else by size, "con la grande".
func (h *hearing) picks() (list []picked) {
	for i := range h.tokens {
		for n := min(longestAgain, len(h.tokens)-i); n > 0; n-- {
			switch what := againPhrases()[h.phrase(i, i+n)]; what {
			case string(PickLightest), string(PickHeaviest), string(PickTogether):
				list = append(list, picked{i, i + n, Pick(what)})
			}
		}
	}
	if len(list) > 0 {
		return list
	}
	sized := h.whichWhere(func(p pointer) bool { return p.which.Size != "" && h.isWeight(p.from) && !noFish[word(h.tokens, p.to)] })
	for _, p := range sized {
		list = append(list, picked{p.from, p.to, p.which.Size.Pick()})
	}
	return list
}

// Pick is the weight that a word for a size means among those aboard; "" for no size.
func (s Size) Pick() Pick {
	return map[Size]Pick{SizeSmall: PickLightest, SizeMiddle: PickMiddle, SizeBig: PickHeaviest}[s]
}

// pickWeights gives each fish the words for the weight that it was sent down with, where there
// are several: "gag with the big one, scamp with the small one".
func (h *hearing) pickWeights(used []int) {
	for _, p := range h.picks() {
		s := span{from: p.from, to: min(p.to, len(h.scores.Tags[learned.Whose]))}
		if s.from >= s.to {
			continue
		}
		s.fish = h.placed(s.from, s.to, used)
		h.each(s, func(f *Fish) { f.Pick = p.pick })
	}
}

// placed are the places among the fish of the message, of which used are the numbers, that
// words are said of; nil for all, also where the learned reader heard of none.
func (h *hearing) placed(from, to int, used []int) (places []int) {
	told := false
	for _, w := range h.scores.Tags[learned.Whose][from:to] {
		told = told || w != "O" && w != learned.NoFish
	}
	if !told {
		return nil
	}
	for _, n := range h.whose(from, to) {
		if k := slices.Index(used, n); k >= 0 {
			places = append(places, k)
		}
	}
	return places
}
