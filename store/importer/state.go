package importer

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// reply is what a cell of yes and no says.
type reply int

const (
	notTold reply = iota
	no
	yesTold
)

// reply reads the yes or no of a slot.
func (b *builder) reply(s slot) reply {
	c, _, _ := b.cellOf(s)
	return b.replyIn(c)
}

// replyIn reads yes or no; other words are kept as a remark. "none" says nothing
// elsewhere, but under a question it is a no.
func (b *builder) replyIn(c *Column) reply {
	if c == nil {
		return notTold
	}
	text := b.line.cell(c.index)
	switch yes, ok := known().answer(text); {
	case ok && yes:
		return yesTold
	case ok:
		return no
	case !known().blank(text):
		b.notUnderstood(c, text)
	}
	return notTold
}

// treated reads a column such as "vented", which may also hold the word itself.
func (b *builder) treated(f field, m advisor.Method) reply {
	_, text, told := b.cell(f)
	if word, ok := known().meaning("method", text); told && ok {
		if word == string(m) {
			return yesTold
		}
		return no
	}
	return b.reply(slot{field: f})
}

// method sets how the fish was let go, from all columns that tell.
func (b *builder) method() {
	told := b.toldMethod()
	vented, down := b.treated(fieldVented, advisor.Vented), b.treated(fieldRecompressed, advisor.Recompressed)
	if b.sentDown() && down == notTold {
		down = yesTold
	}
	b.r.Method = told
	switch {
	case told == advisor.Kept || told == "" && b.keptTold():
		b.r.Method = advisor.Kept
	case down == yesTold || told == advisor.Recompressed:
		b.agree(told, advisor.Recompressed, advisor.Vented)
		if (vented == yesTold || told == advisor.Vented) && !slices.Contains(b.r.Flags, FlagAlsoVented) {
			b.r.Flags = append(b.r.Flags, FlagAlsoVented)
		}
	case vented == yesTold:
		b.agree(told, advisor.Vented)
	case told == "" && b.neither(vented, down):
		b.r.Method = advisor.Surface
	}
}

// agree sets the method, unless a column tells another one that does not go with it.
func (b *builder) agree(told, m advisor.Method, also ...advisor.Method) {
	b.r.Method = m
	if told != "" && told != m && !slices.Contains(also, told) {
		b.problem(nil, "", "the columns tell two release methods: %s and %s", string(told), string(m))
	}
}

// toldMethod is what the column of methods says.
func (b *builder) toldMethod() advisor.Method {
	c, text, told := b.cell(fieldMethod)
	if !told {
		if c != nil && saysNone(text) {
			b.notUnderstood(c, text) // no treatment, or nothing told?
		}
		return b.methodUnder(fieldVented, fieldRecompressed)
	}
	word, ok := methodTold(text)
	if !ok {
		b.notUnderstood(c, text)
		return ""
	}
	if word == ventedAndSentDown {
		b.r.Flags = append(b.r.Flags, FlagAlsoVented)
		return advisor.Recompressed
	}
	return advisor.Method(word)
}

// methodUnder is the method that a column such as "vented" names in words, where that
// is another than its own: "descended". Surface there is a no.
func (b *builder) methodUnder(fields ...field) advisor.Method {
	for _, f := range fields {
		_, text, told := b.cell(f)
		if _, isAnswer := known().answer(text); !told || isAnswer {
			continue
		}
		if word, ok := methodTold(text); ok && word != string(advisor.Surface) && word != ventedAndSentDown {
			return advisor.Method(word)
		}
	}
	return ""
}

// ventedAndSentDown is what methodTold says of a fish that was both.
const ventedAndSentDown = "vented and recompressed"

// methodTold is the release method that a cell tells.
func methodTold(text string) (string, bool) {
	if word, ok := known().meaning("method", text); ok {
		return word, true
	}
	found := known().meanings("method", text)
	if len(found) == 2 && slices.Contains(found, string(advisor.Vented)) && slices.Contains(found, string(advisor.Recompressed)) {
		return ventedAndSentDown, true
	}
	return "", false
}

// saysNone is true for a cell that says that there was none, where that may mean let
// go as it was or that nobody wrote it down.
func saysNone(text string) bool {
	return slices.Contains([]string{"none", "nil", "no", "0", "ninguno", "ninguna", "nenhum", "nenhuma", "aucun", "aucune"}, spaced(text))
}

// sentDown is true when a release weight or a depth of release was told.
func (b *builder) sentDown() bool {
	_, text, told := b.cell(fieldLead)
	yes, isAnswer := known().answer(text)
	return len(b.r.WeightsOz) > 0 || b.r.ReleaseDepthM != nil && *b.r.ReleaseDepthM > 0 || told && isAnswer && yes
}

func (b *builder) keptTold() bool {
	return b.reply(slot{field: fieldKept}) == yesTold || b.reply(slot{field: fieldReleased}) == no
}

