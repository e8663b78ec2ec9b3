package advisor

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The check values and the source of each stand in testdata/physics_checks.csv.
// Not ours, and not computed here: sea water by EOS-80 and TEOS-10 and depth from
// pressure by their full equations (the core takes 1025 kg/m³ and R = 1 + z/H;
// TestConstantDensityIsNearEOS80 says how far that is off), terminal speeds of
// balls in air, cylinders, gas resorption and the frontal area of cod.
const exact = 1e-9

// physics answers the rows of the table that name a quantity of this package.
var physics = map[string]func(in map[string]float64, row []string) (float64, bool){
	"pressure_ratio":                 func(in map[string]float64, _ []string) (float64, bool) { return PressureRatio(in["d"]), true },
	"excess_buoyancy_full_retention": func(in map[string]float64, _ []string) (float64, bool) { return fullLift(in), true },
	"lead_needed_full_retention": func(in map[string]float64, _ []string) (float64, bool) {
		return LeadNeededOz(fullLift(in), in["SF"]) * GramsPerOunce, true
	},
	"neutral_depth_full_retention": func(in map[string]float64, _ []string) (float64, bool) {
		return LiftOf(kept(0.05), 1, in["d"]).NeutralDepthM, true
	},
	"neutral_depth_capped": func(in map[string]float64, _ []string) (float64, bool) {
		return LiftOf(Gas{F: 0.05, Rupture: in["E"]}, 1, 500).NeutralDepthM, true
	},
	"rupture_depth_snapper": func(in map[string]float64, _ []string) (float64, bool) {
		return LiftOf(Gas{F: 0.05, Rupture: in["E_rup"]}, 1, 500).NeutralDepthM, true
	},
	"expansion_capped": func(in map[string]float64, _ []string) (float64, bool) {
		return Gas{Rupture: in["E_rup"], Kept: in["s"]}.Expansion(PressureRatio(in["d"])), true
	},
	"effective_pull_lead": func(_ map[string]float64, row []string) (float64, bool) {
		oz, err := strconv.ParseFloat(strings.Fields(row[1])[0], 64)
		return PullGf(oz), err == nil
	},
	"push_down_depth": func(in map[string]float64, _ []string) (float64, bool) {
		m, needed := PushDownDepth(kept(in["f"]), in["m"], 30, 20)
		return m, needed
	},
	"largest_fish_snapper_model": func(in map[string]float64, row []string) (float64, bool) {
		oz, err := strconv.ParseFloat(strings.Fields(row[1])[0], 64)
		perKg := LiftOf(Gas{F: in["f"], Rupture: in["E"]}, 1, 500).Gf
		return PullGf(oz) / perKg, err == nil
	},
	"sinking_weight_of_gasless_fish": func(in map[string]float64, _ []string) (float64, bool) {
		return -LiftAtDepth(Gas{F: in["f"], Rupture: 0}, in["m"], 0, 0), true
	},
	"pound":               func(map[string]float64, []string) (float64, bool) { return KgPerPound, true },
	"foot":                func(map[string]float64, []string) (float64, bool) { return MetresPerFoot, true },
	"fathom":              func(map[string]float64, []string) (float64, bool) { return MetresPerFathom, true },
	"standard_gravity":    func(map[string]float64, []string) (float64, bool) { return Gravity, true },
	"standard_atmosphere": func(map[string]float64, []string) (float64, bool) { return StandardAtmosphere, true },
	"ounce": func(_ map[string]float64, row []string) (float64, bool) {
		oz, err := strconv.ParseFloat(strings.Fields(row[1])[0], 64)
		return oz * GramsPerOunce, err == nil
	},
	"quasi_steady_time": quasiSteady,
}

// kept is a bladder that loses nothing.
func kept(f float64) Gas { return Gas{F: f, Rupture: math.Inf(1)} }

func fullLift(in map[string]float64) float64 { return LiftOf(kept(in["f"]), in["m"], in["d"]).Gf }

