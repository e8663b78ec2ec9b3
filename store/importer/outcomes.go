package importer

import (
	"regexp"
	"slices"
	"strings"

	"deepward/advisor"
)

// fateHeadings are the headings, in their plain words, under which people write how a fish
// went or what became of it.
var fateHeadings = []string{
	"fate", "outcome", "result", "results", "status", "disposition", "what happened",
	"resultado", "destino", "desenlace", "que paso", "estado", "como se fue", "como foi", "como ficou", "desfecho", "situacao",
	"destin", "devenir", "sort", "etat", "resultat", "issue",
}

// namesFate is true for a word that names what became of a fish, and not how it was.
func namesFate(w string) bool {
	return slices.Contains([]string{"fate", "outcome", "result", "results", "disposition", "resultado", "destino", "desenlace", "desfecho", "destin", "devenir", "resultat"}, w)
}

// findOutcomes takes a column that nobody knows for that of how the fish went, where its
// cells say so. Under a heading of fates any word of the condition will do; under another,
// where "good" may be said of the weather, some cell must tell what became of the fish.
func (in *reading) findOutcomes() {
	in.findOutcomeAnswers()
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field != "" || c.renamed || c.asked || c.Heading == "" || in.holdsAMethod(c) {
			continue
		}
		told, read, fates, kinds := in.tellOutcomes(c)
		headed := c.headsFate()
		switch {
		case told == 0:
		case 2*read >= told && (headed || fates > 0):
			c.heading = heading{field: fieldCondition}
			in.columns[c.slot()] = append(in.columns[c.slot()], c)
			in.sheet.note("%q tells how the fish went; if that is wrong, say what it is: --column \"%s=...\", or - to leave it out", c.Heading, c.Heading)
		case (headed || fates > 0) && kinds <= mostMethods && !in.onlyAnswers(c) && !in.tellsEvents(c):
			c.asked = true
			in.sheet.ask("%q may tell what became of the fish; say what it is: --column \"%s=condition\", \"%s=recaptured\", \"%s=kept\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "condition", "recaptured", "kept")
		}
	}
}

// findOutcomeAnswers takes a column of yes and no for that of the outcome which its heading
// names, as "Swam off?" does.
func (in *reading) findOutcomeAnswers() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field != "" && c.field != fieldCondition || c.renamed || c.again > 0 || !in.onlyAnswers(c) {
			continue
		}
		found := conditionsIn(c.Heading)
		if len(found) != 1 || !strings.HasPrefix(found[0], outcomePrefix) {
			continue
		}
		if c.field != "" {
			in.drop(c)
		}
		c.heading = heading{field: field(found[0])}
		in.columns[c.slot()] = append(in.columns[c.slot()], c)
	}
}

// headsFate is true for a heading of fates, also where it says of which day.
func (c *Column) headsFate() bool {
	words := slices.DeleteFunc(plainWords(c.Heading), func(w string) bool { return known().roles[w] != "" || w == "na" || w == "al" || w == "a" })
	return slices.Contains(fateHeadings, strings.Join(words, " ")) || slices.Contains(fateHeadings, strings.Join(plainWords(c.Heading), " "))
}

// mostKinds is how many different cells are looked at of a column that nobody knows: what has
// more are names, numbers or stories.
const mostKinds = 300

// kinds counts the different cells of a column that tell something; nil for too many.
func (in *reading) kinds(c *Column) map[string]int {
	counts := map[string]int{}
	for text := range in.told(c, line.raw) {
		if counts[text]++; len(counts) > mostKinds {
			return nil
		}
	}
	return counts
}

// tellOutcomes counts the cells of a column that tell something, those that are words of the
// condition, those of them that tell what became of the fish, and the different cells.
func (in *reading) tellOutcomes(c *Column) (told, read, fates, kinds int) {
	different := map[string]bool{}
	for text, n := range in.kinds(c) {
		told += n
		different[spaced(text)] = true
		found := conditionsIn(text)
		if len(found) > 0 {
			read += n
		}
		if slices.ContainsFunc(found, func(w string) bool { return strings.HasPrefix(w, "outcome:") || strings.HasPrefix(w, "method:") }) {
			fates += n
		}
	}
	return told, read, fates, len(different)
}

// codesHeaded is a heading that is nothing but the codes below it, as "D/V/S".
var codesHeaded = regexp.MustCompile(`^\s*\(?\pL{1,3}(?:\s*[/|,;-]\s*\pL{1,3})+\)?\s*\??\s*$`)

// fateCodes are the letters in which people write how a fish was let go or what became of it:
// descended, vented, surface, control, released, kept, alive, floated.
var fateCodes = []string{"d", "v", "s", "c", "r", "k", "a", "f"}

// headsCodes is true for a column of the codes that its heading lists, or of letters that
// commonly stand for the way of release where no column tells that.
func (in *reading) headsCodes(c *Column, methods bool) bool {
	listed := fateCodes
	byHeading := codesHeaded.MatchString(c.Heading)
	if byHeading {
		listed = strings.FieldsFunc(fold(c.Heading), func(r rune) bool { return strings.ContainsRune("/|,;-()? ", r) })
	} else if methods {
		return false
	}
	found := map[string]bool{}
	for text := range in.told(c, line.raw) {
		if !slices.Contains(listed, spaced(text)) {
			return false
		}
		found[spaced(text)] = true
	}
	return byHeading && len(found) > 0 || len(found) > 1 && (found["d"] || found["v"])
}

// holdsAMethod is true for a column with a cell that is a way of release, and not only kept.
func (in *reading) holdsAMethod(c *Column) bool {
	for text := range in.kinds(c) {
		if m, ok := methodTold(text); ok && m != string(advisor.Kept) {
			return true
		}
	}
	return false
}
