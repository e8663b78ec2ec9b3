package advisor

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var cardAboards = map[string][]float64{
	"none told": nil, "the common two": {20, 40}, "one small": {16}, "three": {20, 40, 60}, "pair of one size": {40, 40},
}

// The card is for where there is no signal: it must say what the chat would say.
func TestEveryCellOfTheCardIsWhatAdviseAnswersForEverySpecies(t *testing.T) {
	for name, aboard := range cardAboards {
		for _, scale := range []Scale{MetricScale(), ImperialScale()} {
			card := Card(aboard, Catalogue(), scale)
			for _, grid := range card.Grids {
				for _, s := range grid.Species {
					assertCellsFromAdvise(t, name, aboard, scale, grid, s)
				}
			}
		}
	}
}

func assertCellsFromAdvise(t *testing.T, name string, aboard []float64, scale Scale, grid Grid, s *Species) {
	t.Helper()
	for i, kg := range scale.SizesKg {
		for j, depth := range scale.DepthsM {
			a := Advise(Query{Species: s.ScientificName, Capture: Capture{WeightKg: &kg, DepthM: &depth}, Count: 1, WeightsAboardOz: aboard})
			cell := grid.Cells[i][j]
			assert.Equal(t, a.Action, cell.Action, "%s, %s, %v kg, %v m", name, s.EnglishName, kg, depth)
			assert.Equal(t, a.ReleaseWeightsOz, cell.WeightsOz, "%s, %s, %v kg, %v m", name, s.EnglishName, kg, depth)
			if cell.PushDownM > 0 {
				assert.Equal(t, *a.PushDownDepthM, cell.PushDownM, "%s, %s, %v kg, %v m", name, s.EnglishName, kg, depth)
			}
		}
	}
}

func TestEverySpeciesStandsOnTheCardOnce(t *testing.T) {
	card := Card(nil, Catalogue(), MetricScale())
	seen := map[*Species]int{}
	for _, g := range card.Grids {
		for _, s := range g.Species {
			assert.Equal(t, BladderClosed, s.Bladder, s.EnglishName)
			seen[s]++
		}
	}
	for _, s := range card.NoWeight {
		assert.True(t, s.Bladder != BladderClosed || s.VentsItself() == 1, s.EnglishName)
		seen[s]++
	}
	for _, s := range Catalogue() {
		assert.Equal(t, 1, seen[s], s.EnglishName)
	}
}

// A row stands for fish up to its size and a column for depths down to its depth,
// so neither a smaller fish nor a shallower depth may ask for more.
func TestACellHoldsForSmallerFishAndShallowerDepths(t *testing.T) {
	card := Card(nil, Catalogue(), MetricScale())
	asks := func(c Cell) float64 { return c.PushDownM + c.ShortOz } // more lead is more than any push
	for _, g := range card.Grids {
		for i := range g.Cells {
			for j, c := range g.Cells[i] {
				if i > 0 {
					assert.GreaterOrEqual(t, sum(c.WeightsOz), sum(g.Cells[i-1][j].WeightsOz), "%v", g.Kinds)
					assert.GreaterOrEqual(t, asks(c), asks(g.Cells[i-1][j]), "%v", g.Kinds)
				}
				if j > 0 {
					assert.GreaterOrEqual(t, sum(c.WeightsOz), sum(g.Cells[i][j-1].WeightsOz), "%v", g.Kinds)
					assert.GreaterOrEqual(t, asks(c), asks(g.Cells[i][j-1]), "%v", g.Kinds)
				}
			}
		}
	}
}

func TestStepsKeepTheLastRowOfEqualRows(t *testing.T) {
	twenty, forty := Cell{Action: ActRecompress, WeightsOz: []float64{20}}, Cell{Action: ActRecompress, WeightsOz: []float64{40}}
	g := Grid{Cells: [][]Cell{{twenty, forty}, {twenty, forty}, {forty, forty}, {forty, forty}, {forty, forty}}}
	assert.Equal(t, []int{1, 4}, g.Steps())
	assert.Empty(t, Grid{}.Steps())
}

// No pole pushes a big fish deep: the card says how much lead is lacking. 12 kg of rockfish
// keep at most a fifth of their weight as lift (Gas.Most), 2,400 gf; with the margin of a
// fifth 2880/0.9096/28.35 = 111.7 oz, of which 16 are there: 95.7, in tens 100.
func TestAWeightTooLightForTheFishSaysByHowMuch(t *testing.T) {
	card := Card([]float64{16}, []*Species{LookUp("Sebastes ruberrimus")}, MetricScale())
	require.Len(t, card.Grids, 1)
	deepest := card.Grids[0].Cells[4][4] // 12 kg from 120 m
	assert.True(t, deepest.PushFirst)
	assert.Zero(t, deepest.PushDownM)
	assert.Equal(t, 100.0, deepest.ShortOz)
}

func TestNoSpeciesGivesTheGeneralFishAndSaysWhichWeightsItAssumed(t *testing.T) {
	card := Card(nil, nil, MetricScale())
	require.Len(t, card.Grids, 1)
	assert.Equal(t, []*Species{General()}, card.Grids[0].Species)
	assert.True(t, card.Assumed)
	assert.Equal(t, []float64{20, 40}, card.AboardOz)
	assert.False(t, Card([]float64{40, 20}, nil, MetricScale()).Assumed)
}

func TestFishWithoutTrappedGasGetNoWeight(t *testing.T) {
	card := Card(nil, []*Species{LookUp("Ophiodon elongatus")}, MetricScale())
	assert.Empty(t, card.Grids)
	assert.Len(t, card.NoWeight, 1)
}

func TestSpeciesInARegion(t *testing.T) {
	assert.Contains(t, SpeciesIn("US Gulf of Mexico"), LookUp("Lutjanus campechanus"))
	assert.NotContains(t, SpeciesIn("Alaska"), LookUp("Lutjanus campechanus"))
	assert.Empty(t, SpeciesIn("nowhere"))
}

func BenchmarkCardOfARegion(b *testing.B) {
	species := SpeciesIn("US Gulf of Mexico")
	for b.Loop() {
		Card(nil, species, MetricScale())
	}
}
