package talk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

var other = understand.Reading{Act: understand.ActOther, Sure: 1}

func TestBareFigureAnswersTheSizeThatWasAskedFor(t *testing.T) {
	k := newTalker(t)
	k.now.Units = Metric
	k.hear(question(fish(cod, 60, 0)))
	require.Equal(t, AskSize, k.s.Asked.What)
	r := other
	r.Loose = []understand.Bare{{Value: 3}}
	m := k.hear(r)
	require.Len(t, m.Fish, 1)
	assert.Equal(t, 3.0, *m.Fish[0].Query.WeightKg)

	k = newTalker(t)
	k.now.Units = Metric
	k.hear(question(fish(cod, 60, 0)))
	r.Loose = []understand.Bare{{Value: 3}, {Value: 4}}
	assert.Equal(t, Nothing, k.hear(r).Do, "of two nobody knows which")
}

func TestAnotherNameIsSaidToBeOne(t *testing.T) {
	for name, want := range map[string]bool{cod: true, gag: false} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, 3)))
		r := correction(fish(name, 0, 4))
		r.Again.Is = true
		m := k.hear(r)
		assert.Equal(t, Answer, m.Do)
		assert.Equal(t, want, m.Renamed, name)
	}
	for name, want := range map[string]bool{cod: true, gag: false} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
		assert.Equal(t, want, k.hear(correction(fish(name, 0, 0))).Renamed, name)
	}
}

// A weight or a depth that it was freed at says by itself that a fish was sent down.
func TestDeedsAreToldByWhatTheyNeed(t *testing.T) {
	x := 30.0
	deep, on20 := understand.Done{Release: advisor.Release{ReleaseDepthM: &x}}, understand.Done{Release: advisor.Release{WeightsOz: []float64{20}}}
	top := understand.Done{Release: advisor.Release{Method: advisor.Surface}}
	assert.Equal(t, understand.Done{Release: advisor.Release{Method: advisor.Recompressed, ReleaseDepthM: &x}}, MergeDone(understand.Done{}, deep))
	assert.Equal(t, understand.Done{Release: advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{20}}}, MergeDone(understand.Done{}, on20))
	assert.Equal(t, advisor.Vented, MergeDone(understand.Done{Release: advisor.Release{Method: advisor.Vented}}, deep).Method, "what was told stays")
	assert.Equal(t, advisor.Vented, MergeDone(understand.Done{Release: advisor.Release{Method: advisor.Vented}}, on20).Method)
	down := understand.Done{Release: advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{20}, ReleaseDepthM: &x}}
	assert.Equal(t, top, MergeDone(down, top), "no weight without it being sent down")
	assert.Equal(t, down, MergeDone(down, understand.Done{Release: advisor.Release{Method: advisor.Recompressed}}))
	day := &understand.Day{Month: 5}
	all := understand.Done{Release: advisor.Release{Method: advisor.Surface, Outcome: advisor.SwamDown, Tag: "A1", Recapture: true}, Day: day}
	assert.Equal(t, all, MergeDone(top, all))
	assert.Equal(t, all, MergeDone(all, understand.Done{}), "silence changes nothing")
}

func TestFollowUpGoesOverWhatIsKnown(t *testing.T) {
	minutes, warm, cm := 3.0, 27.0, 60.0
	base := fish(gag, 60, 3).Query
	base.Signs = []advisor.Sign{advisor.BulgingEyes}
	news := advisor.Query{
		Count: 2, Capture: advisor.Capture{Signs: []advisor.Sign{advisor.BulgingEyes, advisor.EvertedStomach}, LengthCm: &cm, LengthType: advisor.ForkLength, Hook: advisor.HookGut, Behaviour: advisor.Weak, MinutesOnDeck: &minutes, Bleeding: true}, SurfaceTempC: &warm, WeightsAboardOz: []float64{40}, Predators: true, WarmWater: true,
	}
	got := Merge(base, news)
	want := news
	want.Species, want.SpeciesName, want.DepthM = gag, gag, base.DepthM
	assert.Equal(t, want, got)
	assert.Equal(t, want, Merge(got, advisor.Query{Count: 1}), "silence changes nothing")
	assert.Len(t, base.Signs, 1, "what was known is not written over")

	f := fish(gag, 60, 3)
	f.Query.Signs, f.Query.Bleeding = news.Signs, true
	clean := mergeFish(f, understand.Fish{NoSigns: true, NotBleeding: true, Query: advisor.Query{Count: 1}})
	assert.Empty(t, clean.Query.Signs)
	assert.False(t, clean.Query.Bleeding)
	one := understand.Fish{NoSigns: true, Query: advisor.Query{Count: 1, Capture: advisor.Capture{Signs: news.Signs[:1]}}}
	assert.Len(t, mergeFish(f, one).Query.Signs, 2, "no sign but this one")
}

