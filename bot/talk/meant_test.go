package talk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// which is a fish without a name that words such as "the first" point at.
func which(w understand.Which) understand.Fish {
	f := fish("", 0, 0)
	f.Which = w
	return f
}

func went(f understand.Fish, end advisor.Outcome) understand.Fish { return done(f, "", end) }

// ends are the outcomes of the standing rows, in their order.
func (k *talker) ends() (list []advisor.Outcome) {
	for _, r := range k.s.Standing() {
		list = append(list, r.Fish.Done.Outcome)
	}
	return list
}

// Of several alike each gets a report when its fate is told, in any order of telling.
func TestSeveralAlikeAreToldOneByOne(t *testing.T) {
	k := newTalker(t)
	k.hear(question(counted(fish(gag, 40, 0), 3)))
	k.hear(report(went(which(understand.Which{Nth: 1}), advisor.SwamDown)))
	require.Len(t, k.s.Standing(), 1, "one of three")
	k.hear(correction(went(which(understand.Which{Rest: true}), advisor.FloatedOff)))
	assert.Equal(t, []advisor.Outcome{advisor.SwamDown, advisor.FloatedOff, advisor.FloatedOff}, k.ends(), "the rest were not told yet: it corrects nothing")
	for _, r := range k.s.Standing() {
		assert.Equal(t, 40.0, *r.Fish.Query.DepthM)
	}
}

// The words point at one of several by its order, its size, a sign that it alone has, or as
// the other one.
func TestOneOfSeveralIsPointedAt(t *testing.T) {
	small, big := fish(gag, 40, 2), signed(fish(cod, 50, 6))
	for name, c := range map[string]struct {
		f    understand.Fish
		want string // whose report it makes
	}{
		"the first":             {which(understand.Which{Nth: 1}), gag},
		"the second":            {which(understand.Which{Nth: 2}), cod},
		"the last one":          {which(understand.Which{Last: true}), cod},
		"the little one":        {which(understand.Which{Size: understand.SizeSmall}), gag},
		"the big one":           {which(understand.Which{Size: understand.SizeBig}), cod},
		"the one with the eyes": {signed(fish("", 0, 0)), cod},
		"the one of the eyes":   {which(understand.Which{Sign: advisor.BulgingEyes}), cod},
		"the 6 kg one":          {fish("", 0, 6), cod},
		"the one from 40 m":     {fish("", 40, 0), gag},
	} {
		k := newTalker(t)
		k.hear(question(small, big))
		k.hear(report(went(c.f, advisor.SwamDown)))
		assert.Equal(t, c.want, k.only().Fish.Query.Species, name)
		k.hear(report(went(which(understand.Which{Other: true}), advisor.FloatedOff)))
		rows := k.s.Standing()
		require.Len(t, rows, 2, name)
		assert.NotEqual(t, rows[0].Fish.Query.Species, rows[1].Fish.Query.Species, "%s: then the other", name)
		assert.Equal(t, advisor.FloatedOff, rows[1].Fish.Done.Outcome, name)
	}
}

// Sizes that nobody knows in figures are told apart by the words for them.
func TestSizesInWordsTellFishApart(t *testing.T) {
	k := newTalker(t)
	chico := fish(gag, 40, 0)
	chico.Which.Size = understand.SizeSmall
	k.hear(question(chico, fish(cod, 40, 0)))
	k.hear(report(went(which(understand.Which{Size: understand.SizeBig}), advisor.SwamDown)))
	assert.Equal(t, cod, k.only().Fish.Query.Species, "the one that was not called small")
}

// "Both from 52 m", and a depth told after several fish of which none is known.
func TestADepthIsToldOfAll(t *testing.T) {
	for name, f := range map[string]understand.Fish{"both": which(understand.Which{Each: true}), "nothing said": fish("", 0, 0)} {
		k := newTalker(t)
		k.hear(question(fish(gag, 0, 0), fish(cod, 0, 0)))
		deep := 52.0
		f.Query.DepthM = &deep
		m := k.hear(question(f))
		require.Len(t, m.Fish, 2, name)
		assert.Equal(t, []string{gag, cod}, []string{m.Fish[0].Query.Species, m.Fish[1].Query.Species}, name)
		for _, f := range m.Fish {
			assert.Equal(t, deep, *f.Query.DepthM, name)
		}
		assert.Len(t, k.s.Fish, 2, "%s: and no third", name)
	}
}

