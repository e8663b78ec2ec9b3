package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
	"deepward/bot/understand"
)

// open is a fish whose name fits several kinds, best first.
func open(kinds ...string) understand.Fish {
	f := fish(kinds[0], 0, 0)
	f.Query.Ambiguous, f.Query.Candidates = true, kinds
	return f
}

func signed(f understand.Fish) understand.Fish {
	f.Query.Signs = []advisor.Sign{advisor.BulgingEyes}
	return f
}

// unknown is a fish by a name that nobody knows.
func unknown(name string) understand.Fish {
	f := fish("", 0, 0)
	f.Name, f.Query.SpeciesName = name, name
	return f
}

// Whether a name can be that of a fish known before.
func TestNamesThatMayMeanOneFish(t *testing.T) {
	for name, c := range map[string]struct {
		known, f understand.Fish
		open     bool // it has no report
		want     bool
	}{
		"the same kind":                                {fish(gag, 60, 3), fish(gag, 0, 0), false, true},
		"another kind":                                 {fish(gag, 60, 3), fish(cod, 0, 0), true, false},
		"one unknown name":                             {unknown("gorb"), unknown("gorb"), false, true},
		"two unknown names":                            {unknown("gorb"), unknown("blarn"), true, false},
		"the open name fits the kind":                  {fish(gag, 60, 3), open(cod, gag), true, true},
		"so of a reported fish":                        {fish(gag, 60, 3), open(cod, gag), false, true},
		"the open name fits another":                   {fish(gag, 60, 3), open(cod, jack), true, false},
		"the name settles an open one":                 {open(cod, gag), fish(gag, 0, 0), true, true},
		"but not of a reported fish":                   {open(cod, gag), fish(gag, 0, 0), false, false},
		"an unknown name is said to be a kind":         {unknown("gorb"), fish(gag, 0, 0), true, true},
		"a kind with a depth is another fish":          {unknown("gorb"), fish(gag, 60, 0), true, false},
		"a kind with a weight is another fish":         {unknown("gorb"), fish(gag, 0, 3), true, false},
		"a kind with a sign is another fish":           {unknown("gorb"), signed(fish(gag, 0, 0)), true, false},
		"a kind that was let go is another fish":       {unknown("gorb"), done(fish(gag, 0, 0), advisor.Surface, ""), true, false},
		"a kind that is known becomes no unknown name": {fish(gag, 60, 3), unknown("gorb"), true, false},
	} {
		teller := &teller{r: question(c.f)}
		assert.Equal(t, c.want, teller.mayBe(c.known, c.f, c.open), name)
	}
	two := &teller{r: question(fish(gag, 0, 0), fish(cod, 0, 0))}
	assert.False(t, two.mayBe(unknown("gorb"), fish(gag, 0, 0), true), "of two names none says what it is")
}

// What of a fish of a kind that has a report makes it another one.
func TestWhatMakesAFishAnotherThanTheReportedOne(t *testing.T) {
	freed := done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)
	floated := done(fish(gag, 60, 3), advisor.Surface, advisor.FloatedOff)
	lifted := fish(gag, 60, 3)
	for name, c := range map[string]struct {
		known understand.Fish
		r     understand.Reading
		want  bool
	}{
		"a question of the same figures":     {freed, question(fish(gag, 60, 3)), false},
		"another depth":                      {freed, question(fish(gag, 62, 0)), true},
		"nearly the same depth":              {freed, question(fish(gag, 61, 0)), false},
		"another weight":                     {freed, report(fish(gag, 0, 3.1)), true},
		"another depth that puts right":      {freed, correction(fish(gag, 70, 0)), false},
		"told whole":                         {freed, report(fish(gag, 60, 3)), true},
		"depth alone":                        {freed, report(fish(gag, 60, 0)), false},
		"weight alone":                       {freed, report(fish(gag, 0, 3)), false},
		"an end with a depth":                {freed, report(done(fish(gag, 60, 0), "", advisor.SwamDown)), true},
		"an end with a weight":               {freed, report(done(fish(gag, 0, 3), "", advisor.SwamDown)), true},
		"an end alone":                       {freed, report(done(fish(gag, 0, 0), "", advisor.SwamDown)), false},
		"a deed after it swam off":           {freed, report(done(fish(gag, 0, 0), advisor.Recompressed, "")), true},
		"a deed after it floated":            {floated, report(done(fish(gag, 0, 0), advisor.Recompressed, "")), false},
		"a deed where no end was told":       {lifted, report(done(fish(gag, 0, 0), advisor.Recompressed, "")), false},
		"a length where a weight is known":   {freed, report(understand.Fish{Name: gag, Query: advisor.Query{Species: gag, Count: 1, Capture: advisor.Capture{LengthCm: new(50.0)}}}), true},
		"a depth where none was known of it": {fish(gag, 0, 3), question(fish(gag, 60, 0)), true},
	} {
		teller := &teller{r: c.r}
		assert.Equal(t, c.want, teller.tellsMore(Fish{Fish: c.known}, c.r.Fish[0]), name)
	}
}

