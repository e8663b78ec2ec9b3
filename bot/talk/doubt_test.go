package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// bared is a question about a gag from that depth with a figure that has no unit.
func bared(depth float64, b understand.Bare) understand.Reading {
	r := question(fish(gag, depth, 0))
	r.Bare = []understand.Bare{b}
	return r
}

func TestBareWeightIsAskedAboutWhereItsUnitDecides(t *testing.T) {
	k := newTalker(t)
	k.hear(bared(25, understand.Bare{Value: 12, Role: "weight_kg", Sure: 0.9}))
	require.Equal(t, Ask{What: AskUnit, Field: "weight_kg", Value: 12}, k.s.Asked, "12 kg or 12 lb: 40 oz or 20")
	r := question()
	r.Unit = understand.LoneUnit{Field: "weight_kg", Factor: advisor.KgPerPound}
	m := k.hear(r)
	require.Len(t, m.Fish, 1)
	assert.InDelta(t, 12*advisor.KgPerPound, *m.Fish[0].Query.WeightKg, 1e-9)
	assert.Equal(t, 25.0, *m.Fish[0].Query.DepthM)
	assert.Empty(t, k.s.Asked.What)
}

func TestBareWeightIsNotAskedAboutWhereTheAdviceIsTheSame(t *testing.T) {
	k := newTalker(t)
	k.hear(bared(60, understand.Bare{Value: 3, Role: "weight_kg", Sure: 0.9}))
	assert.NotEqual(t, AskUnit, k.s.Asked.What)
}

func TestFigureOfTwoRolesIsAskedAbout(t *testing.T) {
	known := newTalker(t)
	known.now.Units = Metric
	b := understand.Bare{Value: 12, Role: "length_cm", Sure: 0.5, Other: "weight_kg", OtherSure: 0.3}
	known.hear(bared(25, b))
	require.Equal(t, Ask{What: AskUnit, Field: "length_cm", Value: 12, Other: "weight_kg"}, known.s.Asked)
	units := map[string]bool{}
	for _, r := range known.s.Asked.Readings() {
		units[r.Unit] = true
	}
	assert.Equal(t, map[string]bool{"centimetres": true, "inches": true, "kilograms": true, "pounds": true}, units)

	sure := newTalker(t)
	sure.now.Units = Metric
	b.OtherSure = openRole / 2
	m := sure.hear(bared(25, b))
	assert.Empty(t, sure.s.Asked.Other)
	assert.Equal(t, 12.0, *m.Fish[0].Query.LengthCm)
}
