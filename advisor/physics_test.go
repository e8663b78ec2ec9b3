package advisor

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checkRow is one row of testdata/physics_checks.csv: a published or derived value
// with its inputs and, in the row, its source.
type checkRow struct {
	name, inputs, source string
	in                   map[string]float64
	want                 float64
	tolerance            float64 // the leading number of its column
}

var (
	assignment = regexp.MustCompile(`([A-Za-z_0-9]+)=(-?[0-9.e+-]+)`)
	leading    = regexp.MustCompile(`^[0-9.]+(e-?[0-9]+)?`)
)

func checkRows(t *testing.T) (rows []checkRow) {
	t.Helper()
	for _, cells := range readTable(t, "../testdata/physics_checks.csv") {
		r := checkRow{name: cells[0], inputs: cells[1], source: cells[5], in: map[string]float64{}}
		for _, m := range assignment.FindAllStringSubmatch(r.inputs, -1) {
			if x, err := strconv.ParseFloat(m[2], 64); err == nil {
				r.in[m[1]] = x
			}
		}
		var err error
		r.want, err = strconv.ParseFloat(cells[2], 64)
		require.NoError(t, err, "%v", cells)
		r.tolerance, err = strconv.ParseFloat(leading.FindString(cells[4]), 64)
		require.NoError(t, err, "%v", cells)
		rows = append(rows, r)
	}
	return rows
}

// first is the number with which the inputs begin: "20 oz lead in 1025".
func (r checkRow) first() float64 {
	x, _ := strconv.ParseFloat(leading.FindString(r.inputs), 64)
	return x
}

// reckoned answers the rows that name a quantity of this package, to the tolerance
// of the row. ok is false for a row of that name that is not ours, see notOurs.
var reckoned = map[string]func(r checkRow) (got float64, ok bool){
	"pressure_ratio":                 func(r checkRow) (float64, bool) { return PressureRatio(r.in["d"]), true },
	"excess_buoyancy_full_retention": func(r checkRow) (float64, bool) { return fullLift(r), true },
	"lead_needed_full_retention": func(r checkRow) (float64, bool) {
		return LeadNeededOz(fullLift(r), r.in["SF"]) * GramsPerOunce, true
	},
	"neutral_depth_full_retention": func(r checkRow) (float64, bool) {
		return LiftOf(leakless(0.05), 1, r.in["d"]).NeutralDepthM, true
	},
	"neutral_depth_capped":  func(r checkRow) (float64, bool) { return capped(0.05, r.in["E"]).NeutralDepthM, true },
	"rupture_depth_snapper": func(r checkRow) (float64, bool) { return capped(0.05, r.in["E_rup"]).NeutralDepthM, true },
	"expansion_capped": func(r checkRow) (float64, bool) {
		return Gas{Rupture: r.in["E_rup"], Kept: r.in["s"]}.Expansion(PressureRatio(r.in["d"])), true
	},
	"effective_pull_lead": func(r checkRow) (float64, bool) { return PullGf(r.first()), true },
	"largest_fish_snapper_model": func(r checkRow) (float64, bool) {
		return PullGf(r.first()) / capped(r.in["f"], r.in["E"]).Gf, true
	},
	// The expansion at which a pound of lead just holds five pounds of fish.
	"max_E_covered_by_1lb_per_5lb": func(r checkRow) (float64, bool) {
		return 1 + PullGf(16)/(1000*r.in["f"]*5*KgPerPound), true
	},
	"push_down_depth": func(r checkRow) (float64, bool) {
		m, needed := PushDownDepth(leakless(r.in["f"]), r.in["m"], 30, 20)
		return m, needed
	},
	"sinking_weight_of_gasless_fish": func(r checkRow) (float64, bool) {
		return -LiftAtDepth(Gas{F: r.in["f"], Rupture: 0}, r.in["m"], 0, 0), true
	},
	"tanh_speed": func(r checkRow) (float64, bool) {
		_, v := stillWater.fall(0, math.Log(math.Cosh(2*r.in["t"]))/2)
		return v, true
	},
	// The time back from the distance: t is what the row was made from.
	"lncosh_distance": func(r checkRow) (float64, bool) {
		t, v := stillWater.fall(0, r.want)
		return r.want + (t-r.in["t"])*v, true
	},
	"no_drag_speed_recompressing_gas": func(r checkRow) (float64, bool) {
		s := newSinking(Gas{F: r.in["f"], Rupture: r.in["E"]}, r.in["m"], 400, 40)
		s.dragK, s.mass = 0, r.in["m"]+40*GramsPerOunce/1000
		_, v := s.fall(0, r.in["z"])
		return v, true
	},
	// Without inertia the full equation is the quasi-steady one; only the fish has drag.
	"quasi_steady_time": func(r checkRow) (float64, bool) {
		s := newSinking(Gas{F: r.in["f"], Rupture: 2.75, Kept: 0.25}, r.in["m"], 45, 40)
		s.mass, s.dragK = 1e-9, 0.5*SeaWaterDensity*fishDrag*frontalPerKg23*math.Pow(r.in["m"], 2.0/3)
		t, _ := s.fall(0, 45)
		return t, true
	},
	"terminal_speed_lead_sphere": func(checkRow) (float64, bool) {
		_, v := newSinking(General().Gas(), 0, 0, 20).fall(0, 100)
		return v, true
	},
	"lead_alone_initial_acceleration": func(checkRow) (float64, bool) {
		s := newSinking(General().Gas(), 0, 0, 20)
		return s.net(0) / s.mass, true
	},
	"cd_sphere":     func(checkRow) (float64, bool) { return sinkerDrag, true },
	"density_metal": func(r checkRow) (float64, bool) { return LeadDensity, r.inputs == "lead" },
	"pound":         func(checkRow) (float64, bool) { return KgPerPound, true },
	"foot":          func(checkRow) (float64, bool) { return MetresPerFoot, true },
	"yard":          func(checkRow) (float64, bool) { return 3 * MetresPerFoot, true },
	"fathom":        func(checkRow) (float64, bool) { return MetresPerFathom, true },
	"ounce":         func(r checkRow) (float64, bool) { return r.first() * GramsPerOunce, true },

	"standard_gravity":    func(checkRow) (float64, bool) { return Gravity, true },
	"standard_atmosphere": func(checkRow) (float64, bool) { return StandardAtmosphere, true },
}

