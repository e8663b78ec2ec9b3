package catch

// Day is the day on which a fish was caught, as far as words tell it: they know no
// calendar, so whoever keeps the report finds out which day that is, and whether there
// is one.
type Day struct {
	// Ago is how many days before the message it was, for "yesterday"; 0 if a date was told.
	Ago int `cbor:"1,keyasint,omitempty"`
	// Year is 0 if none was told. Month and DayOfMonth may be no day of any calendar.
	Year       int `cbor:"2,keyasint,omitempty"`
	Month      int `cbor:"3,keyasint,omitempty"`
	DayOfMonth int `cbor:"4,keyasint,omitempty"`
	// Swapped is true when the figures may as well be the month and the day: 05/06.
	Swapped bool `cbor:"5,keyasint,omitempty"`
	// Words is the day as typed, folded.
	Words string `cbor:"6,keyasint,omitempty"`
}
