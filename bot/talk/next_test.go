package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// worded is a reading of a text, as something.
func worded(act understand.Act, text string, list ...understand.Fish) understand.Reading {
	r := understand.Reading{Act: act, Text: text, Sure: 1, Fish: list}
	if act == understand.ActQuestion {
		r.Want = understand.WantRelease
	}
	return r
}

// "Another" right after a report is one more fish, whatever the words were taken for, where
// they tell how many or how big and neither ask nor say what ails it.
func TestWordsOfOneMoreFishAreAReport(t *testing.T) {
	const ask, idle, correct = understand.ActQuestion, understand.ActOther, understand.ActCorrection
	for name, c := range map[string]struct {
		r    understand.Reading
		all  bool // the words say: the same again
		more bool
	}{
		"same again":                        {worded(idle, "same again"), true, true},
		"same again, in many words":         {worded(idle, "well that was the same again as before"), true, false},
		"same again?":                       {worded(ask, "same again?"), true, false},
		"same again, in four words":         {worded(ask, "same again it was"), true, true},
		"another one":                       {worded(idle, "another one"), false, true},
		"another, said at length":           {worded(idle, "here comes another one now"), false, false},
		"another, 3 kg":                     {worded(ask, "another, 3 kg", fish("", 0, 3)), false, true},
		"another, 3 kg?":                    {worded(ask, "another, 3 kg?", fish("", 0, 3)), false, false},
		"nine words":                        {worded(ask, "and we have got another one of about 3kg", fish("", 0, 3)), false, true},
		"ten words":                         {worded(ask, "and now we have got another one of about 3kg", fish("", 0, 3)), false, false},
		"another, with its eyes out":        {worded(ask, "another, eyes out", signed(fish("", 0, 3))), false, false},
		"another from 50 m":                 {worded(ask, "another from 50 m", fish("", 50, 0)), false, false},
		"another that floated":              {worded(ask, "another floated", went(fish("", 0, 0), advisor.FloatedOff)), false, false},
		"another cod":                       {worded(ask, "another cod", fish(cod, 0, 0)), false, false},
		"the same again, gag":               {worded(ask, "same again, gag", fish(gag, 0, 0)), true, true},
		"the same again, a cod in words":    {worded(ask, "the same again but of a cod", fish(cod, 0, 0)), true, false},
		"two others":                        {worded(ask, "another two", fish("", 0, 2), fish("", 0, 3)), false, false},
		"why another":                       {understand.Reading{Act: ask, Want: understand.WantWhy, Text: "why another", Fish: []understand.Fish{fish("", 0, 3)}}, false, false},
		"no, another":                       {worded(correct, "no, another"), false, false},
		"no, the same again":                {worded(correct, "no, the same again"), true, false},
		"no, another of 3 kg":               {worded(correct, "no, another of 3 kg", fish("", 0, 3)), false, true},
		"no, another two":                   {worded(correct, "no, another two", counted(fish("", 0, 0), 2)), false, true},
		"no, another, of which none tells":  {worded(correct, "no, another", fish("", 0, 0)), false, false},
		"take back another":                 {understand.Reading{Act: idle, Want: understand.WantUndo, Text: "another"}, false, false},
		"put another back":                  {understand.Reading{Act: idle, Want: understand.WantPutBack, Text: "another"}, false, false},
		"a command that says another thing": {understand.Reading{Act: idle, Verb: "log", Text: "another"}, false, false},
	} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 40, 2), advisor.Recompressed, advisor.SwamDown)))
		c.r.Again = understand.Again{All: c.all, Another: !c.all}
		teller := &teller{s: k.s, r: c.r, now: k.now}
		teller.sameAgain()
		assert.Equal(t, c.more, teller.r.Act == understand.ActReport, name)
	}
	none := &teller{r: worded(idle, "same again")}
	none.r.Again.All = true
	none.sameAgain()
	assert.Equal(t, idle, none.r.Act, "nothing was reported")
}

