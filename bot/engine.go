package bot

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
	"deepward/bot/words"
	"deepward/store/catch"
)

// Engine is the conversation: it takes one message and says what to reply. All
// that it remembers is in the store, so a restart changes nothing. It reads no
// clock: a message carries its times.
type Engine struct {
	Reader *understand.Reader
	// Heard, where it is set, is told how each message was taken.
	Heard func(Trace)
}

// NewEngine returns a conversation that knows the whole catalogue.
func NewEngine() *Engine { return &Engine{Reader: understand.NewReader()} }

// turn is one message being handled inside one transaction.
type turn struct {
	*Engine
	tx ledger
	m  Message

	chat    catch.ClubID // of the chat's log
	origin  origin
	club    Club
	home    Club // of homeChat
	profile Profile
	session Session
	unsaved bool // the session changed since it was kept
	talk    talk.State
	// borrowed is true while the fish that is talked of is a friend's.
	borrowed bool
	// answered and told are for Engine.Heard.
	answered []advisor.Query
	told     []string
	lent     []talk.Lent        // bare figures that were taken in a unit
	unread   []string           // what could not be used of the words
	taught   *NameTaught        // the name that was remembered
	proposed string             // what to say of it where it was put before the organisers
	reading  understand.Reading // the words, as heard
	voice    words.Voice
	spoken   string // the language of the words, "" if they do not tell
	now      time.Time
	replies  []Reply
	touched  catch.ClubID // whose log a report was kept in
	typed    bool         // a tap that was typed: there is no message of ours under it
}

// origin is where what is handled now was told: the message itself, or, for a tap, the
// question above it. A message is never changed.
type origin struct {
	at              time.Time
	words           string
	thread, message int // message is its number in the store
}

// Handle answers one message. What it keeps goes into the transaction; the
// replies are returned for the outbox of the same transaction.
func (e *Engine) Handle(tx ledger, m Message) ([]Reply, error) {
	t, err := e.begin(tx, m)
	if err != nil {
		return nil, fmt.Errorf("opening the conversation: %w", err)
	}
	if err := t.route(); err != nil {
		return nil, err
	}
	if err := errors.Join(t.refreshCard(), t.rememberKeys(), t.keepSession()); err != nil {
		return nil, err
	}
	return t.replies, nil
}

func (e *Engine) begin(tx ledger, m Message) (*turn, error) {
	t := &turn{Engine: e, tx: tx, m: m, now: m.ReceivedAt}
	var err error
	if t.chat, err = tx.ChatNumber(m.Chat.ID); err != nil {
		return nil, err
	}
	t.origin = origin{at: m.SentAt, words: m.Text, thread: m.Chat.Thread, message: tx.MessageNumber(m.Chat.ID, m.ID)}
	if t.club, err = ClubOf(tx, t.chat); err != nil {
		return nil, err
	}
	if m.Sender.ID != 0 {
		if t.profile, err = ProfileOf(tx, m.Sender.ID); err != nil {
			return nil, err
		}
		if t.session, err = load[Session](tx, kindSession, t.sessionKey()); err != nil {
			return nil, err
		}
		t.talk = t.session.Talk
		t.m, t.typed = typedAsTap(m, shownKeys{t.session.Keys, t.session.KeysAt})
	}
	if n := t.homeChat(); n != 0 {
		if t.home, err = ClubOf(tx, n); err != nil {
			t.home = Club{} // the fault of a club stops nobody's private chat
		}
	}
	t.voice = t.voiceFor(t.profile)
	return t, nil
}

// voiceFor picks language and units: the person's own choice, then the club's, then
// what the person's program says; figures are in the units that the person told them in
// where none were set. English programs are many people's who write in
// another language: what their words are plainly in comes before it.
func (t *turn) voiceFor(p Profile) words.Voice {
	program := firstOf(t.m.Sender.Language, p.Seen)
	lang := firstOf(p.Language, t.club.Language, p.Spoken, program)
	if p.Language == "" && t.club.Language == "" && isAbroad(program) {
		lang = program
	}
	imperial := t.club.Imperial || t.home.Imperial
	if p.Units != "" {
		imperial = isImperial(p.Units)
	}
	if lang == "pt" && (strings.EqualFold(program, brazilian) || t.isBrazil(p.Region)) {
		lang = brazilian
	}
	oz, unit := t.setWeights()
	v := Weighing(words.For(lang, imperial), unit, oz)
	v.Set = p.Units != "" || t.club.Imperial
	return v.In(systems(t.talk.Units.Or(t.habit())))
}

