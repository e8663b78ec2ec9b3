package talk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// outfitted is a talker with weights aboard: release weights in ounces, or other lead in grams.
func outfitted(t *testing.T, ounces, grams []float64, list ...understand.Fish) *talker {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(question(list...))
	r := question()
	r.Aboard.ReleaseOz, r.Aboard.LeadG = ounces, grams
	k.hear(r)
	return k
}

// weights are those used, by report.
func (k *talker) weights() (list [][]float64) {
	for _, r := range k.s.Standing() {
		list = append(list, r.Fish.Done.WeightsOz)
	}
	return list
}

// bare is a figure without a unit and of no role.
func bare(x float64) []understand.Bare { return []understand.Bare{{Value: x}} }

// What is no release weight is what a fish was sent down with where nothing else is aboard.
func TestOtherLeadAboardIsWhatWasUsed(t *testing.T) {
	k := outfitted(t, nil, []float64{5000}, fish(gag, 60, 3))
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, "")))
	assert.Equal(t, [][]float64{{176.3698}}, k.weights())
}

// A thing turns out to weigh something else: all reports that it was used for change, and what
// is aboard; in the unit in which the new figure is nearest to the old one.
func TestAThingIsWeighedAnew(t *testing.T) {
	for name, c := range map[string]struct {
		grams, told, want float64
	}{
		"twelve pounds were fifteen": {12 * 453.59237, 15, 240},
		"grams":                      {750, 900, 31.7466},
		"three kilograms and a half": {4000, 3.5, 123.4589},
	} {
		k := outfitted(t, nil, []float64{c.grams}, fish(gag, 60, 3), fish(cod, 60, 2))
		k.hear(report(done(fish(gag, 0, 0), advisor.Recompressed, ""), done(fish(cod, 0, 0), advisor.Recompressed, "")))
		r := correction()
		r.Thing, r.Bare = "crate", bare(c.told)
		m := k.hear(r)
		assert.Len(t, m.Change, 2, name)
		assert.Equal(t, [][]float64{{c.want}, {c.want}}, k.weights(), name)
		assert.InDelta(t, c.want*advisor.GramsPerOunce, k.s.Aboard.LeadG[0], 0.01, name)
	}
}

// Reports of a weight that nobody knew get it; a figure far from what is known changes nothing.
func TestAThingThatWasNotWeighedIs(t *testing.T) {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	r := correction(fish("", 0, 3))
	r.Thing = "bag"
	k.hear(r)
	assert.Equal(t, [][]float64{{105.8219}}, k.weights())
	assert.Equal(t, 3.0, *k.only().Fish.Query.WeightKg, "the fish is as heavy as before")

	_, ok := nearestWeight(40, 0.1)
	assert.False(t, ok)
}

// Of several weights each fish has the one that its words pick, and a word for the size of a
// weight alone is enough where one fish is talked of.
func TestEachFishHasTheWeightPickedForIt(t *testing.T) {
	picked := func(f understand.Fish, p understand.Pick) understand.Fish { f.Pick = p; return f }
	k := outfitted(t, []float64{20, 48}, nil, fish(gag, 60, 3), fish(cod, 60, 2))
	k.hear(report(picked(fish(gag, 0, 0), understand.PickHeaviest), picked(fish(cod, 0, 0), understand.PickLightest)))
	assert.Equal(t, [][]float64{{48}, {20}}, k.weights())

	k = outfitted(t, []float64{20, 48}, nil, fish(gag, 60, 3))
	f := done(fish("", 0, 0), "", advisor.SwamDown)
	f.Which.Size = understand.SizeSmall
	k.hear(report(f))
	assert.Equal(t, [][]float64{{20}}, k.weights())
	assert.Equal(t, advisor.Recompressed, k.only().Fish.Done.Method)
	k.hear(correction(picked(fish("", 0, 0), understand.PickHeaviest)))
	assert.Equal(t, [][]float64{{48}}, k.weights(), "a correction picks another")
}

