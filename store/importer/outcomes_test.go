package importer

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// Headings of fates, and the words below them, in four languages.
func TestFatesAreFoundByTheirCells(t *testing.T) {
	for heading, cells := range map[string]map[string]advisor.Outcome{
		"Result":               {"swam off": advisor.SwamDown, "floater": advisor.FloatedOff, "dead": advisor.Died},
		"Fate":                 {"swam down strong": advisor.SwamDown, "eaten by shark": advisor.TakenByOther, "not seen": advisor.NotSeen},
		"Condition at release": {"swam down": advisor.SwamDown, "floating": advisor.FloatedOff},
		"State when let go":    {"swam away": advisor.SwamDown, "floated": advisor.FloatedOff},
		"Resultado":            {"nadou bem": advisor.SwamDown, "boiou": advisor.FloatedOff, "morreu": advisor.Died, "não visto": advisor.NotSeen},
		"Destino":              {"se fue nadando": advisor.SwamDown, "flotando": advisor.FloatedOff, "murió": advisor.Died},
		"Destin":               {"reparti": advisor.SwamDown, "flottait": advisor.FloatedOff, "mort": advisor.Died},
		"Qué pasó":             {"se hundió": advisor.SwamDown, "quedó flotando": advisor.FloatedOff},
		"Como foi":             {"afundou": advisor.SwamDown, "ficou a boiar": advisor.FloatedOff},
		"Devenir":              {"a plongé": advisor.SwamDown, "flotte": advisor.FloatedOff},
	} {
		text := "Date;Fish;Depth (m);" + heading + "\n"
		var want []advisor.Outcome
		for cell, o := range cells {
			text += "2025-03-04;gag;40;" + cell + "\n"
			want = append(want, o)
		}
		s := sheetOf(t, text, options())
		require.NoError(t, s.Ready(), heading)
		for i, r := range s.Rows {
			require.Len(t, r.Entries, 1, heading)
			assert.Equal(t, want[i], r.Entries[0].Report.Outcome, "%s: line %d", heading, r.Line)
		}
	}
}

// "Good" is said of the weather too: under a heading that nobody knows it is no fate.
func TestWordsOfTheWeatherAreNoFate(t *testing.T) {
	s := sheetOf(t, "Date,Fish,Depth (m),Weather\n2025-03-04,gag,40,good\n2025-03-04,gag,40,poor\n", options())
	require.NoError(t, s.Ready())
	assert.Empty(t, s.Rows[0].Entries[0].Report.Behaviour)
	assert.Empty(t, s.Columns[3].Says)
	s = sheetOf(t, "Date,Fish,Depth (m),Result\n2025-03-04,gag,40,good\n2025-03-04,gag,40,poor\n", options())
	assert.Equal(t, advisor.Strong, s.Rows[0].Entries[0].Report.Behaviour, "under a heading of fates it is")
	assert.Equal(t, advisor.Weak, s.Rows[1].Entries[0].Report.Behaviour)
}

func TestFatesThatAreNotUnderstoodAreAskedAbout(t *testing.T) {
	for _, c := range [][2]string{
		{"Fate", "aa,bb,aa"}, {"Resultado", "xx,yy,zz"}, {"Destin", "un,deux,trois"}, {"Code", "dead,qq,zz"}, {"Outcome", "1,2,3"}, {"fate_code", "0,1,0"},
	} {
		text := "Date,Fish,Depth (m)," + c[0] + "\n"
		for _, cell := range strings.Split(c[1], ",") {
			text += "2025-03-04,gag,40," + cell + "\n"
		}
		s := sheetOf(t, text, options())
		require.NotEmpty(t, s.Questions, "%s is not dropped unasked", c[0])
		assert.Regexp(t, `"`+c[0]+`" may tell what became of the fish|in "`+c[0]+`" \(condition or behaviour\) these are not understood`, s.Questions[0].Text)
	}
}

