package export

import "math"

// The WGS 84 ellipsoid.
const (
	equatorM   = 6378137.0
	flattening = 1 / 298.257223563
)

// geodesic is the length in metres of the geodesic between two places in degrees
// on WGS 84, by the inverse formula of Vincenty (1975, Survey Review 23:88-93). It
// is meant for the two ends of a grid cell; for places nearly opposite on the
// globe, where the formula does not settle, it is NaN.
func geodesic(lat1, lon1, lat2, lon2 float64) float64 {
	const (
		rad     = math.Pi / 180
		polarM  = equatorM * (1 - flattening)
		settled = 1e-13
		rounds  = 100
	)
	sinU1, cosU1 := math.Sincos(math.Atan((1 - flattening) * math.Tan(lat1*rad)))
	sinU2, cosU2 := math.Sincos(math.Atan((1 - flattening) * math.Tan(lat2*rad)))
	apart := (lon2 - lon1) * rad
	for lambda, n := apart, 0; n < rounds; n++ {
		sin, cos := math.Sincos(lambda)
		sinSigma := math.Hypot(cosU2*sin, cosU1*sinU2-sinU1*cosU2*cos)
		if sinSigma == 0 {
			return 0
		}
		cosSigma := sinU1*sinU2 + cosU1*cosU2*cos
		sigma := math.Atan2(sinSigma, cosSigma)
		sinAlpha := cosU1 * cosU2 * sin / sinSigma
		cos2Alpha := 1 - sinAlpha*sinAlpha
		cosMiddle := 0.0 // along the equator there is no middle
		if cos2Alpha > 0 {
			cosMiddle = cosSigma - 2*sinU1*sinU2/cos2Alpha
		}
		c := flattening / 16 * cos2Alpha * (4 + flattening*(4-3*cos2Alpha))
		before := lambda
		lambda = apart + (1-c)*flattening*sinAlpha*(sigma+c*sinSigma*(cosMiddle+c*cosSigma*(2*cosMiddle*cosMiddle-1)))
		if math.Abs(lambda-before) < settled {
			return polarM * vincentyArc(sigma, sinSigma, cosSigma, cosMiddle, cos2Alpha*(equatorM*equatorM/(polarM*polarM)-1))
		}
	}
	return math.NaN()
}

// vincentyArc is the arc over the polar radius, with Vincenty's series in u².
func vincentyArc(sigma, sinSigma, cosSigma, cosMiddle, u2 float64) float64 {
	a := 1 + u2/16384*(4096+u2*(-768+u2*(320-175*u2)))
	b := u2 / 1024 * (256 + u2*(-128+u2*(74-47*u2)))
	square := cosMiddle * cosMiddle
	delta := b * sinSigma * (cosMiddle + b/4*(cosSigma*(2*square-1)-b/6*cosMiddle*(4*sinSigma*sinSigma-3)*(4*square-3)))
	return a * (sigma - delta)
}
