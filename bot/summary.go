package bot

import (
	"fmt"
	"math"
	"strings"

	"deepward/advisor"
	"deepward/bot/words"
	"deepward/store/catch"
	"deepward/store/season"
)

// summary tells what the season achieved so far. In a group everybody may see
// it: it names nobody and no place.
func (t *turn) summary(rest string) error {
	chat, ok, err := t.summed()
	if err != nil {
		return err
	}
	if !ok {
		t.tell("member.unchecked")
		return nil
	}
	// The whole log is read when the reply is sent: nobody's report waits for it.
	args := t.drawn()
	args["chat"], args["season"] = fmt.Sprint(chat), rest
	t.reply(Reply{Headline: true, Attach: &Attachment{Kind: FileSummary, Args: args, Photo: true}})
	return nil
}

// summed is the chat whose season is summed up: in private that of a club of the
// person's own, the one they organise first; it names nobody, so every member may see
// it. false when it could not be learnt whether they still are in their clubs.
func (t *turn) summed() (chat catch.ClubID, ok bool, err error) {
	if t.m.Chat.Group {
		return t.chat, true, nil
	}
	organised, open, err := t.organised()
	if err != nil {
		return 0, false, err
	}
	if len(organised) > 0 {
		return organised[0], true, nil
	}
	mine, openToo, err := t.ownClubs()
	switch {
	case err != nil:
		return 0, false, err
	case len(mine) > 0:
		return mine[len(mine)-1], true, nil
	default:
		return t.chat, !open && !openToo, nil
	}
}

// HasPicture reports whether there is anything to draw of a season.
func HasPicture(found season.Findings) bool {
	return found.Alive.Fish > 0 || len(found.Tags.Counted.Methods) > 0
}

// SummaryText says what was gained, how many fish, how they went, and what cannot
// be concluded; the picture in words stands for it where it is not seen.
func SummaryText(v words.Voice, found season.Findings) string {
	if found.Reports == 0 {
		return v.Say("summary.none")
	}
	var lines []string
	if a := found.Alive; math.Round(a.More) >= 1 {
		lines = append(lines, v.Say("summary.alive", v.Number(season.Rough(a.More), 0), v.Number(season.Rough(a.Low), 0), v.Number(season.Rough(a.High), 0)))
	}
	lines = append(lines, v.Say("summary.head", found.Reports))
	for _, m := range advisor.Methods {
		if c := found.Methods[m]; c.Fish > 0 {
			lines = append(lines, methodLine(v, m, c))
		}
	}
	if found.Released > 0 {
		lines = append(lines, v.Say("summary.share", v.Percent(float64(found.Methods[advisor.Recompressed].Fish)/float64(found.Released))))
	}
	for _, c := range found.Tags.Counted.Comparisons[:min(1, len(found.Tags.Counted.Comparisons))] {
		lines = append(lines, tagLine(v, c))
	}
	if found.Alive.Fish > 0 {
		lived, saved, died := found.Alive.OfHundred()
		lines = append(lines, v.Say("summary.picture", lived, saved, died))
	}
	return strings.Join(append(lines, v.Say("summary.caution")), "\n")
}

// methodLine is how many fish went one way, and how those that were watched did.
func methodLine(v words.Voice, m advisor.Method, c season.Count) string {
	line := v.Say("summary.method", v.Say("method."+string(m)), c.Fish)
	if c.Seen > 0 {
		low, high := season.Wilson(c.WentDown, c.Seen, 0.95)
		line += ", " + v.Say("summary.went", c.WentDown, c.Seen, v.Percent(low), v.Percent(high))
	}
	return line
}

// tagLine is how many tagged fish were seen again, and whether that tells the two
// ways of release apart when like depths are compared.
func tagLine(v words.Voice, c season.Comparison) string {
	a, b := v.Say("method."+string(c.A)), v.Say("method."+string(c.B))
	line := v.Say("summary.tags", a, c.InA.X, c.InA.N, b, c.InB.X, c.InB.N)
	switch c.Verdict() {
	case season.More:
		return line + ". " + v.Say("summary.tags_apart", a)
	case season.Less:
		return line + ". " + v.Say("summary.tags_apart", b)
	default:
		return line + ". " + v.Say("summary.tags_alike")
	}
}
