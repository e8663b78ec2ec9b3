package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// reported is a talk in which three fish were reported, each in a message of its own.
func reported(t *testing.T) *talker {
	k := newTalker(t)
	for _, f := range []understand.Fish{fish(gag, 60, 3), fish(cod, 50, 2), fish(gag, 40, 5)} {
		k.hear(report(done(f, advisor.Recompressed, advisor.SwamDown)))
	}
	return k
}

// A place among others counts in the newest message where that made several, else in all
// that stand.
func TestReportIsMeantByItsPlace(t *testing.T) {
	for name, c := range map[string]struct {
		again   understand.Again
		two     bool // the newest message made two
		changed uint64
	}{
		"the first":                       {understand.Again{Nth: 1}, false, 1},
		"the second":                      {understand.Again{Nth: 2}, false, 2},
		"the third":                       {understand.Again{Nth: 3}, false, 3},
		"the last":                        {understand.Again{Last: true}, false, 3},
		"the last but one":                {understand.Again{LastButOne: true}, false, 2},
		"the fourth is none: the newest":  {understand.Again{Nth: 4}, false, 3},
		"the first of two":                {understand.Again{Nth: 1}, true, 4},
		"the second of two":               {understand.Again{Nth: 2}, true, 5},
		"the third is not one of the two": {understand.Again{Nth: 3}, true, 3},
		"the last of two":                 {understand.Again{Last: true}, true, 5},
		"the last but one of two":         {understand.Again{LastButOne: true}, true, 4},
	} {
		k := reported(t)
		if c.two {
			k.hear(report(done(fish(jack, 30, 4), advisor.Surface, advisor.SwamDown), done(fish(cod, 30, 4), advisor.Surface, advisor.SwamDown)))
		}
		r := correction(fish("", 71, 0))
		r.Again = c.again
		m := k.hear(r)
		require.Len(t, m.Change, 1, name)
		assert.Equal(t, c.changed, m.Change[0].No, name)
		assert.Equal(t, 71.0, *m.Change[0].Fish.Query.DepthM, name)
	}
}

// Undo of the last but one takes the one before the newest, the only one where it is alone.
func TestUndoOfTheLastButOne(t *testing.T) {
	r := undo
	r.Again.LastButOne = true
	assert.Equal(t, []uint64{2}, reported(t).hear(r).TakeBack)
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	assert.Equal(t, []uint64{1}, k.hear(r).TakeBack)
	k = newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(report(done(fish(cod, 50, 2), advisor.Recompressed, advisor.SwamDown)))
	assert.Equal(t, []uint64{1}, k.hear(r).TakeBack)
}

// A correction of a fish that is only talked of is of that fish, though another has a report.
func TestCorrectionOfAnOpenFishLeavesTheReportAlone(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(question(fish(cod, 50, 2)))
	m := k.hear(correction(fish("", 55, 0)))
	assert.Equal(t, Answer, m.Do)
	require.Len(t, m.Fish, 1)
	assert.Equal(t, cod, m.Fish[0].Query.Species)
	assert.Equal(t, 55.0, *m.Fish[0].Query.DepthM)
	assert.Equal(t, 60.0, *k.only().Fish.Query.DepthM)
	m = k.hear(correction(done(fish("", 0, 0), advisor.Vented, "")))
	assert.Equal(t, Change, m.Do, "what was done can only have been done with the reported one")
	assert.Equal(t, advisor.Vented, k.only().Fish.Done.Method)
}

// As many fish as are told are left of a message, or are added like the last.
func TestNumberOfFishIsPutRight(t *testing.T) {
	for told, c := range map[int]struct {
		back []uint64
		kept int
	}{1: {[]uint64{2, 3}, 0}, 2: {[]uint64{3}, 0}, 3: {nil, 0}, 5: {nil, 2}} {
		k := newTalker(t)
		k.hear(report(counted(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown), 3)))
		require.Len(t, k.s.Standing(), 3)
		m := k.hear(correction(counted(fish("", 0, 0), told)))
		assert.Equal(t, c.back, m.TakeBack, told)
		assert.Len(t, m.Keep, c.kept, told)
		assert.Len(t, k.s.Standing(), told)
		for _, r := range k.s.Standing() {
			assert.Equal(t, gag, r.Fish.Query.Species)
			assert.Equal(t, advisor.SwamDown, r.Fish.Done.Outcome)
		}
	}
	for told, changed := range map[int]int{1: 1, 2: 2, 3: 3} {
		k := newTalker(t)
		k.hear(report(counted(done(fish(gag, 60, 3), advisor.Recompressed, ""), 3)))
		m := k.hear(correction(counted(done(fish("", 0, 0), advisor.Vented, ""), told)))
		require.Len(t, m.Change, changed, "so many of them were let go otherwise")
		assert.Equal(t, uint64(3), m.Change[changed-1].No, "the newest")
		assert.Len(t, k.s.Standing(), 3)
	}
}