// Both is the two that were used so far where none are known to be aboard.
func TestBothAreTheTwoThatWereUsed(t *testing.T) {
	k := newTalker(t)
	for _, oz := range []float64{32, 48} {
		f := done(fish(gag, 45, oz/10), advisor.Recompressed, advisor.FloatedOff)
		f.Done.WeightsOz = []float64{oz}
		k.hear(report(f))
	}
	f := done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)
	f.Pick = understand.PickTogether
	k.hear(report(f))
	assert.Equal(t, [][]float64{{32}, {32, 48}}, k.weights())
}

// Weights in a report of fish that are known are lead where each of them is aboard.
func TestWeightsAboardAreNotThoseOfTheFish(t *testing.T) {
	k := outfitted(t, []float64{35.274, 105.8219}, nil, fish(gag, 60, 0), fish(cod, 60, 0))
	k.hear(report(done(fish(gag, 0, 3), "", advisor.SwamDown), done(fish(cod, 0, 1), "", advisor.FloatedOff)))
	assert.Equal(t, [][]float64{{105.8219}, {35.274}}, k.weights())
	for _, r := range k.s.Standing() {
		assert.Nil(t, r.Fish.Query.WeightKg)
	}

	k = outfitted(t, []float64{35.274}, nil, fish(gag, 60, 0))
	k.hear(report(done(fish(gag, 0, 4), "", advisor.SwamDown)))
	require.Len(t, k.s.Standing(), 1)
	assert.Equal(t, 4.0, *k.only().Fish.Query.WeightKg, "none aboard weighs four kilograms")
}

// A light figure without a unit is told in the unit that the person tells weights in.
func TestALightLeadIsToldInThePersonsUnit(t *testing.T) {
	k := newTalker(t)
	k.now.Units = Metric
	f := done(fish(gag, 60, 3), advisor.Recompressed, "")
	f.Done.WeightsOz = []float64{1.5}
	k.hear(report(f))
	assert.Equal(t, [][]float64{{52.9109}}, k.weights())
}

// What a thing was told to weigh: the only weight aboard, else the one that was used last.
func TestWhatAThingWasToldToWeigh(t *testing.T) {
	sent := func(oz ...float64) Row {
		f := done(fish(gag, 60, 3), advisor.Recompressed, "")
		f.Done.WeightsOz = oz
		return Row{Fish: f}
	}
	top := Row{Fish: done(fish(gag, 60, 3), advisor.Surface, "")}
	for name, c := range map[string]struct {
		aboard []float64
		rows   []Row
		want   float64
	}{
		"aboard":              {[]float64{192}, []Row{sent(20)}, 192},
		"of two aboard, used": {[]float64{192, 20}, []Row{sent(32), sent(20)}, 20},
		"used before another": {nil, []Row{sent(20), top}, 20},
		"two used at once":    {nil, []Row{sent(20), sent(8, 12)}, 0},
		"used, but which":     {nil, []Row{sent(20), sent()}, 0},
		"none":                {nil, []Row{top}, 0},
	} {
		assert.Equal(t, c.want, (&teller{s: State{Aboard: understand.Aboard{ReleaseOz: c.aboard}, Rows: c.rows}}).thingWas(), name)
	}
}