// A depth that one of them has already is no news of all.
func TestADepthBesideAKnownOneIsOfTheLast(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 30, 0), fish(cod, 0, 0)))
	m := k.hear(question(fish("", 52, 0)))
	require.Len(t, m.Fish, 1)
	assert.Equal(t, cod, m.Fish[0].Query.Species)
}

// "The one that died was 32 m": a correction finds the report by what it alone says, and
// "no, the little one" gives what was put right to another.
func TestCorrectionsFindTheReportTheyDescribe(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 28, 2), advisor.Surface, advisor.Died)))
	k.hear(report(done(fish(gag, 20, 5), advisor.Surface, advisor.SwamDown)))
	deep := 32.0
	f := went(fish("", 0, 0), advisor.Died)
	f.Query.DepthM = &deep
	k.hear(correction(f))
	assert.Equal(t, 32.0, *k.s.Standing()[0].Fish.Query.DepthM)
	assert.Equal(t, 20.0, *k.s.Standing()[1].Fish.Query.DepthM)

	k.hear(correction(fish("", 25, 0)))
	assert.Equal(t, 25.0, *k.s.Standing()[1].Fish.Query.DepthM, "the last one")
	no := correction()
	no.Which = understand.Which{Size: understand.SizeSmall}
	k.hear(no)
	assert.Equal(t, 25.0, *k.s.Standing()[0].Fish.Query.DepthM, "no, the little one")
	assert.Equal(t, 20.0, *k.s.Standing()[1].Fish.Query.DepthM, "as it was")
}

// Two fish of one kind in one question stay two.
func TestTwoOfAKindInOneMessageStayTwo(t *testing.T) {
	k := newTalker(t)
	m := k.hear(question(signed(fish(gag, 40, 0)), fish(gag, 40, 0)))
	require.Len(t, m.Fish, 2)
	assert.Len(t, m.Fish[0].Query.Signs, 1)
	assert.Empty(t, m.Fish[1].Query.Signs)
}

// Of three weights aboard the words may pick the middle one.
func TestTheMiddleWeightIsPicked(t *testing.T) {
	k := newTalker(t)
	k.s.Aboard, k.s.AboardAt = understand.Aboard{ReleaseOz: []float64{32, 8, 16}}, dawn
	r := report(done(fish(gag, 40, 2), advisor.Recompressed, advisor.SwamDown))
	r.Again.Pick = understand.PickMiddle
	k.hear(r)
	assert.Equal(t, []float64{16}, k.only().Fish.Done.WeightsOz)
	assert.Equal(t, []float64{32, 8, 16}, k.s.Aboard.ReleaseOz, "as told")
}

// A fish asked about at another depth and of another size is another one: the signs of the
// one before are not its own.
func TestAFishToldAnewHasNoSignsOfTheOneBefore(t *testing.T) {
	k := newTalker(t)
	k.hear(question(signed(fish(gag, 40, 3))))
	m := k.hear(question(fish(gag, 45, 4)))
	require.Len(t, m.Fish, 1)
	assert.Empty(t, m.Fish[0].Query.Signs)
	m = k.hear(question(fish(gag, 45, 5)))
	require.Len(t, m.Fish, 1)
	assert.Equal(t, 5.0, *m.Fish[0].Query.WeightKg)
	assert.Len(t, k.s.Fish, 2, "only its weight is another: more is told of it")
}

// Reports of fish that are talked of no more have no words for their size; those with figures
// are told apart.
func TestReportsOfEarlierFishArePointedAtByTheirFigures(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 28, 2), advisor.Surface, advisor.SwamDown)))
	k.hear(report(done(fish(gag, 20, 0), advisor.Surface, advisor.SwamDown)))
	k.wait(FishLasts + time.Hour)
	deep := 32.0
	f := which(understand.Which{Size: understand.SizeSmall})
	f.Query.DepthM = &deep
	k.hear(correction(f))
	assert.Equal(t, []float64{28, 20}, []float64{*k.s.Standing()[0].Fish.Query.DepthM, *k.s.Standing()[1].Fish.Query.DepthM}, "it is not known which is small")
}

// "The one with the eyes was 50 m", "the 5 kg one was 30 m": what marks a report and what is
// put right of it stand in one sentence.
func TestACorrectionMarksItsReportAndTellsTheNews(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(signed(fish(gag, 45, 2)), advisor.Recompressed, advisor.SwamDown)))
	k.hear(report(done(fish(gag, 40, 5), advisor.Surface, advisor.SwamDown)))
	eyes := fish("", 50, 0)
	eyes.Which.Sign = advisor.BulgingEyes
	k.hear(correction(eyes))
	assert.Equal(t, []float64{50, 40}, []float64{*k.s.Standing()[0].Fish.Query.DepthM, *k.s.Standing()[1].Fish.Query.DepthM})
	k.hear(correction(fish("", 30, 5)))
	assert.Equal(t, []float64{50, 30}, []float64{*k.s.Standing()[0].Fish.Query.DepthM, *k.s.Standing()[1].Fish.Query.DepthM})
}

