package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// long is a fish of a kind that was measured and not weighed.
func long(species string, cm float64) understand.Fish {
	f := fish(species, 0, 0)
	f.Query.LengthCm = &cm
	return f
}

// called is a fish of which the words say how large it was.
func called(species string, size understand.Size) understand.Fish {
	f := fish(species, 0, 0)
	f.Which.Size = size
	return f
}

// The big, the small and the middle one are so by their figures, weights among weights and
// lengths among lengths; where these tell nothing, by what they were called.
func TestFishAreToldApartByTheirSize(t *testing.T) {
	const big, small, middle = understand.SizeBig, understand.SizeSmall, understand.SizeMiddle
	for name, c := range map[string]struct {
		list []understand.Fish
		want map[understand.Size]string
	}{
		"two weights":            {[]understand.Fish{fish(gag, 0, 2), fish(cod, 0, 6)}, map[understand.Size]string{big: cod, small: gag, middle: ""}},
		"the heavier one first":  {[]understand.Fish{fish(gag, 0, 6), fish(cod, 0, 2)}, map[understand.Size]string{big: gag, small: cod, middle: ""}},
		"two lengths":            {[]understand.Fish{long(gag, 40), long(cod, 70)}, map[understand.Size]string{big: cod, small: gag, middle: ""}},
		"the longer one first":   {[]understand.Fish{long(gag, 70), long(cod, 40)}, map[understand.Size]string{big: gag, small: cod, middle: ""}},
		"less than a kilogram":   {[]understand.Fish{fish(gag, 0, 0.9), fish(cod, 0, 0.5)}, map[understand.Size]string{big: gag, small: cod}},
		"three weights":          {[]understand.Fish{fish(gag, 0, 6), fish(cod, 0, 2), fish(jack, 0, 4)}, map[understand.Size]string{big: gag, small: cod, middle: jack}},
		"three lengths":          {[]understand.Fish{long(gag, 60), long(cod, 20), long(jack, 40)}, map[understand.Size]string{big: gag, small: cod, middle: jack}},
		"four have no middle":    {[]understand.Fish{fish(gag, 0, 6), fish(cod, 0, 2), fish(jack, 0, 4), fish(jack, 0, 5)}, map[understand.Size]string{big: gag, small: cod, middle: ""}},
		"a weight and a length":  {[]understand.Fish{fish(gag, 0, 6), long(cod, 40)}, map[understand.Size]string{big: "", small: "", middle: ""}},
		"just as heavy":          {[]understand.Fish{fish(gag, 0, 6), fish(cod, 0, 6)}, map[understand.Size]string{big: "", small: "", middle: ""}},
		"one was called small":   {[]understand.Fish{called(gag, small), fish(cod, 0, 0)}, map[understand.Size]string{big: cod, small: gag, middle: ""}},
		"one was called big":     {[]understand.Fish{fish(gag, 0, 0), called(cod, big)}, map[understand.Size]string{big: cod, small: gag, middle: ""}},
		"two were called small":  {[]understand.Fish{called(gag, small), called(cod, small)}, map[understand.Size]string{big: "", small: "", middle: ""}},
		"one of three is small":  {[]understand.Fish{called(gag, small), fish(cod, 0, 0), fish(jack, 0, 0)}, map[understand.Size]string{big: "", small: gag, middle: ""}},
		"each was called a size": {[]understand.Fish{called(gag, small), called(cod, middle), called(jack, big)}, map[understand.Size]string{big: jack, small: gag, middle: cod}},
		"figures go before":      {[]understand.Fish{sized(called(gag, big), 2), sized(called(cod, small), 6)}, map[understand.Size]string{big: cod, small: gag}},
	} {
		k := newTalker(t)
		k.hear(question(c.list...))
		teller := &teller{s: k.s}
		family := teller.family()
		require.Len(t, family, len(c.list), name)
		free := make([]int, len(family))
		for i := range free {
			free[i] = i
		}
		for size, want := range c.want {
			got := ""
			if list := teller.bySize(family, free, size); len(list) == 1 {
				got = teller.fish(family[list[0]]).Query.Species
			}
			assert.Equal(t, want, got, "%s: %s", name, size)
		}
	}
}

// sized gives a fish a weight.
func sized(f understand.Fish, kg float64) understand.Fish {
	f.Query.WeightKg = &kg
	return f
}

