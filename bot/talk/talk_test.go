package talk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

var dawn = time.Date(2026, 5, 1, 6, 0, 0, 0, time.UTC)

const (
	gag  = "Mycteroperca microlepis"
	cod  = "Gadus morhua"
	jack = "Seriola dumerili"
)

// talker plays readings, a minute apart, and numbers what is kept.
type talker struct {
	t    *testing.T
	s    State
	at   time.Time
	last uint64
	now  Now
}

func newTalker(t *testing.T) *talker { return &talker{t: t, at: dawn} }

func (k *talker) hear(r understand.Reading) Move {
	k.at = k.at.Add(time.Minute)
	k.now.At = k.at
	m, s := Next(k.s, r, k.now)
	numbers := make([]uint64, len(m.Keep))
	for i := range numbers {
		k.last++
		numbers[i] = k.last
	}
	k.s = s.Number(numbers)
	return m
}

func (k *talker) wait(d time.Duration) { k.at = k.at.Add(d) }

func (k *talker) only() Row {
	k.t.Helper()
	rows := k.s.Standing()
	require.Len(k.t, rows, 1)
	return rows[0]
}

// fish is one of a kind, "" for none named; zero figures are not told.
func fish(species string, depth, weight float64) understand.Fish {
	f := understand.Fish{Name: species, Query: advisor.Query{Species: species, SpeciesName: species, Count: 1}}
	if depth > 0 {
		f.Query.DepthM = &depth
	}
	if weight > 0 {
		f.Query.WeightKg = &weight
	}
	return f
}

func done(f understand.Fish, how advisor.Method, end advisor.Outcome) understand.Fish {
	f.Done.Method, f.Done.Outcome = how, end
	return f
}

func counted(f understand.Fish, n int) understand.Fish {
	f.Counted, f.Query.Count = true, n
	return f
}

func question(list ...understand.Fish) understand.Reading {
	return understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Sure: 1, Fish: list}
}

func report(list ...understand.Fish) understand.Reading {
	return understand.Reading{Act: understand.ActReport, Sure: 1, Fish: list}
}

func correction(list ...understand.Fish) understand.Reading {
	return understand.Reading{Act: understand.ActCorrection, Sure: 1, Corrects: true, Fish: list}
}

var undo = understand.Reading{Act: understand.ActCommand, Want: understand.WantUndo, Verb: "undo", Sure: 1}

func TestMoreFactsAreOfTheFishThatIsTalkedOf(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish("", 60, 3)))
	m := k.hear(question(fish(gag, 0, 0)))
	require.Len(t, m.Fish, 1)
	assert.Equal(t, gag, m.Fish[0].Query.Species)
	assert.Equal(t, 60.0, *m.Fish[0].Query.DepthM)
	assert.Equal(t, 3.0, *m.Fish[0].Query.WeightKg)
}

func TestReportTakesOverTheFishAndTheOnlyWeightAboard(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := question()
	r.Aboard.ReleaseOz = []float64{20}
	k.hear(r)
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, "")))
	row := k.only()
	assert.Equal(t, gag, row.Fish.Query.Species)
	assert.Equal(t, 60.0, *row.Fish.Query.DepthM)
	assert.Equal(t, []float64{20}, row.Fish.Done.WeightsOz)
	assert.Equal(t, AskWent, k.s.Asked.What)
	m := k.hear(report(done(fish("", 0, 0), "", advisor.SwamDown)))
	assert.Equal(t, Change, m.Do, "how it went completes the report")
	assert.Equal(t, advisor.SwamDown, k.only().Fish.Done.Outcome)
}

func TestFishThatIsToldWholeIsAnotherEvenIfJustAsLarge(t *testing.T) {
	k := newTalker(t)
	k.hear(report(fish(gag, 40, 3)))
	k.hear(report(fish(gag, 40, 3)))
	assert.Len(t, k.s.Standing(), 2)
	k.hear(report(fish(gag, 0, 3)))
	assert.Len(t, k.s.Standing(), 2, "its weight alone is told of the last")
}

