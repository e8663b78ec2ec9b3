package advisor

// Exact conversions. The pound and the yard are those of the international yard and
// pound agreement of 1959; the ounce is a sixteenth of the pound (avoirdupois), the
// foot a third of the yard, the inch a twelfth of the foot, the fathom six feet. In
// the United States a fathom charted before 2023 may be two millionths longer (survey
// foot, memory): nothing here can tell.
const (
	KgPerPound      = 0.45359237
	GramsPerOunce   = 28.349523125
	MetresPerFoot   = 0.3048
	MetresPerFathom = 6 * MetresPerFoot
	CmPerInch       = 2.54
)
