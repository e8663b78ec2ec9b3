package bot

import (
	"iter"
	"time"

	"deepward/store"
	"deepward/store/catch"
)

// What the answer to a message reads and keeps, one interface a noun: what marks messages
// as seen, queues replies and settles them is for the desk alone. A transaction of package
// store is all of them; that package says what each method does.
type (
	// memory holds values under a kind and a key.
	memory interface {
		Put(kind, key string, value any) error
		Get(kind, key string, value any) (bool, error)
		Has(kind, key string) bool
		Delete(kind, key string) error
		Keys(kind, prefix string) iter.Seq[string]
		Next(kind string) (uint64, error)
	}
	// people are known by keyed hashes.
	people interface {
		Who(person catch.PersonID) uint64
		PersonKey(person catch.PersonID) string
	}
	// forgetter forgets a person, and tells what is kept of one beside the log.
	forgetter interface {
		ForgetPerson(person catch.PersonID) (reports int, err error)
		ForgottenAt(person catch.PersonID) (time.Time, error)
		PuzzlesOf(person catch.PersonID) ([]store.Puzzle, error)
		SetAsidesOf(person catch.PersonID) ([]store.Aside, error)
		KeepPuzzle(person catch.PersonID, p store.Puzzle) error
	}
	// chats have a number in the store, whatever the transport calls them.
	chats interface {
		ChatNumber(transport catch.ChatID) (catch.ClubID, error)
		TransportChat(number catch.ClubID) (catch.ChatID, bool)
		MessageNumber(transport catch.ChatID, message int) int
		MoveChat(from, to catch.ChatID) error
		ClubCode(club catch.ClubID) string
	}
	// reports are the fish of all logs.
	reports interface {
		AddReport(r *catch.Report) (uint64, error)
		PutReport(r *catch.Report) error
		Report(number uint64) (*catch.Report, error)
		Reports(f catch.Filter) iter.Seq2[*catch.Report, error]
		ReportsByMessage(chat catch.ClubID, message int) ([]*catch.Report, error)
		ReportsByPerson(person catch.PersonID, newest int) ([]*catch.Report, error)
		ReportsByTag(tag string) ([]*catch.Report, error)
	}
	// seasons are those of a club.
	seasons interface {
		Season(chat catch.ClubID, name string) (catch.Season, bool, error)
		Seasons(chat catch.ClubID) ([]catch.Season, error)
		SeasonAt(chat catch.ClubID, at time.Time) (string, error)
		PutSeason(s catch.Season) error
	}
	// own is what is remembered of people.
	own interface {
		memory
		people
	}
	// ledger is all that a turn sees of the store.
	ledger interface {
		own
		forgetter
		chats
		reports
		seasons
	}
)

var _ ledger = (*store.Tx)(nil)
