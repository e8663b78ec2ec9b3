package bot

import (
	"slices"

	"deepward/store"
	"deepward/store/catch"
)

// Kept is all that the store holds of one person.
type Kept struct {
	Profile   Profile
	Reports   []*catch.Report
	Questions []Asked
	// Sessions are the threads of talk, one a chat.
	Sessions []Session
	// Places are exact places that wait for a yes or no.
	Places []Place
	// PastLog is the table that they are asked about; its number is 0 if there is none.
	PastLog PastLog
	// Organises are the clubs whose log they may take out; Wishes those where they asked to.
	Organises, Wishes []catch.ClubID
	// Puzzles are pieces that were not understood, kept to teach the next reader.
	Puzzles []store.Puzzle
	// Aside are messages that could not be handled, as they came.
	Aside []store.Aside
}

// KeptOf gathers what the store holds of a person.
func KeptOf(tx *store.Tx, person catch.PersonID) (k Kept, err error) {
	if k.Profile, err = ProfileOf(tx, person); err != nil {
		return k, err
	}
	if k.Reports, err = tx.ReportsByPerson(person, 0); err != nil {
		return k, err
	}
	if k.Questions, err = QuestionsOf(tx, person); err != nil {
		return k, err
	}
	if k.Sessions, err = ownOf[Session](tx, kindSession, person); err != nil {
		return k, err
	}
	if k.Places, err = ownOf[Place](tx, kindPlace, person); err != nil {
		return k, err
	}
	if k.PastLog, err = PastLogOf(tx, person); err != nil {
		return k, err
	}
	who := tx.Who(person)
	if k.Organises, err = organisedBy(tx, who); err != nil {
		return k, err
	}
	for n := range tx.Keys(kindRequest, "") {
		w, err := load[organiserRequest](tx, kindRequest, n)
		if err != nil {
			return k, err
		}
		if w.Person == who {
			k.Wishes = append(k.Wishes, w.Chat)
		}
	}
	if k.Puzzles, err = tx.PuzzlesOf(person); err != nil {
		return k, err
	}
	k.Aside, err = tx.SetAsidesOf(person)
	return k, err
}

// organisedBy are the clubs that have a person, by the keyed hash, as an organiser.
func organisedBy(tx memory, who uint64) (list []catch.ClubID, err error) {
	for k := range tx.Keys(kindClub, "") {
		c, err := load[Club](tx, kindClub, k)
		if err != nil {
			return nil, err
		}
		if n, ok := number(k); ok && slices.Contains(c.Organisers, who) {
			list = append(list, catch.ClubID(n))
		}
	}
	return list, nil
}

// ownOf are the values of a kind that belong to a person.
func ownOf[T any](tx own, kind string, person catch.PersonID) (list []T, err error) {
	for k := range tx.Keys(kind, tx.PersonKey(person)+"/") {
		v, err := load[T](tx, kind, k)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}
