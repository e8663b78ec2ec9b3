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
