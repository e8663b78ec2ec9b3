package bot

import (
	"strings"
	"sync"
	"time"
	"unicode"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store"
)

// longestTyped is the length of the longest text that may be a label, in bytes.
const longestTyped = 100

// labelKey is a label or a text as they are compared: its words, small and without accents
// and marks; "" for one that is compared with none.
func labelKey(text string) string {
	if len(text) > longestTyped {
		return ""
	}
	list := strings.FieldsFunc(understand.Plain(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(list, " ")
}

// keyed are the verbs of buttons that a typed label stands for while they are the last ones
// shown. What the others do is said in words at any time.
var keyed = map[string]bool{
	pressSkip: true, pressShare: true, pressKeep: true, pressForget: true, pressPlace: true, pressExport: true, pressDay: true,
	pressJoin: true, pressCount: true, pressLeave: true, pressUnname: true, pressLicense: true, pressFirst: true, pressPropose: true,
	pressClubName: true, pressUndo: true, pressPick: true, pressName: true, pressNameOf: true,
}

// typedAsTap is a message that says no more than a button does that was shown to the person
// last, as the tap of it.
func typedAsTap(m Message, s shownKeys) (Message, bool) {
	if len(s.Keys) == 0 || m.Text == "" || m.Edited || m.Press != "" || m.Event != "" || !m.Addressed || m.ReceivedAt.Sub(s.KeysAt) > talkLasts {
		return m, false
	}
	said := labelKey(m.Text)
	data := s.Keys[said]
	if said == "" || data == "" {
		return m, false
	}
	m.Press = data
	return m, true
}

// shownKeys are the fields of a Session that tell which buttons were shown last.
type shownKeys struct {
	Keys   map[string]string `cbor:"7,keyasint,omitempty"`
	KeysAt time.Time         `cbor:"8,keyasint,omitzero"`
}

// asTap is typedAsTap for a message whose session is still in the store.
func asTap(tx *store.Tx, m Message) (Message, error) {
	if m.Text == "" || len(m.Text) > longestTyped || m.Sender.ID == 0 {
		return m, nil
	}
	chat, err := tx.ChatNumber(m.Chat.ID)
	if err != nil {
		return m, err
	}
	s, err := load[shownKeys](tx, kindSession, key(tx.PersonKey(m.Sender.ID), chat))
	m, _ = typedAsTap(m, s)
	return m, err
}

// rememberKeys keeps what the buttons say that are shown now, for who types it.
func (t *turn) rememberKeys() error {
	verb, _, _ := strings.Cut(t.m.Press, " ")
	if t.m.Sender.ID == 0 || len(t.replies) == 0 || verb == pressForget {
		return nil
	}
	keys := map[string]string{}
	for _, r := range t.replies {
		for _, row := range r.Buttons {
			for _, b := range row {
				if verb, _, _ := strings.Cut(b.Data, " "); keyed[verb] && r.Chat == t.m.Chat.ID {
					keys[labelKey(b.Label)] = b.Data
					agreeTo(keys, verb, b.Data)
				}
			}
		}
	}
	if len(keys) == 0 && len(t.session.Keys) == 0 {
		return nil
	}
	t.session.Keys, t.session.KeysAt = keys, t.m.ReceivedAt
	t.unsaved = true
	return nil
}

// yeses agree to the one thing that is asked with one button: to delete what is kept.
var yeses = []string{"yes", "yes please", "si", "sim", "oui"}

// agreeTo lets a plain yes do what such a button does.
func agreeTo(keys map[string]string, verb, data string) {
	if verb != pressForget {
		return
	}
	for _, yes := range yeses {
		keys[yes] = data
	}
}

// heardChoice tells of a fish that was chosen by typing what its button says.
func (t *turn) heardChoice(fish []advisor.Query) {
	if !t.typed || t.Heard == nil {
		return
	}
	r := understand.Reading{Text: t.m.Text, Act: understand.ActQuestion, Want: understand.WantRelease, Sure: 1}
	move := talk.Move{Do: talk.Answer, Want: r.Want}
	for _, q := range fish {
		move.Fish = append(move.Fish, understand.Fish{Name: q.SpeciesName, Query: q})
	}
	t.Heard(Trace{r, move, t.talk, fish, t.told})
}

// labelled are the readings of labels whose buttons do what can be said at any time.
var labelled = map[string]understand.Reading{
	"button.sent_down":  toldReading(advisor.Release{Method: advisor.Recompressed}),
	"button.at_top":     toldReading(advisor.Release{Method: advisor.Surface}),
	"button.kept":       toldReading(advisor.Release{Method: advisor.Kept}),
	"button.died":       toldReading(advisor.Release{Outcome: advisor.Died}),
	"button.went_down":  toldReading(advisor.Release{Outcome: advisor.SwamDown}),
	"button.floated":    toldReading(advisor.Release{Outcome: advisor.FloatedOff}),
	"button.taken":      toldReading(advisor.Release{Outcome: advisor.TakenByOther}),
	"button.not_seen":   toldReading(advisor.Release{Outcome: advisor.NotSeen}),
	"button.undo":       {Act: understand.ActCommand, Want: understand.WantUndo, Sure: 1},
	"button.put_back":   {Act: understand.ActCommand, Want: understand.WantPutBack, Sure: 1},
	"button.why":        {Act: understand.ActQuestion, Want: understand.WantWhy, Verb: "why", Sure: 1},
	"button.how":        {Act: understand.ActQuestion, Want: understand.WantHow, Verb: "how", Sure: 1},
	"button.my_weights": {Act: understand.ActCommand, Want: understand.WantSettings, Verb: "my", Rest: "weights", Sure: 1},
}

func toldReading(d advisor.Release) understand.Reading {
	f := understand.Fish{Query: advisor.Query{Candidates: []string{}, Count: 1}, Done: understand.Done{Release: d}}
	return understand.Reading{Act: understand.ActReport, Sure: 1, Fish: []understand.Fish{f}}
}

// asLabelled reads a text that is what a button says, where it was not heard so.
func (t *turn) asLabelled(r understand.Reading) understand.Reading {
	text := labelKey(t.m.Text)
	if text == "" {
		return r
	}
	if meant, ok := labelledIn(t.voice)[text]; ok && !heardAs(r, meant) {
		meant.Text = r.Text
		return meant
	}
	return r
}

// labelsRead are those of labelledIn, by the tag of the language.
var labelsRead sync.Map

// labelledIn are the readings of labels by what they say in a language, for every message is
// compared with them.
func labelledIn(v words.Voice) map[string]understand.Reading {
	if known, ok := labelsRead.Load(v.Tag()); ok {
		return known.(map[string]understand.Reading)
	}
	said := map[string]understand.Reading{}
	for name, meant := range labelled {
		said[labelKey(v.Say(name))] = meant
	}
	known, _ := labelsRead.LoadOrStore(v.Tag(), said)
	return known.(map[string]understand.Reading)
}

// heardAs is true for a reading that says what another does.
func heardAs(r, meant understand.Reading) bool {
	if len(meant.Fish) == 0 {
		return r.Act == meant.Act && r.Want == meant.Want
	}
	if r.Act != understand.ActReport && r.Act != understand.ActCorrection || len(r.Fish) != 1 {
		return false
	}
	got, want := r.Fish[0].Done, meant.Fish[0].Done
	return got.Method == want.Method && got.Outcome == want.Outcome
}
