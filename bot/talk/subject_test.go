package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
	"deepward/bot/understand"
)

// open is a fish whose name fits several kinds, best first.
func open(kinds ...string) understand.Fish {
	f := fish(kinds[0], 0, 0)
	f.Query.Ambiguous, f.Query.Candidates = true, kinds
	return f
}

func signed(f understand.Fish) understand.Fish {
	f.Query.Signs = []advisor.Sign{advisor.BulgingEyes}
	return f
}

// unknown is a fish by a name that nobody knows.
func unknown(name string) understand.Fish {
	f := fish("", 0, 0)
	f.Name, f.Query.SpeciesName = name, name
	return f
}

// Whether a name can be that of a fish known before.
func TestNamesThatMayMeanOneFish(t *testing.T) {
	for name, c := range map[string]struct {
		known, f understand.Fish
		open     bool // it has no report
		want     bool
	}{
		"the same kind":                                {fish(gag, 60, 3), fish(gag, 0, 0), false, true},
		"another kind":                                 {fish(gag, 60, 3), fish(cod, 0, 0), true, false},
		"one unknown name":                             {unknown("gorb"), unknown("gorb"), false, true},
		"two unknown names":                            {unknown("gorb"), unknown("blarn"), true, false},
		"the open name fits the kind":                  {fish(gag, 60, 3), open(cod, gag), true, true},
		"so of a reported fish":                        {fish(gag, 60, 3), open(cod, gag), false, true},
		"the open name fits another":                   {fish(gag, 60, 3), open(cod, jack), true, false},
		"the name settles an open one":                 {open(cod, gag), fish(gag, 0, 0), true, true},
		"but not of a reported fish":                   {open(cod, gag), fish(gag, 0, 0), false, false},
		"an unknown name is said to be a kind":         {unknown("gorb"), fish(gag, 0, 0), true, true},
		"a kind with a depth is another fish":          {unknown("gorb"), fish(gag, 60, 0), true, false},
		"a kind with a weight is another fish":         {unknown("gorb"), fish(gag, 0, 3), true, false},
		"a kind with a sign is another fish":           {unknown("gorb"), signed(fish(gag, 0, 0)), true, false},
		"a kind that was let go is another fish":       {unknown("gorb"), done(fish(gag, 0, 0), advisor.Surface, ""), true, false},
		"a kind that is known becomes no unknown name": {fish(gag, 60, 3), unknown("gorb"), true, false},
	} {
		teller := &teller{r: question(c.f)}
		assert.Equal(t, c.want, teller.mayBe(c.known, c.f, c.open), name)
	}
	two := &teller{r: question(fish(gag, 0, 0), fish(cod, 0, 0))}
	assert.False(t, two.mayBe(unknown("gorb"), fish(gag, 0, 0), true), "of two names none says what it is")
}

// What of a fish of a kind that has a report makes it another one.
func TestWhatMakesAFishAnotherThanTheReportedOne(t *testing.T) {
	freed := done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)
	floated := done(fish(gag, 60, 3), advisor.Surface, advisor.FloatedOff)
	lifted := fish(gag, 60, 3)
	for name, c := range map[string]struct {
		known understand.Fish
		r     understand.Reading
		want  bool
	}{
		"a question of the same figures":     {freed, question(fish(gag, 60, 3)), false},
		"another depth":                      {freed, question(fish(gag, 62, 0)), true},
		"nearly the same depth":              {freed, question(fish(gag, 61, 0)), false},
		"another weight":                     {freed, report(fish(gag, 0, 3.1)), true},
		"another depth that puts right":      {freed, correction(fish(gag, 70, 0)), false},
		"told whole":                         {freed, report(fish(gag, 60, 3)), true},
		"depth alone":                        {freed, report(fish(gag, 60, 0)), false},
		"weight alone":                       {freed, report(fish(gag, 0, 3)), false},
		"an end with a depth":                {freed, report(done(fish(gag, 60, 0), "", advisor.SwamDown)), true},
		"an end with a weight":               {freed, report(done(fish(gag, 0, 3), "", advisor.SwamDown)), true},
		"an end alone":                       {freed, report(done(fish(gag, 0, 0), "", advisor.SwamDown)), false},
		"a deed after it swam off":           {freed, report(done(fish(gag, 0, 0), advisor.Recompressed, "")), true},
		"a deed after it floated":            {floated, report(done(fish(gag, 0, 0), advisor.Recompressed, "")), false},
		"a deed where no end was told":       {lifted, report(done(fish(gag, 0, 0), advisor.Recompressed, "")), false},
		"a length where a weight is known":   {freed, report(understand.Fish{Name: gag, Query: advisor.Query{Species: gag, Count: 1, Capture: advisor.Capture{LengthCm: new(50.0)}}}), true},
		"a depth where none was known of it": {fish(gag, 0, 3), question(fish(gag, 60, 0)), true},
	} {
		teller := &teller{r: c.r}
		assert.Equal(t, c.want, teller.tellsMore(Fish{Fish: c.known}, c.r.Fish[0]), name)
	}
}

