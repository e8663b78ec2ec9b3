package advisor

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A trip as in the command's example: 80 m, fish to 10 kg.
func exampleKit() Kit { return KitFor(80, 10, SpeciesIn("US Gulf of Mexico")) }

// Physics anew, from Archimedes and Boyle, not from the functions under test: the
// pull of the lead in water against the lift with a fifth to spare.
func TestTheKitHoldsEveryFishOfTheTripWithAFifthToSpare(t *testing.T) {
	k := exampleKit()
	require.Empty(t, k.Short)
	assert.Equal(t, k.Cases, k.Covered)
	for _, s := range SpeciesIn("US Gulf of Mexico") {
		if s.Bladder != BladderClosed {
			continue
		}
		for kg := 0.5; kg <= 10; kg += 0.5 {
			for depth := 10.0; depth <= 80; depth += 10 {
				liftKg := s.Gas().F * kg * (s.Gas().Expansion(1+depth/10.08) - 1)
				lead := liftKg * 1.2 / (1 - 1025.0/11340) / 0.028349523125
				assert.True(t, someHold(k.WeightsOz, lead), "%s %v kg %v m needs %.1f oz of %v", s.EnglishName, kg, depth, lead, k.WeightsOz)
			}
		}
	}
}

// someHold reports whether one weight or two together reach so many ounces.
func someHold(weights []float64, oz float64) bool {
	sorted := slices.Sorted(slices.Values(weights))
	slices.Reverse(sorted)
	return sum(sorted[:min(2, len(sorted))]) >= oz-0.05
}

func TestNoPieceAddedToTheCustomIsToSpare(t *testing.T) {
	k := exampleKit()
	var cases []kitCase
	kinds, _ := byKind(SpeciesIn("US Gulf of Mexico"))
	for _, kind := range kinds {
		cases = append(cases, kitCases(kind[0].Gas(), 80, 10)...)
	}
	require.Equal(t, []float64{20, 40, 64}, k.WeightsOz)
	for i := 2; i < len(k.WeightsOz); i++ {
		without := Kit{WeightsOz: slices.Delete(slices.Clone(k.WeightsOz), i, i+1)}
		without.judge(cases)
		assert.Less(t, without.Covered, k.Covered, "without %v", k.WeightsOz[i])
	}
}

// Shallow and small is where the custom came from: one weight of 20 oz does it
// for snapper to 30 m and 4 kg (physics study: 20 oz holds a snapper of 7.6 kg).
func TestAShallowTripForSnapperNeedsTheOneWeightOfTheCustom(t *testing.T) {
	k := KitFor(30, 4, []*Species{LookUp("Chrysophrys auratus")})
	assert.Equal(t, []float64{20}, k.WeightsOz)
	assert.Empty(t, k.Short)
}

// 20 kg of rockfish from 120 m asks for more than two weights can carry; with a lift of a
// fifth of its weight (Gas.Most) and 1.2 to spare: 1.2·4 kgf/0.9096/0.02835 kg = 186 oz.
func TestABigDeepRockfishStaysShortAndIsPushedDownFirst(t *testing.T) {
	k := KitFor(120, 20, []*Species{LookUp("Sebastes ruberrimus")})
	require.Len(t, k.Short, 1)
	corner := k.Short[0]
	assert.Equal(t, "rockfish", corner.Kind)
	assert.InDelta(t, 186, corner.NeededOz, 1)
	assert.Less(t, corner.CarriedOz, corner.NeededOz)
	assert.Less(t, k.Covered, k.Cases)
	// Where it is pushed to, the weights hold it; a metre above they do not.
	g := LookUp("Sebastes ruberrimus").Gas()
	assert.LessOrEqual(t, LiftAtDepth(g, 20, 120, corner.PushDownM+0.01), PullGf(corner.CarriedOz))
	assert.Greater(t, LiftAtDepth(g, 20, 120, corner.PushDownM-1), PullGf(corner.CarriedOz))
	// Just under FromKg the kit still holds.
	under := newKitCase(g, corner.FromKg-kitStepKg, 120)
	assert.True(t, ChooseWeights(k.WeightsOz, under.neededOz, under.customOz).Enough)
}

func TestTheSharesOfAllUsesAreTheShareOfCoveredCases(t *testing.T) {
	for _, k := range []Kit{exampleKit(), KitFor(120, 20, nil), KitFor(8, 2, nil)} {
		total := 0.0
		for _, u := range k.Uses {
			total += u.Share
			for _, oz := range u.WeightsOz {
				assert.Contains(t, k.WeightsOz, oz)
			}
		}
		assert.InDelta(t, float64(k.Covered)/float64(k.Cases), total, 1e-9)
	}
}

func TestKitWeightsAreAscending(t *testing.T) {
	assert.True(t, slices.IsSorted(KitWeightsOz()))
	assert.Contains(t, KitWeightsOz(), 20.0)
}

func BenchmarkKit(b *testing.B) {
	for b.Loop() {
		KitFor(120, 20, nil)
	}
}
