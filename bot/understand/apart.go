package understand

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// part is the words of one kind of fish in a report of several.
type part struct {
	text string
	// deed is true when they say by themselves what was done with it, or the last ones
	// of the report do not either.
	deed bool
}

// apart cuts a report of several kinds of fish into one text for each, where what was
// done, or a tag, is told of two or more by themselves, or the day is: a day's catch
// from notes, with a line for each. It returns nothing where one thing was done with
// all of them.
func (p *parsing) apart() []part {
	segments := p.segments()
	told, split := 0, false
	for _, s := range segments {
		if p.tellsDeed(s) {
			told++
		}
		split = split || len(p.clauses(s)) > 0
	}
	if told < 2 && !p.severalDays() && !split {
		return nil
	}
	// What is told once, at the end of notes of several days, holds for all of them.
	forAll := told == 1 && p.tellsDeed(segments[len(segments)-1])
	var parts []part
	for _, s := range segments {
		for _, text := range p.partsOf(s) {
			if day := p.dayOf(s); day != nil {
				text = day.Words + " " + text
			}
			parts = append(parts, part{text, !forAll || p.tellsDeed(s)})
		}
	}
	return parts
}

// partsOf are the words of a segment, or of each clause of it.
func (p *parsing) partsOf(s segment) (texts []string) {
	list := p.clauses(s)
	for _, c := range list {
		texts = append(texts, p.clauseText(s, c, list[0].from))
	}
	if len(texts) == 0 {
		texts = append(texts, p.withoutDays(s))
	}
	return texts
}

// tellsDeed reports whether a segment says by itself what was done with its fish.
func (p *parsing) tellsDeed(s segment) bool {
	within := func(i int) bool { return i >= s.from && i < s.to }
	return slices.ContainsFunc(p.tagsAt, within) || slices.ContainsFunc(p.hits, func(h hit) bool {
		deed := strings.HasPrefix(h.concept, "method:") || strings.HasPrefix(h.concept, "outcome:") || h.concept == "released"
		return deed && !h.negated && within(h.from)
	})
}

// together reads the parts of a report each by itself; a depth that only some tell
// holds for the others too.
func (m *Meaning) together(parts []part, s Setting) {
	var fish []advisor.Query
	forAll := m.Done
	m.Each, m.Problems = nil, nil
	for _, part := range parts {
		var one Meaning
		newParsing("log "+part.text, s).read(&one)
		if !part.deed {
			day, tag := one.Done.Day, one.Done.Tag
			one.Done = forAll
			one.Done.Day, one.Done.Tag = day, tag
		}
		for _, q := range append([]advisor.Query{one.Query}, one.More...) {
			fish = append(fish, q)
			m.Each = append(m.Each, one.Done)
		}
		m.Problems = append(m.Problems, one.Problems...)
	}
	shareDepth(fish)
	m.Query, m.More, m.Done = fish[0], fish[1:], m.Each[0]
	m.Missing = Missing(m.Query)
}

// outcomesOfOne are how single ones of several fish went off, in order, and how the
// others did: "one floated off, one swam down".
func (p *parsing) outcomesOfOne() (single []advisor.Outcome, others advisor.Outcome) {
	counted := -1 // some words are how it behaved and how it went off
	for _, h := range p.hits {
		outcome, told := strings.CutPrefix(h.concept, "outcome:")
		if h.concept == "behaviour:"+string(advisor.Floating) {
			outcome, told = string(advisor.FloatedOff), true
		}
		switch {
		case !told || h.negated || h.from == counted:
		case p.ofOne(h):
			single, counted = append(single, advisor.Outcome(outcome)), h.from
		default:
			others = advisor.Outcome(outcome)
		}
	}
	return single, others
}

// oneByOne gives single fish of a count an outcome of their own. It changes nothing
// where the fish differ in kind or size, or are fewer than the outcomes.
func (m *Meaning) oneByOne(single []advisor.Outcome, others advisor.Outcome) {
	one, count := m.Query, m.Query.Count
	for _, q := range m.More {
		if q.Species != one.Species || told(q.WeightKg) != told(one.WeightKg) || told(q.LengthCm) != told(one.LengthCm) {
			return
		}
		count += q.Count
	}
	if len(single) == 0 || count < 2 || count < len(single) {
		return
	}
	one.Count, one.Behaviour = 1, ""
	var fish []advisor.Query
	m.Each = nil
	for i := range count {
		q, done := one, m.Done
		done.Outcome = others
		if i < len(single) {
			done.Outcome = single[i]
		}
		if done.Outcome == advisor.FloatedOff && done.Method != advisor.Recompressed {
			q.Behaviour = advisor.Floating
		}
		fish, m.Each = append(fish, q), append(m.Each, done)
	}
	m.Query, m.More, m.Done = fish[0], fish[1:], m.Each[0]
}

// told is a figure, 0 for one that was not told.
func told(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// DoneWith is what was done with the i-th fish of the message, Query the 0-th.
func (m Meaning) DoneWith(i int) Done {
	if i < len(m.Each) {
		return m.Each[i]
	}
	return m.Done
}
