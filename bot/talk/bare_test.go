package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// on is a fish sent down with weights.
func on(f understand.Fish, oz ...float64) understand.Fish {
	f.Done.Method, f.Done.WeightsOz = advisor.Recompressed, oz
	return f
}

// A bare figure of a correction that seems the weight used is the figure of the fish that
// it is nearest to, unless such a weight is aboard.
func TestBareWeightOfACorrectionIsTheFigureItIsNearestTo(t *testing.T) {
	bare := correction(on(fish("", 0, 0), 30))
	bare.BareUsed = true
	for name, c := range map[string]struct {
		change func(r *understand.Reading)
		aboard []float64
		want   bool // taken for the depth
	}{
		"31 m, then 30":          {want: true},
		"30 oz are aboard":       {aboard: []float64{30}},
		"others are aboard":      {aboard: []float64{20, 40}, want: true},
		"told with its unit":     {change: func(r *understand.Reading) { r.BareUsed = false }},
		"a report":               {change: func(r *understand.Reading) { r.Act = understand.ActReport }},
		"of two fish":            {change: func(r *understand.Reading) { r.Fish = append(r.Fish, fish(cod, 0, 0)) }},
		"two weights":            {change: func(r *understand.Reading) { r.Fish = []understand.Fish{on(fish("", 0, 0), 30, 20)} }},
		"no weight and no fish":  {change: func(r *understand.Reading) { r.Fish = nil }},
		"a fish without weights": {change: func(r *understand.Reading) { r.Fish = []understand.Fish{fish("", 0, 0)} }},
	} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(question(fish(gag, 31, 5)))
		k.s.Aboard.ReleaseOz = c.aboard
		r := bare
		r.Fish = []understand.Fish{on(fish("", 0, 0), 30)}
		if c.change != nil {
			c.change(&r)
		}
		teller := &teller{s: k.s, r: r, now: k.now}
		teller.doubtUsed()
		if !c.want {
			assert.Empty(t, teller.r.Bare, name)
			continue
		}
		require.Len(t, teller.r.Bare, 1, name)
		assert.Equal(t, understand.Bare{Value: 30, Role: "depth_m", Words: "30"}, teller.r.Bare[0])
		assert.Equal(t, understand.Done{}, teller.r.Fish[0].Done, name)
	}
}

// Where a talk has a fish of 40 m and 3 kg, what a figure that nothing claims becomes.
func TestWhatAFigureThatNothingClaimsBecomes(t *testing.T) {
	figure := func(x float64) []understand.Bare { return []understand.Bare{{Value: x, Words: "x"}} }
	with := func(r understand.Reading, x float64) understand.Reading { r.Loose = figure(x); return r }
	asks := understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Sure: 1, Text: "and at 45?", Loose: figure(45)}
	for name, c := range map[string]struct {
		r     understand.Reading
		asked string
		depth float64 // 0: no depth is told by it
	}{
		"a short question":              {r: asks, depth: 45},
		"in many words":                 {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "what about my other 45 friends now", Loose: figure(45)}},
		"of another want":               {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantWhy, Text: "why 45?", Loose: figure(45)}},
		"five words":                    {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "and what about 45 then", Loose: figure(45)}, depth: 45},
		"six words":                     {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "and so what about 45 then", Loose: figure(45)}},
		"two figures":                   {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "45 or 46?", Loose: append(figure(45), figure(46)...)}},
		"beside what is aboard":         {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "45?", Loose: figure(45), Aboard: understand.Aboard{ReleaseOz: []float64{20}}}},
		"with none aboard":              {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "45?", Loose: figure(45), Aboard: understand.Aboard{None: true}}},
		"idle talk":                     {r: with(other, 45)},
		"idle talk after the depth":     {r: with(other, 45), asked: AskDepth, depth: 45},
		"a correction":                  {r: with(correction(), 45), depth: 45},
		"a correction of that report":   {r: understand.Reading{Act: understand.ActCorrection, Corrects: true, Number: 45, Loose: figure(45)}},
		"a correction of another":       {r: understand.Reading{Act: understand.ActCorrection, Corrects: true, Number: 2, Loose: figure(45)}, depth: 45},
		"nothing claims nothing":        {r: understand.Reading{Act: understand.ActQuestion, Want: understand.WantRelease, Text: "what now?"}},
		"beside another fish of a talk": {r: question(fish(cod, 30, 0)), depth: 30},
	} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(question(fish(gag, 40, 3)))
		k.s.Asked = Ask{What: c.asked}
		teller := &teller{s: k.s, r: c.r, now: k.now}
		teller.lendLoose()
		got := 0.0
		if len(teller.r.Fish) > 0 && teller.r.Fish[0].Query.DepthM != nil {
			got = *teller.r.Fish[0].Query.DepthM
		}
		assert.Equal(t, c.depth, got, name)
	}
	first := asks
	teller := &teller{r: first, now: Now{Units: Metric}}
	teller.lendLoose()
	require.Len(t, teller.r.Fish, 1)
	assert.Equal(t, 45.0, *teller.r.Fish[0].Query.DepthM, "where no fish is talked of it is a depth")
}

