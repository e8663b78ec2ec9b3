package advisor

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The estimate is the median of the middle study; over all studies the mean lies some
// points nearer to one half.
func TestSamplesLieAroundTheEstimateAndFillItsRange(t *testing.T) {
	const n = 4000
	rng := rand.New(rand.NewPCG(7, 8))
	samples := make([]*Sample, n)
	for i := range samples {
		samples[i] = Posterior().Sample(rng)
	}
	for _, name := range []string{"Lutjanus campechanus", "Sebastes ruberrimus", "Rhomboplites aurorubens", "Gadus morhua", ""} {
		c := Case{Species: LookUp(name), DepthM: 45}
		for m, want := range estimates(EstimateSurvival(c)) {
			shares := make([]float64, n)
			for i, s := range samples {
				shares[i] = s.Survival(c, m)
			}
			require.InDelta(t, sum(shares)/n, want.P, 0.12, "%s %s", name, m)
			for i, s := range shares {
				shares[i] = (&draw{luck: rng.NormFloat64()}).counted(s)
			}
			slices.Sort(shares)
			require.InDelta(t, shares[n/2], want.P, 0.10, "%s %s", name, m)
			require.InDelta(t, shares[n/10], want.Low, 0.09, "%s %s", name, m)
			require.InDelta(t, shares[n*9/10], want.High, 0.09, "%s %s", name, m)
		}
	}
}

func TestTheSameSourceGivesTheSameDraws(t *testing.T) {
	c := Case{Species: LookUp("Rhomboplites aurorubens"), DepthM: 40}
	draw := func() float64 {
		return Posterior().Sample(rand.New(rand.NewPCG(3, 4))).Survival(c, Surface)
	}
	require.Equal(t, draw(), draw())
}

func TestFishOfOneKindShareWhatIsNotKnown(t *testing.T) {
	s := Posterior().Sample(rand.New(rand.NewPCG(5, 6)))
	c := Case{Species: LookUp("Rhomboplites aurorubens"), DepthM: 40}
	require.Equal(t, s.Survival(c, Surface), s.Survival(c, Surface))
	require.LessOrEqual(t, s.Survival(c, Surface), s.Survival(c, Recompressed))
	require.Zero(t, s.Survival(c, Kept))
}
