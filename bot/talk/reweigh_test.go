package talk

import (
	"testing"

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
