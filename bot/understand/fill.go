package understand

import (
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// fill makes the groups of fish and puts what the spans say into them.
func (h *hearing) fill() {
	h.wholeNames()
	h.callBack()
	h.listOn()
	h.plainPieces()
	h.tagged()
	h.usedInDeeds()
	h.uncounted()
	h.points = h.pointers()
	h.partition()
	h.eachSize()
	h.ontoEach()
	h.owners()
	h.sized()
	figures := h.spans(learned.Figures)
	h.likeSiblings(figures)
	figures = h.askedOunces(figures)
	figures, states, deeds, ends := h.catchDepths(figures), h.spans(learned.States), h.spans(learned.Deeds), h.spans(learned.Ends)
	used := h.group(slices.Concat(figures, states, deeds, ends))
	h.pickWeights(used)
	for _, s := range figures {
		h.figure(s)
	}
	h.lendUnits()
	h.likeKin(used)
	h.relatives(used)
	for _, s := range states {
		h.state(s)
	}
	for _, s := range deeds {
		h.deed(s)
	}
	for _, s := range ends {
		h.end(s)
	}
	h.sameAsBefore(used)
	for i := range h.groups {
		settleDeed(&h.groups[i])
	}
	h.aboard.None = h.aboard.None || h.saysNoWeights()
	h.pointOut(slices.Concat(figures, states, deeds, ends))
}

// group makes one entry for each fish that a span is said of, and numbers them anew
// without gaps; used are the numbers they had.
func (h *hearing) group(all []span) (used []int) {
	any := false
	for _, s := range all {
		if messageWide[s.tag] {
			continue
		}
		any = true
		for _, f := range s.fish {
			if !slices.Contains(used, f) {
				used = append(used, f)
			}
		}
	}
	if !any {
		return nil
	}
	slices.Sort(used)
	if len(used) == 0 {
		used = []int{0}
	}
	h.groups = make([]Fish, len(used))
	for i := range h.groups {
		h.groups[i].Query = blankQuery()
	}
	for i := range all {
		for j, f := range all[i].fish {
			all[i].fish[j] = max(0, slices.Index(used, f))
		}
	}
	return used
}

// messageWide are the tags that are of no one fish.
var messageWide = map[string]bool{"aboard_oz": true, "aboard_lead_g": true, "aboard_none": true, "predators": true, "day": true}

// each hands the fish that a span is said of to set.
func (h *hearing) each(s span, set func(*Fish)) {
	if s.fish == nil {
		for i := range h.groups {
			set(&h.groups[i])
		}
		return
	}
	for _, i := range s.fish {
		if i < len(h.groups) {
			set(&h.groups[i])
		}
	}
}

// state takes a sign, a hook, how the fish is, and what is denied.
func (h *hearing) state(s span) {
	kind, value, _ := strings.Cut(s.tag, ".")
	if kind == "aboard_none" {
		h.aboard.None = true
		return
	}
	if kind == "behaviour" && h.ofWater(s) {
		return
	}
	if end, is := h.isEndByTheLists(s); is {
		h.each(s, func(f *Fish) { f.Done.Outcome = end })
		return
	}
	kind, value = h.byTheLists(s, kind, value)
	h.each(s, func(f *Fish) {
		switch kind {
		case "sign":
			if sign := advisor.Sign(value); !f.Query.Has(sign) {
				f.Query.Signs = append(f.Query.Signs, sign)
			}
		case "hook":
			f.Query.Hook = advisor.Hook(value)
		case "behaviour":
			f.Query.Behaviour = advisor.Behaviour(value)
		case "bleeding":
			f.Query.Bleeding = true
		case "not_bleeding":
			f.NotBleeding = true
		case "no_signs":
			f.NoSigns = true
		}
	})
}

// isEndByTheLists is true for words that seem a state and that the word lists know for how it went
// alone: "ont flotté".
func (h *hearing) isEndByTheLists(s span) (advisor.Outcome, bool) {
	layer, tag := h.listedState(s.from, s.to)
	value, ok := strings.CutPrefix(tag, "outcome.")
	return advisor.Outcome(value), ok && layer == learned.Ends
}

// byTheLists is what the word lists say of exactly these words, where they know one state of a
// fish for them: another than was learned stands where that is of the same kind, for then
// there is nothing to weigh, or was not sure.
func (h *hearing) byTheLists(s span, kind, value string) (string, string) {
	l := lexicon()
	found := ""
	for _, c := range l.Phrases[h.phrase(s.from, s.to)] {
		k, _, _ := strings.Cut(l.Concepts[c], ":")
		if k != "sign" && k != "hook" && k != "behaviour" {
			continue
		}
		if found != "" {
			return kind, value
		}
		found = l.Concepts[c]
	}
	k, v, ok := strings.Cut(found, ":")
	if !ok || k != kind && s.sure >= plainlyMeant || k == "behaviour" && kind == k {
		return kind, value
	}
	return k, v
}

// plainlyMeant is the chance below which a state of another kind gives way to the word lists.
const plainlyMeant = 0.9

// deed takes what was done.
func (h *hearing) deed(s span) {
	kind, value, _ := strings.Cut(s.tag, ".")
	if kind == "predators" {
		h.around = true
		return
	}
	h.each(s, func(f *Fish) {
		switch kind {
		case "method":
			f.Done.Method = advisor.Method(value)
		case "recapture":
			f.Done.Recapture = true
		}
	})
}

// end takes how it went.
func (h *hearing) end(s span) {
	kind, value, _ := strings.Cut(s.tag, ".")
	if kind == "predators" {
		h.around = true
		return
	}
	h.around = h.around || advisor.Outcome(value) == advisor.TakenByOther
	if advisor.Outcome(value) == advisor.FloatedOff && h.thenSentDown(s) {
		h.each(s, func(f *Fish) { f.Query.Behaviour = advisor.Floating })
		return
	}
	h.each(s, func(f *Fish) { f.Done.Outcome = advisor.Outcome(value) })
}

// floatings say how a fish lies at the surface, by themselves no end.
var floatings = wordSet("floating flotando boiando flottant flutuando")

// thenSentDown is true for a fish that floats and that is sent down after that.
func (h *hearing) thenSentDown(s span) bool {
	return floatings[h.phrase(s.from, s.to)] && slices.ContainsFunc(h.spans(learned.Deeds), func(d span) bool {
		return d.from >= s.to && d.tag == "method."+string(advisor.Recompressed)
	})
}

// settleDeed infers what is certain: a release weight means that the fish was sent down.
func settleDeed(f *Fish) {
	if len(f.Done.WeightsOz) > 0 && f.Done.Method == "" {
		f.Done.Method = advisor.Recompressed
	}
}
