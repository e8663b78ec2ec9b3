package understand

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// hear reads a message in a talk about these fish.
func hear(lang, text string, talked ...string) Reading {
	c := learned.Context{Begun: len(talked) > 0, Open: len(talked) > 0, Species: len(talked) > 0}
	return NewReader().Read(text, Setting{Language: lang, Talked: talked}, c)
}

// Words that tell one of several fish from the others point at it, in each language.
func TestWhichOfSeveralIsMeant(t *testing.T) {
	for text, c := range map[string]struct {
		lang string
		want Which
	}{
		"the second swam off":               {"en", Which{Nth: 2}},
		"the little one swam off":           {"en", Which{Size: SizeSmall}},
		"la grandota bajó nadando":          {"es", Which{Size: SizeBig}},
		"el primero bajó nadando":           {"es", Which{Nth: 1}},
		"a maior desceu a nadar":            {"pt", Which{Size: SizeBig}},
		"os outros dois desceram bem":       {"pt", Which{Rest: true}},
		"les deux autres ont flotté":        {"fr", Which{Rest: true}},
		"le dernier est parti au fond":      {"fr", Which{Last: true}},
		"the other one floated":             {"en", Which{Other: true}},
		"no the one with the eyes was 50 m": {"en", Which{Sign: advisor.BulgingEyes}},
		"both of them swam down strong":     {"en", Which{Each: true}},
	} {
		r := hear(c.lang, text, "gag", "scamp")
		require.NotEmpty(t, r.Fish, text)
		assert.Equal(t, c.want, r.Fish[0].Which, text)
	}
}

// A size is that of a weight where it was used, and no fish's where it is said of eyes or seas.
func TestASizeMayBeThatOfAWeight(t *testing.T) {
	for text, want := range map[string]Pick{
		"gag 44m 9kg, used the big one, swam off":          PickHeaviest,
		"sent it down with the little one":                 PickLightest,
		"pargo de un kilo a 50 m con la mediana, se fue":   PickMiddle,
		"gag 44 m 9 kg sent it down, big swell out there":  "",
		"red grouper 40 m, big eyes popping, what do i do": "",
	} {
		r := hear("en", text)
		assert.Equal(t, want, r.Again.Pick, text)
		for _, f := range r.Fish {
			assert.Empty(t, f.Which.Size, text)
		}
	}
}

// What stands by a name in a list is that fish's, also where the list is longer than the
// learned reader can number.
func TestFiguresOfAListGoWithTheirNames(t *testing.T) {
	r := hear("en", "red snapper 40 m 3 kg, gag 50 m 4 kg and lionfish 40 m")
	require.Len(t, r.Fish, 3)
	assert.Equal(t, []float64{40, 50, 40}, depthsOf(t, r))
	r = hear("en", "5 fish: gag 30 m, scamp 33 m, red snapper 45 m, red grouper 25 m and hogfish 50 m")
	require.Len(t, r.Fish, 5)
	assert.Equal(t, []float64{30, 33, 45, 25, 50}, depthsOf(t, r))
}

func depthsOf(t *testing.T, r Reading) (list []float64) {
	t.Helper()
	for _, f := range r.Fish {
		require.NotNil(t, f.Query.DepthM, f.Name)
		list = append(list, *f.Query.DepthM)
	}
	return list
}

// What was used on each of a list goes to the fish it is said of.
func TestWeightsGoToTheFishTheyAreSaidOf(t *testing.T) {
	r := hear("es", "dentón 45m 6kg y pargo 48m 2kg: pesa de 40 oz pal primero, 16 oz pal otro, los dos se fueron")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, []float64{40}, r.Fish[0].Done.WeightsOz)
	assert.Equal(t, []float64{16}, r.Fish[1].Done.WeightsOz)
	r = hear("en", "3 reds 130 ft, two swam off one floated, 20 oz on all of em")
	require.Len(t, r.Fish, 2)
	for _, f := range r.Fish {
		assert.Equal(t, []float64{20}, f.Done.WeightsOz)
	}
}

// A fish of the talk is called by its name, or by the chief word of it, where the learned
// reader takes that for no name.
func TestFishOfTheTalkAreCalledByTheirNames(t *testing.T) {
	r := hear("en", "gags belly is tight as a drum scamps eyes r popping", "gag", "scamp")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, []advisor.Sign{advisor.BloatedBelly}, r.Fish[0].Query.Signs)
	assert.Equal(t, "scamp", r.Fish[1].Name)
	assert.Equal(t, []advisor.Sign{advisor.BulgingEyes}, r.Fish[1].Query.Signs)
}

// Idle talk asks nothing, a plain word for a release is no question, and yes is no command.
func TestWhatIsNoQuestion(t *testing.T) {
	assert.Equal(t, ActReport, hear("en", "just let go a red emperor").Act)
	assert.Equal(t, ActReport, hear("es", "solté una cherna criolla").Act)
	for _, yes := range []string{"yes", "sí", "sim", "oui", "ok", "no"} {
		assert.NotEqual(t, ActCommand, hear("en", yes).Act, yes)
	}
	r := hear("en", "log big plonker 30 m let go", "dhufish")
	require.Len(t, r.Fish, 1)
	assert.Equal(t, "plonker", r.Fish[0].Name, "whatever stands between the command and the figure")
	assert.Equal(t, 30.0, *r.Fish[0].Query.DepthM)
	kept := learned.Context{Begun: true, Kept: true, Last: string(ActCommand)}
	assert.Equal(t, WantUndo, NewReader().Read("no, borralo", Setting{Language: "es"}, kept).Want, "a report, not the person")
	assert.Equal(t, WantForget, hear("es", "borra todos mis datos").Want)
	assert.True(t, hear("es", "mero 40m 3kg sin pesas").Aboard.None)
	assert.False(t, hear("en", "which fish need no weight").Aboard.None)
	assert.Equal(t, ActQuestion, hear("en", "gag grouper 120ft, 2 ft seas").Act, "a fish at a depth, whatever is beside it")
}

// Words beyond those that the learned reader takes in have no tags: nothing is looked for there.
func TestNamesOfTheTalkBeyondTheWordsReadBreakNothing(t *testing.T) {
	for before := 155; before <= 165; before++ {
		filler := strings.Repeat("and ", before)
		assert.LessOrEqual(t, len(hear("en", filler+"red grouper 40 m", "red grouper", "gag").Fish), 1)
		assert.LessOrEqual(t, len(hear("en", "log plonker "+filler+"30 m", "red grouper", "gag").Fish), 1)
	}
}