// What a thing weighs is the one weight that is told, in whatever way: 1,000 g are 35.274 oz of
// 28.349523125 g.
func TestWhatAThingWeighs(t *testing.T) {
	const kilogram = 35.274
	used := fish("", 0, 0)
	used.Done.WeightsOz = []float64{15}
	for name, c := range map[string]struct {
		r    understand.Reading
		was  float64
		want float64 // 0 where it is not known
	}{
		"a kilogram of lead":         {understand.Reading{Aboard: understand.Aboard{LeadG: []float64{1000}}}, 0, kilogram},
		"a release weight":           {understand.Reading{Aboard: understand.Aboard{ReleaseOz: []float64{20}}}, 0, 20},
		"told as of a fish":          {understand.Reading{Fish: []understand.Fish{fish("", 0, 1)}}, 0, kilogram},
		"told as used":               {understand.Reading{Fish: []understand.Fish{used}}, 192, 15},
		"used, without a unit":       {understand.Reading{Fish: []understand.Fish{used}, BareUsed: true}, 192, 240},
		"two weights":                {understand.Reading{Aboard: understand.Aboard{ReleaseOz: []float64{20, 40}}}, 20, 0},
		"two, without a unit":        {understand.Reading{Aboard: understand.Aboard{ReleaseOz: []float64{20, 40}}, BareUsed: true}, 20, 0},
		"bare":                       {understand.Reading{Bare: bare(15)}, 192, 240},
		"bare, nothing was told":     {understand.Reading{Bare: bare(15)}, 0, 0},
		"bare, of half an ounce":     {understand.Reading{Bare: bare(1)}, 0.5, 1},
		"two bare":                   {understand.Reading{Bare: bare(15), Loose: bare(16)}, 192, 0},
		"bare beside a weight":       {understand.Reading{Bare: bare(15), Aboard: understand.Aboard{ReleaseOz: []float64{20}}}, 192, 20},
		"nothing":                    {understand.Reading{}, 192, 0},
		"used bare, nothing is used": {understand.Reading{BareUsed: true}, 192, 0},
	} {
		got, ok := (&teller{r: c.r}).thingIs(c.was)
		assert.Equal(t, c.want > 0, ok, name)
		assert.InDelta(t, c.want, got, 1e-3, name)
	}
}

// A bare figure is no weight anew where it is three times the known one or more in each unit.
func TestAFarFigureIsNoWeight(t *testing.T) {
	for x, want := range map[float64]bool{47: true, 50: false, 1: true} { // 1 lb is 16 oz
		_, ok := nearestWeight(x, 16)
		assert.Equal(t, want, ok, x)
	}
	oz, ok := nearestWeight(1, 1)
	assert.True(t, ok)
	assert.InDelta(t, 1, oz, 1e-9)
}

// What is told of a thing is no new weight of it where it names a report or several fish; it
// changes reports of the last two hours, and what is aboard.
func TestWhenAThingIsWeighedAnew(t *testing.T) {
	thing := correction()
	thing.Thing, thing.Bare = "crate", bare(15)
	talk := func() *talker {
		k := outfitted(t, []float64{192}, nil, fish(gag, 60, 3))
		k.hear(report(done(fish("", 0, 0), advisor.Recompressed, "")))
		return k
	}
	for name, c := range map[string]struct {
		change func(r *understand.Reading)
		want   bool
	}{
		"a correction":     {func(*understand.Reading) {}, true},
		"a question":       {func(r *understand.Reading) { r.Act = understand.ActQuestion }, false},
		"of report 1":      {func(r *understand.Reading) { r.Number = 1 }, false},
		"of two fish":      {func(r *understand.Reading) { r.Fish = []understand.Fish{fish("", 0, 0), fish("", 0, 0)} }, false},
		"of one":           {func(r *understand.Reading) { r.Fish = []understand.Fish{fish("", 0, 0)} }, true},
		"of one by name":   {func(r *understand.Reading) { r.Fish = []understand.Fish{fish(gag, 0, 0)} }, false},
		"how one went too": {func(r *understand.Reading) { r.Fish = []understand.Fish{went(fish("", 0, 0), advisor.Died)} }, false},
	} {
		k := talk()
		r := thing
		c.change(&r)
		teller := &teller{s: k.s, r: r, now: k.now}
		_, ok := teller.reweigh()
		assert.Equal(t, c.want, ok, name)
		if c.want {
			assert.Equal(t, []float64{240}, teller.s.Aboard.ReleaseOz, name)
		}
	}
	for wait, want := range map[time.Duration]bool{CorrectionLasts: true, CorrectionLasts + time.Minute: false} {
		k := talk()
		k.now.At = k.now.At.Add(wait)
		_, ok := (&teller{s: k.s, r: thing, now: k.now}).reweigh()
		assert.Equal(t, want, ok, wait)
	}
}