// A unit by itself answers the question for the unit of a figure.
func TestUnitAloneAnswersWhatWasAsked(t *testing.T) {
	for name, c := range map[string]struct {
		unit  understand.LoneUnit
		asked Ask
		want  bool
	}{
		"feet":                {understand.LoneUnit{Field: "depth_m", Factor: 0.3048}, Ask{What: AskUnit, Field: "depth_m", Value: 150}, true},
		"pounds for a depth":  {understand.LoneUnit{Field: "weight_kg", Factor: 0.45}, Ask{What: AskUnit, Field: "depth_m", Value: 150}, false},
		"nothing was asked":   {understand.LoneUnit{Field: "depth_m", Factor: 0.3048}, Ask{}, false},
		"the depth was asked": {understand.LoneUnit{Field: "depth_m", Factor: 0.3048}, Ask{What: AskDepth, Field: "depth_m", Value: 150}, false},
	} {
		teller := &teller{s: State{Asked: c.asked}, r: understand.Reading{Act: understand.ActOther, Unit: c.unit}}
		teller.lend()
		if !c.want {
			assert.Empty(t, teller.r.Fish, name)
			continue
		}
		require.Len(t, teller.r.Fish, 1, name)
		assert.InDelta(t, 45.72, *teller.r.Fish[0].Query.DepthM, 1e-9, name)
		assert.InDelta(t, 0.3048, teller.r.Told.Depth, 1e-9)
	}
}

// A bare figure of a report is a release weight where there is such a one: aboard, or else
// one of the two that most have.
func TestBareFigureOfAReportIsAWeightThatThereIs(t *testing.T) {
	sent := done(fish(gag, 60, 3), advisor.Recompressed, "")
	for name, c := range map[string]struct {
		fish   []understand.Fish
		aboard []float64
		x      float64
		want   bool
	}{
		"a usual one":               {[]understand.Fish{sent}, nil, 40, true},
		"no usual one":              {[]understand.Fish{sent}, nil, 30, false},
		"one aboard":                {[]understand.Fish{sent}, []float64{30}, 30, true},
		"a usual one not aboard":    {[]understand.Fish{sent}, []float64{30}, 40, false},
		"no method told":            {[]understand.Fish{fish(gag, 60, 3)}, nil, 40, true},
		"let go at the top":         {[]understand.Fish{done(fish(gag, 60, 3), advisor.Surface, "")}, nil, 40, false},
		"of two fish nobody's":      {[]understand.Fish{sent, sent}, nil, 40, false},
		"of none":                   {nil, nil, 40, false},
		"its weight is told by now": {[]understand.Fish{on(fish(gag, 60, 3), 20)}, nil, 40, false},
	} {
		teller := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: c.aboard}}, r: report(c.fish...)}
		teller.lendWeight(c.x)
		if c.want {
			assert.Equal(t, advisor.Recompressed, teller.r.Fish[0].Done.Method, name)
			assert.Equal(t, []float64{c.x}, teller.r.Fish[0].Done.WeightsOz, name)
			continue
		}
		for _, f := range teller.r.Fish {
			assert.NotContains(t, f.Done.WeightsOz, c.x, name)
		}
	}
}