// near answers the rows that this package takes simpler than their source, or rounds:
// within is what that costs at most, as a share.
var near = map[string]struct {
	within float64
	got    func(r checkRow) (float64, bool)
}{
	// One density for all sea water that an angler fishes; not fresh, not the abyss.
	"eos80_rho":    {0.007, func(r checkRow) (float64, bool) { return SeaWaterDensity, r.in["S"] == 35 && r.in["p"] <= 1000 }},
	"teos10_rho":   {0.007, func(checkRow) (float64, bool) { return SeaWaterDensity, true }},
	"gravity_fm83": {0.0001, func(checkRow) (float64, bool) { return Gravity, true }},
	// R = 1 + z/H against the pressure of the full equations, as pressures in dbar; they
	// differ most at the poles, where water weighs more.
	"teos10_p_from_z":          {0.004, func(r checkRow) (float64, bool) { return gaugeDbar(-r.in["z"]), true }},
	"teos10_z_from_p":          {0.004, func(r checkRow) (float64, bool) { return -metresAt(r.in["p"]), true }},
	"depth_from_pressure_fm83": {0.007, func(r checkRow) (float64, bool) { return metresAt(r.in["p"]), r.in["p"] <= 1000 }},
	// The lesson takes 33 ft of water as one atmosphere, which is 0.2 % short.
	"boyle_lesson": {0.003, func(r checkRow) (float64, bool) {
		return r.in["V"] * PressureRatio(feetIn(r)*MetresPerFoot), true
	}},
	"boyle_lesson_inverse": {0.003, func(r checkRow) (float64, bool) {
		return r.in["V"] / PressureRatio(feetIn(r)*MetresPerFoot), true
	}},
	// The gas table rounds to two or three digits; 1.025 g/ml of sea water and fish.
	"bladder_volume_snapper":  {0.015, func(checkRow) (float64, bool) { return 1000 / 1.025 * gasOf("Chrysophrys auratus").F, true }},
	"bladder_volume_mulloway": {0.015, func(checkRow) (float64, bool) { return 1000 / 1.025 * gasOf("Argyrosomus japonicus").F, true }},

	"reduction_to_expansion_cod_rupture": {0.002, func(checkRow) (float64, bool) { return gasOf("Gadus morhua").Rupture, true }},
}

