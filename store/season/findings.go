package season

import (
	"fmt"
	"iter"
	"slices"
	"sync"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
)

// Options choose how a log is read. The zero value is the usual way.
type Options struct {
	// Seed of the simulation: the same seed gives the same range.
	Seed uint64
	// MinDays is how many days a tagged fish must have been at large before CutOff
	// to count; nil is DefaultMinDays.
	MinDays *int
	// CutOff is the end of the watch for tagged fish; zero is the last report.
	CutOff time.Time
	// Later are reports outside the log, such as those of later seasons: fish that were
	// tagged in the log are followed into them. Nothing else of them counts.
	Later iter.Seq2[*catch.Report, error]
}

// Findings is all that one log says.
type Findings struct {
	// Reports is every fish that stands in the log, Released those let go, Anglers
	// how many people told of them.
	Reports, Released, Anglers int
	// Invented of the reports were made up.
	Invented    int
	First, Last time.Time
	// Dated is false when no report has a day of its own: First and Last then mean
	// nothing.
	Dated   bool
	Methods map[advisor.Method]Count
	// Species, Depths and Months hold the same fish; most fish first for the
	// species, in order for the others.
	Species, Depths, Months []Row
	// Boat compares how often fish did not go down at the boat.
	Boat  []Comparison
	Alive Alive
	Tags  Tags
	// Cells are where fish were told of, those left out that hold so few fish or anglers
	// that they could lead to somebody's mark.
	Cells []CellCount
	// Doubts say how far the log can be trusted, by code of the doubt.
	Doubts map[Doubt]int
	// LeftOut says what was not counted, where, and why.
	LeftOut []Left
}

// Find reads a log in one pass. Besides counters, which do not grow with the log, it
// remembers the anglers, each tagged fish, and each class of fish that were sent
// down. The reports may be reused by whoever yields them.
//
// The error is the first that reports yields.
func Find(reports iter.Seq2[*catch.Report, error], o Options) (Findings, error) {
	c := collector{
		counters: counters{}, cells: cells{}, tags: newTagged(), classes: classes{}, anglers: map[uint64]struct{}{},
		doubts: map[Doubt]int{}, left: leftOut{},
	}
	for r, err := range reports {
		if err != nil {
			return Findings{}, fmt.Errorf("reading the log: %w", err)
		}
		c.add(r)
	}
	if err := c.follow(o.Later); err != nil {
		return Findings{}, err
	}
	return c.findings(o), nil
}

// follow looks for the fish of the log in later reports.
func (c *collector) follow(later iter.Seq2[*catch.Report, error]) error {
	if later == nil {
		return nil
	}
	c.watched = c.last
	known := c.tags.byTag()
	for r, err := range later {
		if err != nil {
			return fmt.Errorf("reading what came later: %w", err)
		}
		if r.Undone {
			continue
		}
		if r.CaughtAt.After(c.watched) {
			c.watched = r.CaughtAt
		}
		if r.Recapture && c.tags.has(known, r.Tag) && r.CaughtAt.After(c.first) {
			c.followed++
			c.tags.add(r)
		}
	}
	return nil
}

type collector struct {
	counters    counters
	tags        *tagged
	cells       cells
	classes     classes
	anglers     map[uint64]struct{}
	doubts      map[Doubt]int
	left        leftOut
	reports     int
	invented    int
	first, last time.Time
	watched     time.Time // the end of what came later
	followed    int
	dated       bool // some report has a day of its own
}

func (c *collector) add(r *catch.Report) {
	if r.Undone {
		c.left.add(OutUndone, 1)
		return
	}
	c.reports++
	c.invented += number(r.Origin == catch.Invented)
	if r.Who != 0 {
		c.anglers[r.Who] = struct{}{}
	}
	c.span(r)
	c.tags.add(r)
	c.cells.add(r)
	doubt(r, c.doubts)
	if r.Method == "" {
		c.left.add(noMethod(r), 1)
		return
	}
	c.counters.add(r)
	c.classes.add(r, c.left)
	if slices.Contains(r.Flags, DateFilled) {
		c.left.add(OutMonthTable, 1)
	}
	if r.DepthM == nil && r.Method != advisor.Kept {
		c.left.add(OutDepthTable, 1)
	}
}

// span widens the time of the log. A day that stands for a whole table counts only
// where no other is known.
func (c *collector) span(r *catch.Report) {
	filled := slices.Contains(r.Flags, DateFilled) || slices.Contains(r.Flags, DayUnknown)
	if filled && c.dated {
		return
	}
	if !filled && !c.dated {
		c.dated, c.first, c.last = true, time.Time{}, time.Time{}
	}
	if c.first.IsZero() || r.CaughtAt.Before(c.first) {
		c.first = r.CaughtAt
	}
	if r.CaughtAt.After(c.last) {
		c.last = r.CaughtAt
	}
}

func noMethod(r *catch.Report) Reason {
	if r.Recapture {
		return OutRecaptureNoMethod
	}
	return OutNoMethod
}

func (c *collector) findings(o Options) Findings {
	f := Findings{
		Reports: c.reports, Invented: c.invented, Anglers: len(c.anglers), First: c.first, Last: c.last, Dated: c.dated, Methods: c.counters.byMethod(),
		Species: c.counters.bySpecies(), Depths: c.counters.byDepth(), Months: c.counters.byMonth(),
		Boat: c.counters.troubled().pairs(), Doubts: c.doubts,
	}
	for m, n := range f.Methods {
		if m != advisor.Kept {
			f.Released += n.Fish
		}
	}
	var draws sync.WaitGroup
	draws.Go(func() { f.Alive = c.classes.simulate(o.Seed) })
	if o.CutOff.IsZero() {
		o.CutOff = c.last
		if c.watched.After(c.last) {
			o.CutOff = c.watched
		}
	}
	if o.MinDays == nil {
		o.MinDays = new(DefaultMinDays)
	}
	f.Tags = c.tags.sum(*o.MinDays, o.CutOff, c.left)
	f.Tags.Followed = c.followed
	f.Cells = c.cells.shown()
	f.LeftOut = c.left.list()
	draws.Wait()
	return f
}