// quasiSteady is the row's fish with its drag alone: no added mass, no drag of the
// lead, speed always that at which drag meets pull.
func quasiSteady(map[string]float64, []string) (float64, bool) {
	s := newSinking(Gas{F: 0.05, Rupture: 2.75, Kept: 0.25}, 4, 45, 40)
	s.dragK = 0.5 * SeaWaterDensity * fishDrag * frontalPerKg23 * math.Pow(4, 2.0/3)
	total := 0.0
	const steps = 200000
	for i := range steps {
		z := 45 * (float64(i) + 0.5) / steps
		total += 45.0 / steps / math.Sqrt(s.net(z)/s.dragK)
	}
	return total, true
}

var assignment = regexp.MustCompile(`([A-Za-z_]+)=([0-9.]+)`)

func TestPhysicsChecks(t *testing.T) {
	rows := readTable(t, "../testdata/physics_checks.csv")
	checked, others := 0, map[string]int{}
	for _, row := range rows {
		compute, ours := physics[row[0]]
		if !ours {
			others[row[0]]++
			continue
		}
		in := map[string]float64{}
		for _, m := range assignment.FindAllStringSubmatch(row[1], -1) {
			in[m[1]], _ = strconv.ParseFloat(m[2], 64)
		}
		got, known := compute(in, row)
		require.True(t, known, "%v", row)
		want, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		tolerance := exact * math.Max(1, math.Abs(want))
		if row[0] == "quasi_steady_time" {
			tolerance = 1e-3 // as the row says
		}
		assert.InDelta(t, want, got, tolerance, "%v", row)
		checked++
	}
	t.Logf("%d rows checked; not computed by this package: %v", checked, others)
	assert.GreaterOrEqual(t, checked, 40)
}

