package advisor

import (
	"math"
	"slices"
)

// Scale is the fish sizes and depths of a pocket card, both ascending. A row
// stands for fish up to its size, a column for depths down to its depth.
type Scale struct {
	SizesKg, DepthsM []float64
}

// MetricScale has round kilograms and metres; the first depth is the one to
// which common practice uses the lighter weight.
func MetricScale() Scale {
	return Scale{SizesKg: []float64{2, 4, 6, 8, 12}, DepthsM: []float64{30, 45, 60, 90, 120}}
}

// ImperialScale has round pounds and feet, 90 ft being the last round depth
// above the 30 m of common practice.
func ImperialScale() Scale {
	s := Scale{SizesKg: []float64{4, 8, 12, 18, 25}, DepthsM: []float64{90, 150, 200, 300, 400}}
	for i := range s.SizesKg {
		s.SizesKg[i] *= KgPerPound
		s.DepthsM[i] *= MetresPerFoot
	}
	return s
}

// Cell is what to do with a fish of one size from one depth.
type Cell struct {
	Action Action
	// WeightsOz are the release weights to use together in ounces, heaviest first.
	WeightsOz []float64
	// PushFirst is true when the weights alone are short of what the physics asks
	// for with its margin: push the fish down before they are trusted, or add ShortOz.
	PushFirst bool
	// PushDownM is how deep to push, in metres; 0 when the weights do pull harder
	// than the gas from the top and only the margin is missing.
	PushDownM float64
	// ShortOz is how many ounces the weights are too light where no pole pushes deep
	// enough, rounded up to tens; else 0.
	ShortOz float64
}

func (c Cell) equal(d Cell) bool {
	return c.Action == d.Action && slices.Equal(c.WeightsOz, d.WeightsOz) &&
		c.PushFirst == d.PushFirst && c.PushDownM == d.PushDownM && c.ShortOz == d.ShortOz
}

// Grid is the part of a card that holds for some fish: those whose answers are
// the same in every cell.
type Grid struct {
	// Kinds are the kinds of fish by the names of the gas table, most species first.
	Kinds   []string
	Species []*Species
	// Cells are by size, then by depth, in the order of the scale.
	Cells [][]Cell
}

func (g Grid) equal(h Grid) bool {
	return slices.EqualFunc(g.Cells, h.Cells, func(a, b []Cell) bool {
		return slices.EqualFunc(a, b, Cell.equal)
	})
}

// Steps are the rows at which the answer turns: each is the last of a run of
// equal rows, so that a card may show these alone and lose nothing.
func (g Grid) Steps() []int {
	var steps []int
	for i, row := range g.Cells {
		last := i == len(g.Cells)-1
		if last || !slices.EqualFunc(row, g.Cells[i+1], Cell.equal) {
			steps = append(steps, i)
		}
	}
	return steps
}

// Table is the pocket card: which release weight for which fish, size and depth.
type Table struct {
	// AboardOz are the release weights reckoned with, ascending.
	AboardOz []float64
	// Assumed is true when no weights were told and the common two stand in.
	Assumed bool
	Scale   Scale
	// Grids are the fish that are sent down, most species first.
	Grids []Grid
	// NoWeight are the fish that go at the top: those without trapped gas, and those that
	// let it out by themselves, unless they float.
	NoWeight []*Species
}

// Card reckons the pocket card for the release weights aboard, in ounces, each
// usable once (the common two when none are given), and for these species (the
// general bottom fish when none are given). Every cell is what Advise answers for
// a fish of that size from that depth with nothing else told.
func Card(aboardOz []float64, species []*Species, scale Scale) Table {
	t := Table{AboardOz: slices.Sorted(slices.Values(aboardOz)), Scale: scale}
	if len(aboardOz) == 0 {
		t.AboardOz, t.Assumed = DefaultWeightsOz(), true
	}
	kinds, noWeight := byKind(species)
	t.NoWeight = noWeight
	for _, kind := range kinds {
		t.add(Grid{Kinds: []string{kind[0].Gas().Kind}, Species: kind, Cells: t.cells(kind[0])})
	}
	return t
}

// add keeps a grid, or joins its fish to one that says the same.
func (t *Table) add(g Grid) {
	if i := slices.IndexFunc(t.Grids, g.equal); i >= 0 {
		t.Grids[i].Kinds = append(t.Grids[i].Kinds, g.Kinds...)
		t.Grids[i].Species = append(t.Grids[i].Species, g.Species...)
		return
	}
	t.Grids = append(t.Grids, g)
}

// byKind parts the species by the gas they hold, the largest part first, from
// those that hold none.
func byKind(species []*Species) (kinds [][]*Species, noWeight []*Species) {
	if len(species) == 0 {
		return [][]*Species{{General()}}, nil
	}
	for _, s := range species {
		if !s.trapsGas() || s.VentsItself() == 1 {
			noWeight = append(noWeight, s)
			continue
		}
		i := slices.IndexFunc(kinds, func(k []*Species) bool { return k[0].Gas().Kind == s.Gas().Kind })
		if i < 0 {
			kinds = append(kinds, nil)
			i = len(kinds) - 1
		}
		kinds[i] = append(kinds[i], s)
	}
	slices.SortStableFunc(kinds, func(a, b []*Species) int { return len(b) - len(a) })
	return kinds, noWeight
}

// cells asks Advise about one fish in every size and depth.
func (t *Table) cells(s *Species) [][]Cell {
	rows := make([][]Cell, len(t.Scale.SizesKg))
	for i, kg := range t.Scale.SizesKg {
		for _, depth := range t.Scale.DepthsM {
			rows[i] = append(rows[i], cellOf(Advise(Query{
				Species: s.ScientificName, SpeciesName: s.EnglishName, Count: 1,
				Capture: Capture{WeightKg: new(kg), DepthM: new(depth)}, WeightsAboardOz: t.AboardOz,
			})))
		}
	}
	return rows
}

// cellOf keeps of an advice what a card has room for.
func cellOf(a Advice) Cell {
	c := Cell{Action: a.Action, WeightsOz: a.ReleaseWeightsOz}
	if a.NeededOz == nil || sum(a.ReleaseWeightsOz) >= *a.NeededOz {
		return c
	}
	c.PushFirst, c.PushDownM = true, deref(a.PushDownDepthM)
	for _, n := range a.Reasons {
		if n.Code == ReasonTooLight {
			c.ShortOz = 10 * math.Ceil(n.Figures[0]/10)
		}
	}
	return c
}
