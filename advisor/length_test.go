package advisor

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oneFish is how much heavier or lighter than its relation a single fish may be
// (common practice, no source).
const oneFish = 0.35

// lwPair is a fish of which length and weight were told apart from the relations;
// testdata/lw_checks.csv names the source of each.
type lwPair struct {
	species *Species
	cm, kg  float64
	as      LengthType
	key     string
}

func lwPairs(t *testing.T) (pairs []lwPair) {
	t.Helper()
	for _, row := range readTable(t, "../testdata/lw_checks.csv") {
		s := LookUp(row[0])
		require.NotNil(t, s, row[0])
		cm, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		kg, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		pairs = append(pairs, lwPair{s, cm, kg, LengthType(row[2]), strings.Join(row[:3], " ")})
	}
	return pairs
}

// Every pair is within a third of the relation, but for those that
// testdata/lw_disagree.csv lists with the reason; these must be off, or leave the
// list, and none more than 2.5-fold. The middle of all shows no drift: many are record
// fish, which are stout, so it may be a tenth low.
func TestLengthWeightAgainstPublishedPairs(t *testing.T) {
	reasons := map[string]string{}
	for _, row := range readTable(t, "testdata/lw_disagree.csv") {
		reasons[strings.Join(row[:3], " ")] = row[3]
	}
	var logs []float64
	off := map[string]bool{}
	for _, p := range lwPairs(t) {
		got, _, ok := p.species.WeightFromLength(p.cm, p.as)
		require.True(t, ok, p.key)
		ratio := math.Log(got / p.kg)
		logs = append(logs, ratio)
		if math.Abs(ratio) <= math.Log(1+oneFish) {
			assert.NotContains(t, reasons, p.key, "agrees, take it off the list")
			continue
		}
		off[p.key] = true
		assert.Contains(t, reasons, p.key, "relation %.2f kg, published %.2f kg", got, p.kg)
		assert.InDelta(t, 0, ratio, math.Log(2.5), p.key)
		t.Logf("%s: %.2f of the published weight: %s", p.key, math.Exp(ratio), reasons[p.key])
	}
	assert.Len(t, off, len(reasons), "a reason without a pair")
	slices.Sort(logs)
	middle := logs[len(logs)/2]
	t.Logf("%d of %d pairs within %.0f %%; the middle ratio is %.2f", len(logs)-len(off), len(logs), 100*oneFish, math.Exp(middle))
	assert.InDelta(t, 0, middle, 0.1)
}

// No fish that was really caught may be refused as too heavy or too long to be true.
func TestNoPublishedFishIsBeyondItsSpecies(t *testing.T) {
	stoutest := 0.0
	for _, p := range lwPairs(t) {
		assert.LessOrEqual(t, p.kg, p.species.MaxWeightKg(), p.key)
		cm, _ := p.species.ConvertLength(p.cm, p.as, p.species.MaxLengthType)
		assert.LessOrEqual(t, cm, p.species.MaxLengthCm+1e-9, p.key)
		stoutest = max(stoutest, maxWeightTolerance*p.kg/p.species.MaxWeightKg())
	}
	assert.InDelta(t, 1.3, stoutest, 0.05, "as the comment on maxWeightTolerance says")
}

// 200 kg of red snapper, 20 kg of vermilion: far over what they reach.
func TestAnAbsurdWeightIsFarOverTheMost(t *testing.T) {
	assert.Less(t, LookUp("Lutjanus campechanus").MaxWeightKg(), 40.0)
	assert.Less(t, LookUp("Rhomboplites aurorubens").MaxWeightKg(), 10.0)
}

// Hyporthodus niveatus, TL: 0.030873·60^2.824 g = 3.24 kg, by hand.
func TestWeightFromLengthIsTheRelation(t *testing.T) {
	s := LookUp("Hyporthodus niveatus")
	kg, as, ok := s.WeightFromLength(60, TotalLength)
	assert.True(t, ok)
	assert.Equal(t, TotalLength, as)
	assert.InDelta(t, 3.24, kg, 0.01)
	_, _, ok = s.WeightFromLength(0, TotalLength)
	assert.False(t, ok)
}

