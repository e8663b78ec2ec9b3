package bot

import (
	"fmt"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/words"
)

// The verbs of button data: "verb number [detail]".
const (
	pressDone    = "done"    // done 40 recompressed
	pressWhy     = "why"     // why 40
	pressHow     = "how"     // how 40
	pressPick    = "pick"    // pick 40 2
	pressWent    = "went"    // went 12 swam_down
	pressSkip    = "skip"    // skip 12 length
	pressUndo    = "undo"    // undo 12
	pressShare   = "share"   // share 12 [club]
	pressKeep    = "keep"    // keep 12: the odd figures are right
	pressForget  = "forget"  // forget 1
	pressAgree   = "agree"   // agree 7: an admin makes someone an organiser
	pressPlace   = "place"   // place 12 yes
	pressExport  = "export"  // export 3 csv
	pressDay     = "day"     // day 12 2026-05-06: when it was caught
	pressBack    = "back"    // back 12: what was taken back counts again
	pressIdle    = "idle"    // idle 0: stands where a button was tapped
	pressJoin    = "join"    // join 3: a club that was offered
	pressCount   = "count"   // count 3 yes: what is told in private counts for the club
	pressLeave   = "leave"   // leave 3
	pressUnit    = "unit"    // unit 40 feet: what the bare figure of question 40 was told in
	pressName    = "name"    // name 40 Glaucosoma hebraicum: what the name in question 40 means
	pressNameOf  = "nameof"  // nameof 12 Glaucosoma hebraicum: what the name in report 12 means
	pressUnname  = "unname"  // unname 5 [club]: name 5 is taken back
	pressLicense = "license" // license 3 dwca cc-by: what others may do with the log
	pressFirst   = "first"   // first 0 try, first 0 set 2: what to do first
)

// More verbs, of names that may hold for a whole club.
const (
	pressPropose  = "propose"  // propose 5: the person's own name 5, to the organisers
	pressClubName = "clubname" // clubname 3 yes zorbie: an organiser's answer
)

// died is the detail of pressDone for a fish that died; the others are methods.
const died = "died"

func button(label, verb string, detail ...any) Button {
	data := verb
	for _, d := range detail {
		data += " " + fmt.Sprint(d)
	}
	return Button{Label: label, Data: data}
}

// tick marks the button that was tapped.
const tick = "✓ "

// idleAtThumb puts a row that does nothing where the tapped button stood, with its name:
// a second tap of the same thumb must not mean something else.
func (t *turn) idleAtThumb(rows [][]Button) [][]Button {
	if t.m.PressLabel == "" || len(rows) == 0 {
		return rows
	}
	idle := button(tick+strings.TrimPrefix(t.m.PressLabel, tick), pressIdle, 0)
	return slices.Insert(slices.Clone(rows), min(max(t.m.PressRow, 0), len(rows)), []Button{idle})
}

func (b Button) styled(style string) Button {
	b.Style = style
	return b
}

// adviceButtons stand under an advice: the fish first when the name was
// ambiguous, then what was done, then the questions.
func (t *turn) adviceButtons(n uint64, asked Asked) [][]Button {
	var rows [][]Button
	q, v := asked.Fish[0], t.voice
	if len(asked.Fish) == 1 && q.Ambiguous {
		rows = append(rows, candidateButtons(v, n, q)...)
	}
	rows = append(rows,
		[]Button{button(v.Say("button.sent_down"), pressDone, n, advisor.Recompressed).styled("success"), button(v.Say("button.at_top"), pressDone, n, advisor.Surface)},
		[]Button{button(v.Say("button.kept"), pressDone, n, advisor.Kept), button(v.Say("button.died"), pressDone, n, died)},
		[]Button{button(v.Say("button.why"), pressWhy, n), button(v.Say("button.how"), pressHow, n)},
	)
	return rows
}

// candidateButtons offer the fish that the name may mean.
func candidateButtons(v words.Voice, n uint64, q advisor.Query) [][]Button {
	return fishButtons(v, q.Candidates[:min(4, len(q.Candidates))], pressPick, n, func(i int) any { return i })
}

// fishButtons offer the fish of those scientific names, two in a row; the verb takes a
// number and the detail of the i-th. Those of one name are told apart by the scientific one.
func fishButtons(v words.Voice, taxa []string, verb string, n uint64, detail func(i int) any) [][]Button {
	var list []Button
	called := map[string]int{}
	for _, taxon := range taxa {
		if s := advisor.LookUp(taxon); s != nil {
			called[strings.ToLower(s.NameIn(v.Language()))]++
		}
	}
	for i, taxon := range taxa {
		if s := advisor.LookUp(taxon); s != nil {
			name := s.NameIn(v.Language())
			if called[strings.ToLower(name)] > 1 {
				name += " (" + s.ScientificName + ")"
			}
			list = append(list, button(name, verb, n, detail(i)))
		}
	}
	return slices.Collect(slices.Chunk(list, 2))
}
