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
