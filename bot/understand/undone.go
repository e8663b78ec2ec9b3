package understand

import (
	"strings"

	"deepward/advisor"
)

// meantByUndo finds which report a command to take one back means, by the name of a fish or by
// how it went, where the learned reader heard none: "delete the goraz that floated".
func (h *hearing) meantByUndo() {
	if h.want != WantUndo {
		return
	}
	if len(h.groups) == 0 {
		if name := h.knownName(); name != "" {
			f := Fish{Name: name, Query: blankQuery()}
			fillResolved(&f.Query, name, Resolve(name, h.setting))
			h.groups = []Fish{f}
		}
	}
	end := h.listedEnd()
	if end == "" {
		return
	}
	if len(h.groups) == 0 {
		h.groups = []Fish{{Query: blankQuery()}}
	}
	if d := &h.groups[0].Done; d.Outcome == "" {
		d.Outcome = end
	}
}

// shortestName is how many letters a name has at least that is found in a command, and
// longestName how many words at most.
const (
	shortestName = 4
	longestName  = 3
)

// knownName is the longest known name of a fish among the words, none that is an everyday word;
// "" for none.
func (h *hearing) knownName() string {
	for n := min(longestName, len(h.tokens)); n > 0; n-- {
		for i := 0; i+n <= len(h.tokens); i++ {
			if name := h.phrase(i, i+n); len(name) >= shortestName && !everyday(name) && h.knows(name) {
				return h.typed(i, i+n)
			}
		}
	}
	return ""
}

// listedEnd is how it went by the word lists, by the longest phrase of theirs; "" for none.
func (h *hearing) listedEnd() (end advisor.Outcome) {
	const longest = 4
	l := lexicon()
	for n := min(longest, len(h.tokens)); n > 0; n-- {
		for i := 0; i+n <= len(h.tokens); i++ {
			for _, c := range l.Phrases[h.phrase(i, i+n)] {
				if name, ok := strings.CutPrefix(l.Concepts[c], "outcome:"); ok {
					return advisor.Outcome(name)
				}
			}
		}
	}
	return ""
}