// Lutjanus analis, relation in FL, TL = 0.891 + 1.08·FL (FishBase popll row 18314):
// 60 cm TL is 54.73 cm FL, and 0.0161·54.73^3.011 g = 2.76 kg.
func TestWeightFromLengthConvertsToTheTypeOfTheRelation(t *testing.T) {
	s := LookUp("Lutjanus analis")
	kg, as, _ := s.WeightFromLength(60, TotalLength)
	assert.Equal(t, TotalLength, as)
	assert.InDelta(t, 2.76, kg, 0.01)
	own, as, _ := s.WeightFromLength(60, "")
	assert.Equal(t, ForkLength, as, "taken in the relation's own type and said so")
	assert.Greater(t, own, kg)
}

// Latris lineata has a relation in FL and no conversion: what is said is taken as it is.
func TestALengthThatCannotBeConvertedIsTakenAsTheRelationsOwn(t *testing.T) {
	s := LookUp("Latris lineata")
	told, as, ok := s.WeightFromLength(60, TotalLength)
	own, _, _ := s.WeightFromLength(60, ForkLength)
	assert.True(t, ok)
	assert.Equal(t, ForkLength, as)
	assert.Equal(t, own, told)
}

func TestStandardLengthGoesByWayOfTotalLength(t *testing.T) {
	s := LookUp("Lutjanus analis")
	fork, ok := s.ConvertLength(50, StandardLength, ForkLength)
	assert.True(t, ok)
	assert.InDelta(t, (1.2*50-0.891)/1.08, fork, 1e-9)
	back, ok := s.ConvertLength(fork, ForkLength, StandardLength)
	assert.True(t, ok)
	assert.InDelta(t, 50, back, 1e-9)
}

func TestTheForkIsNeverBehindTheTail(t *testing.T) {
	for _, s := range Catalogue() {
		for cm := 20.0; cm <= s.MaxLengthCm; cm += 5 {
			fork, ok := s.ConvertLength(cm, TotalLength, ForkLength)
			if !ok {
				continue
			}
			assert.LessOrEqual(t, fork, cm, s.ScientificName)
			assert.Greater(t, fork, 0.65*cm, s.ScientificName)
			total, _ := s.ConvertLength(cm, ForkLength, TotalLength)
			assert.GreaterOrEqual(t, total, cm, s.ScientificName)
		}
	}
}

func TestLengthAndWeightGoRound(t *testing.T) {
	for _, s := range append(Catalogue(), General()) {
		cm, ok := s.LengthFromWeight(1.5)
		require.True(t, ok, s.ScientificName)
		kg, _, _ := s.WeightFromLength(cm, "")
		assert.InDelta(t, 1.5, kg, 1e-9, s.ScientificName)
		for _, pair := range [][2]LengthType{{TotalLength, ForkLength}, {ForkLength, TotalLength}} {
			if there, ok := s.ConvertLength(40, pair[0], pair[1]); ok {
				back, _ := s.ConvertLength(there, pair[1], pair[0])
				assert.InDelta(t, 40, back, 1e-9, s.ScientificName)
			}
		}
	}
	_, ok := General().LengthFromWeight(0)
	assert.False(t, ok)
}

func TestTypicalUndersizedIsSmallAndRounded(t *testing.T) {
	for _, s := range append(Catalogue(), General()) {
		kg, cm := s.TypicalUndersized()
		assert.Positive(t, kg, s.ScientificName)
		assert.Less(t, kg, 8.0, s.ScientificName)
		assert.GreaterOrEqual(t, cm, 20.0, s.ScientificName)
		assert.LessOrEqual(t, cm, 60.0, s.ScientificName)
		assert.InDelta(t, kg, roundTo2(kg), 1e-12, s.ScientificName)
	}
	kg, cm := General().TypicalUndersized() // 0.014·40³ g
	assert.Equal(t, [2]float64{0.9, 40}, [2]float64{kg, cm})
}
