package words

import (
	"deepward/advisor"
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/number"
	"pgregory.net/rapid"
)

// The outside check: golang.org/x/text, which has the marks of the languages from
// the Unicode CLDR.
func TestNumbersReadAsTheTextLibraryWritesThem(t *testing.T) {
	for _, language := range advisor.BaseLanguages() {
		v := For(language, false)
		same := func(t assert.TestingT, x float64, decimals int) {
			want := v.printer().Sprint(number.Decimal(x, number.MaxFractionDigits(decimals)))
			if want == "-0" {
				want = "0"
			}
			assert.Equal(t, want, v.Number(x, decimals), "%s: %v to %d decimals", language, x, decimals)
		}
		for _, x := range []float64{0, 0.25, 0.35, 0.5, 1.5, 2.5, 9.96, 99.95, 999.5, 1000, 1234.5, 12345.67, 999999.96, 1234567.89, -0.4, -3.25, -1234.5, 1e-9} {
			for decimals := range 3 {
				same(t, x, decimals)
			}
		}
		rapid.Check(t, func(t *rapid.T) {
			x := rapid.Float64Range(-1e7, 1e7).Draw(t, "x")
			if rapid.Bool().Draw(t, "short") { // figures as people give them
				x = math.Round(x/1000) / 100
			}
			same(t, x, rapid.IntRange(0, 3).Draw(t, "decimals"))
		})
	}
}

// The outside check: golang.org/x/text again.
func TestSentencesReadAsTheTextLibraryWritesThem(t *testing.T) {
	tries := [][]any{
		{"one", "two 5 %", "three", "four", "five", "six", "seven"},
		{0, 1, 7, 42, 999, 1000, -3},
		{1000, 2, 12345, 3, 100, 999, 0},
	}
	for _, language := range advisor.BaseLanguages() {
		v := For(language, false)
		assert.NotEmpty(t, v.sentences)
		for key, s := range v.sentences {
			if s.Forms != nil {
				continue
			}
			for _, all := range tries {
				args := all[:argumentsOf(s.Text)]
				assert.Equal(t, v.printer().Sprintf(key, args...), v.Say(key, args...), "%s: %s", language, key)
			}
		}
	}
}

// argumentsOf is how many arguments a sentence takes.
func argumentsOf(text string) (n int) {
	for i, verb := range argument.FindAllStringSubmatch(text, -1) {
		at := i + 1
		if verb[1] != "" {
			at, _ = strconv.Atoi(verb[1])
		}
		n = max(n, at)
	}
	return n
}

var argument = regexp.MustCompile(`%(?:\[(\d+)\])?[a-z]`)

func BenchmarkNumber(b *testing.B) {
	v := For("en", false)
	b.ReportAllocs()
	for b.Loop() {
		v.Number(1234.56, 1)
	}
}
