package graph

import (
	"fmt"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
)

func ExampleAxes() {
	a := Axes{XMax: 100, YMin: -10, YMax: 10, Left: 20, Right: 220, Bottom: 5, Top: 45}
	fmt.Println(a.X(0), a.X(25), a.X(100), a.Y(-10), a.Y(0))
	fmt.Println(a.Point(50, 10))
	// Output:
	// 20 70 220 5 25
	// {120 45}
}

func TestBoldTextIsWider(t *testing.T) {
	plain, bold := Style(12, false, color.Black), Style(12, true, color.Black)
	assert.Positive(t, plain.Width("sent down"))
	assert.Greater(t, bold.Width("sent down"), plain.Width("sent down"))
	assert.InDelta(t, 2*float64(plain.Width("sent down")), float64(Style(24, false, color.Black).Width("sent down")), 0.5)
}
