package bot

import (
	"cmp"
	"slices"
	"strings"

	"deepward/bot/understand"
	"deepward/store/catch"
)

// A CommandInfo is a command as the transport lists it to people.
type CommandInfo struct {
	// Name is without the slash; Key is the catalogue key of its description.
	Name, Key string
	// Private and Group say where it is listed; Admins that only admins see it.
	Private, Group, Admins bool
}

// Commands are the commands that are listed, in order of use.
var Commands = []CommandInfo{
	{"help", "about.help", true, true, false},
	{"ask", "about.ask", true, true, false},
	{"log", "about.log", true, true, false},
	{"mine", "about.mine", true, false, false},
	{"undo", "about.undo", true, true, false},
	{"why", "about.why", true, true, false},
	{"how", "about.how", true, true, false},
	{"signs", "about.signs", true, true, false},
	{"weights", "about.weights", true, true, false},
	{"whennot", "about.whennot", true, true, false},
	{"venting", "about.venting", true, true, false},
	{"card", "about.card", true, true, false},
	{"kit", "about.kit", true, true, false},
	{"my", "about.my", true, false, false},
	{"names", "about.names", true, true, false},
	{"join", "about.join", true, true, false},
	{"settings", "about.settings", true, true, false},
	{"setup", "about.setup", false, false, true},
	{"season", "about.season", true, true, false},
	{"summary", "about.summary", true, true, false},
	{"letter", "about.letter", true, true, false},
	{"rules", "about.rules", true, true, false},
	{"organiser", "about.organiser", false, true, false},
	{"report", "about.report", true, false, false},
	{"export", "about.export", true, false, false},
	{"privacy", "about.privacy", true, true, false},
	{"mydata", "about.mydata", true, false, false},
	{"forget", "about.forget", true, false, false},
}

// Describe words the description of a listed command.
func Describe(c CommandInfo, languageTag string) string { return voiceOf(languageTag).Say(c.Key) }

// About says what the bot is for, in at most 512 characters.
func About(languageTag string) string { return voiceOf(languageTag).Say("about.bot") }

// doers are what each command does with the words after it.
var doers = map[string]func(*turn, string) error{
	"start":     (*turn).start,
	"help":      (*turn).help,
	"ask":       (*turn).askHint,
	"log":       (*turn).logHint,
	"mine":      (*turn).mine,
	"undo":      (*turn).undoCommand,
	"why":       (*turn).why,
	"how":       (*turn).how,
	"signs":     func(t *turn, _ string) error { return t.lesson("signs") },
	"weights":   func(t *turn, _ string) error { return t.lesson("weights") },
	"whennot":   func(t *turn, _ string) error { return t.lesson("whennot") },
	"venting":   func(t *turn, _ string) error { t.headline("lesson.venting"); return nil },
	"card":      (*turn).card,
	"kit":       (*turn).kit,
	"my":        (*turn).my,
	"names":     (*turn).names,
	"join":      (*turn).join,
	"settings":  (*turn).settings,
	"setup":     (*turn).setup,
	"season":    (*turn).season,
	"summary":   (*turn).summary,
	"letter":    (*turn).letter,
	"rules":     (*turn).rules,
	"rule":      (*turn).rule,
	"organiser": (*turn).organiser,
	"export":    (*turn).export,
	"report":    (*turn).seasonReport,
	"privacy":   (*turn).privacy,
	"mydata":    (*turn).mydata,
	"forget":    (*turn).forget,
}

// sameAs lets people write a command in the other ways that come to mind.
var sameAs = map[string]string{
	"organizer": "organiser", "when": "whennot", "when-not": "whennot", "when_not": "whennot",
	"vent": "venting", "reports": "mine", "setting": "settings", "delete": "forget",
}

// command does what a command asks.
func (t *turn) command(m understand.Meaning) error {
	verb := m.Verb
	if other, ok := sameAs[verb]; ok {
		verb = other
	}
	do, ok := doers[verb]
	if !ok {
		if !t.m.Chat.Group {
			t.tell("hint.unknown_command")
		}
		return nil
	}
	return do(t, strings.TrimSpace(m.Rest))
}

func (t *turn) help(string) error { t.headline("hint.help"); return nil }

func (t *turn) askHint(string) error { t.tell("hint.ask"); return nil }
func (t *turn) logHint(string) error { t.askDone(); return nil }

