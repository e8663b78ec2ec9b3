package fit

import (
	"fmt"
	"math"

	"deepward/advisor"
)

// depthNodes is the number of depths over which a bin is averaged, even on ln(depth).
const depthNodes = 5

// Row is one finding as the fit reads it.
type Row struct {
	ID, Study string
	// Dead of N fish died, or failed to submerge where Proxy is true.
	Dead, N float64
	Proxy   bool
	// DepthM is the middle of the bin in metres, on ln(depth).
	DepthM float64
	cells  []cell
	study  int
}

// cell is one kind of fish at one depth, with its share of the row.
type cell struct {
	kind     int
	share    float64
	exposure advisor.Exposure
}

// kind is a species with the kin it belongs to, and how far it vents itself.
type kind struct {
	species, kin int
	vents        float64
}

// Covariate chooses what the chance to submerge turns on.
type Covariate int

// The covariates that are compared.
const (
	// ByLift: the lift that the physics gives, over that of the same fish from 50 m.
	ByLift Covariate = iota
	// ByAmount: that lift over the weight of the fish, so that the kinds are set
	// against each other by their gas.
	ByAmount
	// ByDepth: depth alone.
	ByDepth
)

// Data is what the model is fitted to.
type Data struct {
	Rows    []Row
	Pairs   []Pair
	Species []string
	Kin     []string
	Studies []string
	kinds   []kind
}

// Read gathers the findings of the embedded table that a fit may use, those of
// the given use, with the covariate of the chance to submerge filled in.
func Read(findings []advisor.Finding, by Covariate) (*Data, error) {
	d := &Data{}
	for _, f := range findings {
		if f.Use != advisor.UseFit {
			continue
		}
		row, err := d.row(f, by)
		if err != nil {
			return nil, fmt.Errorf("finding %s: %w", f.ID, err)
		}
		d.Rows = append(d.Rows, row)
	}
	for _, p := range advisor.Pairs() {
		if p.Use != advisor.UseFit {
			continue
		}
		pair, err := d.pair(p, by)
		if err != nil {
			return nil, fmt.Errorf("pair %s: %w", p.ID, err)
		}
		d.Pairs = append(d.Pairs, pair)
	}
	return d, nil
}

func (d *Data) row(f advisor.Finding, by Covariate) (Row, error) {
	fit := f.Fit
	if fit.Fish <= 0 || fit.DepthMaxM <= 0 {
		return Row{}, fmt.Errorf("needs a number of fish and a depth")
	}
	n := f.Weight()
	row := Row{ID: f.ID, Study: f.Study, N: n, Dead: n * fit.Mortality, Proxy: fit.Proxy}
	row.study = index(&d.Studies, f.Study)
	low := max(fit.DepthMinM, 5)
	row.DepthM = math.Sqrt(low * fit.DepthMaxM)
	for i, species := range f.Species {
		share := 1 / float64(len(f.Species))
		if len(f.Mix) > 0 {
			share = f.Mix[i]
		}
		row.cells = append(row.cells, d.cells(species, f.Kin, fit, low, share, by)...)
	}
	return row, nil
}

// cells spreads one species over the depths of the bin.
func (d *Data) cells(species, kin string, fit advisor.Reading, low, share float64, by Covariate) []cell {
	k := d.kind(species, kin)
	gas := gasOf(species, kin)
	out := make([]cell, depthNodes)
	for i := range out {
		at := (float64(i) + 0.5) / depthNodes
		e := fit.Exposure
		e.DepthM = low * math.Pow(fit.DepthMaxM/low, at)
		e.LiftRatio = by.ratio(gas, e.DepthM)
		out[i] = cell{kind: k, share: share / depthNodes, exposure: e}
	}
	return out
}

// anchorM is the depth to which lift and depth are referred, in metres.
const anchorM = 50

// tenth is a lift of a tenth of the weight of a fish of one kilogram, in gram-force.
const tenth = 100

// ratio is the covariate; 1 for a fish from 50 m, or a lift of a tenth of its weight.
func (by Covariate) ratio(gas advisor.Gas, depthM float64) float64 {
	lift := advisor.LiftOf(gas, 1, depthM).Gf
	switch by {
	case ByAmount:
		return lift / tenth
	case ByDepth:
		return depthM / anchorM
	}
	return lift / advisor.LiftOf(gas, 1, anchorM).Gf
}

// gasOf is the gas of the species, by its family or that of its kin.
func gasOf(species, kin string) advisor.Gas {
	if s := advisor.LookUp(species); s != nil {
		return s.Gas()
	}
	return (&advisor.Species{Family: advisor.FamilyOf(kin)}).Gas()
}

func (d *Data) kind(species, kin string) int {
	k := kind{index(&d.Species, species), index(&d.Kin, kin), advisor.VentsItself(species, advisor.FamilyOf(kin))}
	for i, seen := range d.kinds {
		if seen == k {
			return i
		}
	}
	d.kinds = append(d.kinds, k)
	return len(d.kinds) - 1
}

// index finds a name in the list, or adds it.
func index(list *[]string, name string) int {
	for i, seen := range *list {
		if seen == name {
			return i
		}
	}
	*list = append(*list, name)
	return len(*list) - 1
}

// Without is the data with one study left out; names and numbering stay.
func (d *Data) Without(study string) *Data {
	out := *d
	out.Rows, out.Pairs = nil, nil
	for _, r := range d.Rows {
		if r.Study != study {
			out.Rows = append(out.Rows, r)
		}
	}
	for _, p := range d.Pairs {
		if p.Study != study {
			out.Pairs = append(out.Pairs, p)
		}
	}
	return &out
}