// A bare figure after the size was asked for is a weight where the fish can weigh that.
func TestBareSizeIsTheOneThatTheFishCanHave(t *testing.T) {
	for name, c := range map[string]struct {
		units Units
		x     float64
		want  string
	}{
		"a weight":                        {Metric, 3, "weight_kg"},
		"too heavy for any":               {Metric, 290, "length_cm"},
		"only lengths have a known unit":  {Units{Length: 1}, 3, "length_cm"},
		"only weights have a known unit":  {Units{Weight: 1}, 3, "weight_kg"},
		"no unit is known, nothing taken": {Units{}, 3, ""},
	} {
		k := newTalker(t)
		k.hear(question(fish(cod, 60, 0)))
		k.now.Units = c.units
		teller := &teller{s: k.s, now: k.now}
		assert.Equal(t, c.want, teller.sizeField(c.x), name)
	}
	nobody := &teller{now: Now{Units: Metric}}
	assert.Empty(t, nobody.sizeField(3), "no fish is talked of")
}

// Two figures without a unit are the depth and the weight of a fish of which neither is
// known, where the first is three times the other or more.
func TestTwoBareFiguresAreDepthAndWeight(t *testing.T) {
	pair := func(x, y float64) understand.Reading {
		r := question(fish(gag, 0, 0))
		r.Loose = []understand.Bare{{Value: x, Words: "x"}, {Value: y, Words: "y"}}
		return r
	}
	for name, c := range map[string]struct {
		r    understand.Reading
		want bool
	}{
		"far apart":          {pair(410, 1.6), true},
		"three times":        {pair(6, 2), true},
		"nearer":             {pair(5.9, 2), false},
		"the smaller first":  {pair(2, 40), false},
		"of two fish":        {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 0, 0), fish(cod, 0, 0)}, Loose: pair(410, 1.6).Loose}, false},
		"a depth is known":   {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 60, 0)}, Loose: pair(410, 1.6).Loose}, false},
		"a weight is known":  {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 0, 3)}, Loose: pair(410, 1.6).Loose}, false},
		"no fish is told of": {understand.Reading{Act: understand.ActQuestion, Sure: 1, Loose: pair(410, 1.6).Loose}, false},
		"three figures":      {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 0, 0)}, Loose: append(pair(410, 1.6).Loose, understand.Bare{Value: 2})}, false},
	} {
		teller := &teller{r: c.r, now: Now{Units: Metric}}
		assert.Equal(t, c.want, teller.lendPair(), name)
	}
	strange := &teller{r: pair(410, 1.6), now: Now{Units: Units{Weight: 1}}}
	assert.False(t, strange.lendPair(), "nobody knows the unit of the depth")
	strange.now.Units = Units{Depth: 1}
	assert.False(t, strange.lendPair(), "nor that of the weight")
}

// A name that was heard as none points at the report of the fish that was typed so, newest
// first.
func TestNameInTheWordsPointsAtItsReport(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, "")))
	k.hear(report(done(fish(cod, 50, 2), advisor.Recompressed, "")))
	for text, want := range map[string]uint64{"the " + gag + " was 31": 1, "the " + cod + " was 31": 2, "it was 31": 0, gag + "s were 31": 0} {
		r := correction(fish("", 31, 0))
		r.Text = text
		var no uint64
		teller := &teller{s: k.s, r: r, now: k.now}
		if rows := teller.mentioned(k.s.Standing()); len(rows) > 0 {
			no = rows[0].No
		}
		assert.Equal(t, want, no, text)
	}
	one := newTalker(t)
	one.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, "")))
	r := correction(fish("", 31, 0))
	r.Text = "the " + gag + " was 31"
	teller := &teller{s: one.s, r: r}
	assert.Empty(t, teller.mentioned(one.s.Standing()), "where all have one name it tells none apart")
}

// Of weights that the words pick nothing is taken where none is aboard, nor where the fish
// was not sent down.
func TestPickedWeightIsOneThatIsAboard(t *testing.T) {
	for _, pick := range []understand.Pick{understand.PickLightest, understand.PickHeaviest, understand.PickTogether, ""} {
		f := done(fish(gag, 60, 3), advisor.Recompressed, "")
		teller := &teller{r: understand.Reading{Again: understand.Again{Pick: pick}}}
		assert.NotPanics(t, func() { teller.useAboard(&f) })
		assert.Empty(t, f.Done.WeightsOz, pick)
		teller.s.Aboard.ReleaseOz = []float64{20, 40}
		top := done(fish(gag, 60, 3), advisor.Surface, "")
		teller.useAboard(&top)
		assert.Empty(t, top.Done.WeightsOz, "it was let go at the top")
	}
	f := done(fish(gag, 60, 3), advisor.Recompressed, "")
	alike := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: []float64{40, 40}}}}
	alike.useAboard(&f)
	assert.Equal(t, []float64{40}, f.Done.WeightsOz, "of two alike it was one")
}

// "The second" is a fish of the talk where there are so many, and more than one.
func TestPlaceOfAFishAmongOthers(t *testing.T) {
	for n, want := range map[int]int{1: 0, 2: 1, 3: none} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, 3), fish(cod, 50, 2)))
		r := report(done(fish("", 0, 0), "", advisor.SwamDown))
		r.Again.Nth = n
		teller := &teller{s: k.s, r: r, now: k.now}
		assert.Equal(t, want, teller.subject(r.Fish[0]), n)
	}
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := report(done(fish("", 0, 0), "", advisor.SwamDown))
	r.Again.Nth = 1
	teller := &teller{s: k.s, r: r, now: k.now}
	assert.Zero(t, teller.subject(r.Fish[0]), "the only one")
	r.Again.Nth, r.Act = 2, understand.ActQuestion
	k.hear(question(fish(cod, 50, 2)))
	teller.s, teller.r = k.s, r
	assert.Equal(t, none, teller.subject(r.Fish[0]), "a question of a second one is of another fish")
}
