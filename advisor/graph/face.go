package graph

import (
	_ "embed"
	"image/color"
	"sync"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"deepward/advisor/packed"
)

//go:generate go run deepward/advisor/pack -faces

// The faces are those of a library of fonts that go generate packs.
var (
	//go:embed plain.ttf.gz
	plainGzip []byte
	//go:embed bold.ttf.gz
	boldGzip []byte
)

// Fonts are the plain and the bold face, the only ones there are. They are compiled in: a
// fault in them is a fault of the build.
var Fonts = sync.OnceValue(func() *font.Cache {
	return font.NewCache(font.Collection{
		parsed(false, packed.Open(plainGzip)),
		parsed(true, packed.Open(boldGzip)),
	})
})

func parsed(bold bool, ttf []byte) font.Face {
	face, err := opentype.Parse(ttf)
	if err != nil {
		panic("graph: embedded font: " + err.Error())
	}
	return font.Face{Font: Font(bold, 0), Face: face}
}

// Font names the plain or the bold face in a size in points.
func Font(bold bool, size float64) font.Font {
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(size)}
	if bold {
		f.Weight = xfont.WeightBold
	}
	return f
}

// Style is text of a size in points.
func Style(size float64, bold bool, c color.Color) text.Style {
	return text.Style{Font: Font(bold, size), Color: c, Handler: text.Plain{Fonts: Fonts()}}
}

// Write puts text at a point; xAlign −1 ends there, −0.5 is centred, 0 begins there.
func Write(c draw.Canvas, s text.Style, x, y vg.Length, xAlign float64, words string) {
	s.XAlign = text.XAlignment(xAlign)
	c.FillText(s, vg.Point{X: x, Y: y}, words)
}