// neither is true when the row denies every treatment that the sheet has a column
// for: then the fish was let go as it was.
func (b *builder) neither(vented, down reply) bool {
	denied := vented == no || down == no
	return denied && (vented == no || !b.has(fieldVented)) && (down == no || !b.has(fieldRecompressed))
}

// signs reads columns of words and columns of yes and no, one for each sign.
func (b *builder) signs() {
	for _, c := range b.columns[slot{field: fieldSigns}] {
		text := b.line.cell(c.index)
		if text == "" {
			continue
		}
		found := known().meanings("sign", text)
		if len(found) == 0 && !known().blank(text) {
			b.notUnderstood(c, text)
		}
		for _, s := range found {
			b.sign(s)
		}
	}
	for _, s := range advisor.Signs {
		for _, c := range b.columns[slot{field: field(signPrefix + string(s))}] {
			switch b.replyIn(c) {
			case yesTold:
				b.sign(string(s))
			case no:
				b.sign("")
			}
		}
	}
}

// sign adds a sign, "" for none seen.
func (b *builder) sign(s string) {
	b.r.SignsLooked = true
	if s != "" && !slices.Contains(b.r.Signs, advisor.Sign(s)) {
		b.r.Signs = append(b.r.Signs, advisor.Sign(s))
	}
}

// state reads hook, blood, predators and how the fish went.
func (b *builder) state() {
	if c, text, told := b.cell(fieldHook); told {
		if word, ok := known().meaning("hook", text); ok {
			b.r.Hook = advisor.Hook(word)
		} else {
			b.notUnderstood(c, text)
		}
	}
	b.r.Bleeding = b.reply(slot{field: fieldBleeding}) == yesTold
	b.r.Predators = b.reply(slot{field: fieldPredators}) == yesTold
	for _, o := range advisor.Outcomes {
		for _, c := range b.columns[slot{field: field(outcomePrefix + string(o))}] {
			if b.replyIn(c) == yesTold {
				b.r.Outcome = o
			}
		}
	}
	for _, c := range b.columns[slot{field: fieldCondition}] {
		text := b.line.cell(c.index)
		if known().blank(text) {
			continue
		}
		found := conditionsIn(text)
		if len(found) == 0 {
			b.notUnderstood(c, text)
		}
		for _, word := range found {
			b.condition(b.atSurface(c, word))
		}
	}
}

// conditionsIn are the words of the condition that a cell says: those of the whole cell, or
// of its parts.
func conditionsIn(text string) []string {
	if word, ok := known().meaning("condition", text); ok {
		return []string{word}
	}
	return known().meanings("condition", text)
}

// atSurface is what a word says in a column of the behaviour where another column tells
// how it went: how the fish was at the surface, as in an export of ours.
func (b *builder) atSurface(c *Column, word string) string {
	if len(b.columns[slot{field: fieldCondition}]) < 2 || !strings.HasPrefix(fold(c.Heading), "behavio") {
		return word
	}
	switch word {
	case "outcome:" + string(advisor.FloatedOff):
		return "behaviour:" + string(advisor.Floating)
	case "outcome:" + string(advisor.Died):
		return "behaviour:" + string(advisor.Dead)
	}
	return word
}

func (b *builder) condition(word string) {
	what, value, _ := strings.Cut(word, ":")
	switch what {
	case "behaviour":
		b.r.Behaviour = advisor.Behaviour(value)
	case "outcome":
		b.r.Outcome = advisor.Outcome(value)
	case "method":
		if b.r.Method == "" {
			b.r.Method = advisor.Method(value)
		}
	}
}

// words keeps the row as given, but for names and places unless they are to be kept.
func (b *builder) words() {
	text := b.text[:0]
	for i := range b.sheet.Columns {
		c := &b.sheet.Columns[i]
		cell := b.line.raw(c.index)
		if cell == "" || c.field == "" || c.field == fieldSkip || c.private() && !b.mayKeep(c.field) {
			continue
		}
		if len(text) > 0 {
			text = append(text, "; "...)
		}
		text = append(append(append(text, c.Heading...), ": "...), cell...)
		if c.field == fieldRemark && !known().blank(cell) {
			b.remarks = append(b.remarks, c.Heading+": "+cell)
		}
	}
	b.r.Personal.Words, b.text = string(text), text
	b.r.Personal.Note = strings.Join(b.remarks, "; ")
	if _, name, told := b.cell(fieldAngler); told && b.KeepNames {
		b.r.Personal.Name = name
	}
}

// private is true for a column that names a person or an exact place.
func (c *Column) private() bool {
	return c.field == fieldAngler || c.field == fieldPosition || c.field.angle() || c.field == fieldLatMinutes || c.field == fieldLonMinutes
}

func (in *reading) mayKeep(f field) bool {
	if f == fieldAngler {
		return in.KeepNames
	}
	return in.KeepPlaces
}
