package importer

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
)

var (
	// apartForm stands between the names of two fish; orderForm is the comma, which may as
	// well turn one name round, as in "snapper, red".
	apartForm = regexp.MustCompile(`(?i)\s*[/&+;]\s*|\s+(?:and|or|y|e|o|et|ou)\s+`)
	orderForm = regexp.MustCompile(`\s*,\s*`)
	// bracketForm is one name with another in brackets, as "Gag (Mycteroperca microlepis)".
	bracketForm = regexp.MustCompile(`^([^()]+)\(([^()]+)\)$`)
	// authorForm is the year behind those who described a fish: "Jordan & Swain, 1884".
	authorForm = regexp.MustCompile(`\b(?:17|18|19|20)\d\d\b`)
	// timesForm and firstForm are a name with a number of fish: "gag x2", "2 gags".
	timesForm = regexp.MustCompile(`(?i)^(.*\pL)\s*[(]?\s*(?:x\s*|×\s*|\*\s*)(\d{1,2})\s*[)]?$`)
	firstForm = regexp.MustCompile(`(?i)^(\d{1,2})\s*(?:x|×)?\s+(\pL.*)$`)
)

// signsBetween are those of apartForm.
const signsBetween = "/&+;"

// counted parts a name from the number of fish beside it, which is 1 where none stands.
func counted(name string) (string, int) {
	digits := ""
	if m := timesForm.FindStringSubmatch(name); m != nil {
		name, digits = m[1], m[2]
	} else if m := firstForm.FindStringSubmatch(name); m != nil {
		digits, name = m[1], m[2]
	}
	n, err := strconv.Atoi(digits)
	if err != nil {
		return strings.TrimSpace(name), 1
	}
	return strings.TrimSpace(name), n
}

// resolve finds the fish of a name, or those of a cell that names several.
func (in *reading) resolve(name string) (f fish) {
	if f.look(name) || in.FindSpecies == nil {
		return f
	}
	one, n := counted(name)
	if n != 1 {
		if f.scientific, f.sure = in.FindSpecies(name); f.sure {
			return f // a name with a figure in it
		}
		f = in.resolve(one)
		if f.count = n; f.scientific == "" && f.several == nil {
			f.count = 0
		}
		return f
	}
	if parts := in.together(one, apartForm); parts != nil {
		return in.joined(parts)
	}
	if m := bracketForm.FindStringSubmatch(one); m != nil {
		if in.bracketed(&f, strings.TrimSpace(m[1]), strings.TrimSpace(m[2])) {
			return f
		}
	}
	if f.scientific, f.sure = in.FindSpecies(one); !f.sure {
		if parts := in.together(one, orderForm); parts != nil {
			return in.joined(parts)
		}
		f.turn(in, one)
	}
	f.sure = f.sure && (!strings.ContainsAny(one, signsBetween) || authorForm.MatchString(one)) // one of its names is not known
	return f
}

// look takes the fish of the catalogue that has exactly this name.
func (f *fish) look(name string) bool {
	s := advisor.LookUp(strings.Join(strings.Fields(name), " "))
	if s != nil {
		f.scientific, f.sure = s.ScientificName, true
	}
	return s != nil
}

// named is the fish of a name that stands beside others, and what it is called there.
type named struct {
	fish
	called string
}

// together are the fish of a cell that names more than one; nil where some part of it is
// no name, as in "black and yellow rockfish".
func (in *reading) together(name string, apart *regexp.Regexp) (list []named) {
	parts := apart.Split(name, -1)
	if len(parts) < 2 {
		return nil
	}
	bySign := strings.ContainsAny(name, signsBetween)
	for _, part := range parts {
		called, _ := counted(strings.TrimSpace(part))
		p := named{called: called}
		if !p.look(called) {
			p.scientific, p.sure = in.FindSpecies(called)
		}
		if p.scientific == "" || !bySign && !p.sure {
			return nil
		}
		list = append(list, p)
	}
	return list
}

// joined is one fish where all names are of one, else the names that were told.
func (in *reading) joined(list []named) (f fish) {
	f = list[0].fish
	for _, p := range list[1:] {
		if p.scientific != f.scientific {
			f = fish{}
			for _, each := range list {
				f.several = append(f.several, each.called)
			}
			return f
		}
		f.sure = f.sure || p.sure
	}
	return f
}

// bracketed takes a name and the one in brackets behind it: what one of them says surely,
// or what both may say.
func (in *reading) bracketed(f *fish, outside, inside string) bool {
	a, b := named{called: outside}, named{called: inside}
	for _, p := range []*named{&a, &b} {
		if !p.look(p.called) {
			p.scientific, p.sure = in.FindSpecies(p.called)
		}
	}
	switch {
	case a.scientific == "" && b.scientific == "":
		return false
	case b.scientific == "" || a.scientific != "" && a.sure && !b.sure:
		*f = a.fish
	case a.scientific == "" || b.sure && !a.sure:
		*f = b.fish
	default:
		*f = in.joined([]named{a, b})
	}
	return true
}

// fishCounted is how many fish the name of the row tells.
func (b *builder) fishCounted() int {
	_, name, told := b.cell(fieldSpecies)
	if !told || b.has(fieldCount) {
		return 1
	}
	return max(b.fish[name].count, 1)
}

// askSeveral asks which fish a cell is that names several: taken for one unasked, the
// others would be lost.
func (in *reading) askSeveral(name string, f fish) {
	heading := in.speciesHeading()
	q := in.sheet.ask("%q names several fish (%d lines), and a line is one; say which it is, or - for not told: --value \"%s:%s=%s\", or write a line for each", name, f.lines, heading, name, f.several[0])
	key := heading + ":" + name
	for _, called := range slices.Compact(slices.Clone(f.several)) {
		q.offerSaid(Said{"%s", []any{called}}, Answer{Setting: SettingValue, Key: key, Value: called})
	}
	q.offerSaid(Said{"%q is not told", []any{name}}, Answer{Setting: SettingValue, Key: key, Value: leaveOut}).own(Answer{Setting: SettingValue, Key: key})
}
