package bot

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// wordSeveral answers several fish of one message: one line each, then, each said once, what
// can hurt badly, how the way down ends, what to take care of and what was not understood.
// What does not hold for all has the numbers of its fish behind it.
func wordSeveral(v words.Voice, fish []advisor.Query, m understand.Meaning, unread ...string) string {
	s := answerSeveral(v, fish)
	lines, at := s.fishLines()
	dangerAt := len(lines)
	danger, way, care, note := s.danger(), s.way(), s.care(), s.remarks(m, unread)
	for _, told := range []parts{danger, way, care, note} {
		lines = append(lines, line{told.must(), unnumbered.ReplaceAllString(told.must(), "")})
	}
	if danger.must() != "" { // what can hurt badly is the most urgent of all
		lines[dangerAt+2].short = ""
	}
	p := newPage(lines...)
	p.fill(dangerAt, danger)
	p.fill(dangerAt+1, way)
	s.tellGains(p, at)
	p.fill(dangerAt+2, care)
	p.fill(dangerAt+3, note)
	return p.text()
}

// several are the fish of one message with their answers, and the voice of each.
type several struct {
	voice  words.Voice
	fish   []advisor.Query
	advice []advisor.Advice
	voices []words.Voice
}

func answerSeveral(v words.Voice, fish []advisor.Query) several {
	s := several{voice: v, fish: fish}
	for _, q := range fish {
		s.advice, s.voices = append(s.advice, advisor.Advise(q)), append(s.voices, voiceFor(v, q))
	}
	return s
}

// fishLines are the lines of the fish, in groups of those with whom the same is done: what is
// the same for a group is said once. at says which line is that of each fish.
func (s several) fishLines() (lines []line, at []int) {
	var acts, heads numbered
	for i, a := range s.advice {
		head := headline(s.voices[i], a)
		heads.add(i, head)
		acts.add(i, actOf(head))
	}
	at = make([]int, len(s.fish))
	for _, act := range acts.list {
		group := acts.of[act]
		head := headline(s.voices[group[0]], s.advice[group[0]])
		said := ""
		switch {
		case len(heads.of[head]) == len(group) && len(group) > 1:
			said = head
		case len(group) > 1:
			said = act
		}
		if said != "" {
			lines = append(lines, same(numbers(group)+". "+said))
		}
		for _, i := range group {
			at[i] = len(lines)
			lines = append(lines, s.fishLine(i, said))
		}
	}
	return lines, at
}

// actOf is what a first line says before its weights and depth.
func actOf(head string) string {
	act, _, _ := strings.Cut(head, ":")
	return strings.TrimRight(act, " \u00a0")
}

// fishLine is the line of one of the fish: what is done with it that was not said above, and
// what was understood of it; its depth only where it is not told yet.
func (s several) fishLine(i int, said string) line {
	q, a, v := s.fish[i], s.advice[i], s.voices[i]
	if a.ReleaseDepthM != nil && *a.ReleaseDepthM == *q.DepthM {
		q.DepthM = nil
	}
	begin := numbers([]int{i}) + ". "
	if head := strings.TrimLeft(strings.TrimPrefix(headline(v, a), said), ": \u00a0"); head != "" {
		begin += head + " · "
	}
	name, _, _ := strings.Cut(words.SentenceCase(fishName(v, q, a)), " (")
	name, _, _ = strings.Cut(name, " / ")
	return line{begin + fishLine(v, q, a).short, begin + fishCalled(v, name, "", advisor.Query{Count: q.Count})}
}

// tellGains adds to the lines of the fish what sending each down gains, if all have room.
func (s several) tellGains(p *page, at []int) {
	told := page{lines: slices.Clone(p.lines), left: p.left}
	for i, line := range at {
		if a, v := s.advice[i], s.voices[i]; a.Gain != nil && a.Action == advisor.ActRecompress && !a.Gain.Little() {
			told.put(line, told.lines[line]+" · "+v.Say("line.gain_short", v.MoreOfTen(a.Gain.P)))
		}
	}
	if told.left >= 0 {
		*p = told
	}
}