// A bare figure after the size was asked for is a weight where the fish can weigh that.
func TestBareSizeIsTheOneThatTheFishCanHave(t *testing.T) {
	for name, c := range map[string]struct {
		units Units
		x     float64
		want  string
	}{
		"a weight":                        {Metric, 3, "weight_kg"},
		"too heavy for any":               {Metric, 290, "length_cm"},
		"only lengths have a known unit":  {Units{Length: 1}, 3, "length_cm"},
		"only weights have a known unit":  {Units{Weight: 1}, 3, "weight_kg"},
		"no unit is known, nothing taken": {Units{}, 3, ""},
	} {
		k := newTalker(t)
		k.hear(question(fish(cod, 60, 0)))
		k.now.Units = c.units
		teller := &teller{s: k.s, now: k.now}
		assert.Equal(t, c.want, teller.sizeField(c.x), name)
	}
	nobody := &teller{now: Now{Units: Metric}}
	assert.Empty(t, nobody.sizeField(3), "no fish is talked of")
}

// Two figures without a unit are the depth and the weight of a fish of which neither is
// known, where the first is three times the other or more.
func TestTwoBareFiguresAreDepthAndWeight(t *testing.T) {
	pair := func(x, y float64) understand.Reading {
		r := question(fish(gag, 0, 0))
		r.Loose = []understand.Bare{{Value: x, Words: "x"}, {Value: y, Words: "y"}}
		return r
	}
	for name, c := range map[string]struct {
		r    understand.Reading
		want bool
	}{
		"far apart":          {pair(410, 1.6), true},
		"three times":        {pair(6, 2), true},
		"nearer":             {pair(5.9, 2), false},
		"the smaller first":  {pair(2, 40), false},
		"of two fish":        {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 0, 0), fish(cod, 0, 0)}, Loose: pair(410, 1.6).Loose}, false},
		"a depth is known":   {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 60, 0)}, Loose: pair(410, 1.6).Loose}, false},
		"a weight is known":  {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 0, 3)}, Loose: pair(410, 1.6).Loose}, false},
		"no fish is told of": {understand.Reading{Act: understand.ActQuestion, Sure: 1, Loose: pair(410, 1.6).Loose}, false},
		"three figures":      {understand.Reading{Act: understand.ActQuestion, Sure: 1, Fish: []understand.Fish{fish(gag, 0, 0)}, Loose: append(pair(410, 1.6).Loose, understand.Bare{Value: 2})}, false},
	} {
		teller := &teller{r: c.r, now: Now{Units: Metric}}
		assert.Equal(t, c.want, teller.lendPair(), name)
	}
	strange := &teller{r: pair(410, 1.6), now: Now{Units: Units{Weight: 1}}}
	assert.False(t, strange.lendPair(), "nobody knows the unit of the depth")
	strange.now.Units = Units{Depth: 1}
	assert.False(t, strange.lendPair(), "nor that of the weight")
}

// A name that was heard as none points at the report of the fish that was typed so, newest
// first.
func TestNameInTheWordsPointsAtItsReport(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, "")))
	k.hear(report(done(fish(cod, 50, 2), advisor.Recompressed, "")))
	for text, want := range map[string]uint64{"the " + gag + " was 31": 1, "the " + cod + " was 31": 2, "it was 31": 0, gag + "s were 31": 0} {
		r := correction(fish("", 31, 0))
		r.Text = text
		var no uint64
		teller := &teller{s: k.s, r: r, now: k.now}
		if rows := teller.mentioned(k.s.Standing()); len(rows) > 0 {
			no = rows[0].No
		}
		assert.Equal(t, want, no, text)
	}
	one := newTalker(t)
	one.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, "")))
	r := correction(fish("", 31, 0))
	r.Text = "the " + gag + " was 31"
	teller := &teller{s: one.s, r: r}
	assert.Empty(t, teller.mentioned(one.s.Standing()), "where all have one name it tells none apart")
}