// What is aboard is heard in idle talk too, where it is talk by a hair only.
func TestWeightsAboardInTalkOfAFish(t *testing.T) {
	for sure, want := range map[float64]Deed{0.8: Answer, 0.81: Nothing} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, 3)))
		r := other
		r.Sure, r.Aboard.ReleaseOz = sure, []float64{20}
		assert.Equal(t, want, k.hear(r).Do, sure)
	}
	k := newTalker(t)
	r := other
	r.Sure, r.Aboard.ReleaseOz = 0.5, []float64{20}
	assert.Equal(t, Nothing, k.hear(r).Do, "no fish is talked of")
}

func TestNumberOfNoReport(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	typed := undo
	typed.Number = 99
	m := k.hear(typed)
	assert.Equal(t, Undo, m.Do, "of a command it is told that there is none")
	assert.Empty(t, m.TakeBack)
	r := correction(fish("", 55, 0))
	r.Number = 99
	m = k.hear(r)
	require.Len(t, m.Change, 1)
	assert.Equal(t, uint64(1), m.Change[0].No, "in a sentence it was no number of a report")
}

func TestQuestionWithoutAWantIsWhatToDo(t *testing.T) {
	r := question(fish(gag, 60, 3))
	r.Want = ""
	assert.Equal(t, understand.WantRelease, newTalker(t).hear(r).Want)
	r.Want = understand.WantWhy
	assert.Equal(t, understand.WantWhy, newTalker(t).hear(r).Want)
}

// What is a report by nine to one is one; what is less sure is answered too, as the fish
// may still be aboard.
func TestUnsureReportIsAnsweredToo(t *testing.T) {
	for sure, want := range map[float64]bool{0.89: true, 0.9: false} {
		r := report(fish(gag, 60, 3))
		r.Sure = sure
		m := newTalker(t).hear(r)
		assert.Equal(t, want, m.Aboard, sure)
		assert.Len(t, m.Keep, 1)
	}
	for name, f := range map[string]understand.Fish{
		"it swam down": done(fish(gag, 60, 3), "", advisor.SwamDown), "kept": done(fish(gag, 60, 3), advisor.Kept, ""), "no depth": fish(gag, 0, 3),
	} {
		r := report(f)
		r.Sure = 0.5
		assert.False(t, newTalker(t).hear(r).Aboard, name)
	}
}

// A fish told whole that floated off is over; one that was just talked of is still there.
func TestOnlyTheFishThatIsThereIsAnsweredAnew(t *testing.T) {
	assert.False(t, newTalker(t).hear(report(done(fish(gag, 60, 3), advisor.Surface, advisor.FloatedOff))).Again)
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	assert.True(t, k.hear(report(done(fish("", 0, 0), advisor.Surface, advisor.FloatedOff))).Again)
	k = newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := report(done(fish("", 0, 0), advisor.Surface, advisor.FloatedOff))
	r.Day = &understand.Day{Month: 5}
	assert.False(t, k.hear(r).Again, "of another day")
}

