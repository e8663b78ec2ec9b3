package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Days as people tell them, in four languages; what is no day of a catch is none: half a
// day, a tide, a word that is also a month, the figures of a fish.
func TestDaysAsPeopleTellThem(t *testing.T) {
	for text, want := range map[string][]Day{
		// one day each, in any of the ways it is written
		"12 Nov: gag 40 m":                    {{Month: 11, DayOfMonth: 12, Words: "12 nov"}},
		"12th of November 2026, gag 40 m":     {{Year: 2026, Month: 11, DayOfMonth: 12, Words: "12th of november 2026"}},
		"1st May gag":                         {{Month: 5, DayOfMonth: 1, Words: "1st may"}},
		"November 12th, 2026 gag 40 m":        {{Year: 2026, Month: 11, DayOfMonth: 12, Words: "november 12th, 2026"}},
		"caught on November 3":                {{Month: 11, DayOfMonth: 3, Words: "november 3"}},
		"12 de noviembre: mero 40 m":          {{Month: 11, DayOfMonth: 12, Words: "12 de noviembre"}},
		"12 de novembro de 2025 garoupa":      {{Year: 2025, Month: 11, DayOfMonth: 12, Words: "12 de novembro de 2025"}},
		"1er mai: mérou 40 m":                 {{Month: 5, DayOfMonth: 1, Words: "1er mai"}},
		"le 3 février 2026":                   {{Year: 2026, Month: 2, DayOfMonth: 3, Words: "3 fevrier 2026"}},
		"2026-11-12 gag 40 m":                 {{Year: 2026, Month: 11, DayOfMonth: 12, Words: "2026-11-12"}},
		"12/11/2026 gag":                      {{Year: 2026, Month: 11, DayOfMonth: 12, Swapped: true, Words: "12/11/2026"}},
		"25/11/2026 gag":                      {{Year: 2026, Month: 11, DayOfMonth: 25, Words: "25/11/2026"}},
		"11/25/2026 gag":                      {{Year: 2026, Month: 11, DayOfMonth: 25, Words: "11/25/2026"}},
		"11/11/26 gag":                        {{Year: 2026, Month: 11, DayOfMonth: 11, Words: "11/11/26"}},
		"12-11-26 gag":                        {{Year: 2026, Month: 11, DayOfMonth: 12, Swapped: true, Words: "12-11-26"}},
		"12.11.2026 gag":                      {{Year: 2026, Month: 11, DayOfMonth: 12, Swapped: true, Words: "12.11.2026"}},
		"14/11 gag 40 m":                      {{Month: 11, DayOfMonth: 14, Words: "14/11"}},
		"log of 1/2: gag 40 m":                {{Month: 2, DayOfMonth: 1, Swapped: true, Words: "1/2"}},
		"2 days ago gag 40 m":                 {{Ago: 2, Words: "2 days ago"}},
		"hace 3 dias un mero":                 {{Ago: 3, Words: "3 dias"}},
		"il y a 2 jours un mérou":             {{Ago: 2, Words: "2 jours"}},
		"yesterday gag 40 m":                  {{Ago: 1, Words: "yesterday"}},
		"ayer un mero":                        {{Ago: 1, Words: "ayer"}},
		"ontem uma garoupa":                   {{Ago: 1, Words: "ontem"}},
		"hier un mérou":                       {{Ago: 1, Words: "hier"}},
		"the day before yesterday gag":        {{Ago: 2, Words: "the day before yesterday"}},
		"3 Nov gag 40 m\n4 Nov red grouper":   {{Month: 11, DayOfMonth: 3, Words: "3 nov"}, {Month: 11, DayOfMonth: 4, Words: "4 nov"}},
		"31 Dec gag":                          {{Month: 12, DayOfMonth: 31, Words: "31 dec"}},
		"366 days ago gag":                    {{Ago: 366, Words: "366 days ago"}},
		"gag 40 m, caught on 12 November 5kg": {{Month: 11, DayOfMonth: 12, Words: "12 november"}},
		// none
		"gag 40 m 3 kg":                   nil,
		"1/2 day trip, gag 40 m":          nil,
		"gag of 1/2 kg":                   nil,
		"3 may have gone back, gag":       nil,
		"2 set free, gag":                 nil,
		"gag 32 Nov":                      nil,
		"32/11/2026 gag":                  nil,
		"13/13/2026 gag":                  nil,
		"0/5 gag":                         nil,
		"367 days ago gag":                nil,
		"0 days ago gag":                  nil,
		"2 days at sea":                   nil,
		"we let go 3 and kept 14/11":      nil,
		"gag 12-15 m":                     nil,
		"gag 12.5 m":                      nil,
		"mar 12 m deep, gag":              nil,
		"the gag swam, and in march more": nil,
	} {
		folded := fold(text)
		var got []Day
		for _, d := range daysIn(folded, scan(folded)) {
			got = append(got, d.Day)
		}
		assert.Equal(t, want, got, text)
	}
}

// A year of four figures is one from 1900 to 2199, and no year that has a unit.
func TestYearAfterADay(t *testing.T) {
	for text, want := range map[string]int{
		"12 Nov 2026 gag": 2026, "12 Nov 1900 gag": 1900, "12 Nov 2199 gag": 2199, "12 Nov 1899 gag": 0, "12 Nov 2200 gag": 0,
		"12 Nov, 2026 gag": 2026, "12 Nov of 2026 gag": 2026, "12 de noviembre del 2026 mero": 2026, "12 Nov 2026 g gag": 0, "12 Nov gag": 0,
	} {
		folded := fold(text)
		said := daysIn(folded, scan(folded))
		if assert.Len(t, said, 1, text) {
			assert.Equal(t, want, said[0].Year, text)
			assert.Equal(t, 11, said[0].Month, text)
			assert.Equal(t, 12, said[0].DayOfMonth, text)
		}
	}
}

func TestDayAndMonthInOrder(t *testing.T) {
	for _, c := range []struct {
		a, b int
		want Day
		ok   bool
	}{
		{12, 11, Day{Month: 11, DayOfMonth: 12, Swapped: true}, true},
		{13, 11, Day{Month: 11, DayOfMonth: 13}, true},
		{11, 13, Day{Month: 11, DayOfMonth: 13}, true},
		{12, 12, Day{Month: 12, DayOfMonth: 12}, true},
		{31, 1, Day{Month: 1, DayOfMonth: 31}, true},
		{1, 31, Day{Month: 1, DayOfMonth: 31}, true},
		{32, 1, Day{}, false},
		{1, 32, Day{}, false},
		{0, 1, Day{}, false},
		{1, 0, Day{}, false},
		{13, 13, Day{}, false},
	} {
		got, ok := inOrder(c.a, c.b)
		assert.Equal(t, c.ok, ok, "%d/%d", c.a, c.b)
		assert.Equal(t, c.want, got, "%d/%d", c.a, c.b)
	}
}