// Of weights that the words pick nothing is taken where none is aboard, nor where the fish
// was not sent down.
func TestPickedWeightIsOneThatIsAboard(t *testing.T) {
	for _, pick := range []understand.Pick{understand.PickLightest, understand.PickHeaviest, understand.PickTogether, ""} {
		f := done(fish(gag, 60, 3), advisor.Recompressed, "")
		teller := &teller{r: understand.Reading{Again: understand.Again{Pick: pick}}}
		assert.NotPanics(t, func() { teller.useAboard(&f) })
		assert.Empty(t, f.Done.WeightsOz, pick)
		teller.s.Aboard.ReleaseOz = []float64{20, 40}
		top := done(fish(gag, 60, 3), advisor.Surface, "")
		teller.useAboard(&top)
		assert.Empty(t, top.Done.WeightsOz, "it was let go at the top")
	}
	f := done(fish(gag, 60, 3), advisor.Recompressed, "")
	alike := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: []float64{40, 40}}}}
	alike.useAboard(&f)
	assert.Equal(t, []float64{40}, f.Done.WeightsOz, "of two alike it was one")
}

// "The second" is a fish of the talk where there are so many, and more than one.
func TestPlaceOfAFishAmongOthers(t *testing.T) {
	for n, want := range map[int]int{0: 1, 1: 0, 2: 1, 3: none} {
		k := newTalker(t)
		k.hear(question(fish(gag, 60, 3), fish(cod, 50, 2)))
		r := report(done(fish("", 0, 0), "", advisor.SwamDown))
		r.Again.Nth = n
		teller := &teller{s: k.s, r: r, now: k.now}
		assert.Equal(t, want, teller.subject(r.Fish[0]), n)
	}
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := report(done(fish("", 0, 0), "", advisor.SwamDown))
	r.Again.Nth = 1
	teller := &teller{s: k.s, r: r, now: k.now}
	assert.Zero(t, teller.subject(r.Fish[0]), "the only one")
	r.Again.Nth, r.Act = 2, understand.ActQuestion
	k.hear(question(fish(cod, 50, 2)))
	teller.s, teller.r = k.s, r
	assert.Equal(t, none, teller.subject(r.Fish[0]), "a question of a second one is of another fish")
}

// Words for a further fish count in a report only where the reading does not speak against
// them; what is surely of a further one is so without any.
func TestWordsForAFurtherFish(t *testing.T) {
	for name, c := range map[string]struct {
		act     understand.Act
		kept    bool // a report of the fish stands
		another bool
		further float64
		want    bool
	}{
		"a question":                        {understand.ActQuestion, true, true, 0, true},
		"a report of the first":             {understand.ActReport, false, true, 0, true},
		"a report, surely of no other":      {understand.ActReport, true, true, 0.19, false},
		"a report, hardly of another":       {understand.ActReport, true, true, 0.21, true},
		"no word, surely of another":        {understand.ActReport, true, false, 0.8, true},
		"no word, not surely of another":    {understand.ActReport, true, false, 0.79, false},
		"no word in a report of the first":  {understand.ActReport, false, false, 1, false},
		"no word in a question of another":  {understand.ActQuestion, true, false, 1, false},
		"an eighth is no reason for a word": {understand.ActReport, true, true, 0.13, false},
	} {
		k := newTalker(t)
		if c.kept {
			k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
		} else {
			k.hear(question(fish(gag, 60, 3)))
		}
		teller := &teller{s: k.s, r: understand.Reading{Act: c.act, Further: c.further, Again: understand.Again{Another: c.another}, Fish: []understand.Fish{fish("", 0, 0)}}, now: k.now}
		assert.Equal(t, c.want, teller.isAnother(), name)
	}
}

