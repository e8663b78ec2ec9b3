package draw

import (
	"gonum.org/v1/plot/font"

	"deepward/advisor/graph"
)

// tint is an opaque colour, 0xRRGGBB.
type tint uint32

// RGBA makes a tint a colour.
func (t tint) RGBA() (r, g, b, a uint32) {
	return uint32(t>>16&0xff) * 0x101, uint32(t>>8&0xff) * 0x101, uint32(t&0xff) * 0x101, 0xffff
}

// The house colours, from dark to light in grey.
const (
	ink    tint = 0x0d1b26
	deep   tint = 0x12557c
	signal tint = 0xf27a1a
	skin   tint = 0xb4cbd6
	water  tint = 0xe2eef3
	paper  tint = 0xffffff
)

// Line strengths in pixels.
const (
	bold   = 9.0
	firm   = 6.0
	thin   = 3.0
	margin = 56.0
)

// faceOf returns the plain or the bold face in a size in pixels.
func faceOf(strong bool, size float64) font.Face {
	return graph.Fonts().Lookup(graph.Font(strong, size), font.Length(size))
}
