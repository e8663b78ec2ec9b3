package understand

import "strings"

// Words of a meal, "for dinner", say that a fish was kept only where it is plain that one
// was caught: talk of what is for dinner is none of ours.

// settleDinner makes the words of a meal those of a kept fish where the words beside them
// are of a catch and do not say otherwise what was done.
func (p *parsing) settleDinner() {
	if !p.has("dinner") {
		return
	}
	for _, s := range p.segments() {
		if !p.plainlyCaught(s) || p.tellsDeed(s) {
			continue
		}
		for i, h := range p.hits {
			if h.concept == "dinner" && h.from >= s.from && h.from < s.to {
				p.hits[i].concept = "method:kept"
			}
		}
	}
}

// plainlyCaught is true for words with a depth, with a size in two ways, or that say so.
func (p *parsing) plainlyCaught(s segment) bool {
	if len(p.inSegment(s, depth)) > 0 || len(p.inSegment(s, weight)) > 0 && len(p.inSegment(s, length)) > 0 {
		return true
	}
	for _, h := range p.hits {
		if h.concept == "caught" && !h.negated && h.from >= s.from && h.from < s.to {
			return true
		}
	}
	return false
}

// isMealTalk is true for a fish that is spoken of as food and not said to be caught.
func (p *parsing) isMealTalk() bool { return p.has("dinner") && !strings.Contains(p.text, "?") }
