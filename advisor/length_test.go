package advisor

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The pairs of length and weight of the same fish in testdata/lw_checks.csv are
// published apart from the relations; each row names its source. A single big fish
// may be a third heavier or lighter than its relation says (common practice, no
// source). Many of the pairs are record fish, which are stout; so three in four
// must be that near, the middle of all within a tenth, and none off threefold.
// Those that are farther are listed in the log of the test.
const oneFish = 0.35

func TestLengthWeightAgainstPublishedPairs(t *testing.T) {
	rows := readTable(t, "../testdata/lw_checks.csv")
	within := 0
	var logs []float64
	for _, row := range rows {
		s := LookUp(row[0])
		require.NotNil(t, s, row[0])
		cm, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		got, _, ok := s.WeightFromLength(cm, LengthType(row[2]))
		require.True(t, ok, row[0])
		ratio := got / want
		logs = append(logs, math.Log(ratio))
		if math.Abs(math.Log(ratio)) <= math.Log(1+oneFish) {
			within++
			continue
		}
		t.Logf("%s %s cm %s: relation %.2f kg, published %.2f kg (ratio %.2f)", row[0], row[1], row[2], got, want, ratio)
		assert.InDelta(t, 0, math.Log(ratio), math.Log(3), "no relation may be off threefold: %v", row)
	}
	t.Logf("%d of %d pairs within %.0f %%", within, len(rows), 100*oneFish)
	assert.GreaterOrEqual(t, float64(within)/float64(len(rows)), 0.75)
	slices.Sort(logs)
	middle := logs[len(logs)/2]
	t.Logf("the middle ratio is %.2f", math.Exp(middle))
	assert.InDelta(t, 0, middle, 0.1)
}

func TestEverySpeciesRowIsUsable(t *testing.T) {
	seen := map[string]bool{}
	require.Len(t, Catalogue(), 143)
	for _, s := range Catalogue() {
		assert.False(t, seen[s.ScientificName], "twice: %s", s.ScientificName)
		seen[s.ScientificName] = true
		assert.NotEmpty(t, s.EnglishName, s.ScientificName)
		assert.NotEmpty(t, s.Family, s.ScientificName)
		assert.Contains(t, []Bladder{BladderClosed, BladderOpen, BladderNone, BladderReduced}, s.Bladder, s.ScientificName)
		assert.NotEmpty(t, s.BladderSource, s.ScientificName)
		_, b, own, published := s.Relation()
		if published {
			assert.NotEmpty(t, s.LWSource, s.ScientificName)
		}
		assert.NotEmpty(t, s.Regions, s.ScientificName)
		assert.Contains(t, []LengthType{TotalLength, ForkLength, StandardLength}, own, s.ScientificName)
		assert.Greater(t, s.MaxLengthCm, 15.0, s.ScientificName)
		assert.LessOrEqual(t, s.DepthMinM, s.DepthMaxM, s.ScientificName)
		assert.InDelta(t, 3, b, 0.6, "%s: b of a fish is near 3 (Froese 2006, from memory)", s.ScientificName)
		kg, cm := s.TypicalUndersized()
		assert.Positive(t, kg, s.ScientificName)
		assert.Less(t, kg, 8.0, "%s %v cm", s.ScientificName, cm)
		if s.AphiaID != 0 {
			assert.Greater(t, s.AphiaID, 100000, s.ScientificName)
		}
	}
}

func TestLengthAndWeightGoRound(t *testing.T) {
	for _, s := range Catalogue() {
		cm, ok := s.LengthFromWeight(1.5)
		require.True(t, ok, s.ScientificName)
		kg, _, _ := s.WeightFromLength(cm, "")
		assert.InDelta(t, 1.5, kg, 1e-9, s.ScientificName)
		for _, pair := range [][2]LengthType{{TotalLength, ForkLength}, {ForkLength, TotalLength}} {
			there, ok := s.ConvertLength(40, pair[0], pair[1])
			if !ok {
				continue
			}
			back, _ := s.ConvertLength(there, pair[1], pair[0])
			assert.InDelta(t, 40, back, 1e-9, s.ScientificName)
			assert.InEpsilon(t, 40, there, 0.4, s.ScientificName)
		}
	}
}