// A weight far below that of the fish, 5 kg at most, is one that is aboard; lead is counted
// in ounces of 28.349523125 g.
func TestWeightFarBelowTheFishIsOneAboard(t *testing.T) {
	for name, c := range map[string]struct {
		known  float64
		told   understand.Fish
		aboard float64 // ounces; 0 where it is that of the fish
	}{
		"1 kg for a fish of 4":         {4, fish("", 0, 1), 35.27396195},
		"six tenths of it":             {5, fish("", 0, 3), 105.82188585},
		"more than six tenths":         {5, fish("", 0, 3.1), 0},
		"5 kg for a fish of 20":        {20, fish("", 0, 5), 176.36980975},
		"more than 5 kg":               {20, fish("", 0, 5.1), 0},
		"its weight was not known":     {0, fish("", 0, 1), 0},
		"another fish by its name":     {4, fish(cod, 0, 1), 0},
		"two of them":                  {4, counted(fish("", 0, 1), 2), 0},
		"a fish from there":            {4, fish("", 40, 1), 0},
		"a fish that has bulging eyes": {4, signed(fish("", 0, 1)), 0},
	} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, c.known)))
		k.hear(question(c.told))
		if c.aboard == 0 {
			assert.Empty(t, k.s.Aboard.ReleaseOz, name)
			continue
		}
		require.Len(t, k.s.Aboard.ReleaseOz, 1, name)
		assert.InDelta(t, c.aboard, k.s.Aboard.ReleaseOz[0], 1e-6, name)
		assert.Equal(t, c.known, *k.s.Fish[len(k.s.Fish)-1].Query.WeightKg, name)
	}
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 4)))
	r := question(fish("", 0, 1))
	r.Corrects = true
	k.hear(r)
	assert.Empty(t, k.s.Aboard.ReleaseOz, "what corrects is of the fish")
	k = newTalker(t)
	k.hear(report(done(fish(gag, 60, 4), advisor.Recompressed, advisor.SwamDown)))
	k.hear(question(fish("", 0, 1)))
	assert.Empty(t, k.s.Aboard.ReleaseOz, "of a fish that is back it is another")
}

// In a correction a depth that seems the one that a fish was freed at is the one it came
// from, where it was let go at the top or the figure is near that: from seven tenths of it
// to ten sevenths.
func TestDepthOfACorrectionIsWhereTheFishCameFrom(t *testing.T) {
	freed := func(x float64) understand.Fish { f := fish("", 0, 0); f.Done.ReleaseDepthM = &x; return f }
	down := done(fish(gag, 50, 2), advisor.Recompressed, advisor.SwamDown)
	top := done(fish(gag, 50, 2), advisor.Surface, advisor.SwamDown)
	for name, c := range map[string]struct {
		known, told understand.Fish
		act         understand.Act
		caught      bool
	}{
		"near it":                 {down, freed(45), understand.ActCorrection, true},
		"seven tenths":            {down, freed(35), understand.ActCorrection, true},
		"less":                    {down, freed(34.9), understand.ActCorrection, false},
		"ten sevenths":            {down, freed(71.4), understand.ActCorrection, true},
		"more":                    {down, freed(71.5), understand.ActCorrection, false},
		"let go at the top":       {top, freed(10), understand.ActCorrection, true},
		"a report":                {down, freed(45), understand.ActReport, false},
		"its own depth told too":  {down, func() understand.Fish { f := freed(45); d := 48.0; f.Query.DepthM = &d; return f }(), understand.ActCorrection, false},
		"no depth was known":      {done(fish(gag, 0, 2), advisor.Recompressed, ""), freed(45), understand.ActCorrection, false},
		"where it was freed was":  {func() understand.Fish { f := down; d := 20.0; f.Done.ReleaseDepthM = &d; return f }(), freed(45), understand.ActCorrection, false},
		"nothing of that is said": {down, fish("", 45, 0), understand.ActCorrection, false},
	} {
		teller := &teller{r: understand.Reading{Act: c.act}}
		assert.Equal(t, c.caught, teller.caughtAt(&c.told, c.known), name)
	}
}

// A shallower depth in the report of a fish whose depth is known is the one it was freed at,
// unless it is that of another fish, or the fish was let go at the top.
func TestDepthInAReportIsWhereTheFishWasFreed(t *testing.T) {
	for name, c := range map[string]struct {
		told  understand.Fish
		freed float64 // 0 where it is another depth of the fish
	}{
		"shallower":             {done(fish("", 20, 0), advisor.Recompressed, ""), 20},
		"as deep":               {done(fish("", 50, 0), advisor.Recompressed, ""), 0},
		"deeper":                {done(fish("", 60, 0), advisor.Recompressed, ""), 0},
		"let go at the top":     {done(fish("", 20, 0), advisor.Surface, ""), 0},
		"beside its size":       {done(fish("", 20, 3), advisor.Recompressed, ""), 0},
		"beside its name":       {done(fish(gag, 20, 0), advisor.Recompressed, ""), 0},
		"that of another of it": {done(fish("", 30, 0), advisor.Recompressed, ""), 0},
	} {
		k := newTalker(t)
		k.hear(question(fish(cod, 30, 2)))
		k.hear(question(fish(gag, 50, 3)))
		teller := &teller{s: k.s, r: report(c.told), now: k.now}
		teller.freedAt()
		f := teller.r.Fish[0]
		if c.freed > 0 {
			require.NotNil(t, f.Done.ReleaseDepthM, name)
			assert.Equal(t, c.freed, *f.Done.ReleaseDepthM, name)
			assert.Nil(t, f.Query.DepthM, name)
			continue
		}
		assert.Nil(t, f.Done.ReleaseDepthM, name)
		assert.NotNil(t, f.Query.DepthM, name)
	}
}