// "The last one" is of those that the newest message with several told of; one told alone
// before or after is none of them.
func TestFishAmongWhichOneIsMeant(t *testing.T) {
	for name, c := range map[string]struct {
		messages [][]understand.Fish
		want     []string
	}{
		"two in one":             {[][]understand.Fish{{fish(gag, 40, 2), fish(cod, 50, 6)}}, []string{gag, cod}},
		"one each":               {[][]understand.Fish{{fish(gag, 40, 2)}, {fish(cod, 50, 6)}}, []string{gag, cod}},
		"two, then one":          {[][]understand.Fish{{fish(gag, 40, 2), fish(cod, 50, 6)}, {fish(jack, 30, 4)}}, []string{gag, cod}},
		"one, then two":          {[][]understand.Fish{{fish(jack, 30, 4)}, {fish(gag, 40, 2), fish(cod, 50, 6)}}, []string{gag, cod}},
		"three of a kind in one": {[][]understand.Fish{{counted(fish(gag, 40, 0), 3)}}, []string{gag, gag, gag}},
	} {
		k := newTalker(t)
		for _, list := range c.messages {
			k.hear(question(list...))
		}
		teller := &teller{s: k.s}
		var got []string
		for _, o := range teller.family() {
			got = append(got, teller.fish(o).Query.Species)
		}
		assert.Equal(t, c.want, got, name)
	}
}

// What is told marks one fish where it is told of it alone.
func TestOneOfSeveralIsMarkedByWhatItAloneHas(t *testing.T) {
	for name, c := range map[string]struct {
		list []understand.Fish
		told understand.Fish
		want string
	}{
		"a depth":                      {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, fish("", 50, 0), cod},
		"a depth of both":              {[]understand.Fish{fish(gag, 40, 2), fish(cod, 40, 6)}, fish("", 40, 0), ""},
		"a depth of none":              {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, fish("", 60, 0), ""},
		"within a fiftieth of it":      {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, fish("", 51, 0), cod},
		"further from it":              {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, fish("", 51.1, 0), ""},
		"a depth and another's weight": {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, fish("", 50, 2), ""},
		"a sign":                       {[]understand.Fish{fish(gag, 40, 2), signed(fish(cod, 50, 6))}, signed(fish("", 0, 0)), cod},
		"a sign of both":               {[]understand.Fish{signed(fish(gag, 40, 2)), signed(fish(cod, 50, 6))}, signed(fish("", 0, 0)), ""},
		"a weight nobody told":         {[]understand.Fish{fish(gag, 40, 0), fish(cod, 50, 0)}, fish("", 0, 6), ""},
		"nothing":                      {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, fish("", 0, 0), ""},
	} {
		k := newTalker(t)
		k.hear(question(c.list...))
		teller := &teller{s: k.s}
		family, got := teller.family(), ""
		if at := teller.described(family, []int{0, 1}, c.told); at >= 0 {
			got = teller.fish(family[at]).Query.Species
		}
		assert.Equal(t, c.want, got, name)
	}
}

func TestWhatMarksAReport(t *testing.T) {
	known := done(signed(fish(gag, 40, 2)), advisor.Recompressed, advisor.SwamDown)
	for name, c := range map[string]struct {
		told understand.Fish
		want bool
	}{
		"its depth":                    {fish("", 40, 0), true},
		"its weight beside news":       {fish("", 60, 2), true},
		"its end":                      {went(fish("", 60, 0), advisor.SwamDown), true},
		"another end":                  {went(fish("", 0, 0), advisor.Died), false},
		"its sign":                     {signed(fish("", 60, 0)), true},
		"another sign, its depth":      {func() understand.Fish { f := fish("", 40, 0); f.Which.Sign = advisor.SkinBubbles; return f }(), false},
		"nothing of it":                {fish("", 60, 3), false},
		"a length, which nobody told":  {long("", 40), false},
		"nothing":                      {fish("", 0, 0), false},
		"its method, which many share": {done(fish("", 0, 0), advisor.Recompressed, ""), false},
	} {
		assert.Equal(t, c.want, marks(c.told, known), name)
	}
}