// mineShown is how many reports `mine` lists.
const mineShown = 8

// mine lists a person's latest reports; in a group only those of its log, for the
// others were told in private.
func (t *turn) mine(string) error {
	newest := mineShown
	if t.m.Chat.Group {
		newest = 0
	}
	reports, err := t.tx.ReportsByPerson(t.m.Sender.ID, newest)
	if err != nil {
		return err
	}
	reports = slices.DeleteFunc(reports, func(r *catch.Report) bool { return !t.showsHere(r) })
	reports = reports[:min(mineShown, len(reports))]
	var lines []string
	for _, r := range reports {
		line := t.voice.Say("mine.line", t.numberAmong(r, reports), r.CaughtAt.Format("2006-01-02"), t.describe(r))
		if r.Undone {
			line += " " + t.voice.Say("mine.undone")
		}
		lines = append(lines, line)
	}
	if len(lines) == 0 {
		t.tell("mine.none")
		return nil
	}
	t.reply(Reply{Headline: true, Text: t.voice.Say("mine.head") + "\n" + strings.Join(lines, "\n")})
	return nil
}

// showsHere is false in a group for a report that is not of its log.
func (t *turn) showsHere(r *catch.Report) bool {
	return !t.m.Chat.Group || r.Chat == t.chat || r.Club == t.chat
}

// slashed is what stands after a command that was typed with its slash.
func slashed(text, verb string) (rest string, ok bool) {
	word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	return strings.TrimSpace(rest), strings.EqualFold(word, "/"+verb)
}

// undoCommand takes back the report of that number, or the one that the message answers;
// else, and where reports of several logs have the number, it asks which.
func (t *turn) undoCommand(rest string) error {
	reports, err := t.standing()
	if err != nil {
		return err
	}
	if n, chosen := number(strings.TrimLeft(rest, "#")); chosen {
		reports = slices.DeleteFunc(reports, func(r *catch.Report) bool { return r.Told() != n })
		if len(reports) == 1 {
			return t.undoOne(reports[0].Number)
		}
	} else if r, ok := t.refOf(t.m.ReplyTo); ok && r.kind == "report" {
		return t.undoOne(r.number)
	}
	return t.undoWhich(reports)
}

// standing are the person's reports that stand and are shown here, the newest first.
func (t *turn) standing() ([]*catch.Report, error) {
	list, err := t.tx.ReportsByPerson(t.m.Sender.ID, 0)
	return slices.DeleteFunc(list, func(r *catch.Report) bool { return r.Undone || !t.showsHere(r) }), err
}

// undoOne takes a report back, by its number in the store.
func (t *turn) undoOne(n uint64) error {
	taken, err := t.undo(n)
	if err != nil {
		return err
	}
	if len(taken) == 0 {
		t.tell("undo.nothing")
		return nil
	}
	return t.sayTakenBack(taken)
}

// undoOffered is how many reports a bare undo offers.
const undoOffered = 3

// undoWhich asks which of these reports is to be taken back: a tap in the list of commands
// is easily a slip.
func (t *turn) undoWhich(reports []*catch.Report) error {
	if len(reports) == 0 {
		t.tell("undo.nothing")
		return nil
	}
	reports = reports[:min(undoOffered, len(reports))]
	rows := make([][]Button, len(reports))
	for i, r := range reports {
		rows[i] = []Button{button(t.numberAmong(r, reports)+": "+t.describe(r), pressUndo, r.Number)}
	}
	t.reply(Reply{Text: t.voice.Say("undo.which"), Buttons: rows})
	return nil
}

// numberAmong is the number of a report, with the log that it is of where the others are
// not all of that.
func (t *turn) numberAmong(r *catch.Report, others []*catch.Report) string {
	log := numberedIn(r)
	if !slices.ContainsFunc(others, func(o *catch.Report) bool { return numberedIn(o) != log }) {
		return reportNo(r)
	}
	if log == t.chat && !t.m.Chat.Group {
		return reportNo(r) + " (" + t.voice.Say("mydata.in_private") + ")"
	}
	return reportNo(r) + " (" + t.clubTitle(log) + ")"
}

// numberedIn is the chat whose log a report has its number in.
func numberedIn(r *catch.Report) catch.ClubID { return cmp.Or(r.Club, r.Chat) }
