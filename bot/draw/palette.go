package draw

import (
	"image"
	"image/color"
	"sync"
)

// mixes is how many mixes of each two house colours the palette holds: an edge is
// a mix of the two colours that meet, and so many steps look smooth.
const mixes = 16

// palette holds the house colours and the mixes of each two: 6 + 15·16 = 246.
var palette = sync.OnceValue(func() color.Palette {
	house := []tint{ink, deep, signal, skin, water, paper}
	var p color.Palette
	for _, t := range house {
		p = append(p, t.mix(t, 0))
	}
	for i, a := range house {
		for _, b := range house[i+1:] {
			for k := range mixes {
				p = append(p, a.mix(b, float64(k+1)/(mixes+1)))
			}
		}
	}
	return p
})

// mix returns the colour that is a share of b, the rest t.
func (t tint) mix(b tint, share float64) color.RGBA {
	part := func(shift int) uint8 {
		from, to := float64(t>>shift&0xff), float64(b>>shift&0xff)
		return uint8(from + (to-from)*share + 0.5)
	}
	return color.RGBA{part(16), part(8), part(0), 0xff}
}

// paletted turns a picture in house colours into one byte a pixel: a quarter of
// the work for the encoder and a third of the file.
func paletted(img *image.RGBA) *image.Paletted {
	out := image.NewPaletted(img.Bounds(), palette())
	seen := map[color.RGBA]uint8{}
	var last color.RGBA
	var index uint8
	for i := range out.Pix {
		p := img.Pix[4*i : 4*i+4 : 4*i+4]
		c := color.RGBA{p[0], p[1], p[2], p[3]}
		if c != last || i == 0 {
			var known bool
			if index, known = seen[c]; !known {
				index = uint8(palette().Index(c))
				seen[c] = index
			}
			last = c
		}
		out.Pix[i] = index
	}
	return out
}
