package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// sentDown is a talker whose cod of so many kilograms was sent down with a weight in ounces.
func sentDown(t *testing.T, kg, oz float64) *talker {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(question(fish(cod, 60, kg)))
	r := report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown))
	r.Fish[0].Done.WeightsOz = []float64{oz}
	k.hear(r)
	return k
}

// used is the weight of the only report.
func (k *talker) used(t *testing.T) []float64 {
	rows := k.s.Standing()
	require.Len(t, rows, 1)
	return rows[0].Fish.Done.WeightsOz
}

// A weight that puts right what was told is that of the lead where the words name one, where the
// fish was never weighed, or where the lead is what was told last; else it is the fish's.
func TestAWeightPutRightMayBeTheLead(t *testing.T) {
	const twoKilos, oneKilo = 70.5479, 35.274
	for name, c := range map[string]struct {
		kg   float64
		lead bool
		want float64
	}{
		"the fish was never weighed": {0, false, twoKilos},
		"a lead is named":            {2.2, true, twoKilos},
		"the lead was told last":     {6, false, twoKilos},
		"far nearer to the fish":     {2.01, false, oneKilo},
	} {
		k := sentDown(t, c.kg, oneKilo)
		r := correction(fish("", 0, 2))
		r.Lead = c.lead
		k.hear(r)
		assert.Equal(t, []float64{c.want}, k.used(t), name)
	}
	k := sentDown(t, 2.2, oneKilo)
	k.hear(correction(fish(cod, 0, 2)))
	assert.Equal(t, []float64{oneKilo}, k.used(t), "who names the fish tells its weight")
}

// Of "not the 800, the kilo" the first figure is taken back and no depth.
func TestADeniedLeadIsNoDepth(t *testing.T) {
	const gram = 1 / 28.349523125
	k := sentDown(t, 5, 800*gram)
	r := correction(fish("", 0, 1))
	r.Loose = []understand.Bare{{Value: 800}}
	k.hear(r)
	assert.Equal(t, []float64{35.274}, k.used(t))
	assert.Equal(t, 60.0, *k.s.Standing()[0].Fish.Query.DepthM)
}

// "The 48" of 32 and 48 oz aboard is the weight, not a depth of 48 m.
func TestABareFigureMayNameAWeightAboard(t *testing.T) {
	k := sentDown(t, 3, 32)
	k.s.Aboard.ReleaseOz = []float64{32, 48}
	r := correction(fish("", 0, 0))
	r.Bare = []understand.Bare{{Value: 48, Role: "depth_m", Sure: 1}}
	k.hear(r)
	assert.Equal(t, []float64{48}, k.used(t))

	k = sentDown(t, 3, 32)
	k.s.Aboard.ReleaseOz = []float64{32, 56}
	r.Bare = []understand.Bare{{Value: 56, Role: "depth_m", Sure: 1}}
	k.hear(r)
	assert.Equal(t, 56.0, *k.s.Standing()[0].Fish.Query.DepthM, "it is like the depth told")
}

// "With the same" is the weight of the report before.
func TestTheSameWeightIsThatOfTheReportBefore(t *testing.T) {
	k := sentDown(t, 3, 20)
	k.hear(question(fish(gag, 40, 2)))
	r := report(done(fish("", 0, 0), "", advisor.FloatedOff))
	r.Again.Deed = true
	k.hear(r)
	rows := k.s.Standing()
	require.Len(t, rows, 2)
	assert.Equal(t, []float64{20}, rows[1].Fish.Done.WeightsOz)
	assert.Equal(t, advisor.Recompressed, rows[1].Fish.Done.Method)
}

// "It was the little one" puts the lighter of two aboard in the place of the heavier.
func TestAnotherOfTheWeightsAboardIsPicked(t *testing.T) {
	k := sentDown(t, 3, 64)
	k.s.Aboard.ReleaseOz = []float64{32, 64}
	r := correction(fish("", 0, 0))
	r.Fish[0].Which.Size = understand.SizeSmall
	k.hear(r)
	assert.Equal(t, []float64{32}, k.used(t))
}

// A fish that came back up and is sent down again is the same fish.
func TestAFishSentAgainIsTheSame(t *testing.T) {
	k := sentDown(t, 3, 20)
	k.hear(report(done(fish("", 0, 0), "", advisor.FloatedOff)))
	r := report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown))
	r.Further = 0.95
	k.hear(r)
	rows := k.s.Standing()
	require.Len(t, rows, 1)
	assert.Equal(t, advisor.SwamDown, rows[0].Fish.Done.Outcome)
}