// Another role of a figure is asked about from one chance in five on; one from beyond
// 1,000 m, where no fish here lives, is no reading.
func TestFromWhichChanceAFigureIsAskedAbout(t *testing.T) {
	for sure, want := range map[float64]string{0.2: "weight_kg", 0.19: ""} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(bared(25, understand.Bare{Value: 12, Role: "length_cm", Sure: 0.5, Other: "weight_kg", OtherSure: sure}))
		assert.Equal(t, want, k.s.Asked.Other, sure)
	}
	for x, want := range map[float64]bool{1000: true, 1001: false} {
		teller := &teller{r: question(fish(gag, 0, 3))}
		_, ok := teller.queryWith(Lent{Field: "depth_m", Value: x, Unit: "metres"})
		assert.Equal(t, want, ok, x)
	}
	q, _ := new(teller).queryWith(Lent{Field: "depth_m", Value: 40, Unit: "metres"})
	assert.Equal(t, 1, q.Count, "one fish, where nobody said how many")
}

// A figure without a unit in a short question is of the fish that is talked of, whichever of
// its figures is nearest, though it is the only fish.
func TestFigureOfAShortQuestionIsTheNearestOfTheFish(t *testing.T) {
	for x, field := range map[float64]string{45: "depth_m", 3.5: "weight_kg"} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(question(fish(gag, 40, 3)))
		k.s.Asked = Ask{}
		r := question()
		r.Text, r.Loose = "and at this?", []understand.Bare{{Value: x}}
		m := k.hear(r)
		require.Len(t, m.Fish, 1)
		assert.InDelta(t, x, **m.Fish[0].Figure(field), 1e-9, field)
	}
}

// What sounds like a correction reports how fish went of which that was not told yet, where
// it points at them and names no report.
func TestFateOfFishThatHaveNoneIsNoCorrection(t *testing.T) {
	other := func(f understand.Fish) understand.Fish { f.Which.Other = true; return f }
	for name, c := range map[string]struct {
		talk   []understand.Fish
		told   understand.Fish
		number uint64
		want   understand.Act
	}{
		"the other one of two floated":   {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, other(went(fish("", 0, 0), advisor.FloatedOff)), 0, understand.ActReport},
		"of one there is no other":       {[]understand.Fish{fish(gag, 40, 2)}, other(went(fish("", 0, 0), advisor.FloatedOff)), 0, understand.ActCorrection},
		"a report is named":              {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, other(went(fish("", 0, 0), advisor.FloatedOff)), 1, understand.ActCorrection},
		"no fish is pointed at":          {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, went(fish("", 0, 0), advisor.FloatedOff), 0, understand.ActCorrection},
		"nothing is told of how it went": {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, other(fish("", 41, 0)), 0, understand.ActCorrection},
		"a fish is named":                {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, other(went(fish(jack, 0, 0), advisor.FloatedOff)), 0, understand.ActCorrection},
	} {
		k := newTalker(t)
		k.hear(question(c.talk...))
		r := correction(c.told)
		r.Number = c.number
		teller := &teller{s: k.s, r: r, now: k.now}
		teller.tellsFate()
		assert.Equal(t, c.want, teller.r.Act, name)
	}
}

// A depth that is told after two fish and is said of neither is of the last, though the
// first has it already.
func TestDepthThatNoWordsGiveToAFishIsOfTheLast(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 30, 0), fish(cod, 0, 0)))
	m := k.hear(question(fish("", 30, 0)))
	require.Len(t, m.Fish, 1)
	assert.Equal(t, cod, m.Fish[0].Query.Species)
	assert.Equal(t, 30.0, *m.Fish[0].Query.DepthM)
}

// Of three of which one is told apart two are left, in a question as in a report.
func TestOneToldApartIsTakenOffTheCount(t *testing.T) {
	k := newTalker(t)
	m := k.hear(question(counted(fish(gag, 40, 0), 3), fish("", 0, 2)))
	require.Len(t, m.Fish, 2)
	assert.Equal(t, []int{2, 1}, []int{m.Fish[0].Query.Count, m.Fish[1].Query.Count})
	m = k.hear(question(counted(fish(cod, 50, 0), 2), fish(gag, 50, 0)))
	assert.Equal(t, 2, m.Fish[0].Query.Count, "one with a name is another kind")

	k = newTalker(t)
	k.hear(report(done(counted(fish(gag, 40, 0), 3), advisor.Surface, ""), done(fish("", 0, 0), "", advisor.FloatedOff)))
	assert.Len(t, k.s.Standing(), 3)
}
