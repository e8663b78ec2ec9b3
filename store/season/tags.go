package season

import (
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store"
)

// DefaultMinDays is how many days a tagged fish must have been at large before the
// end of the log to be counted: one tagged yesterday had no chance to be seen again.
const DefaultMinDays = 7

// afterTrip is how many days later a sighting counts as a recapture: one of the same
// day is the same trip, and says nothing of survival.
const afterTrip = 1

// Tags is what the tagged fish of a log say.
type Tags struct {
	// MinDays and CutOff are the rule: a tagged fish let go alive counts when it was
	// at large for so many days before the cut-off, and as seen again when it was,
	// on a later day, up to the cut-off. One outcome for each fish.
	MinDays int
	CutOff  time.Time
	// Fish were tagged in this log. All are they by the method of that release, with
	// those ever seen again, before the rule; AllComparisons are of those.
	Fish           int
	All            map[advisor.Method]Share
	AllComparisons []Comparison
	// Methods are the fish that count by the rule.
	Methods     map[advisor.Method]Share
	Comparisons []Comparison
	// Trends with depth: all methods together, then each.
	Trends []DepthTrend
	// Liberty, Growth and Moves are of the first recapture of each fish.
	Liberty Spread
	Growth  Growth
	Moves   []Move
	// Faults count the tags whose history cannot be.
	Faults map[Fault]int
}

// Spread is the middle and the ends of some whole numbers.
type Spread struct{ N, Least, Middle, Most int }

// Growth is of the fish measured both times in the same way, histories that cannot
// be left out.
type Growth struct {
	// Fish, and the middle growth in cm with the quarter that grew less and the
	// quarter that grew more; over MiddleDays days in the middle.
	Fish                       int
	LowerCm, MiddleCm, UpperCm float64
	MiddleDays                 int
}

// Move is a row of the table of distances.
type Move struct {
	// FromCells and ToCells are how many 0.1 degree cells away; ToCells is -1 for no
	// end.
	FromCells, ToCells int
	Fish               int
	// Hidden is true when so few fish or anglers stand behind the row that it could
	// lead to somebody's mark: then Fish is 0.
	Hidden bool
}

// The least that a row with a place in it must hold; common practice, no source.
const (
	leastFishShown    = 3
	leastAnglersShown = 2
)

// tagged collects the marks of each tag.
type tagged map[string][]mark

func (t tagged) add(r *store.Report) {
	if r.Tag != "" {
		t[r.Tag] = append(t[r.Tag], markOf(r))
	}
}

// tagSums add up the lives of tagged fish.
type tagSums struct {
	Tags
	all   breakdown
	rates breakdown
	days  []int
	grown []float64
	over  []int
	moved map[int]*moveCount
	left  leftOut
}

type moveCount struct {
	fish    int
	anglers map[uint64]bool
}

// sum adds up the tags. left takes what was not counted.
func (t tagged) sum(minDays int, cutOff time.Time, left leftOut) Tags {
	s := tagSums{
		Tags: Tags{
			MinDays: minDays, CutOff: cutOff, Faults: map[Fault]int{},
		},
		all: breakdown{}, rates: breakdown{}, moved: map[int]*moveCount{}, left: left,
	}
	for _, tag := range names(t) {
		marks := t[tag]
		slices.SortStableFunc(marks, func(a, b mark) int { return a.at.Compare(b.at) })
		s.add(marks, lifeOf(marks))
	}
	s.finish()
	return s.Tags
}

// add takes in one tag. A fish whose history cannot be is left out of the rates; one
// that seems to have shrunk or to have changed its kind was seen again all the same.
func (s *tagSums) add(marks []mark, l life) {
	for _, f := range slices.Compact(slices.Sorted(slices.Values(l.faults))) {
		s.Faults[f]++
	}
	if l.first < 0 {
		s.left.add(OutTagUnknown, 1)
		return
	}
	first := marks[l.first]
	s.Fish++
	band, known := BandOf(&first.depthM)
	c := cell{first.species, band, first.method}
	s.all[c] = s.all[c].plus(len(l.sightings) > 0)
	again, seen := l.recapture()
	if seen && !l.has(FaultTwice, FaultBefore) {
		s.recaptured(first, l, again)
	}
	if why := s.excluded(first, l); why != "" {
		s.left.add(why, 1)
		return
	}
	if len(l.sightings) > 0 && !seen {
		s.left.add(OutTagSameDay, 1)
	}
	if !known {
		s.left.add(OutTagNoDepth, 1)
	}
	s.rates[c] = s.rates[c].plus(seen)
}

