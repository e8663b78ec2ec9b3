package season

import (
	"fmt"
	"math"
)

// The depth bands, by their upper ends in metres; a fish from exactly 30 m is in the
// band that ends there. The last band is open.
var bandEdges = [...]float64{20, 30, 40, 50, 60, 80, 100, 150, math.Inf(1)}

// openMiddleM stands for the depth of the fish in the open band, where a trend needs
// a figure; common practice, no source.
const openMiddleM = 175

// noBand is the place of a fish whose depth is not known.
const noBand = -1

// DepthBand is one band of capture depth.
type DepthBand int

// BandOf is the band of a depth in metres; noBand, and false, without a depth.
func BandOf(depthM *float64) (DepthBand, bool) {
	if depthM == nil || math.IsNaN(*depthM) {
		return noBand, false
	}
	for i, end := range bandEdges {
		if *depthM <= end {
			return DepthBand(i), true
		}
	}
	return noBand, false
}

// Ends are the two ends of the band in metres; the deep end of the last is +Inf.
func (b DepthBand) Ends() (shallowM, deepM float64) {
	if b > 0 {
		shallowM = bandEdges[b-1]
	}
	return shallowM, bandEdges[b]
}

// MiddleM is the depth in metres that stands for the band in a trend: its middle.
func (b DepthBand) MiddleM() float64 {
	shallow, deep := b.Ends()
	if math.IsInf(deep, 1) {
		return openMiddleM
	}
	return (shallow + deep) / 2
}

// String names the band, "20–30 m".
func (b DepthBand) String() string {
	switch shallow, deep := b.Ends(); {
	case shallow == 0:
		return fmt.Sprintf("to %.0f m", deep)
	case math.IsInf(deep, 1):
		return fmt.Sprintf("over %.0f m", shallow)
	default:
		return fmt.Sprintf("%.0f–%.0f m", shallow, deep)
	}
}
