package draw

import (
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
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

const (
	typeface = "Liberation"
	variant  = "Sans"
)

// fonts holds the two faces that all pictures use. They are compiled in: a fault
// in them is a fault of the build.
var fonts = sync.OnceValue(func() *font.Cache {
	face := func(weight xfont.Weight, ttf []byte) font.Face {
		parsed, err := opentype.Parse(ttf)
		if err != nil {
			panic("draw: embedded font: " + err.Error())
		}
		return font.Face{Font: font.Font{Typeface: typeface, Variant: variant, Weight: weight}, Face: parsed}
	}
	return font.NewCache(font.Collection{
		face(xfont.WeightNormal, liberationsansregular.TTF),
		face(xfont.WeightBold, liberationsansbold.TTF),
	})
})

// faceOf returns the plain or the bold face in a size in pixels.
func faceOf(strong bool, size float64) font.Face {
	weight := xfont.WeightNormal
	if strong {
		weight = xfont.WeightBold
	}
	return fonts().Lookup(font.Font{Typeface: typeface, Variant: variant, Weight: weight}, font.Length(size))
}
