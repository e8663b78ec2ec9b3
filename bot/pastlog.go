package bot

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"iter"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"

	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store/catch"
	"deepward/store/importer"
)

// FilePastLog is the kind of attachment that a step of a past log is made of: words and
// buttons, reckoned when they are sent, since a table is not read within a transaction.
const FilePastLog = "pastlog"

const (
	// MaxPastLogBytes and MaxPastLogLines are the largest table that is read in a chat; what
	// is larger is read at the machine. Ours: its reports are kept in one transaction, which
	// holds nobody up for longer than a second or two.
	MaxPastLogBytes = 5 << 20
	MaxPastLogLines = 20_000
	// refPast begins the reference of a message about a past log, with its number.
	refPast = "past"
)

// The kinds of state of past logs.
const (
	kindPast     = "pastlog"
	kindHeadings = "headings"
)

// pressPast is the verb of the buttons of a past log: "past 3 7 pick 2" is choice 2 at
// step 7 of past log 3.
const pressPast = "past"

// What a button of a past log does.
const (
	pastPick  = "pick"
	pastBack  = "back"
	pastLeave = "leave"
	pastKeep  = "keep"
)

// The settings of a past log that are not of its table.
const (
	SettingClub   importer.Setting = "club"
	SettingSeason importer.Setting = "season"
	// SettingReturns says whether a table of recaptures belongs to the one sent before.
	SettingReturns importer.Setting = "returns"
)

// The values of SettingReturns.
const (
	ReturnsBelong = "belong"
	ReturnsAlone  = "alone"
)

// PastLog is a table that an organiser sent and is asked about, one thing at a time. No
// report of it is in the log before they say so.
type PastLog struct {
	// Number tells its buttons from those of others; Step counts what was said of it.
	Number uint64 `cbor:"1,keyasint"`
	Step   int    `cbor:"2,keyasint"`
	// File is the transport's name for the file, Name the sender's.
	File string `cbor:"3,keyasint"`
	Name string `cbor:"4,keyasint"`
	// At is when it was sent, Last when something was said of it last.
	At   time.Time `cbor:"5,keyasint"`
	Last time.Time `cbor:"6,keyasint"`
	// Said is all that was answered, in order; Choices and Own are what can be answered
	// now, and Ready is true when it can be kept.
	Said    []importer.Answer `cbor:"7,keyasint,omitempty"`
	Choices []importer.Choice `cbor:"8,keyasint,omitempty"`
	Own     *importer.Answer  `cbor:"9,keyasint,omitempty"`
	Ready   bool              `cbor:"10,keyasint,omitempty"`
	// Keep is true once its reports are to be kept; Kept is what came of it.
	Keep bool      `cbor:"11,keyasint,omitempty"`
	Kept *PastKept `cbor:"12,keyasint,omitempty"`
	// First is the table that was sent before, to which the recaptures of this one may
	// belong.
	First *PastTable `cbor:"13,keyasint,omitempty"`
}

// PastTable is a table that was sent and what was said of it.
type PastTable struct {
	File string            `cbor:"1,keyasint"`
	Name string            `cbor:"2,keyasint"`
	Club catch.ClubID      `cbor:"3,keyasint"`
	Said []importer.Answer `cbor:"4,keyasint,omitempty"`
}

// asTable is the past log as the table before the next one; nil for none. Recaptures that
// belong to an earlier table leave that the first.
func (p PastLog) asTable() *PastTable {
	if belongs, _ := p.Settled(SettingReturns); belongs == ReturnsBelong {
		return p.First
	}
	if p.Number == 0 || p.Club() == 0 {
		return nil
	}
	return &PastTable{p.File, p.Name, p.Club(), p.Said}
}

// PastKept is what came of keeping a past log.
type PastKept struct {
	Added, There, Left int
	Club               catch.ClubID
	Season             string
}

// PastLogOf is the past log that a person is asked about; its number is 0 if there is none.
func PastLogOf(tx own, person catch.PersonID) (PastLog, error) {
	return load[PastLog](tx, kindPast, tx.PersonKey(person))
}

// SavePastLog keeps it.
func SavePastLog(tx own, person catch.PersonID, p PastLog) error {
	return tx.Put(kindPast, tx.PersonKey(person), p)
}