func TestFishOfOneKind(t *testing.T) {
	named := func(species, name string) advisor.Query { return advisor.Query{Species: species, SpeciesName: name} }
	several := advisor.Query{SpeciesName: "grouper", Ambiguous: true, Candidates: []string{gag, "Epinephelus morio"}, Species: "Epinephelus morio"}
	for name, c := range map[string]struct {
		known, told advisor.Query
		same        bool
	}{
		"one species":                    {named(gag, "gag"), named(gag, "gag grouper"), true},
		"two":                            {named(gag, "gag"), named(cod, "cod"), false},
		"nobody knows it, one name":      {named("", "thingummy"), named("", "thingummy"), true},
		"nobody knows them, two names":   {named("", "thingummy"), named("", "whatsit"), false},
		"one is known, of the same name": {named(gag, "grouper"), named("", "grouper"), false},
		"the other is":                   {named("", "grouper"), named(gag, "grouper"), false},
		"one of several that it may be":  {named(gag, "gag"), several, true},
		"none of them":                   {named(cod, "cod"), several, false},
	} {
		assert.Equal(t, c.same, sameKind(c.known, c.told), name)
	}
}

// A figure of a further fish that has no unit is that of the fish before which it is near
// to: within half as much again either way, and no further.
func TestFigureOfAFurtherFishIsLikeThatBefore(t *testing.T) {
	for x, want := range map[float64]string{30: "depth_m", 45: "depth_m", 20: "depth_m", 45.5: "", 19.5: ""} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(report(done(fish(gag, 30, 0), advisor.Recompressed, advisor.SwamDown)))
		r := report(understand.Fish{Query: advisor.Query{Count: 1}})
		r.Again.Another = true
		r.Further = 1
		teller := &teller{s: k.s, r: r, now: k.now}
		assert.Equal(t, want, teller.nearestAlike(x), x)
	}
}

// What is asked of a fish whose size is known is its depth, also of the only one there is.
func TestSizeOfTheFishThatIsTalkedOfIsKnown(t *testing.T) {
	for name, c := range map[string]struct {
		list  []Fish
		field string
		want  bool
	}{
		"the only fish":     {[]Fish{{Fish: fish(gag, 0, 3)}}, "weight_kg", true},
		"its length":        {[]Fish{{Fish: fish(gag, 0, 3)}}, "length_cm", true},
		"its depth":         {[]Fish{{Fish: fish(gag, 0, 3)}}, "depth_m", false},
		"the depth is told": {[]Fish{{Fish: fish(gag, 60, 3)}}, "weight_kg", false},
		"no size is told":   {[]Fish{{Fish: fish(gag, 0, 0)}}, "weight_kg", false},
		"no fish":           {nil, "weight_kg", false},
	} {
		teller := &teller{s: State{Fish: c.list}}
		assert.Equal(t, c.want, teller.knowsSize(c.field), name)
	}
}

// A bare figure of a correction that points at a report is one of that report's fish, not
// of the one talked of last.
func TestBareFigureIsOfTheReportThatIsPointedAt(t *testing.T) {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(report(done(fish(cod, 9, 4), advisor.Surface, advisor.SwamDown)))
	for act, want := range map[understand.Act]string{understand.ActCorrection: gag, understand.ActQuestion: cod} {
		r := correction()
		r.Act, r.Again.Nth = act, 1
		teller := &teller{s: k.s, r: r, now: k.now}
		q, ok := teller.lastQuery()
		require.True(t, ok)
		assert.Equal(t, want, q.Species, act)
	}
	r := correction()
	r.Again.Nth = 1
	r.Loose = []understand.Bare{{Value: 10}}
	m := k.hear(r)
	require.Len(t, m.Change, 1)
	assert.Equal(t, uint64(1), m.Change[0].No)
	assert.Equal(t, 60.0, *m.Change[0].Fish.Query.DepthM, "10 is nearer to 3 kg than to 60 m")
	assert.Equal(t, 10.0, *m.Change[0].Fish.Query.WeightKg)
}
