package advisor

import (
	_ "embed"
	"math"
	"slices"
	"sync"
)

// UseTest marks a pair whose fish stand in the evidence table already: the model is
// tried on it with its studies left out, not fitted to it.
const UseTest Use = "test"

// Pair is one published comparison of sending down with letting go at the top, within
// one study of one kind of fish.
type Pair struct {
	ID string
	// Study is the piece of work, Studies both where two were set against each other.
	Study   string
	Studies []string
	// Species are scientific names, Kin the name of the families.
	Species         []string
	CommonName, Kin string
	// FitDepthMinM and FitDepthMaxM are the capture depths in metres: as published, or as
	// taken where nothing was stated.
	FitDepthMinM, FitDepthMaxM float64
	// Gain is the share alive sent down less that let go at the top, SE its standard error
	// (0 where the model is not fitted to it).
	Gain, SE float64
	// Exposure is what the fish went through, apart from getting down by themselves.
	Exposure Exposure
	// Use is fit, test or context; a pair of the last has no figure.
	Use Use
	// How says how it was found out, Finding what was found, Reason how it is read.
	How, Finding, Reason string
	// Citation in full, URL where it was seen, Seen what was seen there, Note what to know.
	Citation, URL, Seen, Note string
}

//go:embed data/pairs.csv
var pairsCSV string

// Pairs returns the comparisons of data/pairs.csv in their order. They are shared: do
// not change them.
var Pairs = sync.OnceValue(func() (list []Pair) {
	mustReadRows("pairs", pairsCSV, func(r *tableRow) { list = append(list, findingRow{r}.pair()) })
	return list
})

// pair reads one row; where nothing was published of the depth the fit's own stands.
func (r findingRow) pair() Pair {
	p := Pair{
		ID: r.text("id"), Studies: r.list("study"), Species: r.list("species"), CommonName: r.text("common_name"),
		Kin: r.text("group"), Gain: r.number("gain"), SE: r.number("fit_se"), Exposure: exposedTo(r.text("exposed_to")),
		Use: Use(r.text("use")), How: r.text("how_seen"), Finding: r.text("finding"), Reason: r.text("fit_reason"),
		Citation: r.text("citation"), URL: r.text("url"), Seen: r.text("seen"), Note: r.text("note"),
		FitDepthMinM: r.number("fit_depth_min_m"), FitDepthMaxM: r.number("fit_depth_max_m"),
	}
	if p.FitDepthMaxM == 0 {
		p.FitDepthMinM, p.FitDepthMaxM = r.number("depth_min_m"), r.number("depth_max_m")
	}
	p.Study = p.Studies[0]
	return p
}

// DepthM is the middle of the capture depths, on ln(depth), in metres.
func (p Pair) DepthM() float64 { return math.Sqrt(max(p.FitDepthMinM, 5) * p.FitDepthMaxM) }

// names is true when the pair is about this species, alone or among others.
func (p Pair) names(s *Species) bool {
	return s.ScientificName != "" && slices.Contains(p.Species, s.ScientificName)
}

// ShowsNoGain is true where a gain of sending down was looked for and none was found.
func (p Pair) ShowsNoGain() bool { return p.Use != UseContext && p.Gain == 0 }
