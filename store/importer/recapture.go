package importer

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
)

// unspaced takes out what people put between the signs of a tag.
var unspaced = strings.NewReplacer(" ", "", "-", "", ".", "", "#", "", "\u00a0", "")

// tagIn is the number on a tag: upper case, without blanks and dashes.
func (b *builder) tagIn(f field) string {
	_, text, told := b.cell(f)
	if !told {
		return ""
	}
	if _, none := known().words["no tag"][spaced(text)]; none {
		return ""
	}
	tag := strings.ToUpper(unspaced.Replace(text))
	if strings.Trim(tag, "0") == "" {
		return ""
	}
	return tag
}

// recaptured is what the row says about a recapture, whatever it means here.
func (b *builder) recaptured() reply {
	c, text, _ := b.cell(fieldRecaptured)
	if c == nil {
		return notTold
	}
	return c.recapturedIn(text)
}

// withRecapture is the row's report, followed by that of the recapture if the row
// holds one.
func (b *builder) withRecapture() []*catch.Report {
	said := b.recaptured()
	if b.repeats() || b.Recaptures == ReturnsOnly {
		said = yesTold
	}
	if c, text, told := b.cell(fieldRecaptured); told && said == notTold {
		b.notUnderstood(c, text)
	}
	if !b.later {
		b.r.Recapture = said == yesTold
		if b.r.Recapture {
			b.inventTag()
		}
		return []*catch.Report{b.r}
	}
	days, hasDays := b.measured(slot{field: fieldLiberty}, 0, maxDays, saying("is no number of days"))
	day, at, hasDay := b.day(slot{fieldDate, 1})
	if said == no && (hasDay || hasDays && days.high > 0) {
		b.problem(nil, "", "it says that the fish was not recaptured, and when it was")
		return nil
	}
	if hasDay && b.seenAgainOnly() {
		return []*catch.Report{b.recapture(1, 0, false, day, at, true)}
	}
	if !b.has(fieldTag) && b.r.Method != advisor.Kept || said == yesTold {
		b.inventTag() // without a tag a fish that was not seen again would not count
	}
	if said != yesTold && !hasDay && !(hasDays && days.high > 0) {
		return []*catch.Report{b.r}
	}
	b.inventTag()
	reports := []*catch.Report{b.r, b.recapture(1, days.high, hasDays, day, at, hasDay)}
	for n := 2; n <= mostRecaptures && b.hasLaterDate(n); n++ {
		if day, at, ok := b.day(slot{fieldDate, n}); ok {
			reports = append(reports, b.recapture(n, 0, false, day, at, true))
		}
	}
	return reports
}

// seenAgainOnly is true for a row of its own for the recapture, where other rows have
// release and recapture: it tells the tag and when the fish was seen again, and
// nothing of a release.
func (b *builder) seenAgainOnly() bool {
	_, _, released := b.cell(fieldDate)
	_, _, treated := b.cell(fieldMethod)
	_, _, seen := b.cellOf(slot{fieldDate, 1})
	return b.later && seen && !released && !treated && b.has(fieldDate) && b.tag() != ""
}

// inventTag marks a fish that has no tag number; the number is made with the identity.
func (b *builder) inventTag() {
	if b.r.Tag == "" {
		b.r.Tag = invented
		b.r.Flags = append(b.r.Flags, FlagTagInvented)
	}
}

// recapture makes the report of the n-th later day, from 1.
func (b *builder) recapture(n int, days float64, hasDays bool, day civil, at clock, hasDay bool) *catch.Report {
	first := b.r
	r := &catch.Report{
		Chat: first.Chat, Season: first.Season, Origin: first.Origin, Species: first.Species, SpeciesGiven: first.SpeciesGiven,
		SpeciesSure: first.SpeciesSure, Release: advisor.Release{Tag: first.Tag, Recapture: true}, DateOnly: true,
		Personal: catch.Personal{Words: first.Personal.Words},
	}
	if strings.Contains(strings.Join(first.Flags, " "), FlagTagInvented) {
		r.Flags = append(r.Flags, FlagTagInvented)
	}
	switch {
	case hasDay:
		r.CaughtAt, r.DateOnly = b.instant(day, at), !at.known
		b.compareDays(r, days, hasDays)
	case hasDays:
		r.CaughtAt = first.CaughtAt.Add(time.Duration(days * 24 * float64(time.Hour)))
		if slices.Contains(first.Flags, FlagDateFilled) {
			r.Flags = append(r.Flags, FlagDateFilled) // the days between are known all the same
		}
	default:
		r.CaughtAt = first.CaughtAt
		r.Flags = append(r.Flags, FlagRecaptureDateUnknown)
	}
	b.keepOrder(r)
	b.depths(r, n)
	b.size(r, n)
	b.placeOf(r, n)
	if c, text, told := b.cellOf(slot{fieldMethod, n}); told {
		if word, ok := known().meaning("method", text); ok {
			r.Method = advisor.Method(word)
		} else {
			b.notUnderstood(c, text)
		}
	}
	if _, text, told := b.cellOf(slot{fieldCondition, n}); told {
		if word, _ := known().meaning("condition", text); word == "method:kept" {
			r.Method = advisor.Kept
		}
	}
	if b.reply(slot{fieldKept, n}) == yesTold || b.reply(slot{fieldReleased, n}) == no {
		r.Method = advisor.Kept
	}
	return r
}

// compareDays notes a recapture whose days do not fit its date.
func (b *builder) compareDays(r *catch.Report, days float64, hasDays bool) {
	apart := r.CaughtAt.Sub(b.r.CaughtAt).Hours() / 24
	if hasDays && !b.r.CaughtAt.IsZero() && (apart-days > 1.5 || days-apart > 1.5) {
		b.row.Notes = append(b.row.Notes, fmt.Sprintf("it was recaptured %.0f days later by the dates, %s by the column of days; the dates count", apart, short(days)))
	}
}

// keepOrder puts a recapture of the same day right behind the release; one of an
// earlier day is a problem.
func (b *builder) keepOrder(r *catch.Report) {
	first := b.r.CaughtAt
	if first.IsZero() || r.CaughtAt.After(first) {
		return
	}
	if slices.Contains(b.r.Flags, FlagDateFilled) { // it was filled in too late
		r.CaughtAt, r.DateOnly = first.Add(justAfter), true
		if !slices.Contains(r.Flags, FlagRecaptureDateUnknown) {
			r.Flags = append(r.Flags, FlagRecaptureDateUnknown)
		}
		return
	}
	sameDay := r.CaughtAt.Format(time.DateOnly) == first.Format(time.DateOnly)
	if !sameDay || !r.DateOnly && !b.r.DateOnly {
		b.problem(nil, "", "the recapture is before the release")
		return
	}
	r.CaughtAt = first.Add(justAfter)
	r.DateOnly = true
}

// checkTags notes tags that cannot be right: put in twice, with no sighting between.
func (in *reading) checkTags() {
	type last struct {
		line      int
		recapture bool
	}
	seen := map[string]last{}
	for i := range in.sheet.Rows {
		row := &in.sheet.Rows[i]
		for _, e := range row.Entries {
			if e.Report.Tag == "" {
				continue
			}
			before, known := seen[e.Report.Tag]
			if known && !before.recapture && !e.Report.Recapture {
				row.Notes = append(row.Notes, fmt.Sprintf("tag %s was also put in at line %d", e.Report.Tag, before.line))
			}
			seen[e.Report.Tag] = last{row.Line, e.Report.Recapture}
		}
	}
}