func TestReaderIsToldWhatTheTalkIsAbout(t *testing.T) {
	k := newTalker(t)
	assert.False(t, k.s.Context().Begun)
	k.hear(question(fish(gag, 60, 0)))
	c := k.s.Context()
	assert.True(t, c.Begun && c.Open && c.Species && c.Depth)
	assert.False(t, c.Size || c.Kept)
	assert.Equal(t, AskSize, c.Asks)
	k.hear(question(fish("", 0, 3)))
	assert.True(t, k.s.Context().Size)
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, "")))
	c = k.s.Context()
	assert.True(t, c.Kept)
	assert.False(t, c.Open, "its report is made")
	assert.Equal(t, AskWent, c.Asks)
	assert.Empty(t, k.s.WithoutRows().Rows)
	for what, want := range map[string]string{AskUnit: AskDepth, AskFish: AskSpecies, AskDepth: AskDepth} {
		assert.Equal(t, want, State{Asked: Ask{What: what}}.asks())
	}
}

// One kind under two names is one fish: the name does not make it another.
func TestOneKindUnderTwoNamesIsOneFish(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	grouper := fish(gag, 0, 4)
	grouper.Query.SpeciesName = "gag grouper"
	m := k.hear(question(grouper))
	require.Len(t, k.s.Fish, 1)
	assert.Equal(t, 60.0, *m.Fish[0].Query.DepthM)
	assert.Equal(t, 4.0, *m.Fish[0].Query.WeightKg)
	k.hear(question(fish(cod, 0, 4)))
	assert.Len(t, k.s.Fish, 2)
}

func TestUndoOfAChangeLetsTheReportStandAsItWas(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(correction(fish("", 55, 0)))
	m := k.hear(undo)
	assert.Empty(t, m.TakeBack)
	require.Len(t, m.Change, 1)
	assert.Equal(t, 60.0, *k.only().Fish.Query.DepthM)
	k.hear(understand.Reading{Act: understand.ActCommand, Want: understand.WantPutBack, Sure: 1})
	assert.Equal(t, 55.0, *k.only().Fish.Query.DepthM, "and back again")
}

func TestPutBackAfterAnUndoOfAChangeThatFollowedAnUndo(t *testing.T) {
	k := newTalker(t)
	back := understand.Reading{Act: understand.ActCommand, Want: understand.WantPutBack, Sure: 1}
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(report(done(fish(cod, 30, 2), advisor.Surface, advisor.SwamDown)))
	k.hear(undo) // the cod
	k.hear(correction(fish(gag, 55, 0)))
	k.hear(undo) // the depth of the gag
	m := k.hear(back)
	assert.Empty(t, m.PutBack, "the newest undo first")
	assert.Equal(t, 55.0, *k.only().Fish.Query.DepthM)
}

func TestNineUndosAreRememberedAsEight(t *testing.T) {
	k := newTalker(t)
	for range 9 {
		k.hear(report(fish(gag, 40, 3)))
	}
	for range 9 {
		k.hear(undo)
	}
	assert.Len(t, k.s.Taken, 8)
	assert.Equal(t, []uint64{8}, k.s.Taken[0])
}

func TestNineFishAreTalkedOfAsEight(t *testing.T) {
	k := newTalker(t)
	for i := range 9 {
		r := question(fish(gag, float64(20+10*i), 3))
		r.Again.Another = true
		k.hear(r)
	}
	require.Len(t, k.s.Fish, 8)
	assert.Equal(t, 30.0, *k.s.Fish[0].Query.DepthM, "the first is forgotten")
}

// The unit that a figure was told in is the one in which it is round.
func TestToldUnitsAreTheRoundOnes(t *testing.T) {
	for name, c := range map[string]struct {
		depth, kg, cm float64
		want          Units
	}{
		"metric":       {45, 3.2, 61, Units{1, 1, 1}},
		"imperial":     {145 * feet, 7 * pounds, 24 * inches, Units{feet, pounds, inches}},
		"fathoms":      {25 * fathoms, 7.3 * pounds, 24 * inches, Units{fathoms, pounds, inches}},
		"half an inch": {45, 3.2, 24.5 * inches, Units{1, 1, 1}},
	} {
		q := advisor.Query{Capture: advisor.Capture{DepthM: &c.depth, WeightKg: &c.kg, LengthCm: &c.cm}}
		assert.Equal(t, c.want, Told(q), name)
	}
	assert.Zero(t, Told(advisor.Query{}))
}