// A correction that says only which fish was meant gives it what was put right, and the
// other is as it was.
func TestWhichFishWasMeantIsPutRight(t *testing.T) {
	talk := func() *talker {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 28, 2), advisor.Surface, advisor.SwamDown)))
		k.hear(report(done(fish(cod, 20, 5), advisor.Surface, advisor.SwamDown)))
		k.hear(correction(fish("", 25, 0)))
		return k
	}
	small := correction()
	small.Which = understand.Which{Size: understand.SizeSmall}
	depths := func(k *talker) []float64 {
		return []float64{*k.s.Standing()[0].Fish.Query.DepthM, *k.s.Standing()[1].Fish.Query.DepthM}
	}
	k := talk()
	require.Equal(t, []float64{28, 25}, depths(k))
	m := k.hear(small)
	require.Len(t, m.Change, 2)
	assert.Equal(t, []float64{25, 20}, depths(k))

	numbered := small
	numbered.Number = 1
	k = talk()
	k.hear(numbered)
	assert.Equal(t, []float64{28, 25}, depths(k), "a number names a report by itself")

	k = talk()
	k.hear(undo)
	k.hear(small)
	assert.NotEqual(t, []float64{25, 20}, depths(k), "only right after the correction")
}

// The number of a report that an undo names is the first in what is typed beside it.
func TestNumberTypedWithAnUndo(t *testing.T) {
	for rest, want := range map[string]uint64{"12": 12, "no. 12": 12, "": 3, "4294967295": 4294967295, "4294967296": 3} {
		assert.Equal(t, want, NumberIn(understand.Reading{Want: understand.WantUndo, Rest: rest, Number: 3}), rest)
	}
	assert.Equal(t, uint64(3), NumberIn(understand.Reading{Want: understand.WantMine, Rest: "12", Number: 3}))
}

// "Take it back" in own words is an undo as the command is; another command stays itself.
func TestUndoInOwnWords(t *testing.T) {
	for verb, want := range map[string]Deed{"": Undo, "undo": Undo, "mine": Command} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
		r := undo
		r.Verb = verb
		assert.Equal(t, want, k.hear(r).Do, verb)
	}
}

// A bare "done" is the report of the fish that was advised on, once.
func TestDoneReportsTheFishThatWasAdvisedOn(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := other
	r.Text, r.Again.AsTold = "done", true
	assert.Equal(t, Keep, k.hear(r).Do)
	assert.Equal(t, advisor.Recompressed, k.only().Fish.Done.Method)
	k.hear(question(fish("", 0, 0)))
	assert.NotEqual(t, Keep, k.hear(r).Do, "it has its report")
	assert.Equal(t, Nothing, newTalker(t).hear(r).Do, "nobody was advised")
}

// A figure that the fish just reported lacks completes its report, but for words that ask
// something else, or name another report.
func TestFiguresThatAReportLacks(t *testing.T) {
	ask, no := question(fish("", 40, 0)), correction(fish("", 40, 0))
	for name, c := range map[string]struct {
		change func(r *understand.Reading)
		of     understand.Reading
		want   bool
	}{
		"asked":                 {func(*understand.Reading) {}, ask, true},
		"asked why":             {func(r *understand.Reading) { r.Want = understand.WantWhy }, ask, false},
		"of report 1":           {func(r *understand.Reading) { r.Number = 1 }, ask, false},
		"asked of the first":    {func(r *understand.Reading) { r.Again.Last = true }, ask, true},
		"put right of the last": {func(r *understand.Reading) { r.Again.Last = true }, no, false},
		"put right of the 1st":  {func(r *understand.Reading) { r.Again.Nth = 1 }, no, false},
		"put right, a size too": {func(r *understand.Reading) { r.Fish = []understand.Fish{fish("", 40, 2)} }, no, false},
	} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 0, 3), advisor.Recompressed, advisor.SwamDown)))
		r := c.of
		c.change(&r)
		teller := &teller{s: k.s, r: r, now: k.now}
		teller.completes()
		assert.Equal(t, c.want, teller.r.Act == understand.ActReport, name)
	}
}

// Beside weights that are aboard a weight is the fish's.
func TestWeightBesideWhatIsAboardIsTheFishs(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 4)))
	r := question(fish("", 0, 1))
	r.Aboard.ReleaseOz = []float64{20}
	k.hear(r)
	assert.Equal(t, []float64{20}, k.s.Aboard.ReleaseOz)
}

