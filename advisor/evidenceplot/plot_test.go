package evidenceplot

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

func drawn(t *testing.T, s *advisor.Species) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Draw(&b, s, "png"))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	return img
}

// count is how many pixels have exactly that colour.
func count(img image.Image, c color.NRGBA) (n int) {
	want := color.RGBAModel.Convert(c)
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if color.RGBAModel.Convert(img.At(x, y)) == want {
				n++
			}
		}
	}
	return n
}

func TestPictureHasAPhonesWidthAndAllThreeWays(t *testing.T) {
	img := drawn(t, advisor.LookUp("Lutjanus campechanus"))
	require.Equal(t, image.Rect(0, 0, 720, 1280), img.Bounds())
	for _, w := range ways() {
		require.Greater(t, count(img, w.color), 500, w.title)
	}
}

func TestWaysDifferWithoutColour(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range ways() {
		require.NotEmpty(t, w.title)
		require.False(t, seen[w.title])
		seen[w.title] = true
	}
	all := ways()
	require.NotEqual(t, all[0].dashes, all[1].dashes)
	require.NotEqual(t, all[1].dashes, all[2].dashes)
	require.NotEqual(t, all[0].marker, all[2].marker)
}

func TestPictureIsDrawnForEveryLevelOfEvidence(t *testing.T) {
	for _, name := range []string{"Sebastes ruberrimus", "Rhomboplites aurorubens", "Gadus morhua", ""} {
		t.Run(name, func(t *testing.T) {
			img := drawn(t, advisor.LookUp(name))
			require.Greater(t, count(img, ways()[0].color), 500)
		})
	}
}

// The points are other fish's: no curve may run through them.
func TestNoCurveForAFishWithoutTrappedGas(t *testing.T) {
	img := drawn(t, advisor.LookUp("Paralichthys dentatus"))
	for _, w := range ways() {
		require.Less(t, count(img, w.color), 200, w.title) // greys of the letters
	}
	var b bytes.Buffer
	require.NoError(t, Draw(&b, advisor.LookUp("Paralichthys dentatus"), "svg"))
	require.Contains(t, b.String(), "no curve of theirs is drawn here")
}

func TestSVGNamesTheWaysInPlainWords(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Draw(&b, advisor.LookUp("Centropristis striata"), "svg"))
	for _, words := range []string{"Sent down on a release weight", "Vented, then let go", "Let go at the top", "alive of 10"} {
		require.Contains(t, b.String(), words)
	}
}

func TestOtherFormatsAreRefusedWithWhatToDo(t *testing.T) {
	require.EqualError(t, Draw(&bytes.Buffer{}, nil, "gif"), `cannot draw "gif": name the file .png or .svg`)
}