func TestUnitsFillOneAnother(t *testing.T) {
	assert.Equal(t, Units{feet, pounds, 1}, Units{Depth: feet}.Or(Units{Weight: pounds}).Or(Metric))
	assert.Equal(t, Imperial, Imperial.Or(Metric))
	for field, want := range map[string]float64{"depth_m": feet, "release_depth_m": feet, "weight_kg": pounds, "length_cm": inches, "count": 0} {
		assert.Equal(t, want, Imperial.of(field), field)
	}
}

// A figure within 2 % of what is known is that figure, told in another unit perhaps.
func TestFiguresThatDiffer(t *testing.T) {
	known := 100.0
	for x, want := range map[float64]bool{100: false, 98: false, 102: false, 97.9: true, 102.1: true} {
		assert.Equal(t, want, differs(&known, &x), x)
	}
	assert.True(t, differs(nil, &known))
	assert.False(t, differs(&known, nil), "nothing is told")
}

// Weights that were used: one aboard, in the unit it is known by, and none under 4 oz.
func TestWeightsUsedAreOnesAboard(t *testing.T) {
	assert.Equal(t, []float64{20}, likely(nil, []float64{20, 3.9}, 0))
	assert.Equal(t, []float64{4}, likely(nil, []float64{4}, 0))
	assert.Equal(t, []float64{3}, likely([]float64{3, 20}, []float64{3}, 0), "a light one that is aboard")
	assert.Equal(t, []float64{52.9109}, likely(nil, []float64{1.5}, 1), "a kilo and a half of who tells kilograms")
	assert.Equal(t, 80.0, asAboard([]float64{80}, 5), "five pounds")
	assert.Equal(t, 70.55, asAboard([]float64{70.55}, 2), "two kilograms")
	assert.Equal(t, 5.0, asAboard([]float64{82}, 5), "over one per cent off")
	assert.Equal(t, 5.0, asAboard([]float64{78}, 5))
}

func TestWeightThatTheWordsPick(t *testing.T) {
	for pick, want := range map[understand.Pick][]float64{
		understand.PickLightest: {20}, understand.PickHeaviest: {40}, understand.PickTogether: {40, 20}, "": nil,
	} {
		k := newTalker(t)
		q := question(fish(gag, 60, 3))
		q.Aboard.ReleaseOz = []float64{40, 20}
		k.hear(q)
		r := report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown))
		r.Again.Pick = pick
		k.hear(r)
		assert.Equal(t, want, k.only().Fish.Done.WeightsOz, pick)
	}
}

// The depth in a report of a fish whose depth is known is where it was freed; one in a
// correction, near the depth of capture, where it came from.
func TestDepthsOfCaptureAndRelease(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(report(done(fish("", 30, 0), advisor.Recompressed, advisor.SwamDown)))
	d := k.only().Fish
	assert.Equal(t, []float64{60, 30}, []float64{*d.Query.DepthM, *d.Done.ReleaseDepthM})
	for x, capture := range map[float64]bool{42: true, 41.9: false, 85.7: true, 85.8: false} {
		tl := teller{r: understand.Reading{Act: understand.ActCorrection}}
		f := understand.Fish{Done: understand.Done{Release: advisor.Release{ReleaseDepthM: &x}}}
		assert.Equal(t, capture, tl.caughtAt(&f, done(fish(gag, 60, 3), advisor.Recompressed, "")), x)
		assert.True(t, tl.caughtAt(&f, done(fish(gag, 60, 3), advisor.Surface, "")), "let go at the top")
	}
}

// A bare "done" of four words at most is a report of the fish that was advised on.
func TestBareDoneIsAReport(t *testing.T) {
	for text, want := range map[string]Deed{"ok did that now": Keep, "well ok did that now": Nothing} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, 3)))
		r := other
		r.Text, r.Again.AsTold = text, true
		assert.Equal(t, want, k.hear(r).Do, text)
	}
}

