package advisor

// The constants of the reckoning. Sea water is taken as 1025 kg/m³ everywhere: at the
// surface and salinity 35 the equation of state gives 1028.1 at 0 °C and 1021.7 at
// 30 °C (EOS-80, Fofonoff & Millard 1983), and no answer moves by one per cent.
const (
	// SeaWaterDensity is in kg/m³.
	SeaWaterDensity = 1025.0
	// Gravity is standard gravity in m/s² (CGPM 1901, exact).
	Gravity = 9.80665
	// StandardAtmosphere is in Pa (exact).
	StandardAtmosphere = 101325.0
	// LeadDensity is in kg/m³. Cast sinkers with antimony have 10,900 to 11,200
	// (memory), which takes up to 0.4 % off their pull.
	LeadDensity = 11340.0
)

// scaleHeight is the depth in metres that adds one atmosphere, H = P0/(ρg) = 10.080 m.
const scaleHeight = StandardAtmosphere / (SeaWaterDensity * Gravity)

// PressureRatio is the pressure at a depth in metres over the pressure at the
// surface, R(z) = 1 + z/H: within 0.3 % of TEOS-10 down to 1,000 m near the equator,
// within 0.7 % at the poles, where water weighs more.
func PressureRatio(depthM float64) float64 { return 1 + depthM/scaleHeight }
