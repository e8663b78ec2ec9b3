package advisor

// Query is one question about one kind of fish. A nil figure was not given.
type Query struct {
	// Species is the scientific name of the best candidate, "" if none.
	Species string `json:"species"`
	// SpeciesName is the English name of Species, or the words given when
	// nobody knows them.
	SpeciesName string `json:"species_name"`
	// Candidates are scientific names, best first, when the name fits several.
	Candidates []string `json:"candidates"`
	// Ambiguous is true when more than one candidate is plausible here.
	Ambiguous bool `json:"ambiguous"`
	// Given is the name as typed where it was taken for another: a slip of the pen, or,
	// where Unfamiliar, a name with a word that nobody knows, which may be another fish of
	// that kind. "" for a name that was taken at its word.
	Given      string `json:"given,omitempty"`
	Unfamiliar bool   `json:"unfamiliar,omitempty"`

	Capture
	// DepthRangeM is the shallow and the deep end in metres, if a range was given.
	DepthRangeM []float64 `json:"depth_range_m"`
	// Count is the number of such fish, at least 1.
	Count int `json:"count"`
	// NoSigns is true when it was said that there are no signs; with neither that nor Signs
	// nobody has told.
	NoSigns bool `json:"no_signs,omitempty"`
	// Predators is true when sharks, dolphins, seals or the like are about.
	Predators bool `json:"predators"`

	// SurfaceTempC is the temperature of the surface water in degrees Celsius.
	SurfaceTempC *float64 `json:"surface_temp_c,omitempty"`
	// WarmWater is true when the water or the season was called warm without a figure.
	WarmWater bool `json:"warm_water,omitempty"`
	// WeightsAboardOz are the release weights aboard in ounces, each usable once;
	// empty means the two that are common, 20 and 40.
	WeightsAboardOz []float64 `json:"weights_aboard_oz,omitempty"`

	// LeadAboardOz are other sinkers and heavy things aboard in ounces, usable several at a
	// time where no release weight is or the release weights are short. NoWeight is true
	// when somebody said that they have no release weight.
	LeadAboardOz []float64 `json:"lead_aboard_oz,omitempty"`
	NoWeight     bool      `json:"no_weight,omitempty"`
	// CameBack is true when it was sent down and came up again: the same once more would not
	// hold it.
	CameBack bool `json:"came_back,omitempty"`
	// WeightUnit is the unit in which weights were told: "lb", "g", "" for ounces or not told.
	// It changes no figure.
	WeightUnit string `json:"weight_unit,omitempty"`

	// Practice is the key of the agency practice to follow (see Practices); "" for our own.
	Practice string `json:"practice,omitempty"`
}

// Has reports whether the sign was seen.
func (q Query) Has(s Sign) bool {
	for _, seen := range q.Signs {
		if seen == s {
			return true
		}
	}
	return false
}
