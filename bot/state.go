package bot

import (
	"fmt"
	"strconv"
	"time"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/store"
	"deepward/store/catch"
)

// The kinds of state that package bot keeps in the store.
const (
	kindClub     = "club"
	kindPerson   = "person"
	kindSession  = "session"
	kindTalk     = "talk"
	kindQuestion = "question"
	kindSent     = "sent"
	kindAnswered = "answered"
	kindAsked    = "asked"
	kindRequest  = "request"
	kindCalls    = "calls"
	kindName     = "name"
	kindNameWish = "namewish"
)

// Club is what one chat has set up for itself.
type Club struct {
	Title     string    `cbor:"1,keyasint,omitempty"`
	Region    string    `cbor:"2,keyasint,omitempty"`
	Imperial  bool      `cbor:"3,keyasint,omitempty"`
	Language  string    `cbor:"4,keyasint,omitempty"`
	WeightsOz []float64 `cbor:"5,keyasint,omitempty"`
	// ReportTopic is the forum topic given over to reports: there a plain report
	// is taken without the bot being addressed. TopicSet tells topic 0 from none.
	ReportTopic int  `cbor:"6,keyasint,omitempty"`
	TopicSet    bool `cbor:"7,keyasint,omitempty"`
	// Organisers are the keyed hashes of the people who may take the log out.
	Organisers []uint64 `cbor:"8,keyasint,omitempty"`
	// Rules are local rules as the club entered them.
	Rules []ClubRule `cbor:"9,keyasint,omitempty"`
	// Gone is true after the bot was removed from the chat.
	Gone bool `cbor:"10,keyasint,omitempty"`
	// Transport is the chat's number on the transport, to write to it unasked.
	Transport catch.ChatID `cbor:"11,keyasint,omitempty"`
	Group     bool         `cbor:"12,keyasint,omitempty"`
	// Practice is the key of the agency practice that answers follow; "" for our own.
	Practice string `cbor:"13,keyasint,omitempty"`
	// Card is the season card that stands in the chat, nil for none.
	Card *SeasonCard `cbor:"14,keyasint,omitempty"`
	// Names are the club's own names for fish, as its organisers agreed to them.
	Names []NameTaught `cbor:"15,keyasint,omitempty"`
	// WeightUnit is the unit in which WeightsOz were told: "lb", "g", "" for ounces.
	WeightUnit string `cbor:"16,keyasint,omitempty"`
}

// ClubRule is a local rule as a club noted it; the bot never invents one.
type ClubRule struct {
	Species  string  `cbor:"1,keyasint"`
	MinCm    float64 `cbor:"2,keyasint,omitempty"`
	Text     string  `cbor:"3,keyasint,omitempty"`
	Source   string  `cbor:"4,keyasint,omitempty"`
	Checked  string  `cbor:"5,keyasint,omitempty"`
	Language string  `cbor:"6,keyasint,omitempty"`
}

// Profile is what one person has set up.
type Profile struct {
	WeightsOz []float64 `cbor:"1,keyasint,omitempty"`
	Units     string    `cbor:"2,keyasint,omitempty"` // "", "metric", "imperial" or "fathoms"
	Language  string    `cbor:"3,keyasint,omitempty"`
	Region    string    `cbor:"4,keyasint,omitempty"`
	// Named: agreed to be named in exports. KeepPlace: agreed that exact places
	// are kept. TellRecapture: wants to hear of a tagged fish seen again.
	Named         bool `cbor:"5,keyasint,omitempty"`
	KeepPlace     bool `cbor:"6,keyasint,omitempty"`
	PlaceAsked    bool `cbor:"7,keyasint,omitempty"`
	TellRecapture bool `cbor:"8,keyasint,omitempty"`
	// Clubs are the internal numbers of the groups the person has written in.
	Clubs []catch.ClubID `cbor:"9,keyasint,omitempty"`
	// Private is the person's private chat on the transport, 0 if never used.
	Private catch.ChatID `cbor:"10,keyasint,omitempty"`
	// Seen is the language of the person's program when they last wrote, for what is
	// told them unasked.
	Seen string `cbor:"11,keyasint,omitempty"`
	// Spoken is the language that the person's own words were last plainly in.
	Spoken string `cbor:"12,keyasint,omitempty"`
	// CountFor is the club that reports told in private count for, 0 for none.
	CountFor catch.ClubID `cbor:"13,keyasint,omitempty"`
	// Practice is the key of the agency practice that the person chose, OwnPractice for the
	// program's own, "" for the club's.
	Practice string `cbor:"14,keyasint,omitempty"`
	// Names are the person's own names for fish; NamesAsked the keys of those that they
	// were asked about.
	Names      []NameTaught `cbor:"15,keyasint,omitempty"`
	NamesAsked []string     `cbor:"16,keyasint,omitempty"`
	// Habits are the units that the person tells figures in, as learnt from their messages.
	Habits talk.Habits `cbor:"17,keyasint,omitzero"`
	// WeightUnit is the unit in which WeightsOz were told: "lb", "g", "" for ounces.
	WeightUnit string `cbor:"18,keyasint,omitempty"`
}

