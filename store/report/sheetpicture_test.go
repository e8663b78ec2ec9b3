package report

import (
	"bytes"
	"image/png"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

func TestSheetIsAPictureForAPhone(t *testing.T) {
	list := append(fished(30, advisor.Recompressed, catch.Cell{Lat: 290, Lon: -880}, 3), fished(10, advisor.Surface, catch.Cell{Lat: 292, Lon: -881}, 4)...)
	before, err := Build(catch.Listed(fished(8, advisor.Surface, catch.Cell{}, 2)), Options{Title: "2025"})
	require.NoError(t, err)
	for _, language := range advisor.Languages {
		now, err := Build(catch.Listed(list), Options{Club: "Skerrow Point Anglers", Title: "2026", Language: language})
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, now.SheetPNG(&b, before))
		if dir := os.Getenv("DEEPWARD_PICTURES"); dir != "" {
			require.NoError(t, os.WriteFile(dir+"/sheet-"+language+".png", b.Bytes(), 0o600))
		}
		picture, err := png.Decode(&b)
		require.NoError(t, err)
		size := picture.Bounds().Size()
		// A photo may have at most 10,000 pixels around and one side 20 times the other
		// (Bot API, sendPhoto).
		assert.LessOrEqual(t, size.X+size.Y, 10_000, language)
		assert.Equal(t, 3*pictureWidth, size.X)
		inked := 0
		for y := 0; y < size.Y; y += 3 {
			r, g, bl, _ := picture.At(size.X-1, y).RGBA()
			if r+g+bl < 3*0xffff {
				inked++
			}
		}
		assert.Zero(t, inked, "%s: nothing runs over the right edge", language)
	}
}

func TestLinesAreBrokenBetweenWords(t *testing.T) {
	s := style(10, false, ink)
	lines := inLines(s, 60, "one two three four five six seven eight nine ten")
	require.Greater(t, len(lines), 2)
	for _, line := range lines {
		assert.LessOrEqual(t, float64(s.Width(line)), 60.0)
	}
	assert.Empty(t, inLines(s, 60, " "))
}
