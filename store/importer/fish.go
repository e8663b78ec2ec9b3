package importer

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// species resolves the name; the words given are kept.
func (b *builder) species() {
	_, common, _ := b.cell(fieldSpecies)
	_, scientific, _ := b.cell(fieldScientific)
	if known().blank(common) {
		common = ""
	}
	if known().blank(scientific) {
		scientific = ""
	}
	given := common
	if given == "" {
		given = scientific
	}
	if given == "" {
		given = b.Species
	}
	b.r.SpeciesGiven = strings.Join(strings.Fields(given), " ")
	if b.noFish(given) || b.noFish(scientific) {
		b.problem(b.speciesColumn(), given, "is no fish")
		return
	}
	for _, name := range []string{scientific, given} {
		if name == "" || b.r.Species != "" {
			continue
		}
		b.r.Species, b.r.SpeciesSure = b.find(name)
		b.waiting = b.waiting || b.fish[name].several != nil
		if b.fish[name].count > 1 && name == given {
			one, _ := counted(name)
			b.r.SpeciesGiven = strings.Join(strings.Fields(one), " ")
		}
	}
}

// noFish looks at a name once for the whole file.
func (in *reading) noFish(name string) bool {
	no, known := in.notFish[name]
	if !known {
		if in.notFish == nil {
			in.notFish = map[string]bool{}
		}
		no = isNoFish(name)
		in.notFish[name] = no
	}
	return no
}

// find resolves a name once for the whole file: misspelt names cost a search.
func (in *reading) find(name string) (string, bool) {
	if in.fish == nil {
		in.fish = map[string]fish{}
	}
	f, known := in.fish[name]
	if !known {
		f = in.resolve(name)
	}
	f.lines++
	in.fish[name] = f
	return f.scientific, f.sure
}

// fish is what a name stands for, and in how many lines.
type fish struct {
	scientific string
	sure       bool
	lines      int
	// count is how many fish the name tells, 0 for one; several are the names in a cell that
	// has more than one.
	count   int
	several []string
}

// turn looks for a name in the order of an index, as "snapper, red"; it is taken only
// where that fits one fish.
func (f *fish) turn(in *reading, name string) {
	last, first, ok := strings.Cut(name, ",")
	if !ok || strings.Contains(first, ",") || strings.TrimSpace(first) == "" || in.FindSpecies == nil {
		return
	}
	first = strings.TrimSpace(first)
	for _, turned := range []string{first + " " + strings.TrimSpace(last), first} {
		if scientific, sure := in.FindSpecies(turned); sure {
			f.scientific, f.sure = scientific, true
			return
		}
	}
}

// noteColumnAFish tells of a table that has a column a fish: its lines are not fish but counts.
func (in *reading) noteColumnAFish() {
	var fish []string
	for _, c := range in.sheet.Columns {
		if _, sure := in.FindSpecies(c.Heading); sure && c.field == "" {
			fish = append(fish, fmt.Sprintf("%q", c.Heading))
		}
	}
	if len(fish) > 1 {
		in.sheet.note("%s are fish: a line that counts several is taken for one fish; write a line for each", strings.Join(fish, ", "))
	}
}

// noteFish tells which names are not known, or fit several fish, and that no column
// tells the fish.
func (in *reading) noteFish() {
	if !in.has(fieldSpecies) && !in.has(fieldScientific) && in.Species == "" && in.Recaptures != ReturnsOnly {
		in.noteColumnAFish()
		in.sheet.note("no column tells the species; name it: --column \"HEADING=species\", or say one for all fish: --species \"red snapper\"")
	}
	for _, name := range slices.Sorted(maps.Keys(in.fish)) {
		switch f := in.fish[name]; {
		case f.several != nil:
			in.askSeveral(name, f)
		case f.scientific == "":
			in.sheet.note("nobody here knows a fish called %q (%d lines); the name is kept; to say which fish it is: --value \"%s:%s=...\"", name, f.lines, in.speciesHeading(), name)
		case !f.sure:
			in.sheet.note("%q may be several fish (%d lines); perhaps %s, and marked as not sure", name, f.lines, f.scientific)
		}
	}
}

func (in *reading) speciesHeading() string {
	if c := in.speciesColumn(); c != nil {
		return c.Heading
	}
	return "HEADING"
}

// speciesColumn is the column that names the fish, nil if none does.
func (in *reading) speciesColumn() *Column {
	for _, f := range []field{fieldSpecies, fieldScientific} {
		for _, c := range in.columns[slot{field: f}] {
			return c
		}
	}
	return nil
}
