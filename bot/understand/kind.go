package understand

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"deepward/advisor"
)

//go:embed data/commands.csv
var commandsCSV []byte

// spokenCommand is a command that people write without a slash.
type spokenCommand struct {
	phrase, verb, rest string
	// more is what may follow: "" nothing, "number" a number, "words" anything.
	more string
}

// spokenCommands are by the first word of their phrase, longer phrases first; phrases
// are folded.
var spokenCommands = sync.OnceValue(func() map[string][]spokenCommand {
	byFirst := map[string][]spokenCommand{}
	for _, row := range mustRows(commandsCSV) {
		first, _, _ := strings.Cut(row[1], " ")
		byFirst[first] = append(byFirst[first], spokenCommand{row[1], row[2], row[3], row[4]})
	}
	for _, list := range byFirst {
		slices.SortStableFunc(list, func(a, b spokenCommand) int { return len(b.phrase) - len(a.phrase) })
	}
	return byFirst
})

// readCommand takes "/verb@bot rest" and the plain command words. lead is what the
// plain words say already, such as "weights" of "my weights", and skip how many
// words of the message come before what else follows.
func readCommand(folded string) (verb, lead string, skip int, ok bool) {
	if strings.HasPrefix(folded, "/") {
		verb, _, _ = strings.Cut(strings.Fields(folded)[0][1:], "@")
		if other, lead, _, ok := plainCommand(verb); ok && lead == "" {
			verb = other // "/resumen": the word that is spoken, with a slash
		}
		return verb, "", 1, isVerb(verb)
	}
	plain := strings.TrimLeft(strings.TrimRight(folded, "?!. "), "¿¡")
	if verb, lead, skip, ok = plainCommand(plain); ok {
		return verb, lead, skip, ok
	}
	if isUndoLast(plain) {
		return "undo", "last", strings.Count(plain, " ") + 1, true
	}
	if verb, ok = askedLesson(plain); ok {
		return verb, "", strings.Count(folded, " ") + 1, true
	}
	if asked := bareRequest(plain); asked != plain {
		verb, lead, _, ok = plainCommand(asked)
		return verb, lead, strings.Count(folded, " ") + 1, ok && !wordsMayFollow(verb)
	}
	return "", "", 0, false
}

// wordsMayFollow is true for commands that a sentence around them would garble.
func wordsMayFollow(verb string) bool { return verb == "my" || verb == "kit" }

// plainCommand finds the command that a message begins with.
func plainCommand(plain string) (verb, lead string, skip int, ok bool) {
	first, _, _ := strings.Cut(plain, " ")
	for _, c := range spokenCommands()[first] {
		more, ok := strings.CutPrefix(plain, c.phrase)
		if ok && (more == "" || more[0] == ' ' && c.takes(more[1:])) {
			return c.verb, c.rest, strings.Count(c.phrase, " ") + 1, true
		}
	}
	return "", "", 0, false
}

// takes reports whether words may follow the command.
func (c spokenCommand) takes(words string) bool {
	return c.more == "words" || c.more == "number" && isUndoRest(words)
}

// isUndoRest is true for "12", "#12", "last", "that": not for other talk.
func isUndoRest(rest string) bool {
	rest = strings.TrimLeft(rest, "#")
	return rest != "" && strings.Trim(rest, "0123456789") == "" || rest == "last" || rest == "that"
}

func isVerb(s string) bool {
	return s != "" && len(s) <= 32 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789_-") == ""
}

// fishFacts counts what is said about a fish besides its name.
func (p *parsing) fishFacts() int {
	n := 0
	for _, q := range p.found {
		if q.dim == depth || q.dim == weight || q.dim == length {
			n++
		}
	}
	if p.hasAny("sign:") || p.has("nosigns") {
		n++
	}
	if p.hasAny("behaviour:") || p.hasAny("hook:") || p.has("bleeding") || p.has("barotrauma") {
		n++
	}
	return n
}

// kind decides what the message is.
func (p *parsing) kind(m *Meaning) Kind {
	named := len(p.names) > 0 || p.outside != ""
	facts := p.fishFacts()
	if p.isReport(named, facts) {
		return Report
	}
	left := p.leftover()
	switch {
	case p.isMealTalk():
		return Other
	case named && p.asks():
		return Question
	case named && facts > 0 && left <= 4+2*facts:
		return Question
	case named:
		if left <= p.allowedBesideName() && !p.talksOnly() {
			return Question
		}
		return Other
	default:
		return p.unnamedKind(facts, left)
	}
}