// isBrazil is true where the person's region, else the club's, is Brazil's.
func (t *turn) isBrazil(region string) bool {
	return strings.HasPrefix(firstOf(region, t.club.Region, t.home.Region), "Brazil")
}

// hear finds the language of the words, for the answer to be in it; a single word
// tells only where nothing else does.
func (t *turn) hear() {
	if t.profile.Language != "" || t.club.Language != "" || isAbroad(firstOf(t.m.Sender.Language, t.profile.Seen)) {
		return
	}
	if strings.HasPrefix(t.m.Text, "/start") { // the code of a link is in no language
		return
	}
	language, sure := understand.LanguageOf(t.m.Text)
	if language == "" || !sure && firstOf(t.profile.Spoken, t.m.Sender.Language, t.profile.Seen) != "" {
		return
	}
	t.spoken = language
	p := t.profile
	p.Spoken = language
	t.voice = t.voiceFor(p)
}

// isAbroad is true for the tag of a language spoken here that is not English.
func isAbroad(tag string) bool { return tag != "" && voiceOf(tag).Language() != "en" }

func firstOf(choices ...string) string {
	for _, c := range choices {
		if c != "" {
			return c
		}
	}
	return ""
}

func (t *turn) sessionKey() string { return key(t.tx.PersonKey(t.m.Sender.ID), t.chat) }

// route hands the message to the room that deals with its kind.
func (t *turn) route() error {
	switch {
	case t.m.Event != "":
		return t.event()
	case t.m.Press != "":
		return t.press()
	case t.m.InlineID != "":
		return t.inline()
	case t.m.Sender.ID == 0:
		return nil
	case t.m.Place != nil:
		return t.place()
	case t.m.File != nil && !t.m.Chat.Group:
		if taken, err := t.pastLog(); taken || err != nil {
			return err
		}
	}
	return t.words()
}

// wasForgotten is true for an edit of a message from before its person was forgotten:
// its words are not taken up again.
func (t *turn) wasForgotten() (bool, error) {
	if !t.m.Edited {
		return false, nil
	}
	at, err := t.tx.ForgottenAt(t.m.Sender.ID)
	return !at.IsZero() && !t.m.SentAt.After(at), err
}

// words deals with something typed: first what it answers, then what it is.
func (t *turn) words() error {
	if t.isOverheard() && t.Heard == nil { // a reading costs more than all else, and is for nothing
		return nil
	}
	t.hear()
	state, err := t.loadTalk()
	if err != nil {
		return err
	}
	t.talk = state
	reading := t.asLabelled(t.Reader.Read(t.m.Text, t.setting(), t.context()))
	t.reading = reading
	state = t.giveBack(state, reading)
	meaning := reading.Meaning()
	if !t.concernsUs(meaning, reading) || t.banters(reading) {
		t.unheard(reading)
		return nil
	}
	if forgotten, err := t.wasForgotten(); forgotten || err != nil {
		return err
	}
	if err := t.rememberPerson(); err != nil {
		return err
	}
	if t.m.Edited {
		return t.edited(meaning)
	}
	if done, err := t.besidesTalk(reading, meaning); done || err != nil {
		t.unheard(reading)
		return err
	}
	return t.converse(reading, state)
}

// besidesTalk takes what does not go through the talk: answers to what we asked of a report
// or an old log, what was meant by our mark, and names that are taught.
func (t *turn) besidesTalk(r understand.Reading, m understand.Meaning) (done bool, err error) {
	if t.opensMark() {
		return true, t.showReport()
	}
	if done, err := t.wordsOfPastLog(m); done || err != nil {
		return done, err
	}
	if done, err := t.answersUs(m); done || err != nil {
		return done, err
	}
	if rest, ok := slashed(t.m.Text, "undo"); ok {
		return true, t.undoCommand(rest)
	}
	return t.taughtInWords(r)
}

