package export

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

func TestLicenceAndContactAreInTheArchive(t *testing.T) {
	o := options(DwCA)
	var err error
	o.License, err = ParseLicense("CC BY")
	require.NoError(t, err)
	o.Contact = "R. Finn <log@skerrow.example>"
	o.Invented = true
	data := writtenWith(t, fixed(), o)
	a, err := openArchive(data)
	require.NoError(t, err)
	for _, row := range a.core {
		assert.Equal(t, "https://creativecommons.org/licenses/by/4.0/legalcode", row["http://purl.org/dc/terms/license"])
	}
	eml := string(fileIn(t, data, "eml.xml"))
	assert.Contains(t, eml, `<ulink url="https://creativecommons.org/licenses/by/4.0/legalcode"><citetitle>Creative Commons Attribution (CC BY 4.0)</citetitle></ulink>`)
	assert.Contains(t, eml, "<surName>R. Finn</surName>")
	assert.Contains(t, eml, "<electronicMailAddress>log@skerrow.example</electronicMailAddress>")
	assert.Contains(t, eml, "INVENTED DATA: ")
	_, err = ParseLicense("mine")
	assert.ErrorIs(t, err, ErrLicense)
}

// Cells on both sides of the antimeridian are no box around the world.
func TestBoxCrossesTheAntimeridian(t *testing.T) {
	for _, c := range []struct {
		columns    map[int64]int64
		west, east int64
	}{
		{map[int64]int64{1799 * tenth: 1800 * tenth, -1800 * tenth: -1799 * tenth}, 1799 * tenth, -1799 * tenth},
		{map[int64]int64{-10 * tenth: -9 * tenth, 30 * tenth: 31 * tenth}, -10 * tenth, 31 * tenth},
		{map[int64]int64{5 * tenth: 6 * tenth}, 5 * tenth, 6 * tenth},
	} {
		west, east := narrowest(c.columns)
		assert.Equal(t, [2]int64{c.west, c.east}, [2]int64{west, east})
	}
}

// A time of day that nobody told the zone of has no zone; one of UTC has its Z.
func TestTimesHaveAZoneOnlyIfItIsKnown(t *testing.T) {
	list := fixed()
	j, err := newJob(Options{})
	require.NoError(t, err)
	for _, r := range list {
		if r.DateOnly {
			continue
		}
		with := string(timeOfDay(nil, j.of(r)))
		without := *r
		without.Flags = append(without.Flags, catch.ZoneUnknown)
		bare := string(timeOfDay(nil, j.of(&without)))
		if with == "" {
			continue
		}
		assert.Len(t, bare, len("15:00"))
		assert.Contains(t, with, bare)
		assert.Greater(t, len(with), len(bare))
	}
}
