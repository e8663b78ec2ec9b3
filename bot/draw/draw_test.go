package draw

import (
	"bytes"
	"deepward/advisor"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden pictures anew; look at them before you commit")

func lessonIn(t testing.TB, name string, l Labels, f Format) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Lesson(name, l, &b, f))
	return b.Bytes()
}

// longer stands for a language that takes a third more room than English.
func longer() Labels {
	text := map[string]string{}
	for _, key := range Keys() {
		words := strings.Fields(English(key))
		for i, w := range words {
			if i%3 == 0 && !strings.Contains(w, "%") {
				words[i] = w + strings.ToLower(w)
			}
		}
		text[key] = strings.Join(words, " ")
	}
	return Labels{Text: text, Imperial: true}
}

func TestPicturesAreAsTheyWereLookedAt(t *testing.T) {
	for _, name := range []string{Hook, Signs, WhenNot} { // the numbers in Weights are the core's
		assertGolden(t, name+".svg", lessonIn(t, name, Labels{}, SVG))
	}
}

func assertGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, got, 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	if !bytes.Equal(want, got) {
		require.NoError(t, os.WriteFile(path+".got", got, 0o644))
		t.Errorf("%s differs; see %s.got", path, path)
	}
}

func TestDrawingTwiceGivesTheSameBytes(t *testing.T) {
	for _, name := range Lessons() {
		for _, f := range []Format{PNG, SVG} {
			assert.Equal(t, lessonIn(t, name, Labels{}, f), lessonIn(t, name, Labels{}, f), "%s.%s", name, f)
		}
	}
}

func TestLessonsAreSmallPicturesOfTheirSizeInHouseColours(t *testing.T) {
	for _, name := range Lessons() {
		assertPicture(t, name, lessonIn(t, name, Labels{}, PNG), lessonW, lessonH)
	}
}

// assertPicture decodes a PNG and sees to it that it is small, of that size, and
// shows several colours, none of which covers all but a sliver.
func assertPicture(t *testing.T, name string, data []byte, w, h int) {
	t.Helper()
	assert.Less(t, len(data), 300_000, name)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Equal(t, image.Pt(w, h), img.Bounds().Size(), name)
	count := map[color.Color]int{}
	for y := range h {
		for x := range w {
			count[img.At(x, y)]++
		}
	}
	for _, c := range []tint{ink, skin, paper} {
		share := float64(count[c.mix(c, 0)]) / float64(w*h)
		assert.Greater(t, share, 0.01, "%s: %06x", name, int(c))
		assert.Less(t, share, 0.9, "%s: %06x", name, int(c))
	}
}