// allowedBesideName is how many words of no meaning a message may have beside
// the name alone and still be a question about it.
func (p *parsing) allowedBesideName() int {
	if len(p.bare) > 0 || p.hasOunces() {
		return 2
	}
	return 0
}

// talksOnly is true for praise and chat about a fish: "nice snapper mate".
func (p *parsing) talksOnly() bool {
	for _, t := range p.tokens {
		if t.kind == tokenWord && book().chat[t.text] {
			return true
		}
	}
	return false
}

// asks is true for a question mark or a word that asks, beside a fish.
func (p *parsing) asks() bool {
	question := strings.Contains(p.text, "?")
	return p.has("ask") && (p.fishFacts() > 0 || question && p.leftover() <= 2 || p.leftover() == 0) ||
		question && p.fishFacts() > 0
}

func (p *parsing) hasOunces() bool {
	return slices.ContainsFunc(p.found, func(q quantity) bool { return q.dim == ounces })
}

// unnamedKind judges a message that names no fish: figures of a fish, or a short
// follow-up, but not talk that happens to hold a figure.
func (p *parsing) unnamedKind(facts, left int) Kind {
	hasDepth := slices.ContainsFunc(p.found, func(q quantity) bool { return q.dim == depth })
	hasSize := slices.ContainsFunc(p.found, func(q quantity) bool { return q.dim == weight || q.dim == length })
	switch {
	case hasDepth && hasSize && left <= 3:
		return Question
	case p.hasAny("sign:") && left <= 3 && !p.setsScene():
		return Question
	case facts >= 2 && left <= 2:
		return Question
	case facts > 0 && left == 0 && !p.setsScene():
		return Question
	case hasDepth && left <= 3 && p.small() <= 1 && !p.setsScene() && !p.talksOnly():
		return Question // "purple thing 40m": a fish that nobody knows
	case (hasDepth || hasSize || p.hasOunces()) && left <= 1 && !p.setsScene() && !p.talksOnly():
		return Question
	case len(p.found) > 0 && left == 0:
		return Question
	case p.begins("whatif") && left <= 1 && !p.setsScene() && (len(p.found) > 0 || p.endsBare()):
		return Question // "and at 70?"
	}
	return Other
}

// endsBare is true when the last word is a number without a unit.
func (p *parsing) endsBare() bool {
	if len(p.bare) == 0 {
		return false
	}
	for i := p.bare[len(p.bare)-1].to; i < len(p.tokens); i++ {
		if p.tokens[i].kind != tokenMark {
			return false
		}
	}
	return true
}

// small counts the small words that make a sentence; a terse question has none.
func (p *parsing) small() int {
	n := 0
	for _, t := range p.tokens {
		if t.kind == tokenWord && !t.used && book().filler[t.text] {
			n++
		}
	}
	return n
}

// setsScene is true for words of plans and kit rather than of a fish.
func (p *parsing) setsScene() bool {
	for _, t := range p.tokens {
		if t.kind == tokenWord && book().scene[t.text] {
			return true
		}
	}
	return false
}

// isReport is true when the words say what was done: "log ...", "released, 40 oz,
// swam off", "sent it down".
func (p *parsing) isReport(named bool, facts int) bool {
	if p.beginsWithLog() {
		return true
	}
	if strings.Contains(p.text, "?") || p.hasModal() {
		return false
	}
	acted := p.hasAny("method:") || p.has("released")
	if named && facts > 1 && p.has("outcome:died") && !p.has("ask") {
		return true // with figures it is told, not asked: "gag 40 m 3 kg died on deck"
	}
	saw := p.hasAny("outcome:") && !p.has("outcome:died") && !p.has("outcome:floated") && !p.has("behaviour:dead")
	about := named || facts > 0 || p.hasOunces() || p.done.Tag != ""
	switch {
	case p.caughtAgain():
		return true
	case acted && (about || saw || p.leftover() <= 1):
		return !p.setsScene() || named && facts > 0 && p.hasAny("method:")
	case saw && (named || p.hasOunces() || p.leftover() <= 1):
		return !p.setsScene()
	default:
		return false
	}
}

// hasModal is true for "should", "can i": the act is asked about, not told.
func (p *parsing) hasModal() bool {
	for _, at := range []int{0, len(p.tokens) - 1} { // "lo devuelvo como" asks
		if w := word(p.tokens, at); w == "como" || w == "comment" {
			return true
		}
	}
	for i := range p.tokens {
		switch word(p.tokens, i) {
		case "should", "can", "could", "shall", "how", "what", "which", "need",
			"debo", "deberia", "puedo", "cual", "cuanto", "necesito",
			"devo", "posso", "qual", "quanto", "preciso",
			"dois", "faut", "quel", "quelle", "combien":
			return true
		case "puis": // "puis-je", not "puis renvoyé"
			if word(p.tokens, i+1) == "je" || word(p.tokens, i+2) == "je" {
				return true
			}
		}
	}
	return false
}