// notOurs says why a row is not compared.
var notOurs = map[string]string{
	"eos80_rho":                         "fresh or brackish water, or deeper than 1,000 m: the density is one constant",
	"eos80_secant_bulk_modulus":         "a step on the way to a density that is one constant here",
	"depth_from_pressure_fm83":          "deeper than 1,000 m, the most that a question may have",
	"depth_from_pressure_fm83_headline": "deeper than 1,000 m",
	"pressure_from_depth_saunders81":    "deeper than 1,000 m",
	"density_metal":                     "release weights are reckoned as lead",
	"terminal_speed_ball_in_air":        "no air here",
	"terminal_speed_steel_sphere":       "release weights are reckoned as lead",
	"cd_cylinder_cross_flow":            "a sinker is taken as a sphere, the line left out",
	"cd_cylinder_end_on":                "a sinker is taken as a sphere",
	"frontal_area_cod":                  "the area is that of a deep-bodied snapper, the slower of the two",
	"reduction_to_expansion_cod":        "where a cod stops of itself; nothing is reckoned from it",
	"resorb_time_snapper":               "the gas is frozen on the way down, hours against half a minute",
}

func TestPhysicsChecks(t *testing.T) {
	compared, left := 0, map[string]int{}
	for _, r := range checkRows(t) {
		if compute, known := reckoned[r.name]; known {
			if got, ok := compute(r); ok {
				slack := 4e-15 * math.Abs(r.want) // of the printed digits
				assert.InDelta(t, r.want, got, r.tolerance+slack, "%s %s (%s)", r.name, r.inputs, r.source)
				compared++
				continue
			}
		}
		if n, known := near[r.name]; known {
			if got, ok := n.got(r); ok {
				assert.InEpsilon(t, r.want, got, n.within, "%s %s (%s)", r.name, r.inputs, r.source)
				compared++
				continue
			}
		}
		assert.Contains(t, notOurs, r.name, "compare it, or say why not: %s", r.inputs)
		left[r.name]++
	}
	t.Logf("%d rows compared; not reckoned here: %v", compared, left)
	assert.Equal(t, 134, compared+sum2(left))
	assert.GreaterOrEqual(t, compared, 85)
}

func sum2(counts map[string]int) (total int) {
	for _, n := range counts {
		total += n
	}
	return total
}

// leakless is a bladder that loses nothing.
func leakless(f float64) Gas { return Gas{F: f, Rupture: math.Inf(1)} }

func fullLift(r checkRow) float64 { return LiftOf(leakless(r.in["f"]), r.in["m"], r.in["d"]).Gf }

// capped is the lift of 1 kg whose gas never grows beyond an expansion.
func capped(f, expansion float64) Lift { return LiftOf(Gas{F: f, Rupture: expansion}, 1, 500) }

// stillWater is a body with a = 2 m/s² and a terminal speed of 1 m/s, without gas.
var stillWater = sinking{pullN: 2, mass: 1, dragK: 2}

// gaugeDbar is the pressure of the water alone at a depth, metresAt the way back.
func gaugeDbar(m float64) float64 { return (PressureRatio(m) - 1) * StandardAtmosphere / 1e4 }

func metresAt(dbar float64) float64 { return dbar / gaugeDbar(1) }

var feet = regexp.MustCompile(`([0-9]+) ft`)

func feetIn(r checkRow) float64 {
	x, _ := strconv.ParseFloat(feet.FindStringSubmatch(r.inputs)[1], 64)
	return x
}

func gasOf(species string) Gas { return LookUp(species).Gas() }

func TestEveryReasonNotToCompareIsNeeded(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range checkRows(t) {
		seen[r.name] = true
	}
	for name := range notOurs {
		assert.True(t, seen[name], name)
		assert.False(t, strings.HasSuffix(notOurs[name], "."), name)
	}
}