// Slips of the talk before are forgotten with it, just when the fish are.
func TestUnitsOfAnEarlierTalkAreNoHabit(t *testing.T) {
	for d, want := range map[time.Duration]float64{6 * time.Hour: feet, 6*time.Hour + time.Second: fathoms} {
		s := State{At: dawn, Units: Units{Depth: feet}}
		_, s = Next(s, other, Now{At: dawn.Add(d), Habit: Units{Depth: fathoms}})
		assert.Equal(t, want, s.Units.Depth, d)
	}
}

func TestBareLogOfNothingIsAskedBack(t *testing.T) {
	k := newTalker(t)
	assert.Equal(t, AskBack, k.hear(report(fish("", 0, 0))).Do)
	assert.Equal(t, AskWent, k.s.Asked.What)
	tagged := fish("", 0, 0)
	tagged.Done.Tag = "A1"
	weak := fish("", 0, 0)
	weak.Query.Behaviour = advisor.Weak
	blown := fish("", 0, 0)
	blown.Query.Signs = []advisor.Sign{advisor.BulgingEyes}
	for _, f := range []understand.Fish{tagged, weak, blown, fish(gag, 0, 0), fish("", 40, 0), done(fish("", 0, 0), advisor.Surface, "")} {
		assert.Equal(t, Keep, newTalker(t).hear(report(f)).Do, f)
	}
}

func TestTwoReportsTakeTwoEndsInTurn(t *testing.T) {
	k := newTalker(t)
	k.hear(report(counted(done(fish(gag, 40, 3), advisor.Recompressed, ""), 2)))
	m := k.hear(report(done(fish("", 0, 0), "", advisor.SwamDown), done(fish("", 0, 0), "", advisor.FloatedOff)))
	require.Len(t, m.Change, 2)
	assert.Equal(t, advisor.SwamDown, m.Change[0].Fish.Done.Outcome)
	assert.Equal(t, advisor.FloatedOff, m.Change[1].Fish.Done.Outcome)

	k = newTalker(t)
	k.hear(report(counted(done(fish(gag, 40, 3), advisor.Recompressed, ""), 2)))
	second := report(done(fish("", 0, 0), "", advisor.FloatedOff))
	second.Again.Nth = 2
	m = k.hear(second)
	require.Len(t, m.Change, 1)
	assert.Equal(t, uint64(2), m.Change[0].No)
}

// A further fish of a message shares what was done only where its words are about that.
func TestFurtherFishOfAMessage(t *testing.T) {
	m := newTalker(t).hear(report(counted(done(fish(gag, 40, 3), advisor.Recompressed, advisor.SwamDown), 1), counted(fish("", 0, 2), 1)))
	require.Len(t, m.Keep, 2)
	assert.Equal(t, understand.Done{}, m.Keep[1].Fish.Done, "nobody said")
	m = newTalker(t).hear(report(counted(done(fish(gag, 40, 3), advisor.Recompressed, advisor.SwamDown), 1), counted(done(fish("", 0, 0), "", advisor.FloatedOff), 1)))
	require.Len(t, m.Keep, 2)
	assert.Equal(t, understand.Done{Release: advisor.Release{Method: advisor.Recompressed, Outcome: advisor.FloatedOff}}, m.Keep[1].Fish.Done)
	assert.Nil(t, m.Keep[1].Fish.Query.WeightKg, "its own weight is not known")
	m = newTalker(t).hear(report(counted(done(fish(gag, 40, 3), advisor.Recompressed, advisor.SwamDown), 1), counted(done(fish("", 0, 0), advisor.Surface, ""), 1)))
	require.Len(t, m.Keep, 2)
	assert.Equal(t, understand.Done{Release: advisor.Release{Method: advisor.Surface}}, m.Keep[1].Fish.Done)
}

