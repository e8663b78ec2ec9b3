package advisor

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"deepward/advisor/packed"
)

// Use says what the model does with a finding.
type Use string

// The uses, by the names in the table.
const (
	// UseFit: the model is fitted to it.
	UseFit Use = "fit"
	// UseDuplicate and UseOverlap: the same fish stand in another row; kept, not pooled.
	UseDuplicate Use = "duplicate"
	UseOverlap   Use = "overlap"
	// UseCompare: management figures and reviews, laid beside the model, not fitted.
	UseCompare Use = "compare"
	// UseContext: worth telling, no share that the model could use.
	UseContext Use = "context"
)

// Finding is one published result: some fish of one kind, from one range of
// depths, released in one way.
type Finding struct {
	// ID names the row of the table, Study the piece of work it came from.
	ID, Study string
	// Species are scientific names, a genus alone where no more was said, Mix
	// their shares (empty: equal).
	Species []string
	Mix     []float64
	// CommonName is the name the work used, Kin the name of the families.
	CommonName, Kin string
	// DepthMinM and DepthMaxM are the capture depths in metres, nil if not stated.
	DepthMinM, DepthMaxM *float64
	// Method is surface, vented, recompressed, caged or mixed.
	Method string
	// Mortality is the share that died, or failed to submerge where the note says
	// PROXY; nil where only a comparison was made. Low and High are its 95 % interval.
	Mortality, Low, High *float64
	// Fish is the number of fish, 0 if it was not stated.
	Fish int
	// Days is how long the fish were followed, nil if it was not stated.
	Days *float64
	// Kind is how it was found out: experiment, telemetry, tag-recapture, model or
	// management-table.
	Kind string
	Use  Use
	// Fit is how the model reads the finding.
	Fit Reading
	// Short is the citation in a few words, Citation in full, URL where it was seen.
	Short, Citation, URL string
	// Note is what to know about the figure.
	Note string
}

// Reading is how the model reads a finding: what the fish went through, and for
// how many fish the figure counts.
type Reading struct {
	// Exposure is what the fish went through, depth and lift left open.
	Exposure Exposure
	// Proxy is true when failing to submerge was watched, not death.
	Proxy bool
	// Fish is the number the figure counts for, Reason why that many.
	Fish   float64
	Reason string
	// Mortality is the share that the fit takes.
	Mortality float64
	// DepthMinM and DepthMaxM are the depths that the fit takes, in metres.
	DepthMinM, DepthMaxM float64
}

// The columns of data/evidence.csv
//
// What was published: species, mix, common_name, depth_min_m, depth_max_m, method,
// mortality, lower95, upper95, fish, days, kind, citation, url (where it was seen,
// mostly an abstract) and note. A cell is empty where the work did not say.
//
// What the model makes of it: study (findings of one study share one deviation),
// group (the kin), use, exposed_to (see exposedTo), fit_fish and fit_reason, and
// fit_mortality, fit_depth_min_m and fit_depth_max_m where the published cell cannot
// be taken as it is. The number of fish that a finding counts for is
//
//   - the number counted, but no more than 200, and 100 for a curve somebody fitted;
//   - else, from a 95 % interval [l, u] about p, p(1 − p)·(3.92/(u − l))²;
//   - else, where none died, 3 over the upper limit (the rule of three);
//   - else 20, or 10 for one arm of a trial in a tank or with neither number nor
//     depths told. These are assumptions, and so few fish carry little weight.
//
// Rows with the id SUB come from the notes on submerging. Comparisons of two ways that
// gave no share of deaths stand in data/pairs.csv.

//go:embed data/evidence.csv.gz
var evidenceGzip []byte

// Findings returns every published result of the table, in its order. The
// entries are shared: do not change them.
var Findings = sync.OnceValue(func() (list []Finding) {
	mustReadRows("evidence", packed.Text(evidenceGzip), func(r *tableRow) { list = append(list, findingRow{r}.finding()) })
	return list
})

// findingRow reads the cells of one row of the evidence table.
type findingRow struct{ *tableRow }

// finding reads one row. What was published and what the fit makes of it stand in
// columns of their own, so that a reader can tell them apart.
func (r findingRow) finding() Finding {
	f := Finding{
		ID: r.text("id"), Study: r.text("study"), Short: r.text("short"),
		Species: r.list("species"), Mix: r.shares("mix"),
		CommonName: r.text("common_name"), Kin: r.text("group"),
		DepthMinM: r.maybe("depth_min_m"), DepthMaxM: r.maybe("depth_max_m"),
		Method: r.text("method"), Mortality: r.maybe("mortality"),
		Low: r.maybe("lower95"), High: r.maybe("upper95"),
		Fish: int(r.number("fish")), Days: r.maybe("days"), Kind: r.text("kind"),
		Use: Use(r.text("use")), Citation: r.text("citation"), URL: r.text("url"), Note: r.text("note"),
	}
	f.Fit = r.reading(f)
	return f
}

// reading takes the fit's own cells where they are filled, else the published ones.
func (r findingRow) reading(f Finding) Reading {
	to := r.text("exposed_to")
	fit := Reading{
		Proxy: to == "float", Fish: r.number("fit_fish"), Reason: r.text("fit_reason"),
		Mortality: r.number("fit_mortality"),
		DepthMinM: r.number("fit_depth_min_m"), DepthMaxM: r.number("fit_depth_max_m"),
		Exposure: exposedTo(to),
	}
	fit.Exposure.Vented = f.Method == string(Vented)
	if fit.Mortality == 0 && f.Mortality != nil {
		fit.Mortality = *f.Mortality
	}
	if fit.DepthMaxM == 0 && f.DepthMaxM != nil {
		fit.DepthMinM, fit.DepthMaxM = *f.DepthMinM, *f.DepthMaxM
	}
	return fit
}

// exposedTo reads the hazards that were at work on the fish, word by word. It is what
// keeps a hazard from being counted twice: a cage row has no "field", a telemetry
// row holds the later deaths already, a trap row has no "hook".
func exposedTo(words string) (e Exposure) {
	for word := range strings.FieldsSeq(words) {
		switch word {
		case "hook":
			e.Hook = true
		case "barotrauma":
			e.Barotrauma = true
		case "field":
			e.Field = true
		case "float":
			e.Float = 1
		case "half-float": // surface and recompressed fish in one figure
			e.Float = 0.5
		case "predators":
			e.Predators = true
		}
	}
	return e
}

// maybe reads a number that may be missing: nil, not nought.
func (r findingRow) maybe(name string) *float64 {
	if r.text(name) == "" {
		return nil
	}
	return new(r.number(name))
}

// shares reads "8;7;4" and makes the sum one.
func (r findingRow) shares(name string) []float64 {
	var list []float64
	for _, part := range r.list(name) {
		x, err := strconv.ParseFloat(part, 64)
		if err != nil && r.err == nil {
			r.err = fmt.Errorf("column %q: %w", name, err)
		}
		list = append(list, x)
	}
	total := sum(list)
	for i := range list {
		list[i] /= total
	}
	return list
}
