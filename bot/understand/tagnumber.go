package understand

import "strings"

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
	for i < len(d.tokens) && (strings.Contains("#:.=", d.tokens[i].text) || word(d.tokens, i) == "no" || word(d.tokens, i) == "number" || word(d.tokens, i) == "it") {
		i++
	}
	from := i
	if w := word(d.tokens, i); w != "" && len(w) <= mostTagLetters {
		i++
		if mark(d.tokens, i) == "-" {
			i++
		}
	}
	if i < len(d.tokens) && d.tokens[i].kind == tokenNumber && strings.Trim(d.tokens[i].text, "0123456789") == "" && !d.hasUnitAfter(i) {
		use(d.tokens, from, i+1)
	}
}
