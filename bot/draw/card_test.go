package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"deepward/advisor"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// regions are all regions of the catalogue, and "" for no region.
func regions() []string {
	list := []string{""}
	for _, s := range advisor.Catalogue() {
		list = append(list, s.Regions...)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func tableFor(region string, aboard []float64, l Labels) advisor.Table {
	scale := advisor.MetricScale()
	if l.Imperial {
		scale = advisor.ImperialScale()
	}
	return advisor.Card(aboard, advisor.SpeciesIn(region), scale)
}

// testTable is a made-up card, so that its picture does not change with the reckoning.
func testTable() advisor.Table {
	down := func(oz ...float64) advisor.Cell { return advisor.Cell{Action: advisor.ActRecompress, WeightsOz: oz} }
	push := advisor.Cell{Action: advisor.ActRecompress, WeightsOz: []float64{40, 20}, PushFirst: true, PushDownM: 2.3}
	top := advisor.Cell{Action: advisor.ActSurface}
	return advisor.Table{
		AboardOz: []float64{20, 40}, Assumed: true,
		Scale: advisor.Scale{SizesKg: []float64{2, 6, 12}, DepthsM: []float64{9, 30, 60}},
		Grids: []advisor.Grid{{
			Kinds: []string{"snapper", "jack"}, Species: []*advisor.Species{{ScientificName: "Piscis fictus", EnglishName: "Inkfin snapper"}},
			Cells: [][]advisor.Cell{{top, down(20), down(40)}, {top, down(40), down(40, 20)}, {top, down(40, 20), push}},
		}},
		NoWeight: []*advisor.Species{{EnglishName: "Sand flounder"}},
	}
}

func cardIn(t testing.TB, table advisor.Table, l Labels) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, CardSVG(&b, table, l))
	return b.Bytes()
}

func TestTheCardIsAsItWasLookedAt(t *testing.T) {
	assertGolden(t, "card.svg", cardIn(t, testTable(), Labels{Date: "1 June 2031"}))
}

func TestTheCardShowsEveryAnswerOfItsTable(t *testing.T) {
	for _, l := range []Labels{{}, {Imperial: true}} {
		for _, region := range regions() {
			table := tableFor(region, nil, l)
			picture := cardPicture(table, l, cardH)
			shown := map[string]int{}
			for _, w := range wordsOf(t, picture.svg(l), picture.h) {
				shown[w.text]++
			}
			for _, m := range table.Scale.DepthsM { // the headings are of the same form
				heading, second := l.depth(m)
				shown[heading] -= len(table.Grids)
				shown[second]--
			}
			for answer, n := range answersOf(table, l) {
				assert.Equal(t, n, shown[answer], "%s: %q", region, answer)
			}
		}
	}
}

// answersOf counts the answers that a card of the table must show, without the
// help of the code that draws them.
func answersOf(table advisor.Table, l Labels) map[string]int {
	count := map[string]int{}
	for _, g := range table.Grids {
		for _, i := range g.Steps() {
			for _, c := range g.Cells[i] {
				switch {
				case c.ShortOz > 0:
					count[fmt.Sprintf("+%v", c.ShortOz)]++
				case c.PushFirst && c.PushDownM == 0: // an arrow alone
				case c.PushFirst && l.Imperial:
					count[fmt.Sprintf("%.0f ft", 5*math.Ceil(c.PushDownM/0.3048/5))]++
				case c.PushFirst:
					count[fmt.Sprintf("%.0f m", math.Ceil(c.PushDownM))]++
				case len(c.WeightsOz) == 2:
					count[fmt.Sprintf("%v+%v", c.WeightsOz[0], c.WeightsOz[1])]++
				default:
					count[fmt.Sprint(c.WeightsOz[0])]++
				}
			}
		}
	}
	return count
}

func TestCardsFitTheirWordsForEveryRegionWeightsAndLanguage(t *testing.T) {
	dated := longer()
	dated.Date = "25 de noviembre de 2026"
	fits := func(region string, table advisor.Table, l Labels) {
		picture, printed := cardPicture(table, l, cardH), cardPicture(table, l, paperH)
		assertWordsApart(t, region+" card", picture.svg(l), picture.w, picture.h)
		assertWordsApart(t, region+" card on paper", printed.svg(l), printed.w, printed.h)
		assert.LessOrEqual(t, picture.h, 2.2*picture.w, "%s: taller than a phone", region)
		if len(table.Grids) > 1 { // what one kind leaves free, the chart fills
			assert.GreaterOrEqual(t, printed.h, 0.8*paperH, "%s: leaves paper empty", region)
		}
	}
	translated := func(language string) Labels {
		l := In(language, false)
		l.Date = "2026-11-25"
		return l
	}
	labels := []Labels{{Date: "2026-11-25"}, dated, translated("es"), translated("pt"), translated("fr")}
	inAll := func(region string, aboard ...float64) {
		tables := map[bool]advisor.Table{false: tableFor(region, aboard, Labels{}), true: tableFor(region, aboard, Labels{Imperial: true})}
		for _, l := range labels {
			fits(region, tables[l.Imperial], l)
		}
	}
	for _, region := range regions() {
		inAll(region)
	}
	for _, aboard := range [][]float64{{16}, {20, 40, 60, 80}, {8.5, 12.25}} {
		inAll("US Gulf of Mexico", aboard...)
	}
	imperial := Labels{Imperial: true}
	fits("Australia east", tableFor("Australia east", nil, imperial), imperial)
}

