package importer

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnAnswerIsANumberALabelOrOwnWords(t *testing.T) {
	s := new(Sheet)
	q := s.ask("%q names fish; say what it is: --column \"%s=species\"", "What", "What").column("What", "species", "remark")
	assert.Equal(t, `does "What" name the fish?`, q.Asks())
	assert.Contains(t, q.String(), "--column")
	for text, want := range map[string]string{
		"1": "species", "2": "remark", "3": leaveOut, " Species ": "species", "leave the column out": leaveOut, "depth ft": "depth ft", "4": "4",
	} {
		a, err := q.Settle(text)
		require.NoError(t, err, text)
		assert.Equal(t, Answer{Setting: SettingColumn, Key: "What", Value: want}, a, text)
	}
	_, err := q.Settle("  ")
	assert.EqualError(t, err, "answer with a number from 1 to 3")

	closed := s.ask("one of two; say so").offer("first", Answer{Setting: SettingUnits, Value: string(Metric)})
	for _, text := range []string{"", "2", "0", "-1", "second"} {
		_, err := closed.Settle(text)
		assert.EqualError(t, err, "answer with a number from 1 to 1", text)
	}
}

// Each setting takes what its flag takes, and nothing else.
func TestAnswersTakeWhatTheirSettingsAre(t *testing.T) {
	for _, c := range []struct {
		answer Answer
		ok     bool
	}{
		{Answer{SettingDates, "", "month first"}, true}, {Answer{SettingDates, "", "sideways"}, false},
		{Answer{SettingUnits, "", "Feet"}, true}, {Answer{SettingUnits, "", "cubits"}, false},
		{Answer{SettingRecaptures, "", "later"}, true}, {Answer{SettingRecaptures, "", "maybe"}, false},
		{Answer{SettingComma, "", "decimal"}, true}, {Answer{SettingComma, "", "point"}, false},
		{Answer{SettingDate, "", "2016-07"}, true}, {Answer{SettingDate, "", "2016-17"}, false},
		{Answer{SettingSheet, "Returns", "Recaptures"}, true}, {Answer{SettingSheet, "Returns", "-"}, true}, {Answer{SettingSheet, "Returns", "fish"}, false},
		{Answer{SettingColumn, "X", "depth ft"}, true}, {Answer{SettingValue, "X:1", "yes"}, true}, {Answer{SettingSpecies, "", "gag"}, true},
		{Answer{"colour", "", "red"}, false},
	} {
		var a Answers
		assert.True(t, a.Empty())
		err := a.Add(c.answer)
		assert.Equal(t, c.ok, err == nil, "%v: %v", c.answer, err)
		if c.ok {
			assert.False(t, a.Empty(), c.answer)
		}
	}
}

// What flags say goes before what was answered, and neither changes the other.
func TestFlagsGoBeforeAnswers(t *testing.T) {
	a := Answers{Units: Imperial, Species: "gag", Columns: map[string]string{"X": "depth ft", "Y": "tag"}, Sheets: map[string]string{"Back": ReturnsSheet}}
	o := Options{Units: Metric, Columns: map[string]string{"X": "depth m"}, Sheets: map[string]string{"Other": leaveOut}}
	a.Fill(&o)
	assert.Equal(t, Metric, o.Units)
	assert.Equal(t, "gag", o.Species)
	assert.Equal(t, map[string]string{"X": "depth m", "Y": "tag"}, o.Columns)
	assert.Equal(t, map[string]string{"Other": leaveOut, "Back": ReturnsSheet}, o.Sheets)
	o.Columns["Y"] = "-"
	assert.Equal(t, "tag", a.Columns["Y"])
	copied := a.clone()
	copied.Sheets["Back"] = leaveOut
	assert.Equal(t, ReturnsSheet, a.Sheets["Back"])
}

// A talk that is given an answer nobody understands stays where it was.
func TestATalkAboutCodesOfFate(t *testing.T) {
	text := "Date,Fish,Depth (m),Fate\n2025-03-04,gag,40,1\n2025-03-05,gag,41,2\n2025-03-06,gag,42,1\n"
	talk, err := NewTalk(strings.NewReader(text), "log.csv", options(), nil)
	require.NoError(t, err)
	var asked []string
	for i, answer := range []string{"swam down", "floated"} {
		q := talk.Next()
		require.NotNil(t, q, i)
		asked = append(asked, q.Asks())
		require.Error(t, talk.Answer("went bowling"), "words that nobody knows settle nothing")
		require.NoError(t, talk.Answer(answer))
	}
	assert.Equal(t, []string{
		`what does "1" mean in "Fate" (condition or behaviour)? Lines that have it: 2`, `what does "2" mean in "Fate" (condition or behaviour)? Lines that have it: 1`,
	}, asked)
	require.Nil(t, talk.Next())
	var outcomes []string
	for e := range talk.Sheet().Entries() {
		outcomes = append(outcomes, string(e.Report.Outcome))
	}
	assert.Equal(t, []string{"swam_down", "floated", "swam_down"}, outcomes)
}