// A name that no fish has is dropped where one is talked of, unless it is told with a depth.
func TestNameOfNoFishIsDroppedWhereOneIsTalkedOf(t *testing.T) {
	unknown := func(depth float64) understand.Fish {
		f := done(fish("", depth, 0), advisor.Surface, advisor.SwamDown)
		f.Name, f.Query.SpeciesName = "thingummy", "thingummy"
		return f
	}
	for depth, want := range map[float64]string{0: gag, 40: "thingummy"} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, 3)))
		k.hear(report(unknown(depth)))
		assert.Equal(t, want, k.only().Fish.Query.SpeciesName)
	}
}

// "Put it back" means a report only right after it was taken back.
func TestBackIsSaidOfAnUndo(t *testing.T) {
	back := other
	back.Again.Back = true
	k := newTalker(t)
	k.hear(report(fish(gag, 40, 3)))
	assert.NotEqual(t, PutBack, k.hear(back).Do)
	k = newTalker(t)
	k.hear(report(fish(gag, 40, 3)))
	k.hear(undo)
	assert.Equal(t, []uint64{1}, k.hear(back).PutBack)
}

func TestBareFigureWithNothingAskedIsNotTaken(t *testing.T) {
	for name, r := range map[string]understand.Reading{"idle": other, "with a size": question(fish("", 0, 4))} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(question(fish(gag, 60, 3)))
		require.Empty(t, k.s.Asked.What)
		r.Loose = []understand.Bare{{Value: 50}}
		k.hear(r)
		require.Len(t, k.s.Fish, 1)
		assert.Equal(t, 60.0, *k.s.Fish[0].Query.DepthM, name)
	}
}

func TestHabitOfYearsIsChangedBySevenMessages(t *testing.T) {
	var h Habit
	for range 90 {
		h = h.after(fathoms)
	}
	for range 6 {
		h = h.after(1)
	}
	assert.Zero(t, h.known())
	assert.Equal(t, 1.0, h.after(1).known())
}

func TestBareSameAgainIsOneMore(t *testing.T) {
	again := other
	again.Text, again.Again.All = "same again", true
	k := newTalker(t)
	k.hear(again)
	assert.Empty(t, k.s.Rows, "nothing was before")
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	assert.Equal(t, Keep, k.hear(again).Do)
	assert.Len(t, k.s.Standing(), 2)
	k.hear(question())
	assert.NotEqual(t, Keep, k.hear(again).Do, "not right after a report")
}

// A name that nobody knows beside the size that was lacking is a slip; where none was, it
// is another fish.
func TestUnknownNameWithASize(t *testing.T) {
	for weight, fishes := range map[float64]int{0: 1, 3: 2} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, weight)))
		f := fish("", 0, 4)
		f.Name, f.Query.SpeciesName = "thingummy", "thingummy"
		k.hear(question(f))
		assert.Len(t, k.s.Fish, fishes)
	}
}

func TestOneDepthIsThatOfAllFishOfAMessage(t *testing.T) {
	m := newTalker(t).hear(question(fish(gag, 60, 3), fish(cod, 0, 2)))
	require.Len(t, m.Fish, 2)
	assert.Equal(t, 60.0, *m.Fish[1].Query.DepthM)
}

func TestWhatFloatsIsUp(t *testing.T) {
	at := func(b advisor.Behaviour, end advisor.Outcome) bool {
		f := done(fish("", 0, 0), "", end)
		f.Query.Behaviour = b
		return floats(f)
	}
	assert.True(t, at("", advisor.FloatedOff))
	assert.True(t, at(advisor.Floating, ""))
	assert.False(t, at(advisor.Floating, advisor.SwamDown), "how it ended counts")
	assert.False(t, at(advisor.Strong, ""))
	assert.False(t, at("", ""))
}