func TestTheCardIsASmallPictureForAPhone(t *testing.T) {
	table := tableFor("US Gulf of Mexico", nil, Labels{})
	var b bytes.Buffer
	require.NoError(t, CardPNG(&b, table, Labels{}))
	size, err := png.DecodeConfig(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	assertPicture(t, "card", b.Bytes(), 1080, size.Height)
}

func TestAPushIsRoundedUpToWhatAHandCanJudge(t *testing.T) {
	assert.Equal(t, "3 m", Labels{}.push(2.1))
	assert.Equal(t, "10 ft", Labels{Imperial: true}.push(2.1)) // 6.9 ft
	assert.Empty(t, Labels{}.push(0))
}

func TestTheAssumedWeightsAreCalledAssumed(t *testing.T) {
	assumed := func(aboard []float64) bool {
		svg := cardIn(t, tableFor("", aboard, Labels{}), Labels{})
		return bytes.Contains(svg, []byte(">("+English("card.assumed")+")<"))
	}
	assert.True(t, assumed(nil))
	assert.False(t, assumed([]float64{20, 40}))
}

func TestACardForNoRegionSaysThatBigFishOfSomeKindsNeedMore(t *testing.T) {
	says := func(region string) bool {
		return bytes.Contains(cardIn(t, tableFor(region, nil, Labels{}), Labels{}), []byte(English("card.general")))
	}
	assert.True(t, says(""))
	assert.False(t, says("Alaska"))
}

func TestTheCardSpeaksTheReadersNamesForFish(t *testing.T) {
	l := Labels{Name: func(s *advisor.Species) string { return "poisson " + s.EnglishName }}
	assert.Contains(t, string(cardIn(t, testTable(), l)), "poisson Sand flounder")
}

// The page is opened where there is no signal: nothing may come from outside.
func TestThePageLoadsNothingAndHoldsCardAndLessons(t *testing.T) {
	var b bytes.Buffer
	table := tableFor("US Gulf of Mexico", nil, Labels{})
	require.NoError(t, CardPage(&b, table, Labels{Language: "pt-BR", Text: map[string]string{"card.title": "Qual peso <"}}))
	html := b.String()
	assert.Contains(t, html, `<html lang="pt-BR">`)
	assert.Contains(t, html, "<title>Qual peso &lt;</title>")
	assert.Equal(t, 4, strings.Count(html, "<svg "))
	for _, s := range table.NoWeight {
		assert.Contains(t, html, s.EnglishName)
	}
	body := strings.ReplaceAll(html, `xmlns="http://www.w3.org/2000/svg"`, "")
	for _, outside := range []string{"http:", "https:", "src=", "href=", "@import", "url("} {
		assert.NotContains(t, body, outside)
	}
}

func TestTheCardAsSVGIsWellFormed(t *testing.T) {
	d := xml.NewDecoder(bytes.NewReader(cardIn(t, testTable(), Labels{})))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
}

func BenchmarkCardPNG(b *testing.B) {
	table := tableFor("US Gulf of Mexico", nil, Labels{})
	for b.Loop() {
		if err := CardPNG(io.Discard, table, Labels{}); err != nil {
			b.Fatal(err)
		}
	}
}

func TestFiguresOnPicturesHaveTheCommaOfTheLanguage(t *testing.T) {
	kg, _ := In("en", false).mass(1.5)
	assert.Equal(t, "1.5 kg", kg)
	for _, language := range []string{"es", "pt-BR", "fr"} {
		kg, _ := In(language, false).mass(1.5)
		assert.Equal(t, "1,5 kg", kg, language)
		assert.Equal(t, "2,5+20", In(language, false).listOz([]float64{2.5, 20}, "+"), language)
	}
}

func TestKindsAreNamedAsInTheChat(t *testing.T) {
	assert.Equal(t, "Pargos, Corvinas, lungfish", In("es", false).kinds([]string{"snapper", "croaker", "lungfish"}))
}

// Ounces in a pound and grams in an ounce: NIST Handbook 44, appendix C.
func TestLeadIsWrittenInTheUnitItWasToldIn(t *testing.T) {
	oz := []float64{16, 40}
	for unit, want := range map[string]string{"": "16+40 oz, 10", "oz": "16+40 oz, 10", "lb": "1+2.5 lb, 1", "g": "450+1130 g, 300"} {
		l := Labels{AboardOz: oz, Lead: unit}
		assert.Equal(t, want, l.listOz(oz, "+")+" "+l.leadUnit()+", "+l.lacking(10), unit)
	}
}

// How to read the card and its rules are 12 pixels high on a phone 360 wide, which shows a
// third of each; feet are written as the language has them.
func TestTheCardIsReadableOnAPhoneInEveryLanguage(t *testing.T) {
	for language, feet := range map[string]string{"en": "98 ft", "es": "98 pies", "pt": "98 pés", "pt-BR": "98 pés", "fr": "98 pieds"} {
		l := In(language, false)
		picture := cardPicture(tableFor("", nil, l), l, cardH)
		used := l.put("card.use", l.leadName()) + " " + l.say("card.floats")
		large, texts := "", ""
		for _, w := range wordsOf(t, picture.svg(l), picture.h) {
			texts += w.text + "|"
			if size := (w.bottom - w.top) / 0.95; size > 35.9 {
				large += w.text + " "
			}
		}
		for _, word := range strings.Fields(used) {
			assert.Contains(t, large, word, language)
		}
		assert.Contains(t, texts, "|"+feet+"|", language)
	}
	l := In("fr", true)
	table := tableFor("US Gulf of Mexico", nil, l)
	picture := cardPicture(table, l, cardH)
	assertWordsApart(t, "in feet", picture.svg(l), picture.w, picture.h)
}