// In a report of several fish "another" is said of one of them: the others are those that are
// talked of.
func TestAnotherAmongSeveralIsOneOfThem(t *testing.T) {
	known, same, other := fish(gag, 60, 3), fish(gag, 0, 0), fish(gag, 30, 0)
	for name, c := range map[string]struct {
		r    understand.Reading
		open bool
		want bool
	}{
		"alone":                   {report(same), true, true},
		"of two":                  {report(same, fish(cod, 0, 0)), true, false},
		"of three":                {report(same, fish(cod, 0, 0), fish(jack, 0, 0)), true, false},
		"of two, another depth":   {report(other, fish(cod, 0, 0)), true, true},
		"of two, reported before": {report(same, fish(cod, 0, 0)), false, true},
		"of two in a question":    {question(same, fish(cod, 0, 0)), true, true},
	} {
		c.r.Again.Another = true
		assert.Equal(t, c.want, (&teller{r: c.r}).saysFurther(known, c.r.Fish[0], c.open), name)
	}
}

// A name in few words says what the fish is that was asked about; it does not where it asks of
// a further one.
func TestANameInFewWordsRenames(t *testing.T) {
	for text, want := range map[string]bool{
		"gag": true, "he says that it is a gag as we": true, "he says that it is a gag as we say": false,
		"": false, "and gag": false, "gag?": false,
	} {
		k := newTalker(t)
		k.hear(question(fish(cod, 60, 3)))
		teller := &teller{s: k.s, r: worded(understand.ActQuestion, text, fish(gag, 0, 0)), now: k.now}
		assert.Equal(t, want, teller.renames(), text)
	}
	k := newTalker(t)
	k.hear(question(fish(cod, 60, 3), fish(jack, 60, 3)))
	two := &teller{s: k.s, r: worded(understand.ActQuestion, "gag", fish(gag, 0, 0)), now: k.now}
	assert.False(t, two.renames(), "of two nobody knows which")
}

// What a fish has from the one before it, by the words that say so: "same again" all but how
// many there were, another method not its weight.
func TestWhatIsCarriedOverToTheNextFish(t *testing.T) {
	last := counted(done(fish(gag, 40, 2), advisor.Recompressed, advisor.SwamDown), 3)
	last.Done.WeightsOz = []float64{20}
	carried := func(r understand.Reading) understand.Fish {
		k := newTalker(t)
		k.hear(report(last))
		return (&teller{s: k.s, r: r, now: k.now}).carried(r.Fish[0])
	}
	all := understand.Again{All: true}
	say := func(a understand.Again, f understand.Fish) understand.Reading { r := report(f); r.Again = a; return r }

	got := carried(say(all, fish("", 0, 0)))
	assert.Equal(t, 1, got.Query.Count)
	assert.False(t, got.Counted)
	assert.Equal(t, []any{40.0, 2.0, advisor.Recompressed, advisor.SwamDown, []float64{20}}, []any{*got.Query.DepthM, *got.Query.WeightKg, got.Done.Method, got.Done.Outcome, got.Done.WeightsOz})

	f := fish("", 0, 0)
	f.Pick = understand.PickHeaviest
	assert.Empty(t, carried(say(all, f)).Done.WeightsOz, "with another weight")
	assert.Empty(t, carried(say(understand.Again{Deed: true}, f)).Done.WeightsOz, "with another weight")
	assert.Equal(t, []float64{20}, carried(say(understand.Again{Deed: true}, fish("", 0, 0))).Done.WeightsOz)

	got = carried(say(all, fish(cod, 0, 0)))
	assert.Nil(t, got.Query.WeightKg, "of another kind the size is not known")
	assert.Equal(t, advisor.SwamDown, got.Done.Outcome, "it was the same again, of a cod")
	assert.NotNil(t, carried(say(all, fish(gag, 0, 0))).Query.WeightKg)
	otherwise := understand.Again{All: true, Otherwise: true}
	assert.Nil(t, carried(say(otherwise, fish(gag, 0, 0))).Query.WeightKg)

	whatIf := worded(understand.ActQuestion, "and at 80?", fish("", 80, 0))
	got = carried(whatIf)
	assert.Equal(t, 1, got.Query.Count)
	assert.Equal(t, understand.Done{}, got.Done, "nothing was done with one that is only supposed")

	assert.Empty(t, carried(say(understand.Again{}, fish("", 60, 0))).Name, "other figures are of a fish that nobody named")
	assert.Equal(t, gag, carried(say(understand.Again{Spot: true}, fish("", 0, 4))).Name)
}