func TestWhatCameBackUpIsKeptAndAnsweredAnew(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	floating := fish("", 0, 0)
	floating.Query.Behaviour = advisor.Floating
	m := k.hear(question(floating))
	assert.True(t, m.Again)
	require.Len(t, m.Fish, 1)
	assert.Equal(t, advisor.FloatedOff, k.only().Fish.Done.Outcome)
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)))
	assert.Equal(t, advisor.SwamDown, k.only().Fish.Done.Outcome, "sent down again, and away")
}

func TestCorrectionsFindTheirReport(t *testing.T) {
	for name, c := range map[string]struct {
		reading understand.Reading
		no      uint64
		species string
		depth   float64
	}{
		"the last one, without a name": {correction(fish("", 55, 0)), 2, cod, 55},
		"by name":                      {correction(fish(gag, 55, 0)), 1, gag, 55},
		"by number":                    {func() understand.Reading { r := correction(fish("", 55, 0)); r.Number = 1; return r }(), 1, gag, 55},
		"another name":                 {correction(fish(jack, 0, 0)), 2, jack, 30},
	} {
		t.Run(name, func(t *testing.T) {
			k := newTalker(t)
			k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
			k.hear(report(done(fish(cod, 30, 2), advisor.Surface, advisor.SwamDown)))
			m := k.hear(c.reading)
			require.Len(t, m.Change, 1)
			assert.Equal(t, c.no, m.Change[0].No)
			assert.Equal(t, c.species, m.Change[0].Fish.Query.Species)
			assert.Equal(t, c.depth, *m.Change[0].Fish.Query.DepthM)
		})
	}
}

func TestUndoGoesFurtherBackAndComesBack(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(report(done(fish(cod, 30, 2), advisor.Surface, advisor.SwamDown)))
	assert.Equal(t, []uint64{2}, k.hear(undo).TakeBack)
	assert.Equal(t, []uint64{1}, k.hear(undo).TakeBack)
	assert.Empty(t, k.hear(undo).TakeBack)
	back := understand.Reading{Act: understand.ActCommand, Want: understand.WantPutBack, Sure: 1}
	assert.Equal(t, []uint64{1}, k.hear(back).PutBack)
	assert.Equal(t, []uint64{2}, k.hear(back).PutBack)
	assert.Len(t, k.s.Standing(), 2)
}

func TestSeveralFatesBecomeSeveralRows(t *testing.T) {
	k := newTalker(t)
	m := k.hear(report(counted(done(fish(gag, 40, 0), advisor.Recompressed, ""), 3),
		counted(done(fish("", 0, 0), "", advisor.SwamDown), 2), counted(done(fish("", 0, 0), "", advisor.FloatedOff), 1)))
	var ends []advisor.Outcome
	for _, r := range m.Keep {
		ends = append(ends, r.Fish.Done.Outcome)
		assert.Equal(t, gag, r.Fish.Query.Species)
		assert.Equal(t, 40.0, *r.Fish.Query.DepthM)
	}
	assert.Equal(t, []advisor.Outcome{advisor.SwamDown, advisor.SwamDown, advisor.FloatedOff}, ends)
}

func TestSameAgainCarriesOver(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	r := report(done(fish("", 0, 4), "", advisor.FloatedOff))
	r.Again.All = true
	m := k.hear(r)
	require.Len(t, m.Keep, 1)
	f := m.Keep[0].Fish
	assert.Equal(t, gag, f.Query.Species)
	assert.Equal(t, 60.0, *f.Query.DepthM)
	assert.Equal(t, 4.0, *f.Query.WeightKg)
	assert.Equal(t, advisor.Recompressed, f.Done.Method)
	assert.Equal(t, advisor.FloatedOff, f.Done.Outcome)
	spot := question(fish(cod, 0, 2))
	spot.Again.Spot = true
	q := k.hear(spot).Fish[0].Query
	assert.Equal(t, cod, q.Species)
	assert.Equal(t, 60.0, *q.DepthM, "the spot gives the depth, not the kind")
}

