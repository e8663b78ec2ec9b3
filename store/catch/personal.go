package catch

// Personal is the sealed part of a report.
type Personal struct {
	Person PersonID `cbor:"1,keyasint,omitempty"`
	Name   string   `cbor:"2,keyasint,omitempty"`
	// Words is the message as given.
	Words string `cbor:"3,keyasint,omitempty"`
	// Lat and Lon are the exact place in degrees on WGS 84; nil unless the person
	// agreed that it is kept.
	Lat *float64 `cbor:"4,keyasint,omitempty"`
	Lon *float64 `cbor:"5,keyasint,omitempty"`
	// Note is free text.
	Note string `cbor:"6,keyasint,omitempty"`
	// Given is the name of a fish that nobody knows: it may be a person's. The store
	// takes it out of Report.SpeciesGiven and puts it back.
	Given string `cbor:"7,keyasint,omitempty"`
	// Told is the day that was told and that is not sure, nil for none.
	Told *Day `cbor:"8,keyasint,omitempty"`
}
