package importer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCodeBookOfALineIsRead(t *testing.T) {
	for _, c := range []struct {
		text, label string
		entries     []entry
	}{
		{"# Treatment: V = vented; D = sent down", "Treatment", []entry{{"V", "vented"}, {"D", "sent down"}}},
		{"Release (0=none, 1=vented and 2=descended)", "Release", []entry{{"0", "none"}, {"1", "vented"}, {"2", "descended"}}},
		{"S = surface (no treatment); V = vented", "", []entry{{"S", "surface (no treatment)"}, {"V", "vented"}}},
		{"Depth = 3 m", "", nil},
		{"Tagging of 2016", "", nil},
	} {
		b := bookIn(c.text)
		label, entries := b.label, b.entries
		assert.Equal(t, c.label, label, c.text)
		assert.Equal(t, c.entries, entries, c.text)
	}
}

func TestCodeBookReadsOnlyItsColumnAndWhatIsSaidGoesBefore(t *testing.T) {
	text := "Sex: 1 = male; 2 = female\nTreatment: 1 = vented; 2 = surface\nDate,Fish,Sex,Treatment\n2025-03-04,gag,2,1\n2025-03-05,gag,1,2\n"
	list := reports(t, text, options())
	require.Len(t, list, 2)
	assert.Equal(t, "vented", string(list[0].Method))
	assert.Equal(t, "surface", string(list[1].Method))
	o := options()
	o.Values = map[string]string{"Treatment:1": "sent down"}
	assert.Equal(t, "recompressed", string(reports(t, text, o)[0].Method))
}

func TestCodeThatTheBookExplainsInUnknownWordsIsAskedAbout(t *testing.T) {
	s := sheetOf(t, "Treatment: 1 = vented; 2 = protocol B\nDate,Fish,Treatment\n2025-03-04,gag,2\n2025-03-05,gag,1\n", options())
	require.Len(t, s.Questions, 1)
	assert.Contains(t, s.Questions[0].Text, "line 1 of the file")
}

func TestUnitOfALaterLengthIsTakenOnlyWhereTheFiguresBearItOut(t *testing.T) {
	head := "Date,Fish,Tag,FL mm,Recapture date,Recapture FL\n2025-03-04,gag,A1,500,2025-06-04,"
	list := reports(t, head+"520\n", options())
	require.Len(t, list, 2)
	assert.InDelta(t, 52, *list[1].LengthCm, 1e-9)
	for _, other := range []string{"20.5", "52"} { // inches, centimetres
		s := sheetOf(t, head+other+"\n", options())
		require.Len(t, s.Questions, 1, other)
		assert.Contains(t, s.Questions[0].Text, "no unit is told", other)
	}
}

func TestFishThatLostItsFirstTagIsKnownByTheSecond(t *testing.T) {
	list := reports(t, "Event,Date,Fish,Tag 1,Tag 2\nT,2025-03-04,gag,A1,B1\nR,2025-06-04,gag,,B1\n", options())
	require.Len(t, list, 2)
	assert.True(t, list[1].Recapture)
	assert.Equal(t, "A1", list[0].Tag)
	assert.Equal(t, "A1", list[1].Tag)
}

func TestReleaseDepthOfFishLetGoAtTheSurfaceIsAskedAbout(t *testing.T) {
	text := "Date,Fish,Depth m,Release depth m,Treatment\n2025-03-04,gag,40,20,control\n2025-03-04,gag,40,20,descended\n"
	s := sheetOf(t, text, options())
	require.NotEmpty(t, s.Questions)
	assert.Contains(t, s.Questions[0].Text, "Release depth m")
}

func TestAirAndBottomAreNotTheSurfaceOfTheSea(t *testing.T) {
	list := reports(t, "Date,Fish,AirTemp C,Bottom temp C,Bottom depth m,Capture depth m\n2025-03-04,gag,31,20,50,40\n", options())
	require.Len(t, list, 1)
	assert.Nil(t, list[0].SurfaceTempC)
	assert.InDelta(t, 40, *list[0].DepthM, 1e-9)
}
