package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"deepward/advisor"
)

// Pair is one comparison as the fit reads it: of some fish of one kind, half let go
// at the top and half sent down.
type Pair struct {
	ID, Study string
	// Gain is the share alive sent down less that let go at the top, SE its standard
	// error.
	Gain, SE float64
	// top and down are the two halves.
	top, down Row
}

// PairScatter is how far the two groups of one study differ for no reason that the
// model knows (other hands, other days), added to the error of every pair.
const PairScatter = 0.05

// pair reads a comparison.
func (d *Data) pair(p advisor.Pair, by Covariate) (Pair, error) {
	f := advisor.Finding{ID: p.ID, Study: p.Study, Species: p.Species, Kin: p.Kin, Fit: advisor.Reading{
		Fish: 1, DepthMinM: p.FitDepthMinM, DepthMaxM: p.FitDepthMaxM, Exposure: p.Exposure,
	}}
	f.Fit.Exposure.Float = 1
	top, err := d.row(f, by)
	if err != nil {
		return Pair{}, err
	}
	f.Fit.Exposure.Float = 0
	down, err := d.row(f, by)
	return Pair{ID: p.ID, Study: p.Study, Gain: p.Gain, SE: math.Hypot(p.SE, PairScatter), top: top, down: down}, err
}

// pair adds the log density of one comparison to nothing, and its slopes to grad and
// info unless these are nil: the difference of the two shares, both moved by what the
// study finds beyond the others, with a normal error.
func (p *problem) pair(theta []float64, c Pair, slopes, grad []float64, info *mat.SymDense) float64 {
	var slopesDown []float64
	if grad != nil {
		slopesDown = make([]float64, len(slopes))
	}
	st := p.layout.study + c.top.study
	gain := p.inStudy(theta, c.top, st, slopes) - p.inStudy(theta, c.down, st, slopesDown)
	off := (c.Gain - gain) / c.SE
	if grad != nil {
		floats.Sub(slopes, slopesDown)
		addScaled(grad, off/c.SE, slopes)
		rankOne(info, 1/(c.SE*c.SE), slopes)
	}
	return -off * off / 2
}

// inStudy is the share that dies in a row, the study's own effect taken in, with its
// slopes unless they are nil.
func (p *problem) inStudy(theta []float64, r Row, st int, slopes []float64) float64 {
	share := expit(p.logitMortality(theta, r, slopes) + theta[st])
	if slopes != nil {
		slopes[st] = 1
		floats.Scale(share*(1-share), slopes)
	}
	return share
}