func readTable(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

// EOS-80 at the surface and salinity 35: 1028.1 at 0 °C and 1021.7 at 30 °C (Fofonoff
// & Millard 1983, the rows eos80_rho). Half a per cent at most.
func TestConstantDensityIsNearEOS80(t *testing.T) {
	for _, row := range readTable(t, "../testdata/physics_checks.csv") {
		if row[0] != "eos80_rho" || !strings.HasPrefix(row[1], "S=35") || !strings.HasSuffix(row[1], "p=0 dbar") {
			continue
		}
		rho, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		assert.InEpsilon(t, rho, SeaWaterDensity, 0.005, "%v", row)
	}
}

// The speed of a fish whose gas is recompressed, without drag, has a closed form
// by energy; the rows no_drag_speed_recompressing_gas give it (m_eff = m + M).
func TestDescentWithoutDragAgreesWithTheEnergyIntegral(t *testing.T) {
	s := newSinking(Gas{F: 0.05, Rupture: 3}, 4, 400, 40)
	s.dragK, s.mass = 1e-9, 4+40*GramsPerOunce/1000
	n := 0
	for _, row := range readTable(t, "../testdata/physics_checks.csv") {
		if row[0] != "no_drag_speed_recompressing_gas" {
			continue
		}
		z, err := strconv.ParseFloat(regexp.MustCompile(`z=([0-9.]+)`).FindStringSubmatch(row[1])[1], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		assert.InEpsilon(t, want, s.speedAt(z), 2e-3, "%v", row)
		n++
	}
	assert.Equal(t, 3, n)
}

// speedAt is the speed reached at a depth by the same steps as time takes.
func (s sinking) speedAt(to float64) float64 {
	u, z, rate := 0.0, 0.0, 2*s.dragK/s.mass
	for i := 1; i <= descentSteps; i++ {
		share := float64(i) / descentSteps
		next := to * share * share
		u = s.step(u, rate, z, next-z)
		z = next
	}
	return math.Sqrt(u)
}

// A body that falls through still water from rest: v = vt·tanh(a·t/vt), z = vt²/a
// · ln cosh(a·t/vt) (rows tanh_speed and lncosh_distance); so t for a distance.
func TestDescentAgreesWithTheTanhLaw(t *testing.T) {
	s := sinking{pullN: 2, mass: 1, dragK: 2} // a = 2 m/s², vt = 1 m/s, no gas
	for _, row := range readTable(t, "../testdata/physics_checks.csv") {
		if row[0] != "lncosh_distance" {
			continue
		}
		z, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(regexp.MustCompile(`;t=([0-9.]+)`).FindStringSubmatch(row[1])[1], 64)
		require.NoError(t, err)
		assert.InEpsilon(t, want, s.time(0, z), 2e-3, "%v", row)
	}
}

// More steps change nothing that matters: the step is fine enough.
func TestDescentHasConverged(t *testing.T) {
	for _, c := range []struct{ kg, depth, oz float64 }{{1, 30, 20}, {4, 45, 40}, {8, 45, 40}, {6, 60, 40}} {
		g := General().Gas()
		d, ok := DescentOf(g, c.kg, c.depth, c.oz)
		require.True(t, ok)
		fine := newSinking(g, c.kg, c.depth, c.oz).fineTime(d.FromM, c.depth, 20000)
		assert.InEpsilon(t, fine, d.S, 0.01, c)
	}
}

func (s sinking) fineTime(from, to float64, steps int) float64 {
	t, u, z, rate := 0.0, 0.0, from, 2*s.dragK/s.mass
	for i := 1; i <= steps; i++ {
		share := float64(i) / float64(steps)
		next := from + (to-from)*share*share
		was := u
		u = s.step(u, rate, z, next-z)
		t += (next - z) / ((math.Sqrt(was) + math.Sqrt(u)) / 2)
		z = next
	}
	return t
}

// The custom of two sizes; common practice, no source.
func TestCommonPracticeSizes(t *testing.T) {
	for _, name := range []string{"", "Lutjanus campechanus", "Sebastes ruberrimus", "Epinephelus morio", "Chrysophrys auratus"} {
		for _, c := range []struct{ kg, depth, oz float64 }{{4, 45, 40}, {9, 25, 40}, {2, 20, 20}} {
			a := Advise(Query{Species: name, DepthM: &c.depth, WeightKg: &c.kg, Count: 1})
			assert.Equal(t, ActRecompress, a.Action)
			assert.Equal(t, c.oz, *a.ReleaseWeightOz, "%s %v", name, c)
			if *a.NeededOz > c.oz {
				assert.True(t, hasCode(a.Reasons, ReasonPhysicsMore), "%s %v: says where physics disagrees", name, c)
				assert.True(t, len(a.ReleaseWeightsOz) == 2 || a.PushDownDepthM != nil, "%s %v: says what to do", name, c)
			}
		}
	}
}

func hasCode(notes []Note, code NoteCode) bool {
	for _, n := range notes {
		if n.Code == code {
			return true
		}
	}
	return false
}

func TestChooseWeights(t *testing.T) {
	for name, c := range map[string]struct {
		aboard           []float64
		needed, practice float64
		want             []float64
		enough, below    bool
	}{
		"light fish":           {[]float64{20, 40}, 7, 20, []float64{20}, true, false},
		"custom wants more":    {[]float64{20, 40}, 7, 40, []float64{40}, true, false},
		"physics wants two":    {[]float64{20, 40}, 48, 40, []float64{40, 20}, true, false},
		"nothing is enough":    {[]float64{20, 40}, 90, 40, []float64{40, 20}, false, false},
		"only a light one":     {[]float64{20}, 15, 40, []float64{20}, true, true},
		"only one, too light":  {[]float64{20}, 25, 40, []float64{20}, false, true},
		"smallest that does":   {[]float64{60, 48, 20, 40}, 44, 40, []float64{48}, true, false},
		"two small for custom": {[]float64{20, 20}, 25, 40, []float64{20, 20}, true, false},
	} {
		got := ChooseWeights(c.aboard, c.needed, c.practice)
		assert.Equal(t, Choice{Oz: c.want, Enough: c.enough, BelowPractice: c.below}, got, name)
	}
}

func BenchmarkDescent(b *testing.B) {
	g := General().Gas()
	b.ReportAllocs()
	for b.Loop() {
		DescentOf(g, 4, 45, 40)
	}
}

func BenchmarkAdvise(b *testing.B) {
	q := Query{Species: "Lutjanus campechanus", DepthM: new(45.0), WeightKg: new(3.0), Count: 1}
	b.ReportAllocs()
	for b.Loop() {
		Advise(q)
	}
}
