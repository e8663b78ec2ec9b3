package importer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

func TestDateOrderIsProvedOrAsked(t *testing.T) {
	for _, c := range []struct {
		name, text string
		say        DateOrder
		want       string // of the first row; "" for a question
	}{
		{"a day above 12 in front", "Date,Fish\n03/04/2025,gag\n25/04/2025,gag\n", "", "2025-04-03"},
		{"a day above 12 in the middle", "Date,Fish\n03/04/2025,gag\n04/25/2025,gag\n", "", "2025-03-04"},
		{"nothing proves it", "Date,Fish\n03/04/2025,gag\n05/06/2025,gag\n", "", ""},
		{"said", "Date,Fish\n03/04/2025,gag\n", MonthDayYear, "2025-03-04"},
		{"the same either way", "Date,Fish\n04/04/2025,gag\n", "", "2025-04-04"},
		{"year in front", "Date,Fish\n2025-03-04,gag\n", "", "2025-03-04"},
		{"month by name", "Date,Fish\n3-Apr-25,gag\n", "", "2025-04-03"},
		{"both orders in one column", "Date,Fish\n25/04/2025,gag\n04/25/2025,gag\n", "", ""},
		{"the other column of dates proves it", "Date,Fish,Tag,Recaptured,Recapture date\n03/04/2025,gag,A1,yes,25/04/2025\n", "", "2025-04-03"},
		{"two digits each can be three orders", "Date,Fish\n03/04/05,gag\n", "", ""},
	} {
		o := options()
		o.Dates = c.say
		s := sheetOf(t, c.text, o)
		if c.want == "" {
			require.Len(t, s.Questions, 1, c.name)
			assert.Contains(t, s.Questions[0].Text, "--dates", c.name)
			assert.ErrorIs(t, s.Ready(), ErrAsk, c.name)
			assert.Empty(t, s.Rows[0].Entries, c.name)
			continue
		}
		require.NoError(t, s.Ready(), c.name)
		assert.Equal(t, c.want, s.Rows[0].Entries[0].Report.CaughtAt.Format("2006-01-02"), c.name)
	}
}

func TestUnitsAreToldOrAsked(t *testing.T) {
	text := "Date,Fish,Depth,Weight\n2025-03-04,gag,100,5\n"
	s := sheetOf(t, text, options())
	require.Len(t, s.Questions, 1, "both columns in one question")
	assert.Contains(t, s.Questions[0].Text, `"Depth", "Weight"`)
	assert.Empty(t, s.Rows[0].Problems, "what is in question is no problem of the row")

	o := options()
	o.Units = Imperial
	r := only(t, text, o)
	assert.InDelta(t, 30.48, *r.DepthM, 1e-9)
	assert.InDelta(t, 2.268, *r.WeightKg, 1e-4)

	o = options()
	o.Columns = map[string]string{"depth": "depth m", "Weight": "-"}
	r = only(t, text, o)
	assert.InDelta(t, 100, *r.DepthM, 1e-9)
	assert.Nil(t, r.WeightKg)

	s = sheetOf(t, "Date,Fish,Depth\n2025-03-04,gag,100 ft\n2025-03-05,gag,100\n", options())
	assert.Empty(t, s.Questions)
	require.Len(t, s.Rows[1].Problems, 1, "one line without, where the others have a unit")
	assert.Contains(t, s.Rows[1].Problems[0].String(), `line 3, Depth: "100" has no unit`)
}

func TestHeadingsThatNobodyKnowsAreNamed(t *testing.T) {
	text := "TRIPDATE,StartDate,FKM,Vented\n2022-01-12,2022-01-01,0.34,1\n"
	s := sheetOf(t, text, options())
	require.Len(t, s.Questions, 1)
	assert.Contains(t, s.Questions[0].Text, `"TRIPDATE" or "StartDate" may be the date`)

	o := options()
	o.Columns = map[string]string{"TRIPDATE": "date", "StartDate": "-", "FKM": "length m FL"}
	o.Species = "gray triggerfish"
	r := only(t, text, o)
	assert.Equal(t, "2022-01-12", r.CaughtAt.Format("2006-01-02"))
	assert.InDelta(t, 34, *r.LengthCm, 1e-9)
	assert.Equal(t, advisor.ForkLength, r.LengthType)
	assert.Equal(t, advisor.Vented, r.Method)
	assert.Equal(t, "gray triggerfish", r.SpeciesGiven)

	o.Columns = map[string]string{"FKM": "nonsense", "Nowhere": "date"}
	s = sheetOf(t, text, o)
	assert.Len(t, s.Questions, 3, "the date, the meaning that is none, the heading that is not there")
}

func TestDateMayStandInThreeColumns(t *testing.T) {
	for _, text := range []string{"Year,Month,Day,Fish\n2025,3,4,gag\n", "Yr,Mon,Day,Fish\n25,Mar,4,gag\n"} {
		assert.Equal(t, "2025-03-04", only(t, text, options()).CaughtAt.Format("2006-01-02"), text)
	}
	s := sheetOf(t, "Year,Month,Day,Fish\n2025,2,30,gag\n", options())
	assert.ErrorIs(t, s.Ready(), ErrProblems)
}