// Settled is what was last said of a setting that is not of the table; ok is false while
// nothing was.
func (p PastLog) Settled(s importer.Setting) (value string, ok bool) {
	for _, a := range p.Said {
		if a.Setting == s {
			value, ok = a.Value, true
		}
	}
	return value, ok
}

// Club is whose log it is to go into, 0 while that was not said.
func (p PastLog) Club() catch.ClubID {
	value, _ := p.Settled(SettingClub)
	n, _ := number(value)
	return catch.ClubID(n)
}

// tableEndings are the endings of files that are tables, otherTables of those that a
// spreadsheet can save as one.
var (
	tableEndings = []string{".csv", ".tsv", ".txt", ".xlsx"}
	otherTables  = []string{".xls", ".xlsm", ".xlsb", ".ods", ".numbers"}
)

// pastLog takes a file that somebody sent in private. Only an organiser's table is read;
// taken is false for what is no table: it is like any message without words.
func (t *turn) pastLog() (taken bool, err error) {
	ending := strings.ToLower(filepath.Ext(t.m.File.Name))
	table := slices.Contains(tableEndings, ending)
	if !table && !slices.Contains(otherTables, ending) {
		return false, nil
	}
	if err := t.rememberPerson(); err != nil {
		return true, err
	}
	clubs, open, err := t.organised()
	switch {
	case err != nil:
		return true, err
	case len(clubs) == 0 && open:
		t.tell("member.unchecked")
	case len(clubs) == 0:
		t.tell("pastlog.organisers")
	case !table:
		t.tell("pastlog.form")
	case t.m.File.Size > MaxPastLogBytes:
		t.tell("pastlog.large", MaxPastLogBytes>>20, MaxPastLogLines)
	default:
		return true, t.beginPastLog(clubs)
	}
	return true, nil
}

// beginPastLog asks first whose log it is, where somebody organises several clubs.
func (t *turn) beginPastLog(clubs []catch.ClubID) error {
	n, err := t.tx.Next(kindPast)
	if err != nil {
		return err
	}
	before, err := PastLogOf(t.tx, t.m.Sender.ID)
	if err != nil {
		return err
	}
	p := PastLog{Number: n, File: t.m.File.ID, Name: t.m.File.Name, At: t.now, Last: t.now, First: before.asTable()}
	if len(clubs) == 1 {
		p.Said = []importer.Answer{{Setting: SettingClub, Value: fmt.Sprint(clubs[0])}}
		return t.readPastLog(p, 0)
	}
	for _, club := range clubs {
		p.Choices = append(p.Choices, importer.Choice{Label: t.clubTitle(club), Answer: importer.Answer{Setting: SettingClub, Value: fmt.Sprint(club)}})
	}
	t.reply(Reply{Text: t.voice.Say("pastlog.which"), Buttons: PastButtons(t.voice, p), Ref: key(refPast, n)})
	return SavePastLog(t.tx, t.m.Sender.ID, p)
}

// readPastLog keeps what was said and answers with the next step, in place of the message
// edit if that is not 0.
func (t *turn) readPastLog(p PastLog, edit int) error {
	p.Step++
	p.Choices, p.Own, p.Ready, p.Last = nil, nil, false, t.now
	args := t.drawn()
	args["person"], args["number"], args["step"] = fmt.Sprint(t.m.Sender.ID), fmt.Sprint(p.Number), fmt.Sprint(p.Step)
	t.reply(Reply{Attach: &Attachment{Kind: FilePastLog, Args: args}, Edit: edit, Ref: key(refPast, p.Number)})
	return SavePastLog(t.tx, t.m.Sender.ID, p)
}

// pressPastLog is a tap under a past log. One under an earlier step is too old.
func (t *turn) pressPastLog(n uint64, detail string) error {
	p, err := PastLogOf(t.tx, t.m.Sender.ID)
	if err != nil {
		return err
	}
	step, what, _ := strings.Cut(detail, " ")
	what, arg, _ := strings.Cut(what, " ")
	if p.Number != n || fmt.Sprint(p.Step) != step || p.Keep || t.m.Chat.Group {
		return t.notice("press.old")
	}
	i, isNumber := number(arg)
	switch {
	case what == pastLeave:
		return t.leavePastLog()
	case what == pastBack:
		t.acknowledgeTap()
		return t.readPastLog(p.before(), t.m.ID)
	case what == pastKeep && p.Ready:
		return t.keepPastLog(p)
	case what == pastPick && isNumber && int(i) < len(p.Choices):
		t.acknowledgeTap()
		return t.sayOfPastLog(p, p.Choices[i].Answer, t.m.ID)
	}
	return t.notice("press.old")
}

