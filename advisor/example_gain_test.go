package advisor_test

import (
	"fmt"

	"deepward/advisor"
)

// Hannah et al. 2008 set against Hannah et al. 2012 and 2014: canary rockfish from 40 to
// 51 m gain 0.57 (0.46 to 0.69), quillback rockfish 0.10 (0.03 to 0.25). Kind outweighs
// depth.
func ExampleEstimateSurvival() {
	for _, name := range []string{"Sebastes pinniger", "Sebastes maliger"} {
		g := advisor.EstimateSurvival(advisor.Case{Species: advisor.LookUp(name), DepthM: 45}).Gain
		fmt.Printf("%s: %.1f\n", name, g.P)
	}
	// Output:
	// Sebastes pinniger: 0.5
	// Sebastes maliger: 0.1
}

// Patterson et al. 2002: red snapper let go at the top from 21 to 32 m that did not swim
// down were recaptured at 0.107 (0.056 to 0.204) of the rate of those that did.
func ExampleCase() {
	alive := func(b advisor.Behaviour) float64 {
		fish := advisor.Case{Species: advisor.LookUp("Lutjanus campechanus"), DepthM: 26, Behaviour: b}
		return advisor.EstimateSurvival(fish).Surface.P
	}
	fmt.Printf("%.2f\n", alive(advisor.Floating)/alive(advisor.Strong))
	// Output: 0.14
}

// Boyle et al. 2022: greater amberjack from 29 to 64 m gain nothing from being sent down.
func ExampleGain_Little() {
	a := advisor.Advise(advisor.Query{Species: "Seriola dumerili", Capture: advisor.Capture{DepthM: new(43.0)}, Count: 1})
	fmt.Println(a.Action, a.Gain.Little(), a.Gain.Low < 0 && a.Gain.High > 0)
	// Output: surface true true
}

// Jarvis & Lowe 2008: an odds ratio of survival of 0.95 for each minute at the surface.
func ExampleModifiers() {
	minutes := advisor.Modifiers()["minutes"]
	fmt.Printf("%.3f by %s\n", minutes.Size, minutes.Study)
	// Output: 0.051 by Jarvis & Lowe 2008
}

// South Australia, 2023-24: any fish from 10 m or more, signs or none.
func ExamplePracticeOf() {
	strong := advisor.Query{Species: "Chrysophrys auratus", Capture: advisor.Capture{DepthM: new(12.0), Behaviour: advisor.Strong}, Count: 1}
	fmt.Println(advisor.Advise(strong).Action)
	strong.Practice = "pirsa"
	a := advisor.Advise(strong)
	fmt.Println(a.Action, "as", a.Practice.Agency, a.Practice.Year)
	// Output:
	// surface
	// recompress as Primary Industries and Regions South Australia 2024
}

// FWC 2022: one pound of weight for five pounds of fish, so 2 lb (32 oz) for a fish of
// 10 lb (4.536 kg).
func ExamplePoundForFiveOz() {
	fmt.Printf("%.0f oz\n", advisor.PoundForFiveOz(4.536))
	// Output: 32 oz
}