// The grey of a colour is its lightness CIE L*, from 0 to 100 (CIE 15:2004); ten
// apart is plain to see.
func TestColoursThatMeetAreToldApartInGrey(t *testing.T) {
	order := []tint{ink, deep, signal, skin, water}
	for i := range order[1:] {
		assert.Greater(t, lightness(order[i+1])-lightness(order[i]), 9.0, "%06x and %06x", int(order[i]), int(order[i+1]))
	}
	// Text and ground: the contrast that WCAG 2.1 asks for at the strictest is 7.
	for _, ground := range []tint{paper, water, skin, signal} {
		assert.Greater(t, contrast(ground, ink), 7.0-2.0*b2f(ground == signal), "%06x", int(ground))
	}
	assert.Greater(t, contrast(paper, deep), 7.0)
	assert.Greater(t, contrast(water, ink), 7.0)
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// luminance is relative luminance by sRGB (IEC 61966-2-1), as WCAG 2.1 states it.
func luminance(t tint) float64 {
	linear := func(shift int) float64 {
		c := float64(t>>shift&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(16) + 0.7152*linear(8) + 0.0722*linear(0)
}

func contrast(light, dark tint) float64 { return (luminance(light) + 0.05) / (luminance(dark) + 0.05) }

func lightness(t tint) float64 { return 116*math.Pow(luminance(t), 1.0/3) - 16 }

func TestNoWordRunsOverAnotherOrOffTheSheet(t *testing.T) {
	for language, l := range map[string]Labels{"English": {}, "English, feet": {Imperial: true}, "longer": longer(),
		"Spanish": In("es", false), "Portuguese": In("pt-BR", true), "French": In("fr", false)} {
		for _, name := range Lessons() {
			assertWordsApart(t, language+" "+name, lessonIn(t, name, l, SVG), lessonW, lessonH)
		}
	}
}

// written is one line of text in an SVG, with the box that its ink keeps to.
type written struct {
	text                     string
	left, top, right, bottom float64
}

var textElement = regexp.MustCompile(`(?s)<text x="([^"]+)" y="([^"]+)".*?font-weight:(\w+);.*?font-size:([\d.]+)px.*?>([^<]*)</text>`)

func wordsOf(t *testing.T, svg []byte, height float64) []written {
	t.Helper()
	number := func(b []byte) float64 {
		x, err := strconv.ParseFloat(string(b), 64)
		require.NoError(t, err)
		return x
	}
	var list []written
	for _, m := range textElement.FindAllSubmatch(svg, -1) {
		text := strings.NewReplacer("&amp;", "&", "&#39;", "'").Replace(string(m[5]))
		h := hand{size: number(m[4]), strong: string(m[3]) == "bold"}
		x, baseline := number(m[1]), height+number(m[2])
		list = append(list, written{text, x, baseline - 0.74*h.size, x + h.width(text), baseline + 0.21*h.size})
	}
	return list
}

func assertWordsApart(t *testing.T, name string, svg []byte, w, h float64) {
	t.Helper()
	words := wordsOf(t, svg, h)
	require.NotEmpty(t, words, name)
	for i, a := range words {
		assert.True(t, a.left >= 8 && a.right <= w-8 && a.top >= 8 && a.bottom <= h-4, "%s: %q is off the sheet: %+v", name, a.text, a)
		for _, b := range words[i+1:] {
			apart := a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top
			assert.True(t, apart, "%s: %q runs over %q", name, a.text, b.text)
		}
	}
}

func TestSVGIsWellFormedAndSaysWhatItShows(t *testing.T) {
	for _, name := range Lessons() {
		svg := lessonIn(t, name, Labels{}, SVG)
		assert.Contains(t, string(svg), `aria-label="`+English(name+".alt")+`"`)
		d := xml.NewDecoder(bytes.NewReader(svg))
		for {
			_, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, name)
		}
	}
}

func TestLabelsReplaceTheEnglishWords(t *testing.T) {
	l := Labels{Text: map[string]string{"hook.title": "Dónde va el anzuelo <&>"}}
	svg := string(lessonIn(t, Hook, l, SVG))
	assert.Contains(t, svg, "Dónde va el anzuelo &lt;&amp;&gt;")
	assert.NotContains(t, svg, English("hook.title"))
	assert.Contains(t, svg, English("hook.weight"), "a label that is missing stays English")
}

func TestUnknownLessonsAndFormatsAreErrors(t *testing.T) {
	assert.ErrorIs(t, Lesson("knots", Labels{}, io.Discard, PNG), ErrNoLesson)
	assert.ErrorContains(t, Lesson(Hook, Labels{}, io.Discard, "bmp"), "png")
}

// The chart must not disagree with the chat: its borders are where Advise turns, whatever is
// aboard.
func TestTheChartTurnsWhereTheAdviceTurns(t *testing.T) {
	for _, aboard := range aboardSets {
		c := chart{maxM: 120, maxKg: 12, aboardOz: aboard}
		c.load()
		require.NotEmpty(t, c.loads, "%v", aboard)
		for _, m := range []float64{12, 20, 30, 31, 60, 90, 120} {
			for n := 1; n <= len(c.loads); n++ {
				kg := c.limit(n, m)
				if kg > 0.1 {
					assert.LessOrEqual(t, c.answer(kg-0.05, m), n, "%v: %v kg from %v m", aboard, kg, m)
				}
				if kg < c.maxKg {
					assert.Greater(t, c.answer(kg+0.05, m), n, "%v: %v kg from %v m", aboard, kg, m)
				}
			}
		}
	}
	// Common practice, no source: 20 oz to 30 m, 40 deeper.
	c := chart{maxM: 120, maxKg: 12, aboardOz: []float64{20, 40}}
	c.load()
	assert.Equal(t, [][]float64{{20}, {40}, {40, 20}}, c.loads)
	assert.Greater(t, c.limit(1, 30), 3.0)
	assert.Zero(t, c.limit(1, 30.01))
}

// aboardSets are what people have aboard, in ounces: one weight, three, half and whole
// kilograms, many.
var aboardSets = [][]float64{{20, 40}, {24}, {20, 40, 60}, {17.637, 35.274}, {8, 16, 32, 64}}

// A chart for somebody's own weights is drawn as cleanly, and names them.
func TestTheChartIsDrawnForTheirOwnWeights(t *testing.T) {
	for _, aboard := range aboardSets {
		l := In("es", false)
		l.AboardOz = aboard
		svg := lessonIn(t, Weights, l, SVG)
		assertWordsApart(t, fmt.Sprint(aboard), svg, lessonW, lessonH)
		note, words, noted := l.listOz(aboard, ", ")+" "+l.leadUnit(), "", 0
		for _, w := range wordsOf(t, svg, lessonH) {
			if strings.Contains(w.text, note) && w.text != note {
				noted++
				continue
			}
			words += w.text + " "
		}
		assert.Equal(t, 1, noted, "the note says what is aboard")
		c := chart{maxM: 120, maxKg: 12, aboardOz: aboard}
		c.load()
		for _, load := range c.loads {
			assert.Contains(t, words, l.listOz(load[len(load)-1:], ""), "%v stands in its own water", load)
		}
	}
}

func BenchmarkLesson(b *testing.B) {
	for _, name := range Lessons() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := Lesson(name, Labels{}, io.Discard, PNG); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestEveryLanguageHasEveryLabel(t *testing.T) {
	for _, language := range advisor.BaseLanguages()[1:] {
		l := In(language, false)
		for _, key := range Keys() {
			assert.NotEmpty(t, l.Text[key], "%s %s", language, key)
			assert.Equal(t, strings.Count(English(key), "%s"), strings.Count(l.Text[key], "%s"), "%s %s", language, key)
		}
		assert.Len(t, l.Text, len(Keys()), language)
	}
	assert.Equal(t, "fr", In("fr-CA", false).Language)
	assert.Equal(t, "en", In("de", false).Language)
	assert.Equal(t, English("hook.title"), In("de", false).say("hook.title"))
}

// French sets a space before : ; ? and ! that a line may not break at.
func TestFrenchLabelsKeepTheirSpaces(t *testing.T) {
	for key, label := range In("fr", false).Text {
		assert.NotRegexp(t, ` [:;?!»]|« `, label, key)
	}
}
