package bot

import (
	"maps"
	"strings"
	"time"

	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store"
	"deepward/store/catch"
)

// rightAfter is how long after a message words that put it right say that it was misread,
// rather than that somebody thought again.
const rightAfter = 15 * time.Minute

// longestPuzzle is how much of a message is kept, in bytes.
const longestPuzzle = 400

// puzzled keeps what the reader could not use, what it had to ask back about, and what was
// put right soon after, without names, for whoever teaches the next reader. before is the
// message that this one may put right.
func (t *turn) puzzled(r understand.Reading, m talk.Move, before earlier) error {
	if t.m.Sender.ID == 0 || t.m.Press != "" || r.Verb != "" || r.Hurt {
		return nil
	}
	if m.Do != talk.Nothing {
		if err := t.keepPuzzles(store.PuzzleUnread, t.m.Text, r, r.Unread...); err != nil {
			return err
		}
	}
	if piece := t.askedBackAbout(r, m); piece != "" {
		if err := t.keepPuzzles(store.PuzzleAsked, t.m.Text, r, piece); err != nil {
			return err
		}
	}
	if before.text == "" || t.m.SentAt.Sub(before.at) > rightAfter || t.taught != nil {
		return nil
	}
	reading := t.Reader.Read(before.text, t.setting(), t.context())
	return t.keepPuzzles(store.PuzzleCorrected, before.text, reading, before.text)
}

func clipped(text string) string {
	if len(text) <= longestPuzzle {
		return text
	}
	return strings.ToValidUTF8(text[:longestPuzzle], "")
}

// keepPuzzles keeps pieces of a message, or all of it, with the message, both without names;
// the pieces without figures too.
func (t *turn) keepPuzzles(kind store.PuzzleKind, text string, r understand.Reading, pieces ...string) error {
	if len(pieces) == 0 {
		return nil
	}
	nameless := clipped(understand.Nameless(text, r))
	for _, piece := range pieces {
		if piece == text {
			piece = nameless
		} else if !strings.Contains(strings.ToLower(nameless), strings.ToLower(piece)) { // judged where it stands
			continue
		}
		if piece = understand.Figureless(piece); strings.Trim(piece, "…#., ") == "" {
			continue // nothing is left of it
		}
		err := t.tx.KeepPuzzle(t.m.Sender.ID, store.Puzzle{
			Kind: kind, Piece: piece, Text: nameless, Language: t.voice.Language(), Region: t.region(),
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// askedBackAbout is what the answer asks back about, as far as it lies in the words: a name
// that nobody knows or that may be several, a figure without a unit, or all of it. "" where
// it asks only for more.
func (t *turn) askedBackAbout(r understand.Reading, m talk.Move) string {
	for _, f := range r.Fish {
		if q := f.Query; f.Name != "" && (q.Species == "" || q.Ambiguous || q.Unfamiliar) {
			return f.Name
		}
	}
	unheard := m.Do == talk.Nothing && !t.m.Chat.Group && r.IsHardlyTalk()
	if m.Do == talk.AskBack || m.Do != talk.Nothing && t.talk.Asked.What == talk.AskUnit || unheard {
		return t.m.Text
	}
	return ""
}

// putsRight is true for a message that changes what was understood of the one before.
func putsRight(r understand.Reading, m talk.Move) bool {
	return r.Act == understand.ActCorrection && m.Do != talk.Nothing || m.Renamed || r.Corrects && m.Do == talk.Change
}

// earlier is the message before this one, and when it was sent.
type earlier struct {
	text string
	at   time.Time
}

// putRight is the message that this one puts right, as far as it is kept: the words of the
// person's last question or of the report that they kept last. Nothing for other messages.
func (t *turn) putRight(r understand.Reading, m talk.Move) (e earlier) {
	if !putsRight(r, m) {
		return e
	}
	if a, ok := t.lastAsked(); ok {
		e = earlier{a.Text, a.At}
	}
	if r, err := t.lastKept(); err == nil && r != nil && !r.SavedAt.Before(e.at) && r.Personal.Words != "" {
		e = earlier{r.Personal.Words, r.SavedAt}
	}
	return e
}

func (t *turn) lastKept() (*catch.Report, error) {
	if t.session.Report == 0 {
		return nil, nil
	}
	return t.ownReport(t.session.Report)
}

// NamesTaught are the names that people and clubs taught, by their keys, as far as they
// agree: for whoever teaches the next reader.
func NamesTaught(tx memory) understand.Taught {
	names, differ := understand.Taught{}, map[string]bool{}
	add := func(list []NameTaught) {
		for _, n := range list {
			differ[n.Key] = differ[n.Key] || names[n.Key] != "" && names[n.Key] != n.Species
			names[n.Key] = n.Species
		}
	}
	for k := range tx.Keys(kindClub, "") {
		if c, err := load[Club](tx, kindClub, k); err == nil { // a damaged one keeps nobody from the others
			add(c.Names)
		}
	}
	for k := range tx.Keys(kindPerson, "") {
		if p, err := load[Profile](tx, kindPerson, k); err == nil {
			add(p.Names)
		}
	}
	maps.DeleteFunc(names, func(k, _ string) bool { return differ[k] })
	return names
}
