package importer

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An inch is 2.54 cm, a foot 0.3048 m, a fathom six feet, a pound 0.45359237 kg (1959).
func TestAUnitAloneHeadsWhatIsMeasuredInIt(t *testing.T) {
	s := sheetOf(t, "Date,Fish,Ft,In.,Lbs\n2025-03-04,gag,100,20,7\n2025-03-05,gag,110,22.5,\n", options())
	require.NoError(t, s.Ready())
	r := s.Rows[0].Entries[0].Report
	assert.InDelta(t, 30.48, *r.DepthM, 1e-6)
	assert.InDelta(t, 50.8, *r.LengthCm, 1e-6)
	assert.InDelta(t, 3.1751, *r.WeightKg, 1e-4)
	assert.Contains(t, told(s), `"In." is taken for the length; if that is wrong, say what it is: --column "In.=...", or - to leave it out`)
	for _, c := range []struct{ text, heading string }{
		{"Date,Fish,Depth (m),Length (cm),in\n2025-03-04,gag,40,50,20\n", "in"},
		{"Date,Fish,Depth (m),cm,mm\n2025-03-04,gag,40,50,500\n", "mm"},
		{"Date,Fish,Depth (m),in\n2025-03-04,gag,40,the bay\n", "in"},
		{"Date,Fish,Depth (m),in\n2025-03-04,gag,40,\n", "in"},
	} {
		s := sheetOf(t, c.text, options())
		for _, column := range s.Columns {
			if column.Heading == c.heading {
				assert.Empty(t, column.Says, c.text)
			}
		}
	}
}

func TestUnitsThatStandAroundTheTableAreTaken(t *testing.T) {
	for _, above := range []string{
		"# depth in feet and TL in mm\n", "\"Depth in ft, TL in mm\"\n", "Notes: depth is feet; TL is mm\n", "depth en pies\nTL en mm\n",
	} {
		s := sheetOf(t, above+"date,species,depth,TL\n2025-03-04,gag,100,500\n2025-03-04,gag,90,510\n", options())
		require.NoError(t, s.Ready(), above)
		r := s.Rows[0].Entries[0].Report
		assert.InDelta(t, 30.48, *r.DepthM, 1e-6, above)
		assert.InDelta(t, 50, *r.LengthCm, 1e-6, above)
	}
	s := sheetOf(t, "# depth in the bay\ndate,species,depth\n2025-03-04,gag,100\n", options())
	require.Len(t, s.Questions, 1)
	assert.Contains(t, s.Questions[0].Text, "no unit is told")
	s = sheetOf(t, "# depth in feet\ndate,species,depth (m)\n2025-03-04,gag,100\n", options())
	assert.InDelta(t, 100, *s.Rows[0].Entries[0].Report.DepthM, 1e-6, "the heading goes before")
}

func TestCodeBooksBelowAreOfFishAndOfRecaptures(t *testing.T) {
	text := "Tag,Date,Species,Depth (m),Method,Recap 1 date,Recap 1 disp,Recap 2 date,Recap 2 disp\n" +
		"A1,2025-03-04,RS,40,vented,2025-04-04,R,2025-05-04,K\nA2,2025-03-04,GG,41,surface,2025-04-06,K,,\n" +
		"\"RS = red snapper, GG = gag\"\n\"disp: R = released, K = kept\"\n"
	s := sheetOf(t, text, options())
	require.NoError(t, s.Ready())
	require.Len(t, s.Rows, 2)
	first := s.Rows[0].Entries
	require.Len(t, first, 3)
	assert.Equal(t, "Lutjanus campechanus", first[0].Report.Species)
	assert.Empty(t, first[1].Report.Method)
	assert.EqualValues(t, "kept", first[2].Report.Method)
	assert.EqualValues(t, "kept", s.Rows[1].Entries[1].Report.Method)
	assert.Equal(t, "Mycteroperca microlepis", s.Rows[1].Entries[0].Report.Species)

	s = sheetOf(t, "Date,Species,Depth (m)\n2025-03-04,RS,40\n2025-03-04,QQ,41\n\"RS = rough seas, QQ = quiet\"\n", options())
	assert.Empty(t, s.Rows[0].Entries[0].Report.Species, "what names no fish is no code book of the fish")
	assert.Equal(t, "RS", s.Rows[0].Entries[0].Report.SpeciesGiven)
}

// "Recap 1 loc" tells where, not whether.
func TestAPlaceOfTheRecaptureIsNoAnswer(t *testing.T) {
	s := sheetOf(t, "Tag,Date,Species,Depth (m),Recap 1 date,Recap 1 loc\nA1,2025-03-04,gag,40,2025-04-04,Hole 4\nA2,2025-03-04,gag,41,,\n", options())
	require.NoError(t, s.Ready())
	assert.Empty(t, s.Columns[5].Says)
	assert.Len(t, s.Rows[0].Entries, 2)
}

func TestADayColumnOfWholeDatesIsTheDate(t *testing.T) {
	for _, heading := range []string{"Day", "Dia", "Día"} {
		s := sheetOf(t, heading+",Species,Depth (m)\n14/3/2025,gag,40\n15/3/2025,gag,41\n", options())
		require.NoError(t, s.Ready(), heading)
		assert.Equal(t, civil{2025, 3, 14}, civilOf(s.Rows[0].Entries[0].Report.CaughtAt))
		assert.Contains(t, told(s)[0], "has whole dates and is taken for the date")
	}
	s := sheetOf(t, "Year,Month,Day,Species,Depth (m)\n2025,3,14,gag,40\n", options())
	require.NoError(t, s.Ready())
	assert.Equal(t, civil{2025, 3, 14}, civilOf(s.Rows[0].Entries[0].Report.CaughtAt), "a day beside month and year is a part of it")
	s = sheetOf(t, "Date,Day,Species,Depth (m)\n2025-03-14,15/3/2025,gag,40\n", options())
	assert.Equal(t, civil{2025, 3, 14}, civilOf(s.Rows[0].Entries[0].Report.CaughtAt), "the date goes before")
}

func TestAColumnOfNothingIsNotTold(t *testing.T) {
	s := sheetOf(t, ",Date,Species,Depth (m),,Wind\n,2025-03-14,gag,40,x,NE\n", options())
	var b bytes.Buffer
	require.NoError(t, s.WriteSummary(&b))
	assert.Contains(t, b.String(), `not used, and not kept: "", "Wind"`, "a column without a heading that has cells is")
	s = sheetOf(t, ",Date,Species,Depth (m),Wind\n,2025-03-14,gag,40,NE\n", options())
	b.Reset()
	require.NoError(t, s.WriteSummary(&b))
	assert.Contains(t, b.String(), `not used, and not kept: "Wind"`)
}
