package advisor

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// genericD is the middle model of the numerical study behind the reckoning, with the
// same three figures as the general fish.
var genericD = Gas{F: 0.05, Rupture: 2.75, Kept: 0.25}

// The study's descents, printed in whole seconds, with its own allowance for bloat
// and line that is left out here (3 %).
func TestDescentsAreThoseOfTheNumericalStudy(t *testing.T) {
	for _, c := range []struct{ kg, depthM, oz, toTenM, toBottom float64 }{
		{1, 30, 20, 6.6, 18}, {2, 45, 20, 9.1, 34}, {4, 30, 20, 14, 32},
		{4, 45, 40, 8.3, 30}, {6, 60, 40, 12, 47}, {8, 45, 40, 17, 44},
	} {
		d, ok := DescentOf(genericD, c.kg, c.depthM, c.depthM, c.oz)
		require.True(t, ok)
		assert.Zero(t, d.FromM)
		assert.InDelta(t, c.toBottom, d.S, 0.5+0.03*c.toBottom, "%v", c)
		ten, _ := newSinking(genericD, c.kg, c.depthM, c.oz).fall(0, 10)
		assert.InDelta(t, c.toTenM, ten, 0.5+0.03*c.toTenM, "%v", c)
	}
}

// The band holds the study's drag coefficients of 0.2 and 0.8 (23 and 40 s for 4 kg
// from 45 m with 40 oz) and its reel friction of 3 N (37 s).
func TestDescentBandHoldsTheStudysSpread(t *testing.T) {
	d, _ := DescentOf(genericD, 4, 45, 45, 40)
	for _, s := range []float64{23, 40, 37} {
		assert.GreaterOrEqual(t, s, d.LowS)
		assert.LessOrEqual(t, s, d.HighS)
	}
}

// Against another method, the classical Runge-Kutta rule in time with steps of a
// millisecond, on fish light and heavy, shallow and deep, with and without a push.
func TestDescentAgreesWithRungeKuttaInTime(t *testing.T) {
	for _, c := range []struct{ kg, depthM, oz float64 }{
		{0.3, 20, 20}, {1, 30, 20}, {4, 45, 40}, {8, 45, 40}, {12, 90, 40}, {20, 120, 60}, {10, 300, 80},
	} {
		d, ok := DescentOf(genericD, c.kg, c.depthM, c.depthM, c.oz)
		require.True(t, ok)
		s := newSinking(genericD, c.kg, c.depthM, c.oz)
		assert.InEpsilon(t, s.rungeKutta(d.FromM, c.depthM, 1e-3), d.S, 2e-6, "%v", c)
	}
}

// rungeKutta is the time of the way down by steps in time; the last is cut to fit.
func (s sinking) rungeKutta(from, to, dt float64) float64 {
	accelerate := func(z, v float64) float64 { return (s.net(z) - s.dragK*v*v) / s.mass }
	z, v, t := from, 0.0, 0.0
	for {
		a1 := accelerate(z, v)
		v2, a2 := v+dt/2*a1, accelerate(z+dt/2*v, v+dt/2*a1)
		v3, a3 := v+dt/2*a2, accelerate(z+dt/2*v2, v+dt/2*a2)
		v4, a4 := v+dt*a3, accelerate(z+dt*v3, v+dt*a3)
		next := z + dt/6*(v+2*v2+2*v3+v4)
		if next >= to {
			return t + (to-z)/v
		}
		z, v, t = next, v+dt/6*(a1+2*a2+2*a3+a4), t+dt
	}
}

func TestAWeightThatIsTooLightTakesOverBelowThePush(t *testing.T) {
	push, needed := PushDownDepth(genericD, 12, 90, 40)
	require.True(t, needed)
	d, ok := DescentOf(genericD, 12, 90, 90, 40)
	require.True(t, ok)
	assert.InDelta(t, push+belowBalanceM, d.FromM, 1e-9)
	assert.Positive(t, d.S)
}

// With nothing lost a fish is neutral where it was caught: almost no weight at all
// takes over only there, too late to be of use.
func TestAWeightThatNeverTakesOverHasNoDescent(t *testing.T) {
	_, ok := DescentOf(leakless(0.05), 10, 30, 30, 0.1)
	assert.False(t, ok)
}

func TestMoreLeadIsFasterAndMoreFishIsSlower(t *testing.T) {
	at := func(kg, oz float64) float64 {
		d, ok := DescentOf(genericD, kg, 45, 45, oz)
		require.True(t, ok)
		return d.S
	}
	assert.Less(t, at(4, 60), at(4, 40))
	assert.Less(t, at(2, 40), at(4, 40))
}

// The moments by parts and by their series meet where the one takes over.
func TestDecayMomentsMeet(t *testing.T) {
	const y = 0.05
	below0, below1, below2 := decayMoments(math.Nextafter(y, 0))
	above0, above1, above2 := decayMoments(y)
	assert.InDelta(t, above0, below0, 1e-9)
	assert.InDelta(t, above1, below1, 1e-9)
	assert.InDelta(t, above2, below2, 1e-9)
	zero0, zero1, zero2 := decayMoments(0)
	assert.Equal(t, [3]float64{1, 1.0 / 2, 1.0 / 3}, [3]float64{zero0, zero1, zero2})
}

func BenchmarkDescent(b *testing.B) {
	g := General().Gas()
	b.ReportAllocs()
	for b.Loop() {
		DescentOf(g, 4, 45, 45, 40)
	}
}
