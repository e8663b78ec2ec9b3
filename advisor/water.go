package advisor

// The physical constants of the reckoning. Sea water is taken as 1025 kg/m³
// everywhere: the full equation of state gives 1023 to 1028 at the surface
// (EOS-80, Fofonoff & Millard 1983), which moves no answer by one per cent.
const (
	// SeaWaterDensity is in kg/m³.
	SeaWaterDensity = 1025.0
	// Gravity is standard gravity in m/s² (CGPM 1901, exact).
	Gravity = 9.80665
	// StandardAtmosphere is in Pa (exact).
	StandardAtmosphere = 101325.0
	// LeadDensity is in kg/m³; pages seen give 11.34 g/cm³.
	LeadDensity = 11340.0
)

// scaleHeight is the depth in metres that adds one atmosphere, H = P0/(ρg) = 10.080 m.
const scaleHeight = StandardAtmosphere / (SeaWaterDensity * Gravity)

// PressureRatio is the pressure at a depth in metres over the pressure at the
// surface, R(z) = 1 + z/H. Within 0.25 % of Saunders (1981) to 200 m.
func PressureRatio(depthM float64) float64 { return 1 + depthM/scaleHeight }
