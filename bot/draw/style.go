package draw

import (
	"image/color"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
)

// The house colours. In grey their lightness is about 8, 33, 75, 92, 60 and 100 %.
var (
	ink    = color.NRGBA{0x0d, 0x1b, 0x26, 0xff}
	deep   = color.NRGBA{0x12, 0x55, 0x7c, 0xff}
	skin   = color.NRGBA{0xb4, 0xcb, 0xd6, 0xff}
	water  = color.NRGBA{0xe2, 0xee, 0xf3, 0xff}
	signal = color.NRGBA{0xf2, 0x7a, 0x1a, 0xff}
	paper  = color.NRGBA{0xff, 0xff, 0xff, 0xff}
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