// A bare depth is taken where the person's habit tells its unit, or all tell one where they
// fish and the person told no other, and it can be a depth in it.
func TestUnitOfABareDepth(t *testing.T) {
	const fathom = 1.8288
	feet := 0.3048
	for name, c := range map[string]struct {
		units, told, habit, usual Units
		x                         float64
		want                      bool
	}{
		"nobody knows":                   {x: 40},
		"of habit":                       {habit: Units{Depth: 1}, x: 40, want: true},
		"too deep for it":                {habit: Units{Depth: fathom}, x: 600},
		"as deep as any":                 {habit: Units{Depth: 1}, x: advisor.DeepestM, want: true},
		"usual there":                    {usual: Units{Depth: feet}, x: 40, want: true},
		"usual, and set so":              {usual: Units{Depth: feet}, units: Units{Depth: feet}, x: 40, want: true},
		"usual, but another is set":      {usual: Units{Depth: feet}, units: Units{Depth: 1}, x: 40},
		"usual, and told so":             {usual: Units{Depth: feet}, told: Units{Depth: feet}, x: 40, want: true},
		"usual, but another was told":    {usual: Units{Depth: feet}, told: Units{Depth: 1}, x: 40},
		"set, but nothing usual, no use": {units: Units{Depth: 1}, x: 40},
	} {
		teller := &teller{s: State{Units: c.told}, now: Now{Units: c.units, Habit: c.habit, Usual: c.usual}}
		assert.Equal(t, c.want, teller.knowsUnit(c.x), name)
	}
	habit := &teller{now: Now{Habit: Units{Depth: feet}}}
	assert.True(t, habit.isHabit("depth_m"))
	assert.False(t, habit.isHabit("weight_kg"), "nothing tells its unit")
	habit.now.Units = Units{Depth: feet}
	assert.False(t, habit.isHabit("depth_m"), "it is set")
	habit.now.Units, habit.s.Units = Units{}, Units{Depth: 1}
	assert.False(t, habit.isHabit("depth_m"), "another was told")
}

// Two figures are depth and weight only of one fish at most.
func TestTwoFiguresOfSeveralFish(t *testing.T) {
	for n, want := range map[int]bool{0: true, 1: true, 2: false} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(question(fish(gag, 0, 0)))
		r := question([]understand.Fish{fish("", 0, 0), fish("", 0, 0)}[:n]...)
		r.Loose = append(bare(40), bare(3)...)
		assert.Equal(t, want, (&teller{s: k.s, r: r, now: k.now}).lendPair(), n)
	}
}

// Most have weights of 20 and 40 oz.
func TestUsualWeights(t *testing.T) {
	for x, want := range map[float64]bool{20: true, 40: true, 22: false, 44: false} {
		teller := &teller{r: report(fish(gag, 60, 3))}
		teller.lendWeight(x)
		assert.Equal(t, want, len(teller.r.Fish[0].Done.WeightsOz) > 0, x)
	}
}

// Which field a bare figure of a correction puts right of a fish of 40 m and 3 kg: that of the
// words where they are sure, six in ten, and it is a slip from what is known; else the nearest.
func TestFieldThatABareFigurePutsRight(t *testing.T) {
	for name, c := range map[string]struct {
		field string
		x     float64
		sure  float64
		want  string
	}{
		"sure, a slip":                   {"weight_kg", 4, 0.6, "weight_kg"},
		"not sure, nearer to the depth":  {"weight_kg", 38, 0.59, "depth_m"},
		"sure, not beyond belief":        {"weight_kg", 8.9, 0.6, "weight_kg"},
		"sure, beyond belief":            {"weight_kg", 38, 0.6, "depth_m"},
		"beyond belief, and so the next": {"weight_kg", 11, 0.6, "weight_kg"},
		"it is that already":             {"depth_m", 40.1, 0.6, "weight_kg"},
		"all but that":                   {"depth_m", 40.3, 0.6, "depth_m"},
		"of a length nobody knows":       {"length_cm", 3.5, 0.6, "weight_kg"},
	} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(report(done(fish(gag, 40, 3), advisor.Recompressed, advisor.SwamDown)))
		k.s.Told = nil
		teller := &teller{s: k.s, r: correction(), now: k.now}
		assert.Equal(t, c.want, teller.likelier(c.field, understand.Bare{Value: c.x, Sure: c.sure}), name)
	}
}

// The figure that was told last counts as three times nearer.
func TestFigureToldLastIsNearer(t *testing.T) {
	for x, want := range map[float64]string{10: "depth_m", 7.2: "depth_m", 6.6: "weight_kg"} { // of 20 m and 5 kg
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(report(done(fish(gag, 20, 5), advisor.Recompressed, advisor.SwamDown)))
		k.s.Told = []string{"depth_m"}
		assert.Equal(t, want, (&teller{s: k.s, r: correction(), now: k.now}).nearestField(x), x)
	}
	nobody := &teller{now: Now{Units: Metric}}
	assert.Empty(t, nobody.nearestField(10))
}