// context is what is open, as the learned reader takes it in.
func (t *turn) context() learned.Context {
	c := t.talk.Context()
	c.Group = t.m.Chat.Group
	return c
}

// unheard tells of a message that did not go through the talk.
func (t *turn) unheard(r understand.Reading) {
	if t.Heard != nil {
		t.Heard(Trace{Reading: r, State: t.talk})
	}
}

func (t *turn) setting() understand.Setting {
	return understand.Setting{
		Region:   t.region(),
		Language: t.voice.Language(),
		Names:    t.namesHere(),
		Talked:   t.talk.Names(),
		Things:   t.talk.Things,
	}
}

// region is where the person fishes, as set by them, else by the club.
func (t *turn) region() string { return firstOf(t.profile.Region, t.club.Region, t.home.Region) }

// homeChat is the group that a person last joined us in: what is set there holds in
// their private chat as well, where most ask from the boat. In a group it is 0.
func (t *turn) homeChat() catch.ClubID {
	if t.m.Chat.Group || len(t.profile.Clubs) == 0 {
		return 0
	}
	return t.profile.Clubs[len(t.profile.Clubs)-1]
}

// rulesHere are the rules noted in this chat, else those of the person's club.
func (t *turn) rulesHere() []ClubRule {
	if len(t.club.Rules) > 0 {
		return t.club.Rules
	}
	return t.home.Rules
}

// isOverheard is true for words among others in a group that are not for us whatever they
// say: not to the bot, in answer to no message, and not in the topic for reports.
func (t *turn) isOverheard() bool {
	return !t.m.Addressed && !t.m.Edited && t.m.ReplyTo == 0 && !t.inReportTopic()
}

// concernsUs keeps the bot silent in a group unless it was spoken to, or the
// message is plainly a report in the topic given over to reports.
func (t *turn) concernsUs(m understand.Meaning, r understand.Reading) bool {
	if t.m.Addressed {
		return true
	}
	if t.m.Edited {
		return t.knowsMessage()
	}
	if t.correctsOwn(m) || t.opensMark() {
		return true
	}
	if !t.inReportTopic() {
		return false
	}
	if m.Correction {
		return t.putsRight(m, r)
	}
	return m.Kind == understand.Command || (m.Kind == understand.Question || m.Kind == understand.Report) && t.plain(m)
}

// putsRight is true for a correction that tells something of a fish, where one is talked
// of: "no way" is talk among friends.
func (t *turn) putsRight(m understand.Meaning, r understand.Reading) bool {
	if t.talk.Open(t.here(t.m.SentAt)) == (talk.Ask{}) && len(t.talk.Fish) == 0 && len(t.talk.Standing()) == 0 {
		return false
	}
	m.Kind = understand.Other
	return !correctsNothing(m) || m.Query.SpeciesName != "" || len(r.Loose) > 0 || m.Query.Count > 1
}

// surelyMeant is the chance from which words of a group about a friend's fish are taken as
// more than banter; likelyMeant that for a command of somebody who has reports there.
const (
	surelyMeant = 0.85
	likelyMeant = 0.6
)

// banters is true for words about a friend's fish, or like a command, that are not plainly
// meant for us.
func (t *turn) banters(r understand.Reading) bool {
	if t.m.Addressed || t.m.ReplyTo != 0 || !t.inReportTopic() || r.Verb != "" {
		return false
	}
	if r.Act == understand.ActCommand && (r.Sure < likelyMeant || r.Sure < surelyMeant && len(t.talk.Standing()) == 0) {
		return true
	}
	return t.borrowed && (r.Sure < surelyMeant || strings.Contains(t.m.Text, "?") && r.Act == understand.ActCorrection)
}

// plain is true for a report that holds a known fish, a figure or a tag, or that can
// be about the fish just asked for: "swam off" alone is talk among friends.
func (t *turn) plain(m understand.Meaning) bool {
	q, d := m.Query, m.Done
	if q.Species != "" || q.DepthM != nil || q.WeightKg != nil || q.LengthCm != nil || d.Tag != "" || len(d.WeightsOz) > 0 {
		return true
	}
	if d.Outcome != "" && t.talk.Open(t.here(t.m.SentAt)).What == talk.AskWent {
		return true // it was asked how it went
	}
	_, asked := t.lastAsked()
	return (asked || t.borrowed) && q.SpeciesName == ""
}

