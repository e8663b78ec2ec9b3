package talk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// A depth put right that names no fish is that of all told together from the same depth.
func TestADepthPutRightIsOfAllToldTogether(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(jack, 30, 0), fish(gag, 60, 0), fish(cod, 60, 0)))
	k.hear(report(done(fish(gag, 0, 0), advisor.Recompressed, ""), done(fish(jack, 0, 0), advisor.Surface, ""), done(fish(cod, 0, 0), advisor.Recompressed, "")))
	k.hear(correction(fish("", 66, 0)))
	var depths []float64
	for _, r := range k.s.Standing() {
		depths = append(depths, *r.Fish.Query.DepthM)
	}
	assert.Equal(t, []float64{66, 30, 66}, depths)
	k.hear(correction(fish(cod, 70, 0)))
	assert.Equal(t, 66.0, *k.s.Standing()[0].Fish.Query.DepthM, "a name makes it one's own")
}

// A bare figure of a correction is what it changes: not a figure that is right already, and the
// one that it is nearest to where another would change beyond belief.
func TestABareFigurePutsRightWhatItIsNearTo(t *testing.T) {
	reported := func(f understand.Fish, oz ...float64) *talker {
		k := newTalker(t)
		k.now.Units = Metric
		f = done(f, advisor.Recompressed, advisor.SwamDown)
		f.Done.WeightsOz = oz
		k.hear(report(f))
		return k
	}
	k := reported(long(gag, 35))
	k.s.Rows[0].Fish.Query.DepthM = new(38.0)
	k.s.Fish[0].Query.DepthM = new(38.0)
	r := correction()
	r.Bare = []understand.Bare{{Value: 38, Role: "depth_m", Sure: 0.9}}
	k.hear(r)
	assert.Equal(t, 38.0, *k.only().Fish.Query.LengthCm, "the depth is right already")

	k = reported(fish(gag, 280, 30))
	r.Bare = []understand.Bare{{Value: 22, Role: "depth_m", Sure: 0.9}}
	k.hear(r)
	assert.Equal(t, []float64{280, 22}, []float64{*k.only().Fish.Query.DepthM, *k.only().Fish.Query.WeightKg})

	k = reported(fish(gag, 280, 30))
	r.Bare = []understand.Bare{{Value: 200, Role: "depth_m", Sure: 0.9}}
	k.hear(r)
	assert.Equal(t, 200.0, *k.only().Fish.Query.DepthM)

	k = reported(fish(gag, 40, 0), 60)
	k.hear(understand.Reading{Act: understand.ActCorrection, Sure: 1, Corrects: true, Bare: bare(40)})
	assert.Equal(t, []float64{40}, k.only().Fish.Done.WeightsOz, "it was the weight")

	k = reported(fish(gag, 40, 0), 60)
	k.hear(understand.Reading{Act: understand.ActCorrection, Sure: 1, Corrects: true, Bare: bare(44)})
	assert.Equal(t, []any{44.0, []float64{60}}, []any{*k.only().Fish.Query.DepthM, k.only().Fish.Done.WeightsOz})
}

// Of two bare figures the one that is known says what the other one is of.
func TestTheKnownFigureSaysWhatTheOtherIsOf(t *testing.T) {
	for name, c := range map[string]struct {
		bare  []float64
		field string
		want  float64
	}{
		"not 50, 80":         {[]float64{50, 80}, "release_depth_m", 80},
		"70 and not 60":      {[]float64{70, 60}, "depth_m", 70},
		"not 4, 5":           {[]float64{4, 5}, "weight_kg", 5},
		"of neither, no one": {[]float64{9, 99}, "length_cm", 0},
	} {
		k := newTalker(t)
		k.now.Units = Metric
		f := done(fish(gag, 60, 4), advisor.Recompressed, advisor.SwamDown)
		f.Done.ReleaseDepthM, f.Done.WeightsOz = new(50.0), []float64{40}
		k.hear(report(f))
		r := correction()
		for _, x := range c.bare {
			r.Loose = append(r.Loose, understand.Bare{Value: x})
		}
		k.hear(r)
		row := k.only()
		got := 0.0
		if x := *row.Fish.Figure(c.field); x != nil {
			got = *x
		}
		assert.Equal(t, c.want, got, name)
	}
	k := sentDown(t, 0, 40)
	k.hear(understand.Reading{Act: understand.ActCorrection, Sure: 1, Corrects: true, Loose: []understand.Bare{{Value: 32}, {Value: 40}}})
	assert.Equal(t, []float64{32}, k.used(t), "lead of 32, not 40")
}

// A size told by that of the fish before it.
func TestASizeByThatOfTheFishBefore(t *testing.T) {
	half := fish("", 0, 0)
	half.Times = 0.5
	k := newTalker(t)
	m := k.hear(question(fish(gag, 60, 15), half))
	require.Len(t, m.Fish, 2)
	assert.Equal(t, 7.5, *m.Fish[1].Query.WeightKg)

	k = newTalker(t)
	k.hear(report(done(fish(gag, 60, 4), advisor.Surface, "")))
	r := question(half)
	r.Again.Another = true
	assert.Equal(t, 2.0, *k.hear(saying(r, "another half that size, what now?")).Fish[0].Query.WeightKg)
}