// A fish that went down is taken for let go as it was advised, as one is of which the words
// say so.
func TestAdviceThatWasFollowed(t *testing.T) {
	for name, c := range map[string]struct {
		aboard []float64
		again  understand.Again
		end    advisor.Outcome
		depth  float64
		want   advisor.Method
	}{
		"one weight":         {[]float64{20}, understand.Again{}, advisor.SwamDown, 60, advisor.Recompressed},
		"two weights":        {[]float64{20, 40}, understand.Again{}, advisor.SwamDown, 60, advisor.Recompressed},
		"it floated":         {[]float64{20}, understand.Again{}, advisor.FloatedOff, 60, ""},
		"as told":            {[]float64{20, 40}, understand.Again{AsTold: true}, advisor.SwamDown, 60, advisor.Recompressed},
		"the heavy one":      {[]float64{20, 40}, understand.Again{Pick: understand.PickHeaviest}, advisor.SwamDown, 60, advisor.Recompressed},
		"let go, as advised": {[]float64{20}, understand.Again{AsTold: true}, advisor.SwamDown, 5, advisor.Surface},
	} {
		k := newTalker(t)
		q := question(fish(gag, c.depth, 3))
		q.Aboard.ReleaseOz = c.aboard
		k.hear(q)
		r := report(done(fish("", 0, 0), "", c.end))
		r.Again = c.again
		k.hear(r)
		assert.Equal(t, c.want, k.only().Fish.Done.Method, name)
	}
}

func TestDayToldWithTheEndIsThatOfTheReport(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, "")))
	r := report(done(fish("", 0, 0), "", advisor.SwamDown))
	r.Day = &understand.Day{Month: 5, DayOfMonth: 2}
	k.hear(r)
	assert.Equal(t, r.Day, k.only().Day)
	k.hear(report(done(fish("", 0, 0), "", advisor.FloatedOff)))
	assert.Equal(t, r.Day, k.only().Day, "silence changes nothing")
}

func TestAnotherDepthAfterAReportIsAnotherFish(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(question(fish("", 80, 0)))
	assert.Len(t, k.s.Fish, 2)
	k = newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(question(fish("", 80, 0)))
	assert.Len(t, k.s.Fish, 1, "without a report it is put right")
}

func TestWordsThatSayWhatAFishIsNameIt(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := question(fish(cod, 0, 0))
	r.Again.Is = true
	k.hear(r)
	require.Len(t, k.s.Fish, 1)
	assert.Equal(t, cod, k.s.Fish[0].Query.Species)
	r.Fish = []understand.Fish{fish(gag, 0, 5)}
	k.hear(r)
	assert.Len(t, k.s.Fish, 2, "with a figure it is another")
}

func TestUndoOfAFishThatIsNotInTheLogTakesTheLast(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	k.hear(report(done(fish(cod, 30, 2), advisor.Surface, advisor.FloatedOff)))
	r := undo
	r.Fish = []understand.Fish{fish(jack, 0, 0)}
	assert.Equal(t, []uint64{2}, k.hear(r).TakeBack)
	r.Fish = []understand.Fish{fish(gag, 0, 0)}
	assert.Equal(t, []uint64{1}, k.hear(r).TakeBack)
}

// "Same again, gag" went as the last one did.
func TestSameAgainOfOneFishEndsAsTheLast(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
	r := report(fish(gag, 0, 0))
	r.Again.All = true
	m := k.hear(r)
	require.Len(t, m.Keep, 1)
	assert.Equal(t, advisor.SwamDown, m.Keep[0].Fish.Done.Outcome)
	assert.Equal(t, advisor.Recompressed, m.Keep[0].Fish.Done.Method)
}

func TestWithNoWeightAboardNothingIsTakenForSentDown(t *testing.T) {
	k := newTalker(t)
	q := question(fish(gag, 60, 3))
	q.Aboard.None = true
	k.hear(q)
	k.hear(report(done(fish("", 0, 0), "", advisor.SwamDown)))
	assert.Empty(t, k.only().Fish.Done.Method)
}

func TestThatAFishHadNoSignsIsNotSaidOfTheNext(t *testing.T) {
	sized := func(kg float64) advisor.Query {
		return advisor.Query{Count: 1, Species: "Mycteroperca microlepis", SpeciesName: "gag grouper", Capture: advisor.Capture{WeightKg: &kg}}
	}
	looked := understand.Fish{Name: "gag", NoSigns: true, Query: sized(4)}
	require.False(t, mergeFish(looked, understand.Fish{Name: "gag", Query: sized(2)}).NoSigns)
	deeper := understand.Fish{Query: advisor.Query{Count: 1, Capture: advisor.Capture{DepthM: new(60.0)}}}
	require.True(t, mergeFish(looked, deeper).NoSigns)
}

