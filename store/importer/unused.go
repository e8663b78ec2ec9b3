package importer

import (
	"slices"
	"strings"

	"deepward/advisor"
)

// askUnused asks about headings that are not understood and that speak of the way of
// release or of recaptures: left out unseen, they would make the comparison false.
func (in *reading) askUnused() {
	recaptures := in.has(fieldRecaptured) || in.hasLater(fieldDate) || in.has(fieldLiberty)
	methods := in.has(fieldMethod) || in.has(fieldVented) || in.has(fieldRecompressed)
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field != "" || c.renamed || c.asked || c.Heading == "" {
			continue
		}
		words := headingWords(c.Heading)
		depth := in.depthUnit(c, words)
		switch {
		case in.headsCodes(c, methods):
			in.sheet.ask("%q holds codes that may tell how the fish were released or what became of them; say what it is: --column \"%s=release method\", \"%s=condition\", \"%s=recaptured\", \"%s=kept\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "release method", "condition", "recaptured", "kept")
		case !in.has(fieldMethod) && slices.ContainsFunc(words, speaksOfMethod), !methods && in.namesMethods(c):
			in.sheet.ask("%q may tell how the fish were released; say what it is: --column \"%s=release method\", \"%s=vented\", \"%s=sent down\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "release method", "vented", "sent down")
		case !in.has(fieldMethod) && !in.has(fieldRecompressed) && slices.ContainsFunc(words, namesDevice):
			in.sheet.ask("%q may tell which fish were sent down; say what it is: --column \"%s=sent down\", \"%s=release method\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "sent down", "release method")
		case !in.has(fieldSpecies) && !in.has(fieldScientific) && in.Species == "" && in.namesFish(c):
			in.sheet.ask("%q names fish; say what it is: --column \"%s=species\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading).column(c.Heading, "species", "remark")
		case depth != "":
			in.sheet.ask("%q has depths; say which: --column \"%s=released at depth %s\", \"%s=capture depth %s\", or \"%s=-\" to leave it out", c.Heading, c.Heading, depth, c.Heading, depth, c.Heading).
				column(c.Heading, "released at depth "+depth, "capture depth "+depth)
		case !recaptures && slices.ContainsFunc(words, speaksOfRecapture):
			in.sheet.ask("%q may tell of recaptures; say what it is: --column \"%s=recaptured\", \"%s=recapture date\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "recaptured", "recapture date")
		}
	}
}

// fishLooked is how many lines are looked at for names of fish.
const fishLooked = 200

// namesFish is true for a column half of whose cells surely name a fish.
func (in *reading) namesFish(c *Column) bool {
	told, fish := 0, 0
	for text := range in.told(c, line.raw) {
		if told++; told > fishLooked {
			break
		}
		if in.findIn(text) {
			fish++
		}
	}
	return told > 1 && 2*fish >= told
}

// findIn is true for words that surely name one fish.
func (in *reading) findIn(text string) bool {
	if _, err := parseWhole(text); err == nil || in.FindSpecies == nil {
		return false
	}
	_, sure := in.FindSpecies(text)
	return sure
}

// depthUnits are the units of depth by how many metres they are.
var depthUnits = map[float64]string{1: "m", advisor.MetresPerFoot: "ft", advisor.MetresPerFathom: "fm"}

// depthUnit is the unit of depth among the words of a heading that speaks of the release and has figures
// below it, as "Released at (fm)"; "" for any other.
func (in *reading) depthUnit(c *Column, words []string) string {
	if !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, "releas") }) || in.has(fieldReleaseDepth) {
		return ""
	}
	for _, w := range words {
		if u, ok := known().units[quantityDepth][w]; ok && c.onlyFigures(in) {
			return depthUnits[u.factor]
		}
	}
	return ""
}

// onlyFigures is true for a column of nothing but figures.
func (c *Column) onlyFigures(in *reading) bool {
	told := 0
	for text := range in.told(c, line.raw) {
		if _, err := in.measure(text, quantityDepth, &unit{factor: 1}); err != nil {
			return false
		}
		told++
	}
	return told > 0
}

// speaksOfRecapture is true for a word of recaptures, also glued to others.
func speaksOfRecapture(w string) bool {
	return known().roles[w] == "recapture" || strings.HasPrefix(w, "recap")
}

// namesDevice is true for a word of what fish are sent down with.
func namesDevice(w string) bool {
	return slices.Contains([]string{"device", "devices", "tool", "crate", "cage", "dispositivo", "dispositif"}, w)
}

// speaksOfMethod is true for a word of venting or of sending fish down.
func speaksOfMethod(w string) bool {
	for _, stem := range []string{"descen", "recompres", "vented", "venting", "deflat", "punctur"} {
		if strings.HasPrefix(w, stem) {
			return true
		}
	}
	return false
}

// holdsMethods is true for a column all of whose cells are words for ways of release,
// two different ones at least.
func (in *reading) holdsMethods(c *Column) bool {
	found := map[string]bool{}
	for text := range in.told(c, line.raw) {
		m, ok := methodTold(text)
		if !ok {
			return false
		}
		found[m] = true
	}
	return len(found) > 1
}

// namesMethods is true for a column with two different ways of release at least, even
// if other cells are not understood, or with one in half of its lines.
func (in *reading) namesMethods(c *Column) bool {
	found := map[string]bool{}
	cells := map[string]bool{}
	told, named := 0, 0
	for text := range in.told(c, line.raw) {
		told++
		if m, ok := methodTold(text); ok {
			found[m] = true
			named++
		}
		cells[spaced(text)] = true
	}
	return len(cells) <= mostMethods && (len(found) > 1 || 2*named >= told && len(cells) > 1 && named > 1)
}

// decideRepeats finds tags that stand in several lines where no column tells which
// are recaptures, and asks whether the later ones are.
func (in *reading) decideRepeats() {
	if in.has(fieldRecaptured) || in.hasLater(fieldDate) || in.has(fieldLiberty) || !in.has(fieldTag) {
		return
	}
	firsts := map[string]firstLine{}
	repeated := ""
	second := 0
	for b := range in.looking {
		tag := b.tag()
		if tag == "" {
			continue
		}
		day, _, _ := b.day(slot{field: fieldDate})
		if len(in.columns[slot{field: fieldDate}]) == 0 && in.splitDate() {
			day, _ = b.splitDay()
		}
		before, again := firsts[tag]
		if !again {
			before, again = in.seen.first(tag)
			if again {
				firsts[tag] = before
			}
		}
		if again && repeated == "" && (day != before.day || day == (civil{})) {
			repeated, second = tag, b.line.number
		}
		if !again || day.before(before.day) {
			firsts[tag] = firstLine{b.line.number, day}
		}
	}
	in.sheet.firsts = firsts
	switch {
	case in.Recaptures == Repeated:
		in.firsts = firsts
	case repeated == "" || slices.Contains([]Recaptures{RowIsRecapture, SeenLater, ReturnsOnly}, in.Recaptures):
	default:
		in.sheet.ask("tags stand in several lines (%s in line %d again) and no column tells of recaptures; say --recaptures repeat if the later lines of a tag are its recaptures, or --recaptures row if each line is a release", repeated, second).offerRecaptures(Repeated, RowIsRecapture)
	}
}

// repeats is true for a row that is a recapture because its tag stands in an earlier
// one, of another day.
func (b *builder) repeats() bool {
	first, ok := b.firsts[b.r.Tag]
	return ok && first.line != b.line.number && civilOf(b.r.CaughtAt) != first.day
}

// firstLine is the line of a tag's release, and its day.
type firstLine struct {
	line int
	day  civil
}