// Which of a family words may mean: none for sure where nothing tells them apart.
func TestWhichOfAFamilyIsMeant(t *testing.T) {
	long := func(cm float64) understand.Fish { f := fish(gag, 40, 0); f.Query.LengthCm = &cm; return f }
	called := func(s understand.Size) understand.Fish { f := fish(gag, 40, 0); f.Which.Size = s; return f }
	three := []understand.Fish{fish(gag, 40, 2), fish(gag, 40, 4), fish(gag, 40, 6)}
	two := []understand.Fish{fish(gag, 40, 0), fish(gag, 40, 0)}
	const small, big, middle = understand.SizeSmall, understand.SizeBig, understand.SizeMiddle
	for name, c := range map[string]struct {
		family []understand.Fish
		taken  []int
		f      understand.Fish
		want   []int
	}{
		"a fourth of three":            {three, nil, which(understand.Which{Nth: 4}), nil},
		"the third of three":           {three, nil, which(understand.Which{Nth: 3}), []int{2}},
		"the first, told of already":   {three, []int{0}, which(understand.Which{Nth: 1}), nil},
		"the middle one":               {three, nil, which(understand.Which{Size: middle}), []int{1}},
		"the middle of two":            {three, []int{0}, which(understand.Which{Size: middle}), nil},
		"the shortest":                 {[]understand.Fish{long(60), long(50)}, nil, which(understand.Which{Size: small}), []int{1}},
		"the longest":                  {[]understand.Fish{long(60), long(50)}, nil, which(understand.Which{Size: big}), []int{0}},
		"a weight and a length":        {[]understand.Fish{long(60), fish(gag, 40, 3)}, nil, which(understand.Which{Size: big}), nil},
		"one of no size":               {[]understand.Fish{fish(gag, 40, 0), fish(gag, 40, 3)}, nil, which(understand.Which{Size: big}), nil},
		"alike in size":                {[]understand.Fish{fish(gag, 40, 3), fish(gag, 40, 3)}, nil, which(understand.Which{Size: big}), nil},
		"called small":                 {[]understand.Fish{called(small), two[0]}, nil, which(understand.Which{Size: small}), []int{0}},
		"the big one beside the small": {[]understand.Fish{called(small), two[0]}, nil, which(understand.Which{Size: big}), []int{1}},
		"both called small":            {[]understand.Fish{called(small), called(small)}, nil, which(understand.Which{Size: big}), nil},
		"the middle beside the small":  {[]understand.Fish{called(small), two[0]}, nil, which(understand.Which{Size: middle}), nil},
		"the only one left":            {two, []int{0}, which(understand.Which{Size: big}), []int{1}},
		"one alone by a sign":          {[]understand.Fish{signed(fish(gag, 40, 2)), fish(gag, 40, 4)}, nil, signed(fish("", 0, 0)), []int{0}},
		"two by a sign":                {[]understand.Fish{signed(fish(gag, 40, 2)), signed(fish(gag, 40, 4))}, nil, signed(fish("", 0, 0)), nil},
		"two of three alike":           {three, nil, counted(went(fish("", 0, 0), advisor.Died), 2), []int{0, 1}},
		"one of three alike":           {three, nil, counted(went(fish("", 0, 0), advisor.Died), 1), []int{0}},
		"as many as are left":          {two, nil, counted(went(fish("", 0, 0), advisor.Died), 2), nil},
		"of two kinds":                 {[]understand.Fish{fish(gag, 40, 2), fish(cod, 40, 4)}, nil, counted(went(fish("", 0, 0), advisor.Died), 1), nil},
		"a gag of two":                 {[]understand.Fish{fish(gag, 40, 2), fish(cod, 40, 4)}, nil, fish(cod, 0, 0), []int{1}},
		"two gags of three":            {three, nil, counted(fish(gag, 0, 0), 2), []int{0, 1}},
		"the other":                    {two, []int{0}, which(understand.Which{Other: true}), []int{1}},
		"each":                         {three, nil, which(understand.Which{Each: true}), []int{0, 1, 2}},
		"the rest":                     {three, []int{1}, which(understand.Which{Rest: true}), []int{0, 2}},
	} {
		s := State{}
		family, taken := make([]one, len(c.family)), make([]bool, len(c.family))
		for i, f := range c.family {
			s.Fish = append(s.Fish, Fish{Fish: f, Place: i + 1, Told: 1})
			family[i] = one{at: i}
		}
		for _, k := range c.taken {
			taken[k] = true
		}
		assert.Equal(t, c.want, (&teller{s: s}).pick(family, taken, c.f), name)
	}
}