// before is the past log without what was last said of it; the club stays where it was
// the only one.
func (p PastLog) before() PastLog {
	if len(p.Said) > 1 {
		p.Said = p.Said[:len(p.Said)-1]
	}
	return p
}

func (t *turn) sayOfPastLog(p PastLog, a importer.Answer, edit int) error {
	if a.Setting == SettingClub {
		clubs, _, err := t.organised()
		if n, ok := number(a.Value); err != nil || !ok || !slices.Contains(clubs, catch.ClubID(n)) {
			t.tell("member.not_in")
			return err
		}
	}
	p.Said = append(slices.Clone(p.Said), a)
	return t.readPastLog(p, edit)
}

func (t *turn) leavePastLog() error {
	if err := t.tx.Delete(kindPast, t.tx.PersonKey(t.m.Sender.ID)); err != nil {
		return err
	}
	left := Reply{Text: t.voice.Say("pastlog.left")}
	if t.m.Press != "" {
		return t.replace(left)
	}
	t.reply(left)
	return nil
}

// keepPastLog takes the reports into the log, of somebody who organises the club now.
func (t *turn) keepPastLog(p PastLog) error {
	clubs, open, err := t.organised()
	if err != nil {
		return err
	}
	edit := 0
	if t.m.Press != "" {
		edit = t.m.ID
		t.acknowledgeTap()
	}
	switch {
	case slices.Contains(clubs, p.Club()):
	case open:
		t.tell("member.unchecked")
		return nil
	default:
		t.tell("pastlog.organisers")
		return nil
	}
	p.Keep = true
	return t.readPastLog(p, edit)
}

// wordsOfPastLog takes words that answer what is asked of a past log: those in reply to
// it, and those right after it that name a choice or are nothing else.
func (t *turn) wordsOfPastLog(m understand.Meaning) (done bool, err error) {
	if t.m.Chat.Group || t.m.Edited {
		return false, nil
	}
	p, err := PastLogOf(t.tx, t.m.Sender.ID)
	r, ok := t.refOf(t.m.ReplyTo)
	replied := ok && r.kind == refPast && r.number == p.Number
	if err != nil || p.Number == 0 || p.Keep || !replied && t.session.At.After(p.Last) {
		return false, err
	}
	switch verb := pastVerb(t.m.Text); {
	case verb == pastLeave:
		return true, t.leavePastLog()
	case verb == pastBack:
		return true, t.readPastLog(p.before(), 0)
	case verb == pastKeep && p.Ready:
		return true, t.keepPastLog(p)
	}
	a, err := p.settle(t.m.Text)
	chosen := slices.ContainsFunc(p.Choices, func(c importer.Choice) bool { return c.Answer == a })
	switch {
	case err == nil && (chosen || replied || isPlainAnswer(t.m.Text, m)):
		return true, t.sayOfPastLog(p, a, 0)
	case err != nil && replied && (len(p.Choices) > 0 || p.Own != nil):
		t.tell("pastlog.no_answer", t.m.Text)
		return true, nil
	}
	return false, nil
}

// longestAnswer is how many words an answer has at most that is typed without pointing at
// what it answers.
const longestAnswer = 4

// isPlainAnswer is false for words that tell of a fish and its figures: they are for the
// boat, whatever is asked of an old table.
func isPlainAnswer(text string, m understand.Meaning) bool {
	q := m.Query
	return len(strings.Fields(text)) <= longestAnswer && !strings.HasPrefix(text, "/") && q.DepthM == nil && q.WeightKg == nil && q.LengthCm == nil
}

