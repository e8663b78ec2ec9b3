package advisor

// Capture is what is seen and measured of one fish that was brought up. A question, what
// was heard and a report hold it alike; a nil figure was not given.
//
// The numbers are those of a stored report: one is never changed nor used again.
type Capture struct {
	// DepthM is the capture depth in metres (0, 1000]; the deep end of a range.
	DepthM *float64 `cbor:"14,keyasint,omitempty" json:"depth_m"`
	// WeightKg is the weight of the fish in kilograms (0, 300].
	WeightKg *float64 `cbor:"16,keyasint,omitempty" json:"weight_kg"`
	// LengthCm is its length in centimetres, measured as LengthType says.
	LengthCm   *float64   `cbor:"17,keyasint,omitempty" json:"length_cm"`
	LengthType LengthType `cbor:"18,keyasint,omitempty" json:"length_type"`
	// Signs are the signs seen; what was denied is left out.
	Signs []Sign `cbor:"22,keyasint,omitempty" json:"signs"`
	Hook  Hook   `cbor:"24,keyasint,omitempty" json:"hook"`
	// Bleeding is true when blood was mentioned and not denied.
	Bleeding bool `cbor:"25,keyasint,omitempty" json:"bleeding"`
	// MinutesOnDeck is the time out of the water in minutes.
	MinutesOnDeck *float64  `cbor:"26,keyasint,omitempty" json:"minutes_on_deck"`
	Behaviour     Behaviour `cbor:"27,keyasint,omitempty" json:"behaviour"`
}

// Release is what was done with a fish and how it went, numbered likewise.
type Release struct {
	// Method is "" where nobody told.
	Method Method `cbor:"19,keyasint,omitempty" json:"method"`
	// WeightsOz are the release weights used, in ounces.
	WeightsOz []float64 `cbor:"20,keyasint,omitempty" json:"weights_used_oz"`
	// ReleaseDepthM is the depth at which the fish was freed, in metres.
	ReleaseDepthM *float64 `cbor:"21,keyasint,omitempty" json:"release_depth_m"`
	Outcome       Outcome  `cbor:"28,keyasint,omitempty" json:"outcome"`
	// Tag is a tag number as it stands on the tag, upper case, no spaces.
	Tag string `cbor:"31,keyasint,omitempty" json:"tag"`
	// Recapture is true when the fish already wore the tag when it was caught.
	Recapture bool `cbor:"32,keyasint,omitempty" json:"recapture"`
}