// One more of a kind goes the way of the one before, but for one that was kept where it is told
// how this one went.
func TestOneMoreGoesTheSameWay(t *testing.T) {
	for name, c := range map[string]struct {
		before advisor.Method
		told   understand.Fish
		want   advisor.Method
	}{
		"sent down":                  {advisor.Recompressed, went(fish("", 0, 0), advisor.FloatedOff), advisor.Recompressed},
		"kept":                       {advisor.Kept, fish("", 0, 4), advisor.Kept},
		"one kept, this one floated": {advisor.Kept, went(fish("", 0, 0), advisor.FloatedOff), ""},
		"told otherwise":             {advisor.Recompressed, done(fish("", 0, 0), advisor.Surface, ""), ""},
	} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 40, 2), c.before, "")))
		r := report(c.told)
		r.Again.Another, r.Further = true, 0.5
		assert.Equal(t, c.want, (&teller{s: k.s, r: r, now: k.now}).carried(c.told).Done.Method, name)
	}
	k := newTalker(t)
	k.hear(report(done(fish(gag, 40, 2), advisor.Surface, "")))
	for act, want := range map[understand.Act]advisor.Method{understand.ActReport: advisor.Surface, understand.ActQuestion: ""} {
		r := understand.Reading{Act: act, Again: understand.Again{Spot: true}, Text: "same spot, and what would you do with one of 2 kg", Fish: []understand.Fish{fish(cod, 0, 2)}}
		assert.Equal(t, want, (&teller{s: k.s, r: r, now: k.now}).carried(r.Fish[0]).Done.Method, string(act))
	}
}

// "And at 80?" right after a report asks of that fish with one figure changed, in few words or
// where they suppose it.
func TestWordsThatSupposeAnotherFigure(t *testing.T) {
	two := fish("", 80, 3)
	floating := fish("", 80, 0)
	floating.Query.Behaviour = advisor.Floating
	for text, c := range map[string]struct {
		f    understand.Fish
		want bool
	}{
		"what about it at 80 m":                        {fish("", 80, 0), true},
		"and what about it at 80 m":                    {fish("", 80, 0), false},
		"what if it had come up from 80":               {fish("", 80, 0), true},
		"what if it was a cod":                         {fish(cod, 0, 0), true},
		"and a cod":                                    {fish(cod, 0, 0), false},
		"what if it was a cod at 80":                   {fish(cod, 80, 0), false},
		"at 80, 3 kg":                                  {two, false},
		"at 80, bulging eyes":                          {signed(fish("", 80, 0)), false},
		"at 80, floating":                              {floating, false},
		"at 80, sent down":                             {done(fish("", 80, 0), advisor.Recompressed, ""), false},
		"and one that nothing is told of, what of it?": {fish("", 0, 0), false},
	} {
		k := newTalker(t)
		k.hear(report(done(fish(gag, 40, 2), advisor.Recompressed, advisor.SwamDown)))
		r := worded(understand.ActQuestion, text, c.f)
		assert.Equal(t, c.want, (&teller{s: k.s, r: r, now: k.now}).isWhatIf(c.f), text)
	}
}

// The same again of another kind, and nothing else, went as the one before did.
func TestTheSameAgainAndNothingElse(t *testing.T) {
	floating := fish(cod, 0, 0)
	floating.Query.Behaviour = advisor.Floating
	for name, c := range map[string]struct {
		r    understand.Reading
		want bool
	}{
		"a cod":                {report(fish(cod, 0, 0)), true},
		"a cod of 3 kg":        {report(fish(cod, 0, 3)), false},
		"a cod that floats":    {report(floating), false},
		"a cod with a sign":    {report(signed(fish(cod, 0, 0))), false},
		"no name":              {report(fish("", 0, 0)), false},
		"a cod, in a question": {question(fish(cod, 0, 0)), false},
	} {
		assert.Equal(t, c.want, (&teller{r: c.r}).saysOnlyAgain(c.r.Fish[0]), name)
	}
}