// A correction of the depth right after the one that a fish was freed at was told is of that.
func TestDepthPutRightAfterTheOneItWasFreedAt(t *testing.T) {
	for _, c := range []struct {
		act   understand.Act
		told  []string
		freed bool
	}{
		{understand.ActCorrection, []string{"release_depth_m"}, true}, {understand.ActCorrection, []string{"depth_m", "release_depth_m"}, false},
		{understand.ActCorrection, nil, false}, {understand.ActReport, []string{"release_depth_m"}, false},
	} {
		teller := &teller{s: State{Fish: []Fish{{Fish: fish(gag, 50, 3)}}, Told: c.told}, r: understand.Reading{Act: c.act, Fish: []understand.Fish{fish("", 60, 0)}}}
		teller.freedAt()
		assert.Equal(t, c.freed, teller.r.Fish[0].Done.ReleaseDepthM != nil, "%s %v", c.act, c.told)
	}
}

// The ends of the range in which a depth is near the one that a fish came from are in it.
func TestEndsOfTheRangeOfADepthPutRight(t *testing.T) {
	for x, depth := range map[float64]float64{49: 70, 50: 35} {
		f := fish("", 0, 0)
		f.Done.ReleaseDepthM = &x
		assert.True(t, (&teller{r: correction()}).caughtAt(&f, done(fish(gag, depth, 2), advisor.Recompressed, "")), x)
	}
}

func TestWhatTheLastMessageTold(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	assert.Equal(t, []string{"depth_m", "weight_kg"}, k.s.Told)
	f := done(fish("", 0, 0), advisor.Recompressed, "")
	f.Done.WeightsOz = []float64{20}
	k.hear(report(f))
	assert.Equal(t, []string{usedField}, k.s.Told)
}

// Words for what serves as a weight are remembered, the newest 24.
func TestMostWordsForWeights(t *testing.T) {
	k := newTalker(t)
	for i := range 30 {
		r := question(fish(gag, 60, 3))
		r.Things = []string{string(rune('a' + i))}
		k.hear(r)
	}
	require.Len(t, k.s.Things, 24)
	assert.Equal(t, string(rune('a'+29)), k.s.Things[23])
}

// A depth that one fish of a message has is that of those told before it too, but for one of
// which it is known.
func TestDepthIsSharedInAMessage(t *testing.T) {
	k := newTalker(t)
	m := k.hear(question(fish(gag, 0, 2), fish(cod, 50, 3)))
	require.Len(t, m.Fish, 2)
	assert.Equal(t, 50.0, *m.Fish[0].Query.DepthM)
	k = newTalker(t)
	k.hear(question(fish(gag, 40, 0)))
	m = k.hear(question(fish(gag, 0, 2), fish(cod, 50, 3)))
	require.Len(t, m.Fish, 2)
	assert.Equal(t, 40.0, *m.Fish[0].Query.DepthM)
}

// An undo takes back those of a kind that ended as it says, or all of that kind where none did;
// without a name the newest that ended so.
func TestUndoOfAFishByItsEnd(t *testing.T) {
	rows := []Row{
		{No: 1, With: 1, Fish: done(fish(gag, 40, 2), advisor.Surface, advisor.FloatedOff)},
		{No: 2, With: 1, Fish: done(fish(gag, 40, 2), advisor.Surface, advisor.SwamDown)},
	}
	for name, c := range map[string]struct {
		f    understand.Fish
		want []uint64
	}{
		"the gag that floated":      {went(fish(gag, 0, 0), advisor.FloatedOff), []uint64{1}},
		"the gag that died":         {went(fish(gag, 0, 0), advisor.Died), []uint64{1, 2}},
		"the one that floated":      {went(fish("", 0, 0), advisor.FloatedOff), []uint64{1}},
		"the one that swam":         {went(fish("", 0, 0), advisor.SwamDown), []uint64{2}},
		"the one that died":         {went(fish("", 0, 0), advisor.Died), nil},
		"one of which none is told": {fish("", 0, 0), nil},
	} {
		assert.Equal(t, c.want, numbersOf(picked(rows, c.f)), name)
	}
}

// Words that want something back right after an undo want that back, where they tell of one
// fish at most.
func TestWordsThatWantItBack(t *testing.T) {
	one := fish(gag, 0, 0)
	for n, want := range map[int]bool{0: true, 1: true, 2: false} {
		r := report([]understand.Fish{one, one}[:n]...)
		r.Again.Back = true
		assert.Equal(t, want, (&teller{s: State{Did: Undo}, r: r}).putsBack(), n)
		assert.False(t, (&teller{s: State{Did: Keep}, r: r}).putsBack(), n)
	}
}
