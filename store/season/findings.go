package season

import (
	"cmp"
	"fmt"
	"iter"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store"
)

// bandEdges are the upper ends of the depth bands in metres; the last is open.
var bandEdges = [...]float64{20, 30, 40, 60, 90, math.Inf(1)}

// DepthBand names the band of a depth in metres, with the middle that stands for it.
func DepthBand(depthM float64) (i int, label string, middleM float64) {
	low := 0.0
	for i, high := range bandEdges {
		if depthM <= high {
			if math.IsInf(high, 1) {
				return i, fmt.Sprintf("over %.0f m", low), low * 1.3
			}
			return i, fmt.Sprintf("%.0f to %.0f m", low, high), (low + high) / 2
		}
		low = high
	}
	return len(bandEdges) - 1, "", low
}

// Row is one line of a table: a name and how many fish went which way.
type Row struct {
	Name    string
	Fish    int
	Methods map[advisor.Method]Count
}

// Findings is all that one season's log says.
type Findings struct {
	Tally
	First, Last time.Time
	// Species, Depths and Months hold the released fish, most fish first for the
	// species, in order for the others.
	Species, Depths, Months []Row
	// Alive is how many more fish live because they were sent down, against all of
	// them let go at the top, with the 80 % range of the survival model.
	Alive advisor.Estimate
	// Recaptured is what the tags say.
	Recaptured Recaptured
	// LeftOut says what was not counted, and why, with how many fish.
	LeftOut map[string]int
}

// The reasons for which fish are left out of a count.
const (
	OutNoMethod  = "no method told"
	OutNoDepth   = "sent down, but no depth told: no odds reckoned"
	OutTagTwice  = "tag put in twice"
	OutTagDead   = "tagged, but not let go alive"
	OutTagTooNew = "tagged too near the end of the log to be seen again"
)

// samples is how many draws of the survival model make the range.
const samples = 200

// Find reads a log in one pass. It remembers each tagged fish, and each class of
// fish of one kind, depth and size; nothing else grows with the log. The same
// seed gives the same range.
func Find(reports iter.Seq2[*store.Report, error], seed uint64) (Findings, error) {
	c := collector{
		f:       Findings{Tally: Tally{Methods: map[advisor.Method]Count{}}, LeftOut: map[string]int{}},
		species: map[string]*Row{}, depths: map[int]*Row{}, months: map[string]*Row{},
		classes: map[class]int{}, tags: map[string]*tagged{},
	}
	for r, err := range reports {
		if err != nil {
			return c.f, fmt.Errorf("reading the log: %w", err)
		}
		c.add(r)
	}
	c.finish(seed)
	return c.f, nil
}

type collector struct {
	f       Findings
	species map[string]*Row
	depths  map[int]*Row
	months  map[string]*Row
	classes map[class]int
	tags    map[string]*tagged
}

// class is fish so alike that they share their odds.
type class struct {
	species         string
	depth, grams100 int
}

func (c *collector) add(r *store.Report) {
	c.f.add(r)
	if c.f.First.IsZero() || r.CaughtAt.Before(c.f.First) {
		c.f.First = r.CaughtAt
	}
	if r.CaughtAt.After(c.f.Last) {
		c.f.Last = r.CaughtAt
	}
	c.tag(r)
	switch r.Method {
	case "":
		c.f.LeftOut[OutNoMethod]++
		return
	case advisor.Kept:
		return
	}
	name := r.Species
	if s := advisor.LookUp(r.Species); s != nil {
		name = s.EnglishName
	} else if name == "" {
		name = "not known"
	}
	count(c.species, name, name, r)
	count(c.months, r.CaughtAt.Format("2006-01"), r.CaughtAt.Format("2006-01"), r)
	if r.DepthM != nil {
		i, label, _ := DepthBand(*r.DepthM)
		count(c.depths, i, label, r)
	}
	c.classify(r)
}

// count adds a released fish to a row of a table.
func count[K comparable](table map[K]*Row, key K, name string, r *store.Report) {
	row := table[key]
	if row == nil {
		row = &Row{Name: name, Methods: map[advisor.Method]Count{}}
		table[key] = row
	}
	row.Fish++
	var t Tally
	t.Methods = row.Methods
	t.watch(r)
}

// classify keeps the fish that were sent down for the simulation.
func (c *collector) classify(r *store.Report) {
	if r.Method != advisor.Recompressed {
		return
	}
	if r.DepthM == nil {
		c.f.LeftOut[OutNoDepth]++
		return
	}
	a := advisor.Advise(advisor.Query{
		Species: r.Species, DepthM: r.DepthM, WeightKg: r.WeightKg, LengthCm: r.LengthCm, LengthType: r.LengthType, Count: 1,
	})
	c.classes[class{r.Species, int(math.Round(*r.DepthM / 2)), int(math.Round(a.WeightKg * 5))}]++
}

func (c *collector) finish(seed uint64) {
	c.f.Species = slices.SortedFunc(values(c.species), func(a, b Row) int {
		return cmp.Or(cmp.Compare(b.Fish, a.Fish), cmp.Compare(a.Name, b.Name))
	})
	for _, i := range slices.Sorted(maps.Keys(c.depths)) {
		c.f.Depths = append(c.f.Depths, *c.depths[i])
	}
	c.f.Months = slices.SortedFunc(values(c.months), func(a, b Row) int { return cmp.Compare(a.Name, b.Name) })
	c.f.Alive = c.simulate(seed)
	c.f.Recaptured = c.recaptured()
}

func values[K comparable](table map[K]*Row) iter.Seq[Row] {
	return func(yield func(Row) bool) {
		for _, r := range table {
			if !yield(*r) {
				return
			}
		}
	}
}

// simulate draws the survival model anew and adds up, for each draw, what sending
// down was worth over all fish: what is not known is shared between them, so the
// errors do not cancel out.
func (c *collector) simulate(seed uint64) advisor.Estimate {
	if len(c.classes) == 0 {
		return advisor.Estimate{}
	}
	keys := slices.SortedFunc(maps.Keys(c.classes), func(a, b class) int {
		return cmp.Or(cmp.Compare(a.species, b.species), cmp.Compare(a.depth, b.depth), cmp.Compare(a.grams100, b.grams100))
	})
	cases := make([]advisor.Case, len(keys))
	for i, k := range keys {
		cases[i] = k.asCase()
	}
	rng := rand.New(rand.NewPCG(seed, 0xa11fe))
	totals := make([]float64, samples)
	for i := range totals {
		draw := advisor.Posterior().Sample(rng)
		for j, k := range keys {
			gain := draw.Survival(cases[j], advisor.Recompressed) - draw.Survival(cases[j], advisor.Surface)
			totals[i] += float64(c.classes[k]) * gain
		}
	}
	slices.Sort(totals)
	middle := (totals[samples/2-1] + totals[samples/2]) / 2
	return advisor.Estimate{P: middle, Low: totals[samples/10], High: totals[samples-samples/10-1]}
}

func (k class) asCase() advisor.Case {
	s := advisor.LookUp(k.species)
	if s == nil {
		s = advisor.General()
	}
	depth, kg := float64(k.depth)*2, math.Max(0.1, float64(k.grams100)/5)
	c := advisor.Case{Species: s, DepthM: depth, WeightKg: kg}
	if s.Bladder == advisor.BladderClosed {
		c.LiftGf = advisor.LiftOf(s.Gas(), kg, depth).Gf
	}
	return c
}