func (t *turn) inReportTopic() bool {
	return t.club.TopicSet && t.m.Chat.Thread == t.club.ReportTopic
}

// knowsMessage reports whether an edited message had been taken before.
func (t *turn) knowsMessage() bool {
	reports, err := t.tx.ReportsByMessage(t.chat, t.origin.message)
	return err == nil && len(reports) > 0
}

// rememberPerson keeps which clubs a person writes in and where to reach them.
func (t *turn) rememberPerson() error {
	p := t.profile
	if t.m.Chat.Group && !slices.Contains(p.Clubs, t.chat) {
		p.Clubs = append(slices.Clone(p.Clubs), t.chat)
	}
	if !t.m.Chat.Group {
		p.Private = t.m.Chat.ID
	}
	p.Seen, p.Spoken = firstOf(t.m.Sender.Language, p.Seen), firstOf(t.spoken, p.Spoken)
	if p.Spoken != t.profile.Spoken || len(p.Clubs) != len(t.profile.Clubs) || p.Private != t.profile.Private || p.Seen != t.profile.Seen {
		if err := t.saveProfile(p); err != nil {
			return err
		}
	}
	if t.m.Chat.Group && (t.club.Title != t.m.Chat.Title || t.club.Transport != t.m.Chat.ID) {
		c := t.club
		c.Title, c.Transport, c.Group = t.m.Chat.Title, t.m.Chat.ID, true
		return t.saveClub(c)
	}
	return nil
}

func (t *turn) saveProfile(p Profile) error {
	t.profile = p
	return t.tx.Put(kindPerson, t.tx.PersonKey(t.m.Sender.ID), p)
}

// saveClub keeps what is set in this chat.
func (t *turn) saveClub(c Club) error { return t.saveClubOf(t.chat, c) }

// saveClubOf keeps what is set in a chat, this one or another.
func (t *turn) saveClubOf(chat catch.ClubID, c Club) error {
	if chat == t.chat {
		t.club = c
	}
	return t.tx.Put(kindClub, key(chat), c)
}

// saveSession takes another session, with the talk as it is now; keepSession keeps it.
func (t *turn) saveSession(s Session) {
	s.At, s.Talk, s.WeightUnit = t.now, t.talk.WithoutRows(), t.session.WeightUnit
	s.Keys, s.KeysAt = t.session.Keys, t.session.KeysAt
	t.session, t.unsaved = s, true
}

// keepSession keeps the session at the end of the turn, as it is then.
func (t *turn) keepSession() error {
	if !t.unsaved {
		return nil
	}
	return t.tx.Put(kindSession, t.sessionKey(), t.session)
}

// say queues a plain reply to the message.
func (t *turn) say(text string) { t.reply(Reply{Text: text}) }

// asking are the sentences that want an answer in words.
var asking = []string{"hint.ask", "report.empty"}

// tell says the sentence of that key.
func (t *turn) tell(key string, args ...any) {
	t.reply(Reply{Text: t.voice.Say(key, args...), Asks: slices.Contains(asking, key)})
}

// headline says the sentence of that key, its first line set off.
func (t *turn) headline(key string) { t.reply(Reply{Headline: true, Text: t.voice.Say(key)}) }

// reply queues a reply in the chat and topic of the message; in a group it
// points at the message.
func (t *turn) reply(r Reply) {
	r.Chat, r.Thread, r.Group, r.Language = t.m.Chat.ID, t.origin.thread, t.m.Chat.Group, t.voice.Tag()
	if t.m.Chat.Group {
		r.For = t.m.Sender.ID
	}
	if t.m.Chat.Group && r.ReplyTo == 0 && r.Edit == 0 && r.PressID == "" && (t.m.Press == "" || t.typed) {
		r.ReplyTo = t.m.ID
	}
	t.replies = append(t.replies, r)
}

// chatter answers what concerns nobody: silence in a group, a hint in private.
func (t *turn) chatter(r understand.Reading) error {
	switch {
	case t.m.Chat.Group:
	case r.IsThanks():
		t.tell("hint.thanks")
	default:
		t.tell("hint.ask")
	}
	return nil
}