// leftover counts the words that mean nothing to us.
func (p *parsing) leftover() int {
	n := 0
	for i, t := range p.tokens {
		if t.kind == tokenWord && !t.used && !book().filler[t.text] && !p.inHit(i) && !isNumberWord(t.text) {
			n++
		}
	}
	return n
}

func (p *parsing) inHit(i int) bool {
	return slices.ContainsFunc(p.hits, func(h hit) bool { return i >= h.from && i < h.to })
}

// beginsWithLog is true for "log gag 40 m": all that follows tells of a release.
func (p *parsing) beginsWithLog() bool {
	return len(p.hits) > 0 && p.hits[0].concept == "log" && p.hits[0].from == 0
}

// readDone fills what was done with the fish.
func (p *parsing) readDone() {
	if m := p.value("method:", 0, len(p.tokens)); m != "" {
		p.done.Method = advisor.Method(m)
	}
	if p.done.Method == "" && (p.has("released") || p.beginsWithLog()) {
		switch {
		case p.has("atdepth"):
			p.done.Method = advisor.Recompressed
		case p.has("attop"):
			p.done.Method = advisor.Surface
		}
	}
	if p.done.Method == "" && p.has("withlead") && p.beginsWithLog() {
		p.done.Method = advisor.Recompressed
	}
	if p.done.Method == "" && p.has("unaided") && (p.has("released") || p.beginsWithLog()) {
		p.done.Method = advisor.Surface
	}
	p.done.Outcome = advisor.Outcome(p.value("outcome:", 0, len(p.tokens)))
	p.done.Recapture = p.caughtAgain()
}

// caughtAgain is true for a tag that the fish wore already.
func (p *parsing) caughtAgain() bool {
	return p.has("recapture") || p.has("again") && p.done.Tag != ""
}

// placeOunces decides what a figure in ounces is: the weight of a small fish, a
// release weight that was used, or one that is aboard.
func (p *parsing) placeOunces(m *Meaning) {
	var release []float64
	for _, q := range p.found {
		if q.dim != ounces {
			continue
		}
		if q.high <= 0 {
			m.Problems = append(m.Problems, Problem{"weight_kg", advisor.Note{Code: NotPositive, Words: []string{q.raw}}})
			continue
		}
		if p.isReleaseWeight(q, m) {
			if q.ranged {
				release = append(release, q.low)
			}
			release = append(release, q.high)
			continue
		}
		if m.Query.WeightKg == nil {
			m.Query.WeightKg = new(q.high * kgPerOunce)
		}
	}
	release = append(release, p.bareWeights(len(release) > 0)...)
	if len(release) == 0 {
		return
	}
	if m.Kind == Report {
		m.Done.WeightsOz = release
		if m.Done.Method == "" {
			m.Done.Method = advisor.Recompressed
		}
		return
	}
	slices.Sort(release)
	m.Query.WeightsAboardOz = release
	for i := range m.More {
		m.More[i].WeightsAboardOz = release
	}
}

// bareWeights are the numbers of a list that ends in ounces: "20, 40 and 60 oz".
func (p *parsing) bareWeights(listed bool) []float64 {
	if !listed {
		return nil
	}
	var list []float64
	for _, q := range p.found {
		if q.dim != ounces {
			continue
		}
		for i := q.from - 1; i >= 0; i-- {
			if p.tokens[i].kind == tokenNumber && !p.tokens[i].used {
				list = append(list, p.tokens[i].value)
				p.dropBare(i, i+1)
			} else if m, w := mark(p.tokens, i), word(p.tokens, i); m != "," && m != "+" && w != "and" && w != "or" {
				break
			}
		}
	}
	return list
}

// isReleaseWeight judges a figure in ounces by the words beside it, and by
// whether the fish has a weight already.
func (p *parsing) isReleaseWeight(q quantity, m *Meaning) bool {
	if m.Query.WeightKg != nil || m.Query.LengthCm != nil || m.Kind == Report && q.high >= 8 {
		return true
	}
	for _, h := range p.hits {
		if h.concept == "aboard" && (h.to >= q.from-2 && h.from <= q.to+1) {
			return true
		}
	}
	return p.hasAny("method:recompressed") || len(p.names) == 0 && q.high >= 8
}
