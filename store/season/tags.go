package season

import (
	"cmp"
	"hash/maphash"
	"math"
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
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
	// Fish were tagged in this log.
	Fish int
	// Followed are the sightings after the log, in Options.Later.
	Followed int
	// NoDay of those that count have no day of their own, and count whatever the rule.
	NoDay int
	// Counted are the fish that count by the rule, All are every tagged fish with
	// those ever seen again, before the rule.
	Counted, All Recaptures
	// Liberty, Growth and Moves are of the first recapture of each fish.
	Liberty Spread
	Growth  Growth
	Moves   []Move
	// Faults count the tags whose history cannot be.
	Faults map[Fault]int
}

// Recaptures are tagged fish by the method of their release, with those seen again.
type Recaptures struct {
	Methods     map[advisor.Method]Share
	Comparisons []Comparison
	// Trends with depth: all methods together, then each.
	Trends []DepthTrend
	// Jointly weighs method and depth together, Held within months of release.
	Jointly Jointly
	Held    Held
}

// Spread is how some numbers are spread: how many, their ends, quarters and middle
// (R's quantile, type 7; Hyndman & Fan 1996, Am. Stat. 50:361), and their mean. It
// is zero for no numbers.
type Spread struct {
	N                                       int
	Least, Lower, Middle, Upper, Most, Mean float64
}

// Growth is of the fish measured both times in the same way, histories that cannot
// be left out: what they grew in cm, and over how many days.
type Growth struct{ Cm, Days Spread }

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

// tagged collects the marks of tags. A long log has many: what they have in common is held
// once, and a tag is held as 128 bits of hash, enough that no two are ever taken for one.
type tagged struct {
	marks  marks
	seeds  [2]maphash.Seed
	shared map[alike]*alike
}

func newTagged() *tagged {
	return &tagged{seeds: [2]maphash.Seed{maphash.MakeSeed(), maphash.MakeSeed()}, shared: map[alike]*alike{}}
}

func (t *tagged) add(r *catch.Report) {
	if r.Tag == "" {
		return
	}
	m := markOf(r)
	if shared := t.shared[*m.alike]; shared != nil {
		m.alike = shared
	} else {
		t.shared[*m.alike] = m.alike
	}
	m.tag = t.hashed(r.Tag)
	t.marks.add(m)
}

// tagHash stands for a tag.
type tagHash [2]uint64

func (t *tagged) hashed(tag string) tagHash {
	return tagHash{maphash.String(t.seeds[0], tag), maphash.String(t.seeds[1], tag)}
}

// marked is where a mark lies. Most tags differ in the half of the hash that is at hand.
type marked struct {
	half uint64
	at   int32
}

// byTag are all marks: those of one tag together, in the order in which they were told.
func (t *tagged) byTag() []marked {
	order := make([]marked, t.marks.n)
	for i := range order {
		order[i] = marked{t.marks.at(int32(i)).tag[0], int32(i)}
	}
	slices.SortFunc(order, func(a, b marked) int {
		if a.half != b.half {
			return cmp.Compare(a.half, b.half)
		}
		return cmp.Or(cmp.Compare(t.marks.at(a.at).tag[1], t.marks.at(b.at).tag[1]), cmp.Compare(a.at, b.at))
	})
	return order
}

// has is whether a tag is among the marks.
func (t *tagged) has(order []marked, tag string) bool {
	h := t.hashed(tag)
	_, found := slices.BinarySearchFunc(order, h, func(m marked, h tagHash) int {
		return cmp.Or(cmp.Compare(m.half, h[0]), cmp.Compare(t.marks.at(m.at).tag[1], h[1]))
	})
	return found
}

// each gives the marks of one tag after the other, in the order in which they were told.
// They lie where those of the next will lie.
func (t *tagged) each(take func([]mark)) {
	var list []mark
	for order := t.byTag(); len(order) > 0; {
		list = list[:0]
		for len(order) > 0 && (len(list) == 0 || t.marks.at(order[0].at).tag == list[0].tag) {
			list = append(list, *t.marks.at(order[0].at))
			order = order[1:]
		}
		take(list)
	}
}

// marks are a list that grows without being moved.
type marks struct {
	pieces [][]mark
	n      int32
}

// marksAtOnce is by how many marks the list grows.
const marksAtOnce = 1 << 10

func (l *marks) add(m mark) {
	if l.n%marksAtOnce == 0 {
		l.pieces = append(l.pieces, make([]mark, marksAtOnce))
	}
	l.n++
	*l.at(l.n - 1) = m
}

func (l *marks) at(i int32) *mark { return &l.pieces[i/marksAtOnce][i%marksAtOnce] }

// tagSums add up the lives of tagged fish.
type tagSums struct {
	Tags
	all   recaptured
	rates recaptured
	days  []float64
	grown []float64
	over  []float64
	moved map[int]*moveCount
	left  leftOut
}

// recaptured are tagged fish by all that comparisons need.
type recaptured struct {
	bands  seenOf[cell]
	depths seenOf[place]
	lives  []tagLife
}

// place is a depth as it was told, and a method.
type place struct {
	method advisor.Method
	depthM float64
}

func newRecaptured() recaptured { return recaptured{bands: seenOf[cell]{}, depths: seenOf[place]{}} }

// seenOf counts how many fish of each kind were seen again.
type seenOf[K comparable] map[K]*Share

func (s seenOf[K]) add(kind K, seen bool) {
	of := s[kind]
	if of == nil {
		of = new(Share)
		s[kind] = of
	}
	*of = of.plus(seen)
}

