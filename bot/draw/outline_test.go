package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryFigureOfTheHouseHasALine(t *testing.T) {
	require.NotEmpty(t, outlines())
	for name, o := range outlines() {
		assert.Greater(t, len(o), 1, name)
	}
}

func TestASmoothCurvePassesThroughItsPoints(t *testing.T) {
	o := mustOutline("M 0 0 R 10 20 30 20 40 0")
	require.Len(t, o, 4)
	assert.Equal(t, []point{{10, 20}, {30, 20}, {40, 0}}, []point{o[1].to, o[2].to, o[3].to})
	// Catmull-Rom: the tangent at a point is along the chord of its neighbours,
	// here from (0, 0) to (30, 20), a sixth of it away (Catmull & Rom 1974).
	assert.Equal(t, point{10, 20}.sub(point{5, 20.0 / 6}), o[1].ctrl[1])
}

func TestACurveThatEndsWhereItBeganClosesSmoothly(t *testing.T) {
	o := mustOutline("M 0 0 R 10 10 20 0 0 0")
	first, last := o[1].ctrl[0], o[3].ctrl[1]
	assert.InDelta(t, 0, first.x+last.x, 1e-9, "the arms at the seam lie on one line")
	assert.InDelta(t, 0, first.y+last.y, 1e-9)
}

func TestFaultyPathDataIsRefused(t *testing.T) {
	for _, data := range []string{"M 1", "M 1 x", "C 1 2 3 4", "R 1 2", "M 0 0 Q 1 2 3 4"} {
		_, err := parseOutline(data)
		assert.Error(t, err, data)
	}
}

func TestAFrameTurnsSizesAndMirrors(t *testing.T) {
	f := frame{origin: at(100, 50), scale: 2, mirror: true}
	assert.Equal(t, point{80, 60}, f.apply(at(10, 5)))
}