func TestMethodFollowsFromTheColumnsThatTell(t *testing.T) {
	for _, c := range []struct {
		head, row string
		want      advisor.Method
		flag      string
	}{
		{"Release method", "surface", advisor.Surface, ""},
		{"Release method", "Vented w/ needle", advisor.Vented, ""},
		{"Release method", "NA", "", ""},
		{"Release method", "vented and descended", advisor.Recompressed, FlagAlsoVented},
		{"Vented", "1", advisor.Vented, ""},
		{"Vented", "0", advisor.Surface, ""},
		{"Vented", "", "", ""},
		{"Vented", "not vented", advisor.Surface, ""},
		{"Vented,Descended", "no,yes", advisor.Recompressed, ""},
		{"Vented,Descended", "yes,yes", advisor.Recompressed, FlagAlsoVented},
		{"Vented,Descended", "no,no", advisor.Surface, ""},
		{"Vented,Descended", "no,", "", ""},
		{"Descended", "none", advisor.Surface, ""},
		{"Kept,Vented", "yes,no", advisor.Kept, ""},
		{"Released", "no", advisor.Kept, ""},
		{"Fate", "Harvested", advisor.Kept, ""},
		{"Release weight (oz)", "40", advisor.Recompressed, ""},
		{"Release weight (oz)", "yes", advisor.Recompressed, ""},
		{"Release weight (oz)", "0", "", ""},
	} {
		r := only(t, "Date,Fish,"+c.head+"\n2025-03-04,gag,"+c.row+"\n", options())
		assert.Equal(t, c.want, r.Method, c.head+": "+c.row)
		if c.flag != "" {
			assert.Contains(t, r.Flags, c.flag)
		}
	}
	for _, word := range []string{"released", "none", "not descended", "not vented; sent down", "D"} {
		s := sheetOf(t, "Date,Fish,Release method\n2025-03-04,gag,"+word+"\n", options())
		require.ErrorIs(t, s.Ready(), ErrAsk, word)
		o := options()
		o.Values = map[string]string{"Release method:" + word: "surface"}
		assert.Equal(t, advisor.Surface, only(t, "Date,Fish,Release method\n2025-03-04,gag,"+word+"\n", o).Method)
	}
	s := sheetOf(t, "Date,Fish,Method,Vented\n2025-03-04,gag,surface,yes\n", options())
	require.Len(t, s.Rows[0].Problems, 1)
	assert.Contains(t, s.Rows[0].Problems[0].String(), "two release methods")
}

func TestWhatIsDeniedIsNotSaid(t *testing.T) {
	for cell, want := range map[string][]advisor.Sign{
		"no bloating, eyes bulging": {advisor.BulgingEyes}, "no bloat": nil, "bloated; no pop eye": {advisor.BloatedBelly}, "without bloat": nil,
	} {
		assert.Equal(t, want, only(t, "Date,Fish,Signs\n2025-03-04,gag,\""+cell+"\"\n", options()).Signs, cell)
	}
}

func TestSignsNotLookedForAreNotNone(t *testing.T) {
	for _, c := range []struct {
		head, row string
		looked    bool
		signs     []advisor.Sign
	}{
		{"Signs", "", false, nil},
		{"Signs", "none", true, nil},
		{"Signs", "bulging eyes; stomach out", true, []advisor.Sign{advisor.BulgingEyes, advisor.EvertedStomach}},
		{"Signs", "something odd", false, nil},
		{"Barotrauma", "0", true, nil},
		{"Pop-eye,Bloated", "yes,no", true, []advisor.Sign{advisor.BulgingEyes}},
		{"Pop-eye,Bloated", "no,no", true, nil},
		{"Pop-eye,Bloated", ",", false, nil},
	} {
		r := only(t, "Date,Fish,"+c.head+"\n2025-03-04,gag,"+c.row+"\n", options())
		assert.Equal(t, c.looked, r.SignsLooked, c.row)
		assert.Equal(t, c.signs, r.Signs, c.row)
	}
}

func TestConditionIsReadByItsWords(t *testing.T) {
	for row, want := range map[string]struct {
		behaviour advisor.Behaviour
		outcome   advisor.Outcome
		note      string
	}{
		"Good":            {advisor.Strong, "", ""},
		"weak - floated":  {advisor.Weak, advisor.FloatedOff, ""},
		"swam down":       {"", advisor.SwamDown, ""},
		"eaten by shark":  {"", advisor.TakenByOther, ""},
		"C3":              {"", "", "Condition: C3"},
		"not seen":        {"", advisor.NotSeen, ""},
		"released alive":  {"", "", ""},
		"dead on release": {"", advisor.Died, ""},
	} {
		r := only(t, "Date,Fish,Condition\n2025-03-04,gag,"+row+"\n", options())
		assert.Equal(t, want.behaviour, r.Behaviour, row)
		assert.Equal(t, want.outcome, r.Outcome, row)
		assert.Equal(t, want.note, r.Personal.Note, row)
	}
}