// What is aboard, and a question that names none, is of all the fish that were asked about together.
func TestWhatIsAboardIsOfAllThatWereAskedAbout(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 52, 2), fish(cod, 52, 1)))
	r := question()
	r.Aboard.ReleaseOz = []float64{32}
	assert.Len(t, k.hear(r).Fish, 2)
	assert.Len(t, k.hear(question()).Fish, 2)
}

// "What if it was 2 kg" is no lead aboard; a reflexive "se" further on supposes nothing.
func TestWhatIsSupposedIsNoLead(t *testing.T) {
	for text, aboard := range map[string]bool{"what if it was 2 kilos": false, "e se fosse 2 kg": false, "tengo 2 kilos, la otra se me quedó": true} {
		k := newTalker(t)
		k.hear(question(fish(cod, 60, 6)))
		r := question(fish("", 0, 2))
		r.Text = text
		k.hear(r)
		assert.Equal(t, aboard, len(k.s.Aboard.ReleaseOz) > 0, text)
	}
}

// A weight told beside the one that was used is the fish's.
func TestWeightBesideTheOneThatWasUsedIsTheFishs(t *testing.T) {
	k := outfitted(t, nil, []float64{3000}, fish(gag, 60, 5))
	r := report(done(fish("", 0, 3), advisor.Recompressed, ""))
	teller := &teller{s: k.s, r: r, now: k.now}
	teller.leadNotFish()
	assert.Nil(t, teller.r.Fish[0].Query.WeightKg, "one of 3 kg is aboard")
	r = report(done(fish("", 0, 3), advisor.Recompressed, ""))
	r.Fish[0].Done.WeightsOz = []float64{16}
	teller.r = r
	teller.leadNotFish()
	assert.NotNil(t, teller.r.Fish[0].Query.WeightKg)
}

// Of two bare figures of a correction the one that is known is denied, the other comes in its
// place; not where figures with a unit or several fish are told.
func TestOfTwoFiguresTheKnownOneIsDenied(t *testing.T) {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(report(done(fish(gag, 50, 3), advisor.Recompressed, "")))
	for name, c := range map[string]struct {
		fish  []understand.Fish
		bare  []float64
		depth float64 // 0 where none is taken
	}{
		"no fish told":  {nil, []float64{50, 80}, 80},
		"of the fish":   {[]understand.Fish{fish("", 0, 0)}, []float64{80, 50}, 80},
		"of two fish":   {[]understand.Fish{fish("", 0, 0), fish("", 0, 0)}, []float64{50, 80}, 0},
		"beside a size": {[]understand.Fish{fish("", 0, 2)}, []float64{50, 80}, 0},
		"three figures": {nil, []float64{50, 80, 90}, 0},
	} {
		r := correction(c.fish...)
		for _, x := range c.bare {
			r.Loose = append(r.Loose, bare(x)...)
		}
		teller := &teller{s: k.s, r: r, now: k.now}
		teller.replaceDenied()
		if c.depth == 0 {
			assert.Len(t, teller.r.Loose, len(c.bare), name)
			continue
		}
		require.NotNil(t, teller.first().Query.DepthM, name)
		assert.Equal(t, c.depth, *teller.first().Query.DepthM, name)
		assert.Empty(t, teller.r.Loose, name)
	}
}

// "Same lead, same result": of the last report that had a weight, and of the last one.
func TestSameLeadAndSameResult(t *testing.T) {
	sent := func(end advisor.Outcome, oz ...float64) Row {
		f := done(fish(gag, 60, 3), advisor.Recompressed, end)
		f.Done.WeightsOz = oz
		return Row{Fish: f}
	}
	rows := []Row{sent(advisor.Died, 16), sent(advisor.FloatedOff, 20), sent(advisor.SwamDown)}
	told := done(fish(gag, 0, 0), advisor.Recompressed, advisor.Died)
	told.Done.WeightsOz = []float64{8}
	down := understand.Done{Release: advisor.Release{Method: advisor.Recompressed, Outcome: advisor.SwamDown, WeightsOz: []float64{20}}}
	for name, c := range map[string]struct {
		rows []Row
		f    understand.Fish
		want understand.Done
	}{
		"nothing else told": {rows, fish(gag, 0, 0), down},
		"sent down":         {rows, done(fish(gag, 0, 0), advisor.Recompressed, ""), down},
		"let go at the top": {rows, done(fish(gag, 0, 0), advisor.Surface, ""), understand.Done{Release: advisor.Release{Method: advisor.Surface}}},
		"all told":          {rows, told, told.Done},
		"no report before":  {nil, fish(gag, 0, 0), understand.Done{}},
		"no weight before":  {rows[2:], fish(gag, 0, 0), understand.Done{Release: advisor.Release{Outcome: advisor.SwamDown}}},
	} {
		f := c.f
		(&teller{s: State{Rows: c.rows}, r: understand.Reading{Again: understand.Again{Deed: true, Result: true}}}).sameWeight(&f)
		assert.Equal(t, c.want, f.Done, name)
	}
	f := fish(gag, 0, 0)
	(&teller{s: State{Rows: rows}}).sameWeight(&f)
	assert.Equal(t, understand.Done{}, f.Done, "nobody says that it was the same")
}