// A correction that tells how many of a message's fish it is of puts right so many, the newest;
// the day it tells is theirs.
func TestCorrectionOfSomeOfAMessage(t *testing.T) {
	three := report(counted(done(fish(gag, 40, 0), advisor.Recompressed, advisor.SwamDown), 3))
	k := newTalker(t)
	k.hear(three)
	k.hear(correction(counted(went(fish("", 0, 0), advisor.FloatedOff), 2)))
	assert.Equal(t, []advisor.Outcome{advisor.SwamDown, advisor.FloatedOff, advisor.FloatedOff}, k.ends())
	for _, r := range k.s.Standing() {
		assert.Equal(t, 1, r.Fish.Query.Count, "a report is of one fish")
		assert.Nil(t, r.Day)
	}
	k = newTalker(t)
	k.hear(three)
	k.hear(correction(counted(went(fish("", 0, 0), advisor.FloatedOff), 3)))
	assert.Equal(t, []advisor.Outcome{advisor.FloatedOff, advisor.FloatedOff, advisor.FloatedOff}, k.ends())
	r := correction(fish("", 50, 0))
	r.Day = &understand.Day{Ago: 1}
	for _, row := range k.hear(r).Change {
		assert.Equal(t, r.Day, row.Day)
	}
}

// "There were two": reports too many are taken back, those that lack are made; as many as there
// are stay.
func TestHowManyThereWere(t *testing.T) {
	for n, want := range map[int]int{1: 1, 2: 2, 3: 3} {
		k := newTalker(t)
		k.hear(report(counted(done(fish(gag, 40, 0), advisor.Recompressed, advisor.SwamDown), 2)))
		m := k.hear(correction(counted(fish("", 0, 0), n)))
		assert.Len(t, k.s.Standing(), want, n)
		assert.Len(t, m.Keep, max(0, n-2))
		assert.Len(t, m.TakeBack, max(0, 2-n))
		assert.Equal(t, uint64(1), k.s.Standing()[0].No, "the first stays")
	}
}

// A depth put right is that of all told with it, unless the words name one, or tell more.
func TestDepthOfWhichReportsIsPutRight(t *testing.T) {
	length := fish("", 66, 0)
	length.Query.LengthCm = new(50.0)
	for name, c := range map[string]struct {
		change func(r *understand.Reading)
		want   bool
	}{
		"it was 66 m":        {func(*understand.Reading) {}, true},
		"both were":          {func(r *understand.Reading) { r.Fish[0].Which.Each = true }, true},
		"report 1 was":       {func(r *understand.Reading) { r.Number = 1 }, false},
		"the first was":      {func(r *understand.Reading) { r.Again.Nth = 1 }, false},
		"the last was":       {func(r *understand.Reading) { r.Again.Last = true }, false},
		"the one before was": {func(r *understand.Reading) { r.Again.LastButOne = true }, false},
		"the little one was": {func(r *understand.Reading) { r.Fish[0].Which.Size = understand.SizeSmall }, false},
		"the gag was":        {func(r *understand.Reading) { r.Fish[0].Name = gag }, false},
		"two fish":           {func(r *understand.Reading) { r.Fish = append(r.Fish, fish("", 0, 0)) }, false},
		"two were":           {func(r *understand.Reading) { r.Fish[0] = counted(r.Fish[0], 2) }, false},
		"and 50 cm long":     {func(r *understand.Reading) { r.Fish[0] = length }, false},
		"and it died":        {func(r *understand.Reading) { r.Fish[0] = went(r.Fish[0], advisor.Died) }, false},
	} {
		r := correction(fish("", 66, 0))
		c.change(&r)
		assert.Equal(t, c.want, (&teller{r: r}).tellsOnlyDepth(r.Fish[0]), name)
	}
	assert.Equal(t, 1, (&teller{}).first().Query.Count, "of a message that tells of none")
}

// "The first", "the fourth", "the last one" of the reports of the newest message where it made so
// many, else of all.
func TestReportByItsPlace(t *testing.T) {
	rows := []Row{{No: 1, With: 1}, {No: 2, With: 2}, {No: 3, With: 3}, {No: 4, With: 3}}
	for name, c := range map[string]struct {
		again understand.Again
		rows  []Row
		want  uint64 // 0 for none
	}{
		"the first of two made at once": {understand.Again{Nth: 1}, rows, 3},
		"the second of them":            {understand.Again{Nth: 2}, rows, 4},
		"the third of all":              {understand.Again{Nth: 3}, rows, 3},
		"the fourth":                    {understand.Again{Nth: 4}, rows, 4},
		"a fifth":                       {understand.Again{Nth: 5}, rows, 0},
		"the last":                      {understand.Again{Last: true}, rows, 4},
		"the last but one":              {understand.Again{LastButOne: true}, rows, 3},
		"before the only one":           {understand.Again{LastButOne: true}, rows[:1], 0},
		"no place":                      {understand.Again{}, rows, 0},
	} {
		r, ok := (&teller{r: understand.Reading{Again: c.again}}).byPlace(c.rows)
		assert.Equal(t, c.want > 0, ok, name)
		assert.Equal(t, c.want, r.No, name)
	}
}

// How it went, told of a fish that was asked about, is put right of the report before it.
func TestAnEndPutRightWhileAnotherFishIsAskedAbout(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 40, 2), advisor.Surface, advisor.SwamDown)))
	k.wait(FishLasts + time.Minute)
	k.hear(report(done(fish(gag, 40, 2), advisor.Surface, advisor.SwamDown)))
	k.hear(correction(went(fish("", 0, 0), advisor.Died)))
	assert.Equal(t, []advisor.Outcome{advisor.SwamDown, advisor.Died}, k.ends())
}
