package fit_test

import (
	"fmt"

	"deepward/advisor/fit"
)

// Gneiting & Raftery 2007, eq. 43: a range of 0.3 that holds costs its width; one that is
// missed by 0.05 costs 2/0.2·0.05 = 0.5 more.
func ExampleIntervalScore() {
	fmt.Printf("%.2f %.2f\n", fit.IntervalScore(0.2, 0.5, 0.4), fit.IntervalScore(0.2, 0.5, 0.55))
	// Output: 0.30 0.80
}
