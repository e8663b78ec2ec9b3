package advisor

// Evidence is what the published studies say that stand behind an estimate.
//
// First estimate: until the table of studies is read in, it is empty.
type Evidence struct {
	// Species is the fish that was asked for.
	Species *Species
	// Basis counts the studies and fish at the level that was used.
	Basis Basis
	// SpeciesSeen are the scientific names of the fish studied at that level.
	SpeciesSeen []string
	// SeenMinM and SeenMaxM are the depths that were studied, in metres.
	SeenMinM, SeenMaxM float64
	// Studies are the results behind the estimate, most fish first.
	Studies []Study
}

// Study is one published result.
type Study struct {
	// ID names the row of the evidence table.
	ID string
	// Species is the scientific name, or several joined by "; ".
	Species string
	// DepthMinM and DepthMaxM are the capture depths in metres.
	DepthMinM, DepthMaxM float64
	// Method is surface, vented, recompressed, caged or mixed.
	Method string
	// Mortality is the fraction that died, Low and High its 95 % interval if there is one.
	Mortality float64
	Low, High *float64
	// Fish is the number of fish, 0 if it was not stated.
	Fish int
	// Days is how long the fish were followed, nil if it was not stated.
	Days *float64
	// Kind is how it was found out: experiment, telemetry, tag-recapture, model, management-table.
	Kind string
	// Short is the citation in a few words, Citation in full, URL where it was seen.
	Short, Citation, URL string
	// Note is what to know about the figure.
	Note string
}

// EvidenceFor gathers the evidence behind the estimates for a species.
func EvidenceFor(s *Species) Evidence {
	return Evidence{Species: s, Basis: EstimateSurvival(Case{Species: s, DepthM: 30, WeightKg: 1}).Basis}
}