// Session is the thread of talk of one person in one chat.
type Session struct {
	// Question is the number of the last question, 0 if none.
	Question uint64 `cbor:"1,keyasint,omitempty"`
	// Report is the number of the last report.
	Report uint64 `cbor:"2,keyasint,omitempty"`
	// Awaiting is what the next words fill in: "went", "length", "tag", "day",
	// "" for nothing.
	Awaiting string    `cbor:"3,keyasint,omitempty"`
	At       time.Time `cbor:"4,keyasint"`
	// Talk is what is remembered of the talk; the reports stand in the log itself.
	Talk talk.State `cbor:"5,keyasint,omitempty"`
	// WeightUnit is the unit in which weights aboard were told last: "lb", "g", "" for ounces.
	WeightUnit string `cbor:"6,keyasint,omitempty"`
	// Keys are the data of the buttons that were shown last, by what they say; KeysAt is when.
	Keys   map[string]string `cbor:"7,keyasint,omitempty"`
	KeysAt time.Time         `cbor:"8,keyasint,omitzero"`
}

// Asked is a question that was answered, kept so that its buttons still work
// after a restart.
type Asked struct {
	Person  catch.PersonID  `cbor:"1,keyasint"`
	Chat    catch.ChatID    `cbor:"2,keyasint"`
	Thread  int             `cbor:"3,keyasint,omitempty"`
	Message int             `cbor:"4,keyasint,omitempty"`
	Text    string          `cbor:"5,keyasint,omitempty"`
	Fish    []advisor.Query `cbor:"6,keyasint"`
	At      time.Time       `cbor:"7,keyasint"`
	// Reports are the reports made from it, one for each fish.
	Reports []uint64 `cbor:"9,keyasint,omitempty"`
	Missing []string `cbor:"10,keyasint,omitempty"`
	// Named is the name of its one fish as typed, in small letters; Likely are the fish
	// offered for a name that nobody knows.
	Named  string   `cbor:"11,keyasint,omitempty"`
	Likely []string `cbor:"12,keyasint,omitempty"`
	// Day is the day that the words tell, nil for that of the question.
	Day *catch.Day `cbor:"13,keyasint,omitempty"`
}

// key joins the parts of a key with strokes.
func key(parts ...any) string {
	b := make([]byte, 0, 48)
	for i, p := range parts {
		if i > 0 {
			b = append(b, '/')
		}
		b = fmt.Append(b, p)
	}
	return string(b)
}

// load reads a piece of state; what was never kept comes back empty.
func load[T any](tx memory, kind, key string) (T, error) {
	var v T
	_, err := tx.Get(kind, key, &v)
	return v, err
}

func number(s string) (uint64, bool) {
	n, err := strconv.ParseUint(s, 10, 64)
	return n, err == nil
}

// ProfileOf is what a person has set up; empty for one who never wrote.
func ProfileOf(tx own, person catch.PersonID) (Profile, error) {
	return load[Profile](tx, kindPerson, tx.PersonKey(person))
}

// QuestionsOf are the questions of a person that are kept so that their buttons work.
func QuestionsOf(tx own, person catch.PersonID) ([]Asked, error) {
	return ownOf[Asked](tx, kindQuestion, person)
}

// ChatNames names the chats of a store for the season log: a group by its title, and
// whether a chat is one person's own: one that nothing is known of any more is taken
// for that.
func ChatNames(tx *store.Tx) func(chat catch.ClubID) (name string, private bool) {
	return func(chat catch.ClubID) (string, bool) {
		c, err := ClubOf(tx, chat)
		on, known := tx.TransportChat(chat)
		return c.Title, err != nil || !c.Group && (!known || on > 0)
	}
}

// ClubOf is what a chat has set up; chat is the internal number.
func ClubOf(tx memory, chat catch.ClubID) (Club, error) {
	return load[Club](tx, kindClub, key(chat))
}

// NameClub gives a club that has no name one.
func NameClub(tx *store.Tx, number catch.ClubID, title string) error {
	c, err := ClubOf(tx, number)
	if err != nil || c.Title != "" {
		return err
	}
	c.Title, c.Group = title, true
	return tx.Put(kindClub, key(number), c)
}

// NewClub makes a club that has a log and no chat, such as one whose old log is taken
// in, and returns its number.
func NewClub(tx *store.Tx, title string) (catch.ClubID, error) {
	number, err := tx.NewClub()
	if err != nil {
		return 0, err
	}
	return number, NameClub(tx, number, title)
}
