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
	// Findings are the results behind the estimate, most fish first.
	Findings []Finding
}

// EvidenceFor gathers the evidence behind the estimates for a species.
func EvidenceFor(s *Species) Evidence {
	return Evidence{Species: s, Basis: EstimateSurvival(Case{Species: s, DepthM: 30, WeightKg: 1}).Basis}
}
