package understand

import (
	"slices"
	"strings"

	"deepward/bot/understand/learned"
)

// tagged takes the number that stands after a word for a tag for one, whatever the learned
// reader heard in it, where no unit follows: "tag K77" tells no depth.
func (h *hearing) tagged() {
	figures := h.scores.Tags[learned.Figures]
	d := dates{tokens: h.tokens}
	for i := range h.tokens {
		if !listed().tag[h.tokens[i].text] {
			continue
		}
		if from, to := d.numberAfter(i + 1); to > from && to <= len(figures) && !strings.HasSuffix(figures[to-1], "-tag") {
			owner := h.ownerAt(from)
			h.tag(from, to, "tag")
			h.own(from, to, owner)
			for k := from; k < to; k++ {
				h.scores.Chances[learned.Figures][k] = 1
			}
		}
	}
}

// ownerAt is the fish that the words at a place are said of, or the last ones before them that
// are said of one.
func (h *hearing) ownerAt(at int) string {
	for _, w := range slices.Backward(h.scores.Tags[learned.Whose][:at+1]) {
		if isTag(w) && w != learned.NoFish {
			return w
		}
	}
	return "0"
}

// passOverTag marks the tokens of a tag number as used, for its figures are no date:
// letters and digits without a blank, "AAD000123", or whatever stands after the word tag.
func (d *dates) passOverTag() {
	for i := 0; i+1 < len(d.tokens); i++ {
		a, b := d.tokens[i], d.tokens[i+1]
		letters := a.kind == tokenWord && len(a.text) >= 1 && len(a.text) <= mostTagLetters
		if letters && b.kind == tokenNumber && a.touches(b) && len(b.text) >= 4 && strings.Trim(b.text, "0123456789") == "" {
			use(d.tokens, i, i+2)
			return
		}
	}
	for i := range d.tokens {
		if listed().tag[word(d.tokens, i)] {
			d.passOverAfter(i + 1)
		}
	}
}

// passOverAfter marks the number after the word tag.
func (d *dates) passOverAfter(i int) {
	if from, to := d.numberAfter(i); to > from {
		use(d.tokens, from, to)
	}
}

// numberAfter is where the number after the word tag stands; nowhere for none.
func (d *dates) numberAfter(i int) (from, to int) {
	for i < len(d.tokens) && (strings.Contains("#:.=", d.tokens[i].text) || word(d.tokens, i) == "no" || word(d.tokens, i) == "number" || word(d.tokens, i) == "it") {
		i++
	}
	from = i
	if w := word(d.tokens, i); w != "" && len(w) <= mostTagLetters {
		i++
		if mark(d.tokens, i) == "-" {
			i++
		}
	}
	if i < len(d.tokens) && d.tokens[i].kind == tokenNumber && strings.Trim(d.tokens[i].text, "0123456789") == "" && !d.hasUnitAfter(i) {
		return from, i + 1
	}
	return from, from
}
