package importer

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const openTable2 = "Date,Species,Depth,Rel,Tag\n3/4/2024,gag,120,D,A1\n5/4/2024,gag,130,V,A2\n"

func talkOf(t *testing.T, text string) *Talk {
	t.Helper()
	talk, err := NewTalk(strings.NewReader(text), "log.csv", options(), nil)
	require.NoError(t, err)
	return talk
}

func TestTalkAsksOneThingAtATime(t *testing.T) {
	talk := talkOf(t, openTable2)
	var asked []string
	for answers := [][2]string{{"unit", "2"}, {"day first", "month first"}, {`"D"`, "sent down"}, {`"V"`, "vented"}}; talk.Next() != nil; {
		q := talk.Next()
		asked = append(asked, q.Asks())
		answered := false
		for i, a := range answers {
			if strings.Contains(q.Text, a[0]) {
				require.NoError(t, talk.Answer(a[1]), q.Text)
				answers = slices.Delete(answers, i, i+1)
				answered = true
				break
			}
		}
		require.True(t, answered, q.Text)
	}
	assert.Len(t, asked, 4)
	for _, text := range asked {
		assert.NotContains(t, text, "--", "people are not told flags")
	}
	assert.Equal(t, []string{
		"line 2: 2024-03-04, Mycteroperca microlepis, 36.58 m, recompressed, tag A1",
		"line 3: 2024-05-04, Mycteroperca microlepis, 39.62 m, vented, tag A2",
	}, talk.Preview(3))
	require.NoError(t, talk.Sheet().Ready())

	again, err := NewTalk(strings.NewReader(openTable2+"6/4/2024,gag,90,V,A3\n"), "next.csv", options(), func(string) Answers { return talk.Answers() })
	require.NoError(t, err)
	assert.Nil(t, again.Next(), "the next file of the same headings is read by the same answers")
	assert.Equal(t, talk.Sheet().Headings(), again.Sheet().Headings())
}

func TestTalkTakesNoAnswerThatMeansNothing(t *testing.T) {
	talk := talkOf(t, "Date,Species,Depth\n2024-04-03,gag,120\n")
	before := talk.Next().Text
	for _, text := range []string{"", "furlongs", "3", "0"} {
		assert.Error(t, talk.Answer(text), text)
		assert.Equal(t, before, talk.Next().Text)
	}
	require.NoError(t, talk.Answer("1"))
	assert.Nil(t, talk.Next())
}

func TestWordsOfOptionsAreUnderstoodOrRefused(t *testing.T) {
	text := "Date,Species,Depth\n2024-04-03,gag,100\n"
	for _, word := range []Units{"Imperial", "IMPERIAL", "feet", " ft "} {
		o := options()
		o.Units = word
		assert.InDelta(t, 30.48, *only(t, text, o).DepthM, 1e-9, word)
	}
	for _, set := range []func(*Options){
		func(o *Options) { o.Units = "furlongs" }, func(o *Options) { o.Dates = "dym" }, func(o *Options) { o.Recaptures = "never" },
		func(o *Options) { o.Comma = "point" }, func(o *Options) { o.Date = "2024-13" },
	} {
		o := options()
		set(&o)
		_, err := Read(strings.NewReader(text), "log.csv", o)
		assert.ErrorIs(t, err, ErrOption)
	}
}

func TestReturnsJoinTheirReleases(t *testing.T) {
	releases := sheetOf(t, mustText(t, "../../testdata/tables/91-releases.csv"), options())
	o := options()
	o.Recaptures = ReturnsOnly
	returns := sheetOf(t, mustText(t, "../../testdata/tables/91-returns.csv"), o)
	known, unknown := releases.Join(returns)
	assert.Equal(t, []int{2, 1}, []int{known, unknown})
	require.NoError(t, releases.Ready())
	total, kept := 0, 0
	for e := range releases.Entries() {
		total++
		if e.Report.Recapture && e.Report.Method == "kept" {
			kept++
			assert.Equal(t, "Lutjanus campechanus", e.Report.Species, "the return names no fish: that of the release")
		}
	}
	assert.Equal(t, []int{8, 1}, []int{total, kept}, "5 releases and 3 returns, one fish kept")
}

func TestTalkRefusesOwnWordsThatMeanNothingEither(t *testing.T) {
	talk := talkOf(t, "Date,Species,Depth m,Treatment\n2024-04-03,gag,120,D\n2024-04-03,gag,120,V\n")
	before := talk.Next().Asks()
	assert.Contains(t, before, `what does "D" mean in "Treatment"`)
	assert.ErrorContains(t, talk.Answer("upwards"), "surface, vented, sent down or kept")
	assert.Equal(t, before, talk.Next().Asks())
	require.NoError(t, talk.Answer("recompressed"))
	assert.Contains(t, talk.Next().Asks(), `what does "V" mean`)

	talk = talkOf(t, "Date,Species,Depth m,Fish_Returned\n2024-04-03,gag,120,yes\n2024-04-03,gag,120,no\n")
	before = talk.Next().Asks()
	assert.ErrorContains(t, talk.Answer("furlongs of nothing"), "not understood")
	assert.Equal(t, before, talk.Next().Asks(), "a word that is no meaning of a column leads nowhere")
}
