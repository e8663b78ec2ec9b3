package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// pointed is a fish without a name that words point at.
func pointed(w understand.Which) understand.Fish {
	f := fish("", 0, 0)
	f.Which = w
	return f
}

// What words say of how it went tells which report is put right: "the one that died was 4 kg".
func TestACorrectionFindsTheReportByItsFate(t *testing.T) {
	for which, no := range map[understand.Which]uint64{
		{End: advisor.Died}:       2,
		{End: advisor.SwamDown}:   1,
		{Kept: true}:              3,
		{End: advisor.FloatedOff}: 3, // none floated: the last one
	} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
		k.hear(report(done(fish(cod, 30, 2), "", advisor.Died)))
		k.hear(report(done(fish(jack, 30, 2), advisor.Kept, "")))
		f := pointed(which)
		f.Query.WeightKg = new(4.0)
		m := k.hear(correction(f))
		require.Len(t, m.Change, 1, which)
		assert.Equal(t, no, m.Change[0].No, which)
		assert.InDelta(t, 4, *m.Change[0].Fish.Query.WeightKg, 1e-9, which)
	}
}

// Both are told of already, and how it went with each is told anew by its size.
func TestTheBigAndTheLittleOneAfterBothReports(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 9), fish(gag, 60, 4)))
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)))
	big, small := pointed(understand.Which{Size: understand.SizeBig}), pointed(understand.Which{Size: understand.SizeSmall})
	k.hear(report(done(big, "", advisor.SwamDown), done(small, "", advisor.FloatedOff)))
	rows := k.s.Standing()
	require.Len(t, rows, 2)
	for _, r := range rows {
		want := advisor.SwamDown
		if *r.Fish.Query.WeightKg == 4 {
			want = advisor.FloatedOff
		}
		assert.Equal(t, want, r.Fish.Done.Outcome)
	}
}

// What came up again stays so when it is asked about once more.
func TestWhatCameUpAgainIsAskedAboutSo(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, advisor.FloatedOff)))
	assert.True(t, k.hear(question()).Again)
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)))
	assert.False(t, k.hear(question()).Again)
}

// Which weight is asked of the fish at hand; the bare word asks which weights there are.
func TestWhichWeightIsAskedOfTheFishAtHand(t *testing.T) {
	asks := func(text string) understand.Reading {
		r := question()
		r.Text, r.Want, r.Verb = text, understand.WantWeights, "weights"
		return r
	}
	k := newTalker(t)
	assert.Equal(t, Command, k.hear(asks("which weight?")).Do, "no fish is talked of")
	k.hear(question(fish(gag, 60, 3)))
	m := k.hear(asks("which weight?"))
	assert.Equal(t, Answer, m.Do)
	assert.Equal(t, understand.WantRelease, m.Want)
	require.Len(t, m.Fish, 1)
	assert.Equal(t, Command, k.hear(asks("weights")).Do)
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)))
	assert.Equal(t, Command, k.hear(asks("which weight?")).Do, "that one is gone")
}

// One more like the last that ails is to be advised on, and no report.
func TestOneMoreThatAilsIsAQuestion(t *testing.T) {
	again := func(f understand.Fish) understand.Reading {
		r := report(f)
		r.Text, r.Again.All, r.Again.Another = "another one the same but this one's bleeding", true, true
		return r
	}
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	f := fish("", 0, 0)
	f.Query.Bleeding = true
	m := k.hear(again(f))
	assert.Equal(t, Answer, m.Do)
	require.Len(t, m.Fish, 1)
	assert.Equal(t, gag, m.Fish[0].Query.Species)
	assert.InDelta(t, 60, *m.Fish[0].Query.DepthM, 1e-9)
	k.hear(again(done(f, advisor.Recompressed, "")))
	assert.Len(t, k.s.Standing(), 2, "something was done with it")
}

// "Undo that" right after the last report was taken back brings it back; the bare word does not.
func TestUndoThatOfTheLastUndoPutsBack(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(undo)
	that := undo
	that.Text = "undo that"
	assert.Equal(t, []uint64{1}, k.hear(that).PutBack)
	assert.Len(t, k.s.Standing(), 1)
}

// What is taken back may be told by how it went with it.
func TestUndoFindsTheReportByItsFate(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), "", advisor.Died)))
	k.hear(report(done(fish(gag, 60, 2), advisor.Recompressed, advisor.SwamDown)))
	dead := undo
	dead.Text, dead.Verb, dead.Which = "delete the dead one", "", understand.Which{End: advisor.Died}
	assert.Equal(t, []uint64{1}, k.hear(dead).TakeBack)
}

// "38, not 35" is of the report that has the 35, also where another has the 38.
func TestADeniedFigureFindsItsReport(t *testing.T) {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(report(done(fish(gag, 35, 3), advisor.Recompressed, "")))
	k.hear(report(done(fish(cod, 38, 2), advisor.Surface, "")))
	r := correction()
	r.Text, r.Bare = "first one was 38 not 35", []understand.Bare{{Value: 38, Words: "38"}, {Value: 35, Words: "35"}}
	m := k.hear(r)
	require.Len(t, m.Change, 1)
	assert.EqualValues(t, 1, m.Change[0].No)
	assert.InDelta(t, 38, *m.Change[0].Fish.Query.DepthM, 1e-9)
}

// A weight told by its bare figure is the one aboard of that figure in pounds.
func TestTheFiveIsTheFivePoundsAboard(t *testing.T) {
	k := outfitted(t, []float64{80}, nil, fish(gag, 60, 3))
	f := done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)
	f.Done.WeightsOz = []float64{5}
	r := report(f)
	r.BareUsed = true
	k.hear(r)
	assert.Equal(t, [][]float64{{80}}, k.weights())
}