func (s seenOf[K]) plain() map[K]Share {
	table := make(map[K]Share, len(s))
	for kind, of := range s {
		table[kind] = *of
	}
	return table
}

func (r recaptured) add(m mark, seen bool) {
	band, known := BandOf(&m.depthM)
	c := cell{m.species, band, monthOf(m.day), m.method}
	if m.dayFilled {
		c.month = noMonth
	}
	r.bands.add(c, seen)
	if known {
		r.depths.add(place{m.method, m.depthM}, seen)
	}
}

func (r recaptured) sum() Recaptures {
	bands := breakdown(r.bands.plain())
	s := Recaptures{Methods: bands.byMethod(), Comparisons: bands.pairs(), Jointly: jointly(r.depths.plain()), Held: held(r.lives)}
	for i := range s.Comparisons {
		c := &s.Comparisons[i]
		if e, ok := s.Held.Logistic.of(c.A, c.B); ok {
			c.Held = &e
		}
	}
	s.Trends = append(s.Trends, bands.trend(""))
	for _, m := range advisor.Methods[:3] {
		if s.Methods[m].N > 0 && len(s.Methods) > 1 {
			s.Trends = append(s.Trends, bands.trend(m))
		}
	}
	return s
}

type moveCount struct {
	fish    int
	anglers map[uint64]bool
}

// sum adds up the tags. left takes what was not counted.
func (t *tagged) sum(minDays int, cutOff time.Time, left leftOut) Tags {
	s := tagSums{
		Tags: Tags{
			MinDays: minDays, CutOff: cutOff, Faults: map[Fault]int{},
		},
		all: newRecaptured(), rates: newRecaptured(), moved: map[int]*moveCount{}, left: left,
	}
	t.each(func(marks []mark) {
		slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.at, b.at) })
		s.add(marks, lifeOf(marks))
	})
	t.marks = marks{} // the models need room
	s.finish()
	return s.Tags
}

// add takes in one tag. Nobody is left out for what became of it: a fish whose tag was put
// in twice counts once, from the first, seen again or not.
func (s *tagSums) add(marks []mark, l life) {
	if len(l.faults) > 0 { // most have none
		for _, f := range slices.Compact(slices.Sorted(slices.Values(l.faults))) {
			s.Faults[f]++
		}
	}
	if l.first < 0 {
		s.left.add(OutTagUnknown, 1)
		return
	}
	first := marks[l.first]
	s.Fish++
	s.all.add(first, len(l.sightings) > 0)
	again, seen := l.recapture()
	if seen && !l.has(FaultTwice, FaultBefore) { // the days and the growth are not to be trusted
		s.recaptured(first, l, again)
	}
	if why := s.excluded(first); why != "" {
		s.left.add(why, 1)
		return
	}
	if len(l.sightings) > 0 && !seen {
		s.left.add(OutTagSameDay, 1)
	}
	if first.dayFilled {
		s.left.add(OutTagNoDay, 1)
		s.NoDay++
	}
	if math.IsNaN(first.depthM) {
		s.left.add(OutTagNoDepth, 1)
	}
	s.rates.add(first, seen)
	s.live(first, l, again, seen)
}

// live takes the fish into the models of time, where its depth and its day are known.
func (s *tagSums) live(first mark, l life, again int, seen bool) {
	if math.IsNaN(first.depthM) || first.dayFilled || !slices.Contains(waysOfRelease[:], first.method) {
		return
	}
	one := tagLife{method: int8(slices.Index(waysOfRelease[:], first.method)), depthM: first.depthM, day: first.day, days: int32(dayOf(s.CutOff)) - first.day, seen: seen, when: true}
	if seen {
		one.days, one.when = int32(l.sightings[again].Days), l.sightings[again].DaysKnown
	}
	s.rates.lives = append(s.rates.lives, one)
}

// recapture is the first sighting after the trip.
func (l life) recapture() (i int, ok bool) {
	i = slices.IndexFunc(l.sightings, func(s Sighting) bool { return !s.DaysKnown || s.Days >= afterTrip })
	return i, i >= 0
}

// excluded says why a fish does not count in the rates, "" if it does.
func (s *tagSums) excluded(first mark) Reason {
	switch {
	case !first.alive:
		return OutTagDead
	case first.method == "":
		return OutTagNoMethod
	case !first.dayFilled && dayOf(s.CutOff)-int(first.day) < s.MinDays:
		return OutTagTooNew
	}
	return ""
}

// recaptured takes in the first recapture of a fish: days, growth, distance.
func (s *tagSums) recaptured(first mark, l life, i int) {
	again := l.sightings[i]
	if again.DaysKnown {
		s.days = append(s.days, float64(again.Days))
	}
	if again.GrewCm != nil && again.DaysKnown && !l.has(FaultShrank, FaultSpecies) {
		s.grown = append(s.grown, *again.GrewCm)
		s.over = append(s.over, float64(again.Days))
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
	s.All, s.Counted = s.all.sum(), s.rates.sum()
	s.Liberty = spreadOf(s.days)
	s.Growth = Growth{spreadOf(s.grown), spreadOf(s.over)}
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

func spreadOf(list []float64) Spread {
	if len(list) == 0 {
		return Spread{}
	}
	slices.Sort(list)
	at := func(q float64) float64 {
		i, part := math.Modf(q * float64(len(list)-1))
		low := list[int(i)]
		return low + part*(list[min(int(i)+1, len(list)-1)]-low)
	}
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	return Spread{len(list), at(0), at(0.25), at(0.5), at(0.75), at(1), sum / float64(len(list))}
}
