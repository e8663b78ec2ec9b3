package bot

import (
	"slices"
	"strings"
	"time"

	"deepward/bot/words"
	"deepward/store/catch"
	"deepward/store/season"
)

// tagDoubt begins the flags that say what cannot be in the life of a tagged fish.
const tagDoubt = "tag_"

// greetTags tells what a tag number that was seen before says about the fish,
// and lets the person who put it in know, if they want to.
func (t *turn) greetTags(reports []*catch.Report) error {
	for _, r := range reports {
		if r.Tag == "" {
			continue
		}
		if err := t.greetTag(r); err != nil {
			return err
		}
	}
	return nil
}

func (t *turn) greetTag(r *catch.Report) error {
	all, err := t.tx.ReportsByTag(r.Tag)
	if err != nil || len(all) < 2 {
		return err
	}
	if !r.Recapture && all[0].Number != r.Number && all[0].Message != r.Message {
		// A number that is known already was read off a fish that wore it.
		r.Recapture = true
		if err := t.tx.PutReport(r); err != nil {
			return err
		}
		if all, err = t.tx.ReportsByTag(r.Tag); err != nil {
			return err
		}
	}
	h := season.HistoryOf(believed(all, r))
	if len(h.Faults) > 0 {
		t.say(t.voice.Say("tag.wrong", r.Tag, t.voice.Say("tag."+string(h.Faults[0]))))
		return t.flagAll(r, h.Faults)
	}
	if len(h.Sightings) == 0 || h.First == nil {
		return nil
	}
	news := tagNews(t.voice, r.Tag, h)
	t.say(news)
	return t.tellTagger(h.First, r)
}

// believed are the reports of a tag without those of others that did not add up: their
// faults are told already, and are not those of r.
func believed(all []*catch.Report, r *catch.Report) []*catch.Report {
	return slices.DeleteFunc(slices.Clone(all), func(f *catch.Report) bool {
		return f.Number != r.Number && slices.ContainsFunc(f.Flags, func(flag string) bool { return strings.HasPrefix(flag, tagDoubt) })
	})
}

// flagAll keeps what is odd about the tag with the report.
func (t *turn) flagAll(r *catch.Report, faults []season.Fault) error {
	for _, fault := range faults {
		if doubt := tagDoubt + string(fault); !contains(r.Flags, doubt) {
			r.Flags = append(r.Flags, doubt)
		}
	}
	return t.tx.PutReport(r)
}

// tagNews words the last sighting: days, growth, distance.
func tagNews(v words.Voice, tag string, h season.History) string {
	s := h.Sightings[len(h.Sightings)-1]
	parts := []string{v.Say("tag.liberty", s.Days)}
	if s.GrewCm != nil {
		parts = append(parts, v.Say("tag.grew", v.Length(*s.GrewCm)))
	}
	if s.MovedM != nil {
		parts = append(parts, v.Say("tag.moved", v.Number(*s.MovedM/1000, 1)+" km"))
	}
	first := h.First.CaughtAt.Format(time.DateOnly)
	return v.Say("tag.again", tag, first) + " " + words.SentenceCase(strings.Join(parts, ", ")) + "."
}

// tellTagger writes to the person who put the tag in, in private, if they asked
// for it; it names nobody and no place.
func (t *turn) tellTagger(first, again *catch.Report) error {
	if first.Personal.Person == 0 || first.Personal.Person == again.Personal.Person {
		return nil
	}
	p, err := ProfileOf(t.tx, first.Personal.Person)
	if err != nil || !p.TellRecapture || p.Private == 0 {
		return err
	}
	all, err := t.tx.ReportsByTag(again.Tag)
	if err != nil {
		return err
	}
	v := p.voice()
	t.replies = append(t.replies, Reply{
		Chat: p.Private, Language: v.Tag(), Text: v.Say("tag.told", again.Tag) + " " + tagNews(v, again.Tag, season.HistoryOf(believed(all, again))),
	})
	return nil
}
