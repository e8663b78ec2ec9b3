package catch

import (
	"time"

	"deepward/advisor"
)

// Report is one fish in the season log.
//
// Personal is sealed in the stored value; everything else is kept in the clear,
// for it names neither a person nor an exact place.
type Report struct {
	// Number is unique in the store and never reused. People are told another: Told.
	Number uint64 `cbor:"1,keyasint"`
	// Chat is the club's internal number, stable when a group gets a new one.
	Chat   ClubID `cbor:"2,keyasint"`
	Thread int    `cbor:"3,keyasint,omitempty"`
	// Message is the number of the message that made the report, Part its place
	// among several fish of one message. It is negative after the group moved.
	Message int `cbor:"4,keyasint,omitempty"`
	Part    int `cbor:"5,keyasint,omitempty"`

	// CaughtAt is when the fish was released, as near as known; the zone is kept.
	CaughtAt time.Time `cbor:"6,keyasint"`
	// DateOnly is true when no time of day is known.
	DateOnly bool `cbor:"7,keyasint,omitempty"`
	// SavedAt is when the report was kept, ChangedAt when it was last corrected.
	SavedAt   time.Time `cbor:"8,keyasint"`
	ChangedAt time.Time `cbor:"9,keyasint,omitzero"`
	Season    string    `cbor:"10,keyasint,omitempty"`

	// Species is the scientific name, "" if nobody knows; SpeciesGiven the words
	// used, which are sealed where nobody knows the fish; SpeciesSure is false when the name fitted several.
	Species      string `cbor:"11,keyasint,omitempty"`
	SpeciesGiven string `cbor:"12,keyasint,omitempty"`
	SpeciesSure  bool   `cbor:"13,keyasint,omitempty"`

	advisor.Capture
	advisor.Release
	// DepthMinM is the shallow end of a range of capture depths, in metres.
	DepthMinM *float64 `cbor:"15,keyasint,omitempty"`
	// SignsLooked is true when the person said there were none, or named some:
	// not looked is not the same as none.
	SignsLooked  bool     `cbor:"23,keyasint,omitempty"`
	Predators    bool     `cbor:"29,keyasint,omitempty"`
	SurfaceTempC *float64 `cbor:"30,keyasint,omitempty"`

	// Advised is what the bot had said, in the form "recompress 40".
	Advised string `cbor:"33,keyasint,omitempty"`
	// Flags are the doubts kept with the report, by code ("size_for_length").
	Flags []string `cbor:"34,keyasint,omitempty"`
	// Undone is true when the person took the report back; it is kept, and left
	// out of every count and export.
	Undone bool `cbor:"35,keyasint,omitempty"`
	// Origin names the import the report came from, "" for the chat; Invented for a demo.
	Origin string `cbor:"36,keyasint,omitempty"`
	// Cell is the 0.1 degree cell of the place, if one was given: the only form of
	// a place that is not sealed.
	Cell *Cell `cbor:"37,keyasint,omitempty"`

	// Who is the keyed hash of the person, the same for all their reports in this
	// store and of no use without the key; 0 after the person was forgotten.
	Who uint64 `cbor:"38,keyasint,omitempty"`
	// Named is true when the person agreed to be named in exports.
	Named bool `cbor:"39,keyasint,omitempty"`

	// Club is the group that a report from a private chat was shared with, 0 if
	// none: it counts in the log of both.
	Club ClubID `cbor:"40,keyasint,omitempty"`

	// LogNo and ClubNo are its numbers in the log of Chat and in that of Club: they begin
	// with 1 in each and are never given twice, so that a log tells nothing of others.
	LogNo  uint64 `cbor:"41,keyasint,omitempty"`
	ClubNo uint64 `cbor:"42,keyasint,omitempty"`

	// Personal is what names a person or an exact place, and their words.
	Personal Personal `cbor:"-"`
}

// Told is the number that people are told and that logs have: the one in the log of the
// group that the report was shared with, or else in that of the chat it was told in.
func (r *Report) Told() uint64 {
	if r.Club != 0 {
		return r.ClubNo
	}
	return r.LogNo
}

// Invented is the Origin of reports that were made up, to look around in.
const Invented = "invented"

// ZoneUnknown is the flag of an imported report with a time of day whose zone nobody told.
const ZoneUnknown = "zone_unknown"