func TestCodesUnderAHeadingOfCodesAreAskedAbout(t *testing.T) {
	for _, heading := range []string{"D/V/S", "D / V / S", "(D/V/S)", "D|V|S", "D-V-S", "D/V/S?", "d/v/s"} {
		text := "Date;Fish;Depth (m);" + heading + "\n2025-03-04;gag;40;D\n2025-03-04;gag;40;V\n2025-03-04;gag;40;s\n"
		s := sheetOf(t, text, options())
		require.Len(t, s.Questions, 1, heading)
		assert.Contains(t, s.Questions[0].Text, "holds codes")
		assert.Equal(t, "release method", s.Questions[0].Choices[0].Value)

		o := options()
		o.Columns = map[string]string{heading: "release method"}
		o.Values = map[string]string{heading + ":D": "sent down", heading + ":V": "vented", heading + ":S": "surface"}
		s = sheetOf(t, text, o)
		require.NoError(t, s.Ready(), heading)
		var methods []advisor.Method
		for e := range s.Entries() {
			methods = append(methods, e.Report.Method)
		}
		assert.Equal(t, []advisor.Method{advisor.Recompressed, advisor.Vented, advisor.Surface}, methods, heading)
	}
	for text, asks := range map[string]bool{
		"R/K;R,K,R": true, "A/D;A,D,A": true, "Code;D,V,S": true, "Code;D,V,D": true, "Boat;A,B,A": false, "D/V/S;north,south,north": false, "Boat;S,S,S": false,
	} {
		heading, cells, _ := strings.Cut(text, ";")
		table := "Date;Fish;Depth (m);" + heading + "\n"
		for _, cell := range strings.Split(cells, ",") {
			table += "2025-03-04;gag;40;" + cell + "\n"
		}
		assert.Equal(t, asks, len(sheetOf(t, table, options()).Questions) > 0, text)
	}
	s := sheetOf(t, "Date;Fish;Depth (m);Method;Code\n2025-03-04;gag;40;vented;D\n2025-03-04;gag;40;surface;V\n", options())
	assert.Empty(t, s.Questions, "letters alone are not asked about where another column tells the method")
}

func TestYesUnderAnOutcomeIsThatOutcome(t *testing.T) {
	s := sheetOf(t, "Date,Fish,Depth (m),Swam off?,Floated\n2025-03-04,gag,40,Y,N\n2025-03-04,gag,40,N,Y\n2025-03-04,gag,40,N,N\n", options())
	require.NoError(t, s.Ready())
	var list []advisor.Outcome
	for e := range s.Entries() {
		list = append(list, e.Report.Outcome)
	}
	assert.Equal(t, []advisor.Outcome{advisor.SwamDown, advisor.FloatedOff, ""}, list)
}

// The words for ways of release in four languages; a column of them is asked about, and one
// known word among others is enough.
func TestColumnsOfMethodsAreAskedAbout(t *testing.T) {
	for heading, cells := range map[string][]string{
		"How": {"descended", "vented", "thrown"}, "Como soltou": {"peso de soltura", "agulha", "na superfície"}, "Manera": {"picado", "bajado con peso"},
		"Retour": {"lest", "percé", "surface"}, "Released with": {"release weight", "nothing", "release weight"},
	} {
		text := "Date;Fish;Depth (m);" + heading + "\n"
		for _, cell := range cells {
			text += "2025-03-04;gag;40;" + cell + "\n"
		}
		s := sheetOf(t, text, options())
		require.NotEmpty(t, s.Questions, heading)
		assert.Contains(t, s.Questions[0].Text, "may tell how the fish were released", heading)
	}
	for word, m := range map[string]advisor.Method{
		"peso de soltura": advisor.Recompressed, "lest": advisor.Recompressed, "plomo": advisor.Recompressed, "dispositivo de descida": advisor.Recompressed,
		"agulha": advisor.Vented, "picado": advisor.Vented, "punção": advisor.Vented, "aiguille": advisor.Vented, "a la superficie": advisor.Surface, "à tona": advisor.Surface,
	} {
		got, ok := methodTold(word)
		assert.True(t, ok, word)
		assert.Equal(t, string(m), got, word)
	}
}
