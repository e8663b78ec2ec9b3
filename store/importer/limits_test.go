package importer

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a row may tell at most of any fish holds to the last figure: 1,000 m, 300 kg, 2 to
// 400 cm, 60 fish, three hours on deck, 32 lb of lead, 40 °C (common practice, no source).
func TestLimitsOfARowHoldToTheLastFigure(t *testing.T) {
	for heading, c := range map[string]struct{ fits, not []string }{
		"Depth (m)":           {[]string{"1000"}, []string{"1001"}},
		"Weight (kg)":         {[]string{"300"}, []string{"301"}},
		"Fork length (cm)":    {[]string{"2", "400"}, []string{"1.9", "401"}},
		"Count":               {[]string{"1", "60"}, []string{"0", "61"}},
		"Minutes on deck":     {[]string{"180"}, []string{"181"}},
		"Release weight (oz)": {[]string{"512"}, []string{"513"}},
		"Surface temp (C)":    {[]string{"-2", "40"}, []string{"-3", "41"}},
	} {
		problems := func(cell string) int {
			s := sheetOf(t, fmt.Sprintf("Date,Fish,%s\n2025-03-04,,%s\n", heading, cell), options())
			return len(slices.Collect(s.Problems()))
		}
		for _, cell := range c.fits {
			assert.Zero(t, problems(cell), "%s %s", heading, cell)
		}
		for _, cell := range c.not {
			assert.Equal(t, 1, problems(cell), "%s %s", heading, cell)
		}
	}
}
