package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// saying is a reading with its words.
func saying(r understand.Reading, text string) understand.Reading { r.Text = text; return r }

// A question right after a report that changes one figure asks of that fish, all else the same.
func TestWhatIfOfTheFishJustReported(t *testing.T) {
	for text, c := range map[string]struct {
		f    understand.Fish
		deep float64
		kept bool
	}{
		"and at 80":           {fish("", 80, 0), 80, true},
		"n for a 20 pounder?": {fish("", 0, 9), 60, true},
		"and the one that we lost at the rail off 80 today": {fish("", 80, 0), 80, false},
	} {
		k := newTalker(t)
		f := done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)
		f.Query.Signs = []advisor.Sign{advisor.EvertedStomach}
		k.hear(report(f))
		m := k.hear(saying(question(c.f), text))
		require.Len(t, m.Fish, 1, text)
		q := m.Fish[0].Query
		if !c.kept {
			assert.Empty(t, q.Signs, text)
			continue
		}
		assert.Equal(t, []any{gag, c.deep, f.Query.Signs}, []any{q.Species, *q.DepthM, q.Signs}, text)
		assert.Empty(t, m.Fish[0].Done.Method, text)
	}
}

// What is only supposed is answered and forgotten.
func TestWhatIsSupposedIsForgotten(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	m := k.hear(saying(question(fish("", 100, 0)), "what if it was 100"))
	assert.Equal(t, 100.0, *m.Fish[0].Query.DepthM)
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, "")))
	assert.Equal(t, 60.0, *k.only().Fish.Query.DepthM)

	k = newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(saying(question(fish("", 100, 0)), "and at 100"))
	k.hear(report(done(fish("", 0, 0), advisor.Recompressed, "")))
	assert.Equal(t, 100.0, *k.only().Fish.Query.DepthM, "who says it plainly means it")
}

// Figures that a report lacks complete it, whatever they seem; those it has make another fish.
func TestFiguresCompleteAReport(t *testing.T) {
	for name, next := range map[string]understand.Reading{
		"a report":     report(fish("", 60, 0)),
		"a question":   question(fish("", 60, 0)),
		"of its name":  report(fish(gag, 60, 0)),
		"a correction": correction(fish("", 60, 0)),
	} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 0, 0), advisor.Surface, "")))
		k.hear(next)
		assert.Equal(t, 60.0, *k.only().Fish.Query.DepthM, name)
		k.hear(report(fish("", 0, 3)))
		assert.Equal(t, 3.0, *k.only().Fish.Query.WeightKg, name+", and the size after that")
	}
	k := newTalker(t)
	k.hear(report(done(fish(gag, 40, 0), advisor.Surface, "")))
	k.hear(report(fish("", 60, 3)))
	assert.Len(t, k.s.Standing(), 2)
	k = newTalker(t)
	k.hear(report(done(fish(gag, 0, 0), advisor.Surface, "")))
	assert.Equal(t, Answer, k.hear(saying(question(fish("", 60, 0)), "and at 60?")).Do, "a question mark asks")
}

// A name alone says what the fish is that was asked about; with "and", or a question mark, it
// asks of another.
func TestANameAloneSaysWhatTheFishIs(t *testing.T) {
	for text, renames := range map[string]bool{
		"old guy on the boat says gag": true, "gag": true, "and a gag": false, "gag?": false,
		"so this is what the book that my brother has calls a gag": false,
	} {
		k := newTalker(t)
		k.hear(question(fish(cod, 60, 3)))
		m := k.hear(saying(question(fish(gag, 0, 0)), text))
		require.Len(t, m.Fish, 1, text)
		assert.Equal(t, gag, m.Fish[0].Query.Species, text)
		assert.Equal(t, renames, m.Fish[0].Query.DepthM != nil, text)
	}
}

// In a report of several fish "the other one" makes none of those asked about a further one.
func TestTheOtherOneMakesNoFurtherFish(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 45, 0), counted(fish(cod, 45, 0), 2)))
	r := report(done(fish(gag, 0, 0), advisor.Surface, ""), done(fish(cod, 0, 0), advisor.Recompressed, ""), done(fish(cod, 0, 0), "", advisor.TakenByOther))
	r.Again.Another = true
	k.hear(r)
	rows := k.s.Standing()
	require.Len(t, rows, 3)
	for _, row := range rows {
		assert.Equal(t, 45.0, *row.Fish.Query.DepthM)
	}
}

// A name with a word for a size is that fish among those of its kind.
func TestANamedFishIsToldApartBySize(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 7), advisor.Recompressed, ""), done(fish(gag, 56, 3), advisor.Recompressed, ""), done(fish(cod, 30, 1), advisor.Surface, "")))
	big, small := called(gag, understand.SizeBig), called("", understand.SizeSmall)
	small.Name, small.Query.Species, small.Query.SpeciesName = "", "", ""
	k.hear(report(done(big, "", advisor.SwamDown), done(small, "", advisor.FloatedOff), done(fish(cod, 0, 0), "", advisor.Died)))
	var ends []advisor.Outcome
	for _, r := range k.s.Standing() {
		ends = append(ends, r.Fish.Done.Outcome)
	}
	assert.Equal(t, []advisor.Outcome{advisor.SwamDown, advisor.FloatedOff, advisor.Died}, ends)
}

// A question that tells depth and signs of a fish of a kind just let go asks of another one: it
// has not the signs of the one that is gone.
func TestAFishThatIsGoneIsNotAskedAboutAgain(t *testing.T) {
	seen := func(s advisor.Sign) understand.Fish {
		f := fish(gag, 40, 0)
		f.Query.Signs = []advisor.Sign{s}
		return f
	}
	for end, signs := range map[advisor.Outcome]int{advisor.SwamDown: 1, advisor.FloatedOff: 2} {
		k := newTalker(t)
		k.hear(question(seen(advisor.EvertedStomach)))
		k.hear(report(done(fish("", 0, 0), advisor.Recompressed, end)))
		m := k.hear(question(seen(advisor.BulgingEyes)))
		require.Len(t, m.Fish, 1)
		assert.Len(t, m.Fish[0].Query.Signs, signs, end)
	}
}