// danger is what can hurt badly, of all the fish.
func (s several) danger() parts {
	var told numbered
	for i, a := range s.advice {
		if grave := graveDanger(s.voices[i], a); grave != "" {
			told.add(i, grave)
		}
	}
	return parts{first: told.texts(len(s.fish)), join: clauses(s.voice, "line.danger")}
}

// way is how the way down ends, and what to do where it may not go as it should; how long
// it takes where there is room.
func (s several) way() parts {
	var told numbered
	var low, high float64
	for i, a := range s.advice {
		if a.DescentS != nil {
			low, high = min(cmp.Or(low, a.DescentRangeS[0]), a.DescentRangeS[0]), max(high, a.DescentRangeS[1])
		}
		if a.DescentS == nil || a.MayHang {
			if text := wayLine(s.voices[i], a).short; text != "" {
				told.add(i, text)
			}
		}
	}
	p := parts{first: told.texts(len(s.fish)), join: sentences}
	if high > 0 {
		p.rest = []string{s.voice.Say("line.descent", s.voice.DurationRange(low, high))}
	}
	return p
}

// care is what to take care of: the most urgent of all is always told.
func (s several) care() parts {
	var pressing, hazards, rest numbered
	for i, a := range s.advice {
		if a.Action == advisor.ActNone {
			continue
		}
		first, more := cares(s.voices[i], a)
		for _, text := range first {
			pressing.add(i, text)
		}
		own := s.voices[i].Hazards(a.Species.Hazard)
		for _, text := range more {
			if slices.Contains(own, text) {
				hazards.add(i, text)
			} else {
				rest.add(i, text)
			}
		}
	}
	first := pressing.texts(len(s.fish))
	n := min(1, len(first))
	more := slices.Concat(first[n:], hazards.texts(len(s.fish)), rest.texts(0))
	return parts{first: first[:n], rest: more, join: clauses(s.voice, "line.care")}
}

// remarks are what was refused or not read, and what was taken for granted or is asked of
// each of the fish.
func (s several) remarks(m understand.Meaning, unread []string) parts {
	var first, rest numbered
	for i, q := range s.fish {
		one := understand.Meaning{Query: q, Missing: understand.Missing(q)}
		if q.Species == s.fish[0].Species {
			one.Named = m.Named // the word typed for the first
		}
		of := remarks(s.voices[i], one, s.advice[i], nil, oneOther)
		for _, text := range of.first {
			first.add(i, text)
		}
		for _, text := range of.rest {
			rest.add(i, text)
		}
	}
	whole := remarks(s.voice, understand.Meaning{Problems: m.Problems}, advisor.Advice{}, unread, oneOther)
	list := append(whole.first, first.texts(len(s.fish))...)
	n := min(len(whole.first)+1, len(list))
	return parts{first: list[:n], rest: append(list[n:], rest.texts(len(s.fish))...), join: sentences}
}

// unnumbered is what goes where there is no room for the numbers of fish.
var unnumbered = regexp.MustCompile(` \(\d\d?(, \d\d?)*\)`)

// numbered are texts with the fish they hold for, each once.
type numbered struct {
	list []string
	of   map[string][]int
}

// add says that a text holds for the fish at that place.
func (n *numbered) add(fish int, text string) {
	if n.of == nil {
		n.of = map[string][]int{}
	}
	if n.of[text] == nil {
		n.list = append(n.list, text)
	}
	n.of[text] = append(n.of[text], fish)
}

// texts are the texts, those that do not hold for all of so many fish with their numbers;
// none has any where all is 0.
func (n *numbered) texts(all int) (list []string) {
	for _, text := range n.list {
		if who := n.of[text]; len(who) < all {
			text += " (" + numbers(who) + ")"
		}
		list = append(list, text)
	}
	return list
}

// numbers are those of the fish at these places, as they are told: from 1.
func numbers(places []int) string {
	list := make([]string, len(places))
	for i, at := range places {
		list[i] = strconv.Itoa(at + 1)
	}
	return strings.Join(list, ", ")
}
