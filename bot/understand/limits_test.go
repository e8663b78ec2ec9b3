package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
)

// The most that is believed of any fish, to the last figure: 1,000 m, 300 kg, 400 cm, 60
// fish (common practice, no source).
func TestLimitsHoldToTheLastFigure(t *testing.T) {
	codes := func(q advisor.Query) (list []advisor.NoteCode) {
		for _, p := range checkFish(&q) {
			list = append(list, p.Why.Code)
		}
		return list
	}
	for name, c := range map[string]struct {
		q    func(x float64) advisor.Query
		most float64
		code advisor.NoteCode
	}{
		"depth":  {func(x float64) advisor.Query { return advisor.Query{Capture: advisor.Capture{DepthM: &x}} }, 1000, TooDeep},
		"weight": {func(x float64) advisor.Query { return advisor.Query{Capture: advisor.Capture{WeightKg: &x}} }, 300, TooHeavy},
		"length": {func(x float64) advisor.Query { return advisor.Query{Capture: advisor.Capture{LengthCm: &x}} }, 400, TooLong},
		"count":  {func(x float64) advisor.Query { return advisor.Query{Count: int(x)} }, 60, TooMany},
	} {
		assert.Empty(t, codes(c.q(c.most)), name)
		assert.Equal(t, []advisor.NoteCode{c.code}, codes(c.q(c.most+1)), name)
		if name != "count" {
			assert.Equal(t, []advisor.NoteCode{NotPositive}, codes(c.q(0)), name)
			assert.Empty(t, codes(c.q(0.1)), name)
		}
	}
}

// A refused figure is gone from the question, a refused count is one fish.
func TestRefusedFiguresAreGone(t *testing.T) {
	deep, heavy, long := 1001.0, 301.0, 401.0
	q := advisor.Query{Capture: advisor.Capture{DepthM: &deep, WeightKg: &heavy, LengthCm: &long, LengthType: advisor.ForkLength}, DepthRangeM: []float64{10, deep}, Count: 61}
	checkFish(&q)
	assert.Equal(t, advisor.Query{Count: 1}, q)
}

// A length may be a quarter over the record of its kind, a weight not at all: records
// of length understate.
func TestSizesOfAKindHoldToTheLastFigure(t *testing.T) {
	s := advisor.LookUp("Gadus morhua")
	kg, cm := s.MaxWeightKg(), 1.25*s.MaxLengthCm
	over := func(x float64) *float64 { return new(1.001 * x) }
	assert.False(t, Oversized(s, &kg, &cm))
	assert.True(t, Oversized(s, over(kg), &cm))
	assert.True(t, Oversized(s, &kg, over(cm)))
	assert.False(t, Oversized(s, nil, nil))
	q := advisor.Query{Species: s.ScientificName, Capture: advisor.Capture{WeightKg: over(kg), LengthCm: over(cm)}}
	unsure := q
	unsure.Ambiguous = true
	assert.Len(t, CheckSize(&q), 2)
	assert.Nil(t, q.WeightKg)
	assert.Nil(t, q.LengthCm)
	assert.Empty(t, CheckSize(&unsure), "of which kind is not sure")
}

// Of a kind of which nobody knows how large it grows nothing is too large; the limit of a
// small one holds below a centimetre too.
func TestKindsOfUnknownAndOfSmallSize(t *testing.T) {
	kg, cm := 299.0, 399.0
	assert.False(t, Oversized(&advisor.Species{ScientificName: "Nobody knows"}, &kg, &cm))
	tiny := &advisor.Species{ScientificName: "Tiny one", MaxLengthCm: 0.8}
	short, long := 1.0, 1.01 // a quarter more than 0.8 is 1
	assert.False(t, Oversized(tiny, nil, &short))
	assert.True(t, Oversized(tiny, nil, &long))
}
