package advisor

// Exact conversions (international yard and pound agreement of 1959).
const (
	KgPerPound      = 0.45359237
	GramsPerOunce   = 28.349523125
	MetresPerFoot   = 0.3048
	MetresPerFathom = 6 * MetresPerFoot
	CmPerInch       = 2.54
)