// A bare figure of a correction is the weight that was used where it is a slip from that, and
// nothing that is known of the fish is near it.
func TestBareFigureThatPutsTheWeightUsedRight(t *testing.T) {
	for name, c := range map[string]struct {
		change func(r *understand.Reading, b *understand.Bare)
		x      float64
		want   float64 // 0 where it is not taken
	}{
		"a slip":                   {nil, 24, 24},
		"another figure too":       {func(r *understand.Reading, _ *understand.Bare) { r.Loose = append(r.Loose, bare(9)...) }, 24, 0},
		"a figure with a unit too": {func(r *understand.Reading, _ *understand.Bare) { r.Fish = []understand.Fish{fish("", 55, 0)} }, 24, 0},
		"the fish is named":        {func(r *understand.Reading, _ *understand.Bare) { r.Fish = []understand.Fish{fish(gag, 0, 0)} }, 24, 0},
		"surely a depth":           {func(_ *understand.Reading, b *understand.Bare) { b.Role, b.Sure = "depth_m", 0.6 }, 24, 0},
		"hardly a depth":           {func(_ *understand.Reading, b *understand.Bare) { b.Role, b.Sure = "depth_m", 0.59 }, 24, 24},
		"a depth, of a lead":       {func(r *understand.Reading, b *understand.Bare) { b.Role, b.Sure, r.Lead = "depth_m", 0.9, true }, 24, 24},
		"a report":                 {func(r *understand.Reading, _ *understand.Bare) { r.Act = understand.ActReport }, 24, 0},
		"what it is":               {nil, 20, 0},
		"far from it":              {nil, 34, 0},
		"just no slip":             {nil, 33, 0},
	} {
		k := sentDown(t, 300, 20)
		r, b := correction(), bare(c.x)[0]
		if c.change != nil {
			c.change(&r, &b)
		}
		r.Loose = append(r.Loose, b)
		teller := &teller{s: k.s, r: r, now: k.now}
		assert.Equal(t, c.want > 0, teller.lendUsed(b), name)
		if c.want > 0 {
			assert.Equal(t, []float64{c.want}, teller.r.Fish[0].Done.WeightsOz, name)
		}
	}
	near := sentDown(t, 300, 50) // from 60 m
	r := correction()
	r.Loose = bare(54)
	assert.False(t, (&teller{s: near.s, r: r, now: near.now}).lendUsed(r.Loose[0]), "as near to the depth")
	r.Lead = true
	assert.True(t, (&teller{s: near.s, r: r, now: near.now}).lendUsed(r.Loose[0]), "the words name a lead")
}

// A unit that nobody knows has no factor.
func TestFactorOfAFigure(t *testing.T) {
	assert.Equal(t, 0.3048, Lent{Field: "depth_m", Unit: "feet"}.Factor())
	assert.Zero(t, Lent{Field: "depth_m", Unit: "pounds"}.Factor())
}

// The fish that is put right is that of the last report where none is talked of any more.
func TestFishThatWasReportedLast(t *testing.T) {
	s := State{Rows: []Row{{No: 1, Fish: fish(cod, 20, 0)}}}
	q, ok := (&teller{s: s, r: other}).lastQuery()
	assert.True(t, ok)
	assert.Equal(t, cod, q.Species)
	_, ok = (&teller{r: other}).lastQuery()
	assert.False(t, ok)
}

// A bare depth takes the place of a range; another figure leaves it.
func TestABareDepthEndsARange(t *testing.T) {
	for field, left := range map[string]bool{"depth_m": false, "weight_kg": true} {
		f := fish(gag, 0, 0)
		f.Query.DepthRangeM = []float64{30, 40}
		teller := &teller{r: question(f)}
		teller.set(field, 35)
		assert.Equal(t, left, teller.r.Fish[0].Query.DepthRangeM != nil, field)
	}
}

// Where the depth was asked of a fish whose size is known, a figure that seems a size is the
// depth; not where another thing was asked, or the words put right what was told.
func TestAFigureAfterTheDepthWasAskedForIsTheDepth(t *testing.T) {
	for name, c := range map[string]struct {
		asked string
		act   understand.Act
		want  bool
	}{
		"asked":          {AskDepth, understand.ActQuestion, true},
		"nothing asked":  {"", understand.ActQuestion, false},
		"a correction":   {AskDepth, understand.ActCorrection, false},
		"its name asked": {AskSpecies, understand.ActQuestion, false},
	} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(question(fish(gag, 0, 3)))
		k.s.Asked = Ask{What: c.asked}
		r := understand.Reading{Act: c.act, Want: understand.WantRelease, Fish: []understand.Fish{fish("", 0, 0)}}
		teller := &teller{s: k.s, r: r, now: k.now}
		teller.lendOne(understand.Bare{Value: 4, Role: "weight_kg", Sure: 0.9})
		assert.Equal(t, c.want, teller.r.Fish[0].Query.DepthM != nil, name)
	}
}
