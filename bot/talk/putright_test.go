package talk

import (
	"testing"

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
