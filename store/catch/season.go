package catch

import "time"

// Season is a span of time whose reports a club counts together.
type Season struct {
	Name string `cbor:"1,keyasint"`
	// Chat is the club's internal number.
	Chat ClubID `cbor:"2,keyasint"`
	// Opens and Closes bound it, both included.
	Opens  time.Time `cbor:"3,keyasint"`
	Closes time.Time `cbor:"4,keyasint"`
	// Closed is true when no more reports are taken into it.
	Closed bool `cbor:"5,keyasint,omitempty"`
	// License is the address of the licence that the organiser chose for passing the log
	// on, "" while none is chosen; Contact is whom to ask about it.
	License string `cbor:"6,keyasint,omitempty"`
	Contact string `cbor:"7,keyasint,omitempty"`
}

// Clashes is true for two open seasons of one club that share a day: a report must
// belong to one.
func (s Season) Clashes(other Season) bool {
	return s.Chat == other.Chat && s.Name != other.Name && !s.Closed && !other.Closed &&
		!other.Closes.Before(s.Opens) && !s.Closes.Before(other.Opens)
}

// SeasonBefore is the name of the last of some seasons that ended before the one of that
// name began; ok is false where there is none.
func SeasonBefore(list []Season, name string) (last string, ok bool) {
	var this, found Season
	for _, s := range list {
		if s.Name == name {
			this = s
		}
	}
	for _, s := range list {
		if this.Name != "" && s.Closes.Before(this.Opens) && s.Closes.After(found.Closes) {
			found = s
		}
	}
	return found.Name, found.Name != ""
}