// What was kept before keeps its number, a report with no other beside it gets none, and one
// for which no number came waits for it.
func TestOnlyRowsThatWereToBeKeptGetNumbers(t *testing.T) {
	s := State{Rows: []Row{{No: 1}, {No: provisional, With: 1}, {No: provisional | 1, With: provisional}}}
	assert.Equal(t, []Row{{No: 1}, {No: 7, With: 1}, {No: provisional | 1, With: 7}}, s.Number([]uint64{7}).Rows)
	assert.Equal(t, uint64(provisional), s.Rows[1].No, "the state before is left as it was")
}

// "What do I do?" of no fish is asked back, "why?" is answered without one.
func TestQuestionOfNoFishIsAskedBackWhereAFishIsNeeded(t *testing.T) {
	assert.Equal(t, AskBack, newTalker(t).hear(question()).Do)
	why := question()
	why.Want = understand.WantWhy
	assert.Equal(t, Answer, newTalker(t).hear(why).Do)
}

// A talk that begins with "what if" is about that fish; one supposed later leaves the fish
// that is aboard as it was.
func TestFirstFishThatIsSupposedIsTalkedOf(t *testing.T) {
	suppose := question(fish(gag, 40, 3))
	suppose.Text = "what if a gag of 3 kg from 40 m"
	k := newTalker(t)
	k.hear(suppose)
	require.Len(t, k.s.Fish, 1)
	assert.Equal(t, gag, k.s.Fish[0].Query.Species)

	k = newTalker(t)
	k.hear(question(fish(gag, 40, 2)))
	k.hear(suppose)
	require.Len(t, k.s.Fish, 1)
	assert.Equal(t, 2.0, *k.s.Fish[0].Query.WeightKg)
}

// Each name is told once, in the order of the fish; one without a name has none.
func TestNamesOfTheTalkAreThoseTyped(t *testing.T) {
	typed := func(name string) Fish { return Fish{Fish: understand.Fish{Name: name}} }
	s := State{Fish: []Fish{typed("gag"), typed(""), typed("cod"), typed("gag")}}
	assert.Equal(t, []string{"gag", "cod"}, s.Names())
}

// Of "three reds, one with popped eyes" two are left; of "two reds, two with popped eyes" the
// eyes are those of both.
func TestThoseToldApartAreTakenOffTheCount(t *testing.T) {
	for _, c := range []struct{ all, apart, left int }{{3, 0, 2}, {3, 1, 2}, {3, 2, 1}, {2, 2, 2}, {2, 3, 2}} {
		groups := []understand.Fish{counted(fish(gag, 40, 0), c.all), counted(fish("", 0, 0), c.apart)}
		shareCounts(groups)
		assert.Equal(t, c.left, groups[0].Query.Count, "%d of %d", c.apart, c.all)
		assert.Equal(t, c.apart, groups[1].Query.Count, "%d of %d", c.apart, c.all)
	}
	groups := []understand.Fish{fish("", 40, 0), counted(fish(gag, 40, 0), 3)}
	shareCounts(groups)
	assert.Equal(t, 3, groups[1].Query.Count, "what came before is of none of them")
}

// One of a kind that has its report is not taken apart by what is told of two others.
func TestFishThatWasReportedIsNotTakenApart(t *testing.T) {
	two := func(rows ...uint64) *teller {
		f := counted(fish(gag, 40, 0), 2)
		return &teller{s: State{Fish: []Fish{{Fish: f, Rows: rows}}}}
	}
	told := []understand.Fish{fish("", 0, 3), fish("", 0, 1.5)}
	assert.Len(t, two().apart(told), 2)
	assert.Nil(t, two(1).apart(told))
}
