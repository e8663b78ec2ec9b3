package importer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// The factors are the exact ones of the international yard and pound (1959), as
// package advisor has them.
func TestUnitsAreExact(t *testing.T) {
	u := known().units
	assert.Equal(t, advisor.MetresPerFoot, u[quantityDepth]["ft"].factor)
	assert.Equal(t, advisor.MetresPerFathom, u[quantityDepth]["fm"].factor)
	assert.Equal(t, advisor.CmPerInch, u[quantityLength]["in"].factor)
	assert.InDelta(t, 100*advisor.MetresPerFoot, u[quantityLength]["ft"].factor, 1e-12)
	assert.Equal(t, advisor.KgPerPound, u[quantityWeight]["lb"].factor)
	assert.InDelta(t, advisor.GramsPerOunce/1000, u[quantityWeight]["oz"].factor, 1e-15)
	assert.InDelta(t, 1/advisor.GramsPerOunce, u[quantityLead]["g"].factor, 1e-15)
	assert.InDelta(t, 100, u[quantityTemperature]["f"].base(212), 1e-9)
	assert.InDelta(t, 0, u[quantityTemperature]["f"].base(32), 1e-9)
}

func TestFiguresAsPeopleWriteThem(t *testing.T) {
	feet, cm, lb := unit{0.3048, 0}, unit{1, 0}, unit{0.45359237, 0}
	for _, c := range []struct {
		cell      string
		q         quantity
		fallback  *unit
		low, high float64
		kind      advisor.LengthType
	}{
		{"120", quantityDepth, &feet, 36.576, 36.576, ""},
		{"120 ft", quantityDepth, nil, 36.576, 36.576, ""},
		{"120ft.", quantityDepth, nil, 36.576, 36.576, ""},
		{"120'", quantityDepth, nil, 36.576, 36.576, ""},
		{"30 m", quantityDepth, &feet, 30, 30, ""},
		{"20fm", quantityDepth, nil, 36.576, 36.576, ""},
		{"100-120 ft", quantityDepth, nil, 30.48, 36.576, ""},
		{"100 to 120", quantityDepth, &feet, 30.48, 36.576, ""},
		{"40–45m", quantityDepth, nil, 40, 45, ""},
		{"~30m", quantityDepth, nil, 30, 30, ""},
		{"34 cm FL", quantityLength, nil, 34, 34, advisor.ForkLength},
		{"34 (TL)", quantityLength, &cm, 34, 34, advisor.TotalLength},
		{`17 1/2"`, quantityLength, nil, 44.45, 44.45, ""},
		{`1'6"`, quantityLength, nil, 45.72, 45.72, ""},
		{"2 lb 4 oz", quantityWeight, nil, 1.0205828325, 1.0205828325, ""},
		{"4lbs 8oz", quantityWeight, &lb, 2.041165665, 2.041165665, ""},
		{"1/2 lb", quantityWeight, nil, 0.226796185, 0.226796185, ""},
		{"1 1/2", quantityWeight, &lb, 0.680388555, 0.680388555, ""},
		{"90 s", quantitySpan, nil, 1.5, 1.5, ""},
		{"68 °F", quantityTemperature, nil, 20, 20, ""},
	} {
		m, err := commaThousands.measure(c.cell, c.q, c.fallback)
		require.NoError(t, err, c.cell)
		assert.InDelta(t, c.low, m.low, 1e-9, c.cell)
		assert.InDelta(t, c.high, m.high, 1e-9, c.cell)
		assert.Equal(t, c.kind, m.kind, c.cell)
	}
}

func TestSeveralReleaseWeights(t *testing.T) {
	m, err := commaUnknown.measure("20+40 oz", quantityLead, nil)
	require.NoError(t, err)
	assert.Equal(t, []float64{20, 40}, m.several)
}

func TestWhatIsNoFigureIsRefused(t *testing.T) {
	feet := unit{0.3048, 0}
	for cell, want := range map[string]error{
		"eighty": errNoFigure, "": errNoFigure, "12 apples": errWrongUnit, "30 m (98 ft)": errWrongUnit, "<30": errBound, "120 kg": errWrongUnit,
		"12/0": errNoFigure, "1,234": errTwoWays, "-": errNoFigure,
	} {
		_, err := commaUnknown.measure(cell, quantityDepth, &feet)
		assert.ErrorIs(t, err, want, cell)
	}
	_, err := commaDecimal.measure("1.234", quantityDepth, &feet)
	assert.ErrorIs(t, err, errTwoWays)
	_, err = commaUnknown.measure("30", quantityDepth, nil)
	assert.ErrorIs(t, err, errNoUnit)
}

func TestCommasAreReadAsTheFileProves(t *testing.T) {
	for _, c := range []struct {
		cells []string
		style decimalStyle
		cell  string
		want  float64
	}{
		{[]string{"12", "12,5"}, commaDecimal, "1,234", 1.234},
		{[]string{"1.234,5"}, commaDecimal, "1.234,5", 1234.5},
		{[]string{"1,234.5"}, commaThousands, "1,234", 1234},
		{[]string{"12.5"}, commaThousands, "1,234", 1234},
		{[]string{"0,123"}, commaDecimal, "0,123", 0.123},
		{[]string{"12", "30"}, commaUnknown, "12", 12},
		{[]string{"12,5 kg"}, commaDecimal, "12,5 kg", 12.5},
	} {
		style := styleOf(func(yield func(string) bool) {
			for _, cell := range c.cells {
				if !yield(cell) {
					return
				}
			}
		})
		assert.Equal(t, c.style, style, c.cells)
		got, _, err := style.figure(c.cell)
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 1e-12, c.cell)
	}
}

func TestPositionsAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		text  string
		limit float64
		want  float64
	}{
		{"34.12", 90, 34.12}, {"-119.5", 180, -119.5}, {"34,12", 90, 34.12}, {"119.5 W", 180, -119.5}, {"W119.5", 180, -119.5},
		{"34°12.5'N", 90, 34 + 12.5/60}, {"34 12.5 S", 90, -(34 + 12.5/60)}, {`34°12'30"N`, 90, 34 + 12.0/60 + 30.0/3600}, {"34-12.5N", 90, 34 + 12.5/60},
	} {
		got, ok := commaUnknown.angle(c.text, c.limit, false)
		assert.True(t, ok, c.text)
		assert.InDelta(t, c.want, got, 1e-9, c.text)
	}
	for _, text := range []string{"", "north", "34 61 N", "95", "34.5 12 N", "34 E"} {
		_, ok := commaUnknown.angle(text, 90, false)
		assert.False(t, ok, text)
	}
	for text, want := range map[string][2]string{
		"34.12, -119.5": {"34.12", "-119.5"}, "34.12 -119.5": {"34.12", "-119.5"}, "34,12; -119,5": {"34,12", "-119,5"},
		"34°12'N 119°30'W": {"34°12'n", "119°30'w"},
	} {
		lat, lon, ok := splitPosition(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, [2]string{lat, lon}, text)
	}
}