// A correction is about a weight that was used where it is of one fish that was sent down with
// one; a figure like that is denied where another weight is told.
func TestAWeightThatWasUsedIsDenied(t *testing.T) {
	k := sentDown(t, 5, 20)
	two := &teller{s: k.s, r: correction(fish("", 0, 0), fish("", 0, 0)), now: k.now}
	_, ok := two.corrected()
	assert.False(t, ok, "of two fish")
	used := fish("", 0, 0)
	used.Done.WeightsOz = []float64{40}
	for name, c := range map[string]struct {
		f    understand.Fish
		left int
	}{
		"a weight is told": {fish("", 0, 1), 0}, "a weight used is told": {used, 0}, "none is": {fish("", 0, 0), 1},
	} {
		r := correction(c.f)
		r.Bare = bare(20)
		teller := &teller{s: k.s, r: r, now: k.now}
		known, ok := teller.corrected()
		require.True(t, ok, name)
		teller.denyUsed(known)
		assert.Len(t, teller.r.Bare, c.left, name)
		if c.left == 0 {
			assert.NotEmpty(t, teller.r.Fish[0].Done.WeightsOz, name)
		}
	}
	top := newTalker(t)
	top.hear(report(done(fish(gag, 60, 3), advisor.Surface, "")))
	_, ok = (&teller{s: top.s, r: correction(fish("", 0, 1)), now: top.now}).corrected()
	assert.False(t, ok, "it was let go at the top")
}

// "The little one" is a weight where one fish alone is talked of and nothing else is told.
func TestTheLittleOneIsAWeightWhereThereIsOneFish(t *testing.T) {
	little := which(understand.Which{Size: understand.SizeSmall})
	long := little
	long.Query.LengthCm = new(50.0)
	with := little
	with.Done.WeightsOz = []float64{16}
	for name, c := range map[string]struct {
		asked []understand.Fish
		told  []understand.Fish
		want  bool
	}{
		"one fish":            {[]understand.Fish{fish(gag, 60, 3)}, []understand.Fish{little}, true},
		"two fish":            {[]understand.Fish{fish(gag, 60, 3), fish(cod, 60, 3)}, []understand.Fish{little}, false},
		"two alike":           {[]understand.Fish{counted(fish(gag, 60, 3), 2)}, []understand.Fish{little}, false},
		"two told of":         {[]understand.Fish{fish(gag, 60, 3)}, []understand.Fish{little, fish("", 0, 0)}, false},
		"its length told too": {[]understand.Fish{fish(gag, 60, 3)}, []understand.Fish{long}, false},
		"the weight told too": {[]understand.Fish{fish(gag, 60, 3)}, []understand.Fish{with}, false},
	} {
		k := outfitted(t, []float64{20, 40}, nil, c.asked...)
		teller := &teller{s: k.s, r: report(c.told...), now: k.now}
		teller.pickAlone()
		assert.Equal(t, c.want, teller.r.Fish[0].Pick != "", name)
		if c.want {
			assert.Equal(t, advisor.Recompressed, teller.r.Fish[0].Done.Method, name)
		}
	}
	k := outfitted(t, []float64{20, 40}, nil, fish(gag, 60, 3))
	vented := &teller{s: k.s, r: report(done(little, advisor.Vented, "")), now: k.now}
	vented.pickAlone()
	assert.Equal(t, advisor.Vented, vented.r.Fish[0].Done.Method, "what was told stays")

	one := &teller{s: State{Fish: []Fish{{}}, Rows: []Row{{}}, Aboard: understand.Aboard{ReleaseOz: []float64{20, 40}}}, r: correction(little)}
	one.otherPick()
	assert.Equal(t, []float64{20}, one.r.Fish[0].Done.WeightsOz)
	for name, s := range map[string]State{"two fish": {Fish: make([]Fish, 2), Rows: make([]Row, 1)}, "two reports": {Fish: make([]Fish, 1), Rows: make([]Row, 2)}} {
		s.Aboard.ReleaseOz = []float64{20, 40}
		several := &teller{s: s, r: correction(little)}
		several.otherPick()
		assert.Empty(t, several.r.Fish[0].Done.WeightsOz, name)
	}
}