// Of fish some of which are reported, the only one that lacks its end is the one of that size,
// and a sign points at one that lacks it.
func TestOneThatLacksItsEndIsMeant(t *testing.T) {
	rows := []Row{{No: 1, Fish: went(signed(fish(gag, 40, 2)), advisor.SwamDown)}, {No: 2, Fish: signed(fish(gag, 40, 2))}}
	s := State{Fish: []Fish{{Fish: fish(gag, 40, 2)}}}
	family := []one{{at: 0, row: &rows[0]}, {at: 0, row: &rows[1]}}
	teller := &teller{s: s}
	assert.Nil(t, teller.pick(family, make([]bool, 2), signed(fish("", 0, 0))), "both have the sign")
	assert.Equal(t, []int{0}, teller.pick(family, []bool{false, true}, signed(fish("", 0, 0))), "the other is told of: this one is put right")
	rows[0].Fish.Query.Signs = nil
	assert.Equal(t, []int{1}, teller.pick(family, make([]bool, 2), signed(fish("", 0, 0))))
	rows[0].Fish.Query.Signs, rows[1].Fish.Query.Signs = rows[1].Fish.Query.Signs, nil
	assert.Nil(t, teller.pick(family, make([]bool, 2), signed(fish("", 0, 0))), "its end is told, another lacks one")
	rows[1].Fish.Done.Outcome = advisor.SwamDown
	assert.Equal(t, []int{0}, teller.pick(family, make([]bool, 2), signed(fish("", 0, 0))), "where none lacks one it is put right")
}

// The places of fish go on from the last one, and those of one message stand together.
func TestPlacesOfFishInATalk(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 40, 2), fish(cod, 40, 4)))
	k.hear(question(fish(jack, 40, 4)))
	for i, want := range [][2]int{{1, 1}, {2, 1}, {3, 3}} {
		assert.Equal(t, want, [2]int{k.s.Fish[i].Place, k.s.Fish[i].Told})
	}
}

// A size told of several without a name is of those it means alone.
func TestMoreIsToldOfOneOfSeveral(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 40, 2), fish(cod, 40, 4)))
	f := signed(which(understand.Which{Nth: 1}))
	m := k.hear(question(f))
	require.Len(t, m.Fish, 1)
	assert.Equal(t, gag, m.Fish[0].Query.Species)
	m = k.hear(question(fish("", 0, 5)))
	require.Len(t, m.Fish, 1, "no word says which: it is of the one talked of")
	assert.Equal(t, gag, m.Fish[0].Query.Species)

	k = newTalker(t)
	k.hear(question(fish(gag, 0, 0)))
	k.hear(question(fish(cod, 0, 0)))
	m = k.hear(question(fish("", 52, 0)))
	assert.Len(t, m.Fish, 1, "told one by one they need not come from one depth")
}

// What was put right goes to the other fish only right after one was, of one fish, and with no
// other news.
func TestWhenTheOtherFishWasMeant(t *testing.T) {
	little := which(understand.Which{Size: understand.SizeSmall})
	talk := func() *talker {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 28, 2), advisor.Surface, advisor.SwamDown)))
		k.hear(report(done(fish(cod, 20, 5), advisor.Surface, advisor.SwamDown)))
		k.hear(correction(fish("", 25, 0)))
		return k
	}
	for name, c := range map[string]struct {
		list []understand.Fish
		want bool
	}{
		"the little one": {[]understand.Fish{little}, true}, "two": {[]understand.Fish{little, fish("", 0, 0)}, false},
		"which it is already": {[]understand.Fish{which(understand.Which{Size: understand.SizeBig})}, false},
		"none":                {[]understand.Fish{fish("", 0, 0)}, false},
	} {
		k := talk()
		_, ok := (&teller{s: k.s, r: correction(c.list...), now: k.now}).theOther()
		assert.Equal(t, c.want, ok, name)
	}
	k := talk()
	for i := range k.s.Rows {
		k.s.Rows[i].Undone = true
	}
	_, ok := (&teller{s: k.s, r: correction(little), now: k.now}).theOther()
	assert.False(t, ok, "what was put right was taken back")
}