// A size that was asked for and comes with its unit leaves the bare figure to be the depth.
func TestBareDepthBesideTheSizeThatWasAskedForIsAskedForItsUnit(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(cod, 60, 0)))
	assert.Equal(t, AskSize, k.s.Asked.What)
	next := question(fish(gag, 0, 4))
	next.Loose = []understand.Bare{{Value: 150, Words: "150"}}
	k.hear(next)
	assert.Equal(t, Ask{What: AskUnit, Field: "depth_m", Value: 150}, k.s.Asked)
}

func TestBareDepthIsAskedForItsUnitOrTakenInThePersons(t *testing.T) {
	bare := question(fish(gag, 0, 0))
	bare.Bare = []understand.Bare{{Value: 145, Role: "depth_m", Words: "145"}}
	k := newTalker(t)
	k.hear(bare)
	assert.Equal(t, Ask{What: AskUnit, Field: "depth_m", Value: 145}, k.s.Asked)
	feetOnly := question()
	feetOnly.Unit = understand.LoneUnit{Field: "depth_m", Factor: feet}
	m := k.hear(feetOnly)
	assert.InDelta(t, 44.196, *m.Fish[0].Query.DepthM, 1e-9)
	own := newTalker(t)
	own.now.Units = Imperial
	m = own.hear(bare)
	assert.InDelta(t, 44.196, *m.Fish[0].Query.DepthM, 1e-9)
	assert.Equal(t, []Lent{{Field: "depth_m", Value: 145, Unit: "feet"}}, m.Assumed)
}

// Each window holds to its last moment and no second longer. The figures stand here once
// more: who changes one is to say so twice.
func TestWindowsOfTime(t *testing.T) {
	for name, c := range map[string]struct {
		window time.Duration
		holds  func(k *talker) bool
		before understand.Reading
	}{
		"fish": {6 * time.Hour, func(k *talker) bool { return len(k.hear(question(fish("", 0, 5))).Fish[0].Query.Species) > 0 }, question(fish(gag, 60, 3))},
		"correction": {2 * time.Hour, func(k *talker) bool { k.s.Fish = nil; return len(k.hear(correction(fish("", 55, 0))).Change) == 1 },
			report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown))},
		"what was asked": {time.Hour, func(k *talker) bool {
			return k.hear(understand.Reading{Act: understand.ActOther, Fish: []understand.Fish{fish("", 50, 0)}}).Do == Answer
		}, question(fish(gag, 0, 3))},
	} {
		t.Run(name, func(t *testing.T) {
			k := newTalker(t)
			k.hear(c.before)
			k.wait(c.window - time.Minute) // hear waits another
			assert.True(t, c.holds(k), "still")
			k = newTalker(t)
			k.hear(c.before)
			k.wait(c.window - time.Minute + time.Second)
			assert.False(t, c.holds(k), "no more")
		})
	}
}

func TestTalkRemembersTheLastTwoDozenReports(t *testing.T) {
	k := newTalker(t)
	for range 25 {
		k.hear(report(fish(gag, 40, 3)))
	}
	require.Len(t, k.s.Rows, 24)
	assert.Equal(t, uint64(2), k.s.Rows[0].No, "the oldest is forgotten")
	assert.Equal(t, uint64(25), k.s.Rows[23].No)
}

func TestWhatIsAboardIsForgottenWhenTheDayEnds(t *testing.T) {
	k := newTalker(t)
	r := question(fish(gag, 60, 3))
	r.Aboard.ReleaseOz = []float64{20}
	k.hear(r)
	k.wait(17 * time.Hour)
	k.hear(question(fish(cod, 30, 2)))
	assert.Equal(t, []float64{20}, k.s.Aboard.ReleaseOz)
	k.wait(time.Hour)
	k.hear(question(fish(cod, 30, 2)))
	assert.Empty(t, k.s.Aboard.ReleaseOz)
}
