package advisor_test

import (
	"fmt"

	"deepward/advisor"
)

// Texas Parks & Wildlife, lesson on the swim bladder: 0.25 l of gas at 66 ft (3 atm) are
// 0.75 l at the surface.
func ExamplePressureRatio() {
	fmt.Printf("%.2f l\n", 0.25*advisor.PressureRatio(66*advisor.MetresPerFoot))
	// Output: 0.75 l
}

// Humborstad & Mangor-Jensen 2013: the bladder of cod bursts at a cut of the pressure by
// 70 %, to 1/0.3 of the gas. Beyond it a share of what is added stays (ASSUMED).
func ExampleGas_Expansion() {
	cod := advisor.LookUp("Gadus morhua").Gas()
	fmt.Printf("cut by %.0f %%: gas ×%.2f\n", 100*(1-1/cod.Rupture), cod.Expansion(1/(1-0.70)))
	fmt.Println(cod.Expansion(10) < 10)
	// Output:
	// cut by 70 %: gas ×3.33
	// true
}

// Korsøen et al.: cod stop at a cut of the pressure by 41 %, which is 70 % more gas; in
// sea water that is the way up from 7 m. With gas of 5 % of the body (Denton & Marshall
// 1958) it lifts 0.05·0.70 of the weight of the fish, 35 gf a kilogram.
func ExampleLiftOf() {
	cod := advisor.Gas{F: 0.05, Rupture: 1 / 0.3}
	l := advisor.LiftOf(cod, 1, 7)
	fmt.Printf("%.0f %% more gas, %.0f gf, neutral at %.0f m\n", 100*(l.Expansion-1), l.Gf, l.NeutralDepthM)
	// Output: 69 % more gas, 35 gf, neutral at 7 m
}

// Denton & Marshall 1958: a sea fish without any gas weighs 5 % of its weight in air.
func ExampleLiftAtDepth() {
	empty := advisor.Gas{F: 0.05, Rupture: 0}
	fmt.Printf("%.0f gf\n", advisor.LiftAtDepth(empty, 1, 0, 0))
	// Output: -50 gf
}

// Stewart & Hughes 2014: snapper hold 44 ml/kg of gas, 4.5 % of the body, and it grows to
// 2.5 times before the bladder gives way; it floats no more below 15 m.
func ExampleLift() {
	snapper := advisor.Gas{F: 0.045, Rupture: 2.5}
	l := advisor.LiftOf(snapper, 2, 60)
	fmt.Printf("×%.1f, %.0f gf, neutral at %.1f m\n", l.Expansion, l.Gf, l.NeutralDepthM)
	// Output: ×2.5, 135 gf, neutral at 15.1 m
}

// FWC 2022: a pound of lead for five pounds of fish. In sea water it carries 18 % of the
// weight of the fish: lead of 11.34 g/cm³ loses 9 % of its weight there.
func ExamplePullGf() {
	fishG := 5 * advisor.KgPerPound * 1000
	fmt.Printf("%.1f %%\n", 100*advisor.PullGf(16)/fishG)
	// Output: 18.2 %
}

// A snapper as Stewart & Hughes 2014 measured it hangs in balance on 20 oz at 7.64 kg:
// common practice changes to 40 oz "above 6 to 8 kg" (no source).
func ExampleLeadNeededOz() {
	snapper := advisor.Gas{F: 0.045, Rupture: 2.5}
	fmt.Printf("%.1f oz\n", advisor.LeadNeededOz(advisor.LiftOf(snapper, 7.64, 60).Gf, 1))
	// Output: 20.0 oz
}

// The custom of two sizes (common practice, no source): 20 oz to about 30 m, 40 oz deeper
// or above 6 to 8 kg.
func ExamplePracticeOz() {
	fmt.Println(advisor.PracticeOz(3, 30), advisor.PracticeOz(3, 31), advisor.PracticeOz(8, 15))
	// Output: 20 40 40
}

// Theberge & Parker (Oregon Sea Grant) use over 3 lb, 48 oz, for a large yelloweye
// rockfish: of the 40 and 64 oz aboard only the second will do.
func ExampleChooseWeights() {
	c := advisor.ChooseWeights([]float64{64, 40, 20}, 48, 40)
	fmt.Println(c.Oz, c.Enough, c.BelowPractice)
	// Output: [64] true false
}

// Where nothing is lost, a fish of 8 kg from 30 m pulls harder than 20 oz of lead down to
// 7.4 m: the root of 0.05·8 kg·(E/R(z) − 1) = 516 gf (Archimedes and Boyle).
func ExamplePushDownDepth() {
	leakless := advisor.Gas{F: 0.05, Rupture: 100}
	m, needed := advisor.PushDownDepth(leakless, 8, 30, 20)
	fmt.Printf("%.1f m %t\n", m, needed)
	// Output: 7.4 m true
}

// A sphere sinks at √(4gd(ρs − ρw)/(3·Cd·ρw)) in the end: 3.58 m/s for 20 oz of lead,
// Cd 0.47 (tables give 0.45 to 0.5; 0.47 is memory).
func ExampleDescentOf() {
	sinker := func(toM float64) float64 {
		d, _ := advisor.DescentOf(advisor.General().Gas(), 0, 100, toM, 20)
		return d.S
	}
	fmt.Printf("%.2f m/s\n", (100-90)/(sinker(100)-sinker(90)))
	// Output: 3.58 m/s
}

// ADF&G 2011 holds it practicable to have a rockfish down within two minutes of its coming
// up; that is time for the hook and the way. No descent on a weight was ever timed in print.
func ExampleDescent() {
	rockfish := advisor.LookUp("Sebastes ruberrimus").Gas()
	d, ok := advisor.DescentOf(rockfish, 4, 45, 45, 40)
	fmt.Println(ok, d.LowS < d.S && d.S < d.HighS, d.HighS < 120)
	// Output: true true true
}

// Where the bottom is too deep, agencies ask for 100 ft, 30 m, at least (ADF&G; ODFW 2013,
// 2018). Snapper, neutral below 15 m (Stewart & Hughes 2014), from 45 m need no more than that; a
// fish from less goes back to its own depth.
func ExampleAdvice() {
	for _, depth := range []float64{25, 45} {
		a := advisor.Advise(advisor.Query{Species: "Chrysophrys auratus", Capture: advisor.Capture{DepthM: &depth, WeightKg: new(3.0)}, Count: 1})
		fmt.Println(a.Action, *a.EnoughDepthM, "to", *a.ReleaseDepthM)
	}
	// Output:
	// recompress 25 to 25
	// recompress 30 to 45
}