// recapture is the first sighting after the trip.
func (l life) recapture() (i int, ok bool) {
	i = slices.IndexFunc(l.sightings, func(s Sighting) bool { return !s.DaysKnown || s.Days >= afterTrip })
	return i, i >= 0
}

// excluded says why a fish does not count in the rates, "" if it does.
func (s *tagSums) excluded(first mark, l life) Reason {
	switch {
	case l.has(FaultTwice):
		return OutTagTwice
	case l.has(FaultBefore):
		return OutTagBefore
	case !first.alive:
		return OutTagDead
	case first.method == "":
		return OutTagNoMethod
	case daysBetween(first.at, s.CutOff) < s.MinDays:
		return OutTagTooNew
	}
	return ""
}

// recaptured takes in the first recapture of a fish: days, growth, distance.
func (s *tagSums) recaptured(first mark, l life, i int) {
	again := l.sightings[i]
	if again.DaysKnown {
		s.days = append(s.days, again.Days)
	}
	if again.GrewCm != nil && again.DaysKnown && !l.has(FaultShrank, FaultSpecies) {
		s.grown = append(s.grown, *again.GrewCm)
		s.over = append(s.over, again.Days)
	}
	if again.Cells == nil {
		return
	}
	row := moveRow(*again.Cells)
	if s.moved[row] == nil {
		s.moved[row] = &moveCount{anglers: map[uint64]bool{}}
	}
	s.moved[row].fish++
	s.moved[row].anglers[first.who] = true
	s.moved[row].anglers[l.seenBy[i]] = true
}

// The rows of the table of distances begin at so many cells.
var moveRows = [...]int{0, 1, 2, 5}

func moveRow(cells int) int {
	row := 0
	for i, from := range moveRows {
		if cells >= from {
			row = i
		}
	}
	return row
}

func (s *tagSums) finish() {
	s.All, s.AllComparisons = s.all.byMethod(), s.all.pairs()
	s.Methods = s.rates.byMethod()
	s.Comparisons = s.rates.pairs()
	s.Trends = append(s.Trends, s.rates.trend(""))
	for _, m := range Methods[:3] {
		if s.Methods[m].N > 0 && len(s.Methods) > 1 {
			s.Trends = append(s.Trends, s.rates.trend(m))
		}
	}
	s.Liberty = spreadOf(s.days)
	s.Growth = growthOf(s.grown, s.over)
	for _, i := range names(s.moved) {
		s.Moves = append(s.Moves, moveOf(i, s.moved[i]))
	}
}

func moveOf(row int, n *moveCount) Move {
	m := Move{FromCells: moveRows[row], ToCells: -1, Fish: n.fish}
	if row+1 < len(moveRows) {
		m.ToCells = moveRows[row+1] - 1
	}
	delete(n.anglers, 0) // a person who was forgotten is nobody
	if n.fish < leastFishShown || len(n.anglers) < leastAnglersShown {
		m.Hidden, m.Fish = true, 0
	}
	return m
}

func spreadOf(list []int) Spread {
	if len(list) == 0 {
		return Spread{}
	}
	slices.Sort(list)
	return Spread{len(list), list[0], list[len(list)/2], list[len(list)-1]}
}

func growthOf(cm []float64, days []int) Growth {
	if len(cm) == 0 {
		return Growth{}
	}
	slices.Sort(cm)
	at := func(q float64) float64 { return cm[int(q*float64(len(cm)-1)+0.5)] }
	return Growth{len(cm), at(0.25), at(0.5), at(0.75), spreadOf(days).Middle}
}