// settle is the answer that a typed text gives.
func (p PastLog) settle(text string) (importer.Answer, error) {
	q := importer.Question{Choices: p.Choices, Own: p.Own}
	name := strings.Join(strings.Fields(text), " ")
	if p.Own == nil || p.Own.Setting != SettingSeason || name == "" {
		return q.Settle(text)
	}
	q.Own = nil
	if a, err := q.Settle(text); err == nil {
		return a, nil
	}
	return importer.Answer{Setting: SettingSeason, Value: name}, nil
}

// pastVerb is what a typed word does with a past log, in any language; "" for none. More
// than a word is none: the first question after a start waits for no other language.
func pastVerb(text string) string {
	text = strings.TrimSpace(text)
	if strings.ContainsFunc(text, unicode.IsSpace) {
		return ""
	}
	return pastVerbs()[strings.ToLower(text)]
}

// pastVerbs are the verbs by the words for them, for every private message is asked.
var pastVerbs = sync.OnceValue(func() map[string]string {
	verbs := map[string]string{}
	for _, tag := range words.Languages {
		for _, verb := range []string{pastKeep, pastBack, pastLeave} {
			verbs[strings.ToLower(voiceOf(tag.String()).Say("pastword."+verb))] = verb
		}
	}
	return verbs
})

// PastButtons are the choices of a past log, a row each, and the way back and out.
func PastButtons(v words.Voice, p PastLog, first ...Button) (rows [][]Button) {
	for i, c := range p.Choices {
		rows = append(rows, []Button{button(shortened(c.Label), pressPast, p.Number, p.Step, pastPick, i)})
	}
	for _, b := range first {
		rows = append(rows, []Button{b})
	}
	var last []Button
	if len(p.Said) > 1 {
		last = append(last, button(v.Say("button.past_back"), pressPast, p.Number, p.Step, pastBack))
	}
	return append(rows, append(last, button(v.Say("button.past_leave"), pressPast, p.Number, p.Step, pastLeave)))
}

// PastKeepButton keeps what was understood of a past log.
func PastKeepButton(label string, p PastLog) Button {
	return button(label, pressPast, p.Number, p.Step, pastKeep).styled("success")
}

// longestLabel is what a phone shows of a button, in characters.
const longestLabel = 60

func shortened(label string) string {
	if r := []rune(label); len(r) > longestLabel {
		return string(r[:longestLabel-1]) + "…"
	}
	return label
}

// PastRow is a line of a past log as it was understood.
func PastRow(v words.Voice, r importer.Row) string {
	t := &turn{voice: v}
	var parts []string
	for _, e := range r.Entries {
		text := e.Report.CaughtAt.Format(time.DateOnly) + ", " + t.describe(e.Report)
		if e.Report.Recapture {
			text = v.Say("pastlog.again", text)
		}
		parts = append(parts, text)
	}
	return v.Say("pastlog.row", r.Line, v.Clauses(parts...))
}

// SeasonOfPast makes the season of a past log where the club has none of that name: closed,
// over the days of its reports. It is nil where there was nothing to make.
func SeasonOfPast(tx seasons, club catch.ClubID, name string, entries iter.Seq[importer.Entry]) (*catch.Season, error) {
	if _, found, err := tx.Season(club, name); err != nil || found || name == "" {
		return nil, err
	}
	s := catch.Season{Name: name, Chat: club, Closed: true}
	for e := range entries {
		at := e.Report.CaughtAt
		if s.Opens.IsZero() || at.Before(s.Opens) {
			s.Opens = at
		}
		if at.After(s.Closes) {
			s.Closes = at
		}
	}
	if s.Opens.IsZero() {
		return nil, nil
	}
	return &s, tx.PutSeason(s)
}

// HeadingAnswers are what a club's organisers answered about tables of the same headings
// that they kept.
func HeadingAnswers(tx memory, club catch.ClubID, headings string) (importer.Answers, error) {
	return load[importer.Answers](tx, kindHeadings, headingsKey(club, headings))
}

// SaveHeadingAnswers keeps them.
func SaveHeadingAnswers(tx memory, club catch.ClubID, headings string, a importer.Answers) error {
	return tx.Put(kindHeadings, headingsKey(club, headings), a)
}

// headingsKey is short, however many headings there are.
func headingsKey(club catch.ClubID, headings string) string {
	sum := sha256.Sum256([]byte(headings))
	return key(club, hex.EncodeToString(sum[:16]))
}