// A weight that a correction picks is that of a fish that was sent down, or of which nobody says
// how it was let go, where none is told.
func TestACorrectionPicksAWeight(t *testing.T) {
	told := done(fish(gag, 0, 0), advisor.Recompressed, "")
	told.Done.WeightsOz = []float64{16}
	for name, c := range map[string]struct {
		f    understand.Fish
		want []float64
	}{
		"nothing told":      {fish(gag, 0, 0), []float64{40}},
		"sent down":         {done(fish(gag, 0, 0), advisor.Recompressed, ""), []float64{40}},
		"let go at the top": {done(fish(gag, 0, 0), advisor.Surface, ""), nil},
		"a weight is told":  {told, []float64{16}},
	} {
		c.f.Pick = understand.PickHeaviest
		teller := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: []float64{20, 40}}}, r: correction(c.f)}
		teller.pickNow()
		assert.Equal(t, c.want, teller.r.Fish[0].Done.WeightsOz, name)
	}
}

// A bare figure is the weight aboard that has it, where it is the only one and not like the
// depth of the fish: from five sixths of it to six fifths.
func TestABareFigureNamesAWeightAboard(t *testing.T) {
	told := fish("", 0, 0)
	told.Done.WeightsOz = []float64{16}
	for name, c := range map[string]struct {
		f     understand.Fish
		bare  understand.Bare
		loose int
		want  []float64
	}{
		"aboard":               {fish("", 0, 0), understand.Bare{Value: 48}, 0, []float64{48}},
		"not aboard":           {fish("", 0, 0), understand.Bare{Value: 44}, 0, nil},
		"beside another":       {fish("", 0, 0), understand.Bare{Value: 48}, 1, nil},
		"a weight is told":     {told, understand.Bare{Value: 48}, 0, []float64{16}},
		"let go at the top":    {done(fish("", 0, 0), advisor.Surface, ""), understand.Bare{Value: 48}, 0, nil},
		"sent down":            {done(fish("", 0, 0), advisor.Recompressed, ""), understand.Bare{Value: 48}, 0, []float64{48}},
		"a depth, and like it": {fish("", 0, 0), understand.Bare{Value: 56, Role: "depth_m"}, 0, nil},
		"a depth, six fifths":  {fish("", 0, 0), understand.Bare{Value: 72, Role: "depth_m"}, 0, []float64{72}},
		"a depth, five sixths": {fish("", 0, 0), understand.Bare{Value: 50, Role: "depth_m"}, 0, []float64{50}},
		"the weight of a fish": {fish("", 0, 0), understand.Bare{Value: 48, Role: "weight_kg"}, 0, nil},
	} {
		k := outfitted(t, []float64{48, 50, 56, 72}, nil, fish(gag, 60, 3))
		r := report(c.f)
		r.Bare, r.Loose = []understand.Bare{c.bare}, make([]understand.Bare, c.loose)
		teller := &teller{s: k.s, r: r, now: k.now}
		teller.nameAboard()
		assert.Equal(t, c.want, teller.r.Fish[0].Done.WeightsOz, name)
	}
}

// Where the figures of a fish alone show the units they were told in: metres are round to a
// thousandth and to 2 cm, as 41 ft (12.4968 m) are not.
func TestUnitsThatAreShownByRoundFigures(t *testing.T) {
	assert.Equal(t, "centimetres", UnitName("length_cm", 1))
	assert.Equal(t, "metres", UnitName("depth_m", 1))
	for metres, want := range map[float64]float64{31: 1, 12.4968: feet, 131.9784: feet, 54.864: fathoms, 45.72: fathoms, 15.24: feet} {
		assert.Equal(t, want, Told(advisor.Query{Capture: advisor.Capture{DepthM: &metres}}).Depth, metres)
	}
}
