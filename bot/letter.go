package bot

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/words"
	"deepward/store/catch"
	"deepward/store/season"
)

// FileLetter is the kind of attachment that a letter of thanks is made of: words only,
// reckoned when they are sent.
const FileLetter = "letter"

// startLetter is what the link under an organiser's notice hands to /start.
const startLetter = "letter"

// letter thanks somebody for the fish of a year that they let go: in private, to
// themselves, with nobody beside them. In a group an organiser tells all that theirs can
// be had: nobody is written to who did not ask.
func (t *turn) letter(rest string) error {
	if t.m.Chat.Group {
		return t.offerLetters()
	}
	args := t.drawn()
	args["person"], args["year"] = fmt.Sprint(t.m.Sender.ID), rest
	t.reply(Reply{Headline: true, Attach: &Attachment{Kind: FileLetter, Args: args}})
	return nil
}

func (t *turn) offerLetters() error {
	if !t.m.Sender.Admin && !t.isOrganiser(t.club) {
		t.tell("letter.private")
		return nil
	}
	link := Button{Label: t.voice.Say("button.letter"), Start: startLetter}
	t.reply(Reply{Text: t.voice.Say("letter.ready"), Buttons: [][]Button{{link}}})
	return nil
}

// LetterYear is the year that a letter is about, the one named, else that of the newest
// report that counts, and the reports of it that count, in order of time.
func LetterYear(reports []*catch.Report, named string) (year int, list []*catch.Report) {
	list = slices.DeleteFunc(slices.Clone(reports), func(r *catch.Report) bool { return r.Undone })
	slices.SortStableFunc(list, func(a, b *catch.Report) int { return a.CaughtAt.Compare(b.CaughtAt) })
	n, isNumber := number(named)
	if year = int(n); !isNumber {
		for _, r := range list {
			year = max(year, r.CaughtAt.Year())
		}
	}
	return year, slices.DeleteFunc(list, func(r *catch.Report) bool { return r.CaughtAt.Year() != year })
}

// LetterText is the letter: what a person let go in a year, how, what came of it, and the
// fish of theirs that were seen again: tagged counts the tags they put in, again those of
// them that somebody saw again.
func LetterText(v words.Voice, name string, year int, found season.Findings, tagged, again int) string {
	lines := []string{v.Say("letter.head", firstOf(name, v.Say("letter.angler")), fmt.Sprint(year))}
	if found.Released == 0 {
		return strings.Join(append(lines, v.Say("letter.kept_only"), v.Say("letter.thanks")), "\n")
	}
	lines = append(lines, v.Say("letter.released", found.Released))
	if down := found.Methods[advisor.Recompressed].Fish; down > 0 {
		lines = append(lines, v.Say("letter.down", down))
	}
	if a := found.Alive; math.Round(a.More) >= 1 {
		lines = append(lines, v.Say("letter.alive", v.Number(season.Rough(a.Low), 0), v.Number(season.Rough(a.High), 0)))
	}
	if kinds := letterKinds(v, found); len(kinds) > 0 {
		lines = append(lines, v.Say("letter.kinds", v.List(kinds...)))
	}
	if tagged > 0 {
		lines = append(lines, v.Say("letter.tagged", tagged, again))
	}
	return strings.Join(append(lines, v.Say("letter.thanks"), v.Say("letter.own")), "\n")
}

// kindsInLetter is how many kinds of fish a letter names.
const kindsInLetter = 4

func letterKinds(v words.Voice, found season.Findings) (kinds []string) {
	rows := slices.Clone(found.Species)
	slices.SortStableFunc(rows, func(a, b season.Row) int { return b.Released - a.Released })
	for _, row := range rows {
		if s := advisor.LookUp(row.Species); s != nil && row.Released > 0 && len(kinds) < kindsInLetter {
			kinds = append(kinds, nameOf(v, s))
		}
	}
	return kinds
}
