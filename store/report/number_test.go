package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/store/season"
)

func TestNoFigureSaysMoreThanItKnows(t *testing.T) {
	for want, got := range map[string]string{
		"99": voiceOf("en").about(99.4), "670": voiceOf("en").about(668), "1,000": voiceOf("en").about(1004), "340,000": voiceOf("en").about(343246),
		"–": voiceOf("en").percent(season.Share{}), "0\u00a0%": voiceOf("en").percent(season.Share{X: 0, N: 9}), "under 1 %": voiceOf("en").percent(season.Share{X: 1, N: 900}),
		"over 99 %": voiceOf("en").percent(season.Share{X: 899, N: 900}), "100\u00a0%": voiceOf("en").percent(season.Share{X: 9, N: 9}), "33\u00a0%": voiceOf("en").percent(season.Share{X: 1, N: 3}),
		"0.0": voiceOf("en").tenths(-0.04), "-0.1": voiceOf("en").tenths(-0.05001), "1.3": voiceOf("en").tenths(1.25001),
		"∞": voiceOf("en").exact(math.Inf(1)), "0.813438": voiceOf("en").exact(0.813437942), "3220.19": voiceOf("en").exact(3220.18677), "9.34602e-06": voiceOf("en").exact(9.34602e-06),
	} {
		assert.Equal(t, want, got)
	}
	assert.Equal(t, []string{"1.05", "0.80", "1.36"}, voiceOf("en").times(1.052, 0.803, 1.361), "near 1 two decimals tell")
	assert.Equal(t, []string{"1.8", "1.5", "2.2"}, voiceOf("en").times(1.804, 1.454, 2.237))
	assert.Equal(t, []string{"18", "11", "31"}, voiceOf("en").times(18.3, 11.04, 31.1))
	assert.Equal(t, "any number of", voiceOf("en").times(2, 1.5, math.Inf(1))[2])
}

func TestAnAxisHasFewRoundMarks(t *testing.T) {
	for _, high := range []float64{0.9, 7, 13.2, 60, 108} {
		marks := voiceOf("en").hundredths(high)
		assert.LessOrEqual(t, len(marks), 11)
		assert.GreaterOrEqual(t, len(marks), 4)
		assert.Zero(t, marks[0].Value)
	}
}
