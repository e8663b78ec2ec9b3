package talk

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
)

// rowsAs are the standing reports, each as its kind, its way and its end.
func (k *talker) rowsAs() (list []string) {
	for _, r := range k.s.Standing() {
		list = append(list, fmt.Sprintf("%.3s %s %s", r.Fish.Query.Species, r.Fish.Done.Method, r.Fish.Done.Outcome))
	}
	return list
}

// Several fates that are told of several fish that were asked about become as many reports.
func TestFatesAreSpreadOverTheFishThatWereAskedAbout(t *testing.T) {
	up, down := went(fish("", 0, 0), advisor.FloatedOff), done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown)
	for name, c := range map[string]struct {
		asked []understand.Fish
		told  []understand.Fish
		want  []string
	}{
		"one each, in their order":       {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, []understand.Fish{up, down}, []string{"Myc  floated", "Gad recompressed swam_down"}},
		"both alike":                     {[]understand.Fish{fish(gag, 40, 2), fish(cod, 50, 6)}, []understand.Fish{counted(up, 2)}, []string{"Myc  floated", "Gad  floated"}},
		"of two alike one each":          {[]understand.Fish{counted(fish(gag, 40, 2), 2)}, []understand.Fish{up, down}, []string{"Myc  floated", "Myc recompressed swam_down"}},
		"of three alike two and one":     {[]understand.Fish{counted(fish(gag, 40, 2), 3)}, []understand.Fish{counted(up, 2), down}, []string{"Myc  floated", "Myc  floated", "Myc recompressed swam_down"}},
		"of three alike all":             {[]understand.Fish{counted(fish(gag, 40, 2), 3)}, []understand.Fish{down}, []string{"Myc recompressed swam_down", "Myc recompressed swam_down", "Myc recompressed swam_down"}},
		"of three alike two are counted": {[]understand.Fish{counted(fish(gag, 40, 2), 3)}, []understand.Fish{counted(down, 2)}, []string{"Myc recompressed swam_down", "Myc recompressed swam_down"}},
	} {
		k := newTalker(t)
		k.hear(question(c.asked...))
		k.hear(report(c.told...))
		assert.Equal(t, c.want, k.rowsAs(), name)
	}
}

// How it went is told of the reports of one message by their place or in their order, where
// it was not told yet.
func TestFatesAreToldOfReports(t *testing.T) {
	up, down := went(fish("", 0, 0), advisor.FloatedOff), went(fish("", 0, 0), advisor.SwamDown)
	for name, c := range map[string]struct {
		nth  int
		told []understand.Fish
		want []advisor.Outcome
	}{
		"in their order": {0, []understand.Fish{up, down, up}, []advisor.Outcome{advisor.FloatedOff, advisor.SwamDown, advisor.FloatedOff}},
		"the first":      {1, []understand.Fish{up}, []advisor.Outcome{advisor.FloatedOff, "", ""}},
		"the third":      {3, []understand.Fish{up}, []advisor.Outcome{"", "", advisor.FloatedOff}},
		"all of them":    {0, []understand.Fish{down}, []advisor.Outcome{advisor.SwamDown, advisor.SwamDown, advisor.SwamDown}},
	} {
		k := newTalker(t)
		k.hear(report(counted(done(fish(gag, 60, 3), advisor.Recompressed, ""), 3)))
		require.Len(t, k.s.Standing(), 3)
		r := report(c.told...)
		r.Again.Nth = c.nth
		k.hear(r)
		assert.Equal(t, c.want, k.ends(), name)
	}
}

// Of a number of fish that a message tells of, those that went otherwise take their share.
func TestShareOfACount(t *testing.T) {
	four := func(end advisor.Outcome) understand.Fish {
		return counted(done(fish(gag, 40, 0), advisor.Recompressed, end), 4)
	}
	for name, c := range map[string]struct {
		told []understand.Fish
		want map[advisor.Outcome]int
	}{
		"four, one floated":           {[]understand.Fish{four(""), counted(went(fish("", 0, 0), advisor.FloatedOff), 1)}, map[advisor.Outcome]int{"": 3, advisor.FloatedOff: 1}},
		"four, three down, one up":    {[]understand.Fish{four(""), counted(went(fish("", 0, 0), advisor.SwamDown), 3), counted(went(fish("", 0, 0), advisor.FloatedOff), 1)}, map[advisor.Outcome]int{advisor.SwamDown: 3, advisor.FloatedOff: 1}},
		"four went down and four not": {[]understand.Fish{four(advisor.SwamDown), counted(went(fish("", 0, 0), advisor.FloatedOff), 5)}, map[advisor.Outcome]int{advisor.SwamDown: 4, advisor.FloatedOff: 5}},
	} {
		k := newTalker(t)
		k.hear(report(c.told...))
		got := map[advisor.Outcome]int{}
		for _, r := range k.s.Standing() {
			got[r.Fish.Done.Outcome]++
			assert.Equal(t, gag, r.Fish.Query.Species, name)
			assert.Equal(t, 40.0, *r.Fish.Query.DepthM, name)
		}
		assert.Equal(t, c.want, got, name)
	}
}

// Two of a kind that were asked about together get each what is told of it.
func TestTwoAlikeAreToldApart(t *testing.T) {
	k := newTalker(t)
	k.hear(question(counted(fish(gag, 40, 0), 2)))
	m := k.hear(question(fish("", 0, 3), fish("", 0, 1.5)))
	require.Len(t, m.Fish, 2)
	for i, kg := range []float64{3, 1.5} {
		assert.Equal(t, gag, m.Fish[i].Query.Species)
		assert.Equal(t, 40.0, *m.Fish[i].Query.DepthM)
		assert.Equal(t, kg, *m.Fish[i].Query.WeightKg)
		assert.Equal(t, 1, m.Fish[i].Query.Count)
		assert.False(t, m.Fish[i].Counted)
	}
	k = newTalker(t)
	k.hear(question(counted(fish(gag, 40, 0), 3)))
	assert.NotEqual(t, 3, len(k.hear(question(fish("", 0, 3), fish("", 0, 1.5))).Fish), "of three two are not all")
}

// A report that is not sure to be one, and does not say how the fish went, may ask what to
// do: the fish may still be aboard.
func TestReportThatMayAskWhatToDo(t *testing.T) {
	base := done(fish(gag, 40, 3), advisor.Recompressed, "")
	for name, c := range map[string]struct {
		f    understand.Fish
		sure float64
		n    int
		want bool
	}{
		"not sure":                    {base, 0.89, 1, true},
		"sure":                        {base, 0.9, 1, false},
		"of two":                      {base, 0.5, 2, false},
		"it is told how it went":      {went(base, advisor.SwamDown), 0.5, 1, false},
		"it was kept":                 {done(base, advisor.Kept, ""), 0.5, 1, false},
		"from no known depth":         {done(fish(gag, 0, 3), advisor.Recompressed, ""), 0.5, 1, false},
		"with a weight":               {on(fish(gag, 40, 3), 20), 0.5, 1, false},
		"with a tag":                  {func() understand.Fish { f := base; f.Done.Tag = "A1"; return f }(), 0.5, 1, false},
		"let go at the top":           {done(base, advisor.Surface, ""), 0.8, 1, false},
		"let go at the top, less so":  {done(base, advisor.Surface, ""), 0.79, 1, true},
		"nothing told of how it went": {fish(gag, 40, 3), 0.5, 1, true},
	} {
		teller := &teller{r: understand.Reading{Act: understand.ActReport, Sure: c.sure}}
		rows := make([]Row, c.n)
		for i := range rows {
			rows[i].Fish = c.f
		}
		assert.Equal(t, c.want, teller.mayBeAboard(rows), name)
	}
	dated := &teller{r: understand.Reading{Act: understand.ActReport, Sure: 0.5, Day: &understand.Day{Ago: 1}}}
	assert.False(t, dated.mayBeAboard([]Row{{Fish: base}}), "a fish of yesterday is not aboard")
}

// A weight that was used and not told is the only one aboard, or the one that the words pick
// among them.
func TestWeightUsedOfThoseAboard(t *testing.T) {
	for name, c := range map[string]struct {
		aboard []float64
		pick   understand.Pick
		how    advisor.Method
		want   []float64
	}{
		"the only one":           {[]float64{40}, "", advisor.Recompressed, []float64{40}},
		"one of two alike":       {[]float64{20, 20}, "", advisor.Recompressed, []float64{20}},
		"of two nobody knows":    {[]float64{20, 40}, "", advisor.Recompressed, nil},
		"none aboard":            {nil, understand.PickHeaviest, advisor.Recompressed, nil},
		"the light one":          {[]float64{40, 20}, understand.PickLightest, advisor.Recompressed, []float64{20}},
		"the heavy one":          {[]float64{20, 40}, understand.PickHeaviest, advisor.Recompressed, []float64{40}},
		"the middle one":         {[]float64{60, 20, 40}, understand.PickMiddle, advisor.Recompressed, []float64{40}},
		"of two no middle":       {[]float64{20, 40}, understand.PickMiddle, advisor.Recompressed, nil},
		"of four no middle":      {[]float64{20, 40, 60, 80}, understand.PickMiddle, advisor.Recompressed, nil},
		"all together":           {[]float64{20, 40}, understand.PickTogether, advisor.Recompressed, []float64{20, 40}},
		"it was let go":          {[]float64{40}, "", advisor.Surface, nil},
		"it was vented":          {[]float64{40}, "", advisor.Vented, nil},
		"nobody says how it was": {[]float64{40}, "", "", nil},
	} {
		teller := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: c.aboard}}}
		teller.r.Again.Pick = c.pick
		f := done(fish(gag, 40, 3), c.how, "")
		teller.useAboard(&f)
		assert.Equal(t, c.want, f.Done.WeightsOz, name)
	}
}

// What is aboard is that which was told last; lead alone does not say that the weights of
// before are gone.
func TestWhatIsAboardIsToldAnew(t *testing.T) {
	before := understand.Aboard{ReleaseOz: []float64{20}}
	for name, c := range map[string]struct{ told, want understand.Aboard }{
		"nothing":        {understand.Aboard{}, before},
		"other weights":  {understand.Aboard{ReleaseOz: []float64{40}}, understand.Aboard{ReleaseOz: []float64{40}}},
		"none":           {understand.Aboard{None: true}, understand.Aboard{None: true}},
		"lead":           {understand.Aboard{LeadG: []float64{500}}, understand.Aboard{ReleaseOz: []float64{20}, LeadG: []float64{500}}},
		"lead and none":  {understand.Aboard{LeadG: []float64{500}, None: true}, understand.Aboard{LeadG: []float64{500}, None: true}},
		"lead and a one": {understand.Aboard{LeadG: []float64{500}, ReleaseOz: []float64{40}}, understand.Aboard{LeadG: []float64{500}, ReleaseOz: []float64{40}}},
	} {
		teller := &teller{s: State{Aboard: before}, r: understand.Reading{Aboard: c.told}}
		teller.equip()
		assert.Equal(t, c.want, teller.s.Aboard, name)
	}
}

// The number of a report that there is not is no number, but of a command.
func TestNumberIsOfAReportThatThereIs(t *testing.T) {
	for name, c := range map[string]struct {
		number uint64
		verb   string
		want   uint64
	}{
		"of a report":       {2, "", 2},
		"of none":           {9, "", 0},
		"of a command":      {9, "undo", 9},
		"none":              {0, "", 0},
		"the first":         {1, "", 1},
		"one beyond of all": {4, "", 0},
	} {
		k := reported(t)
		teller := &teller{s: k.s, r: understand.Reading{Act: understand.ActCorrection, Number: c.number, Verb: c.verb}}
		teller.sort()
		assert.Equal(t, c.want, teller.r.Number, name)
	}
}

// "With the 5" is the weight of 5 lb or 5 kg aboard (80 oz, 176.37 oz); what is like none of
// them stands, but from 4 oz on only, for less counts something else.
func TestWeightsThatAreToldByAFigure(t *testing.T) {
	for name, c := range map[string]struct{ aboard, told, want []float64 }{
		"in ounces":              {[]float64{20, 40}, []float64{40}, []float64{40}},
		"in pounds":              {[]float64{20, 80}, []float64{5}, []float64{80}},
		"in kilograms":           {[]float64{20, 176.37}, []float64{5}, []float64{176.37}},
		"within a hundredth":     {[]float64{80.7}, []float64{5}, []float64{80.7}},
		"further off":            {[]float64{80.85}, []float64{5}, []float64{5}},
		"less by a hundredth":    {[]float64{79.3}, []float64{5}, []float64{79.3}},
		"less by more":           {[]float64{79.15}, []float64{5}, []float64{5}},
		"nothing aboard":         {nil, []float64{40}, []float64{40}},
		"4 oz":                   {nil, []float64{4}, []float64{4}},
		"less than 4 oz":         {nil, []float64{3.9}, nil},
		"less, but one aboard":   {[]float64{3}, []float64{3}, []float64{3}},
		"one of two is no such":  {[]float64{20, 40}, []float64{1, 40}, []float64{40}},
		"2.5 lb are 40 oz":       {[]float64{20, 40}, []float64{2.5}, []float64{40}},
		"an ounce goes before":   {[]float64{5, 80}, []float64{5}, []float64{5}},
		"nothing told, no guess": {[]float64{20, 40}, nil, nil},
	} {
		assert.Equal(t, c.want, likely(c.aboard, c.told, 0), name)
	}
	// What is too light in ounces is told in the person's unit: a pound has 16 oz, a kilogram
	// 1/0.028349523125 (the international avoirdupois ounce).
	for name, c := range map[string]struct{ unit, told, want float64 }{
		"one and a half kilograms": {1, 1.5, 52.91},
		"two pounds":               {0.45359237, 2, 32},
		"nothing":                  {1, 0, 0},
	} {
		got := likely(nil, []float64{c.told}, c.unit)
		if c.want == 0 {
			assert.Empty(t, got, name)
			continue
		}
		require.Len(t, got, 1, name)
		assert.InDelta(t, c.want, got[0], 0.01, name)
	}
}

// How it went is told of the reports that lack it, then of those that came back up, then of
// the newest.
func TestWhichReportsAFateCompletes(t *testing.T) {
	row := func(no uint64, end advisor.Outcome) Row {
		return Row{No: no, Fish: done(fish(gag, 40, 3), advisor.Recompressed, end)}
	}
	const down, up, dead = advisor.SwamDown, advisor.FloatedOff, advisor.Died
	for name, c := range map[string]struct {
		rows []Row
		told understand.Fish
		n    int
		want []uint64
	}{
		"those that lack it":      {[]Row{row(1, down), row(2, ""), row(3, "")}, went(fish("", 0, 0), dead), 1, []uint64{2, 3}},
		"then those that came up": {[]Row{row(1, up), row(2, down), row(3, up)}, went(fish("", 0, 0), down), 1, []uint64{1, 3}},
		"then the newest":         {[]Row{row(1, down), row(2, down)}, went(fish("", 0, 0), dead), 1, []uint64{2}},
		"as many as are counted":  {[]Row{row(1, ""), row(2, ""), row(3, "")}, counted(went(fish("", 0, 0), down), 2), 2, []uint64{1, 2}},
		"a tag is of one":         {[]Row{row(1, ""), row(2, "")}, func() understand.Fish { f := fish("", 0, 0); f.Done.Tag = "A1"; return f }(), 1, []uint64{1}},
		"a size is of one":        {[]Row{row(1, ""), row(2, "")}, fish("", 0, 5), 1, []uint64{1}},
		"a depth is of all":       {[]Row{row(1, ""), row(2, "")}, fish("", 55, 0), 1, []uint64{1, 2}},
	} {
		teller := &teller{}
		var got []uint64
		for _, r := range teller.complete(part{fish: c.told, n: c.n, rows: c.rows}) {
			got = append(got, r.No)
			assert.Equal(t, 1, r.Fish.Query.Count, name)
		}
		assert.Equal(t, c.want, got, name)
	}
}

// Undo takes back the report that its words name: by kind, by end, or the newest.
func TestUndoTakesBackWhatItNames(t *testing.T) {
	talk := func() *talker {
		k := newTalker(t)
		for _, f := range []understand.Fish{
			done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown), done(fish(gag, 50, 2), advisor.Surface, advisor.FloatedOff),
			done(fish(cod, 40, 5), advisor.Recompressed, advisor.SwamDown),
		} {
			k.hear(report(f))
		}
		return k
	}
	for name, c := range map[string]struct {
		fish []understand.Fish
		no   uint64
		want []uint64
	}{
		"nothing named":         {nil, 0, []uint64{3}},
		"a kind":                {[]understand.Fish{fish(gag, 0, 0)}, 0, []uint64{2}},
		"a kind and its end":    {[]understand.Fish{went(fish(cod, 0, 0), advisor.SwamDown)}, 0, []uint64{3}},
		"an end":                {[]understand.Fish{went(fish("", 0, 0), advisor.FloatedOff)}, 0, []uint64{2}},
		"the newest of an end":  {[]understand.Fish{went(fish("", 0, 0), advisor.SwamDown)}, 0, []uint64{3}},
		"one that floats":       {[]understand.Fish{func() understand.Fish { f := fish("", 0, 0); f.Query.Behaviour = advisor.Floating; return f }()}, 0, []uint64{2}},
		"a number":              {nil, 1, []uint64{1}},
		"a number before names": {[]understand.Fish{fish(cod, 0, 0)}, 1, []uint64{1}},
		"no such end":           {[]understand.Fish{went(fish("", 0, 0), advisor.Died)}, 0, []uint64{3}},
	} {
		r := undo
		r.Fish, r.Number = c.fish, c.no
		assert.Equal(t, c.want, talk().hear(r).TakeBack, name)
	}
}

// What was taken back in several steps comes back one step at a time, or as many as are said.
func TestAsManyUndosComeBackAsAreSaid(t *testing.T) {
	for n, want := range map[int][]uint64{0: {1}, 1: {1}, 2: {1, 2}, 3: {1, 2, 3}, 9: {1, 2, 3}} {
		k := reported(t)
		for range 3 {
			k.hear(undo)
		}
		require.Empty(t, k.s.Standing())
		r := understand.Reading{Act: understand.ActCommand, Want: understand.WantPutBack, Sure: 1}
		if n > 0 {
			r.Fish = []understand.Fish{counted(fish("", 0, 0), n)}
		}
		m := k.hear(r)
		assert.Equal(t, want, m.PutBack, n)
		assert.Len(t, k.s.Standing(), len(want), n)
	}
	k := reported(t)
	k.hear(undo)
	k.hear(undo)
	r := understand.Reading{Act: understand.ActCommand, Want: understand.WantPutBack, Sure: 1, Number: 3}
	assert.Equal(t, []uint64{3}, k.hear(r).PutBack, "that of a number")
}

// What was done is told by a way, an end, a weight or a depth of release, each by itself.
func TestWhatTellsThatSomethingWasDone(t *testing.T) {
	deep := 30.0
	for name, c := range map[string]struct {
		d    understand.Done
		want bool
	}{
		"nothing":            {understand.Done{}, false},
		"a way":              {understand.Done{Release: advisor.Release{Method: advisor.Vented}}, true},
		"an end":             {understand.Done{Release: advisor.Release{Outcome: advisor.Died}}, true},
		"one weight":         {understand.Done{Release: advisor.Release{WeightsOz: []float64{20}}}, true},
		"a depth of release": {understand.Done{Release: advisor.Release{ReleaseDepthM: &deep}}, true},
		"a tag":              {understand.Done{Release: advisor.Release{Tag: "A1"}}, false},
	} {
		assert.Equal(t, c.want, isDone(understand.Fish{Done: c.d}), name)
	}
}

// That a fish had no signs stands until a sign is told of it.
func TestNoSignsStandUntilOneIsTold(t *testing.T) {
	none, eyes := advisor.Query{NoSigns: true}, advisor.Query{Capture: advisor.Capture{Signs: []advisor.Sign{advisor.BulgingEyes}}}
	assert.True(t, Merge(none, advisor.Query{}).NoSigns)
	assert.True(t, Merge(advisor.Query{}, none).NoSigns)
	assert.False(t, Merge(none, eyes).NoSigns)
	assert.False(t, Merge(eyes, none).NoSigns)
	assert.False(t, Merge(advisor.Query{}, advisor.Query{}).NoSigns)
}

// A correction changes a report where it tells another figure, or other weights.
func TestWhatChangesAReport(t *testing.T) {
	known := on(fish(gag, 40, 3), 20)
	for name, c := range map[string]struct {
		told understand.Fish
		want bool
	}{
		"nothing":         {fish("", 0, 0), false},
		"its depth":       {fish("", 40, 0), false},
		"another depth":   {fish("", 45, 0), true},
		"another weight":  {fish("", 40, 4), true},
		"a length":        {long("", 60), true},
		"its lead":        {on(fish("", 0, 0), 20), false},
		"other lead":      {on(fish("", 0, 0), 40), true},
		"a further piece": {on(fish("", 0, 0), 20, 20), true},
	} {
		assert.Equal(t, c.want, changes(known, c.told), name)
	}
}

// A figure that nothing claims in the report of one more fish is like that of the one before:
// its weight where it is near that, its depth where it is near that, else perhaps the lead.
func TestFigureInTheReportOfOneMoreFish(t *testing.T) {
	for x, want := range map[float64]string{2.5: "weight_kg", 55: "depth_m", 40: "lead", 13: ""} {
		k := newTalker(t)
		k.now.Units = Metric
		k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, advisor.SwamDown)))
		r := report(done(fish("", 0, 0), advisor.Recompressed, advisor.SwamDown))
		r.Again.Another, r.Further, r.Loose = true, 1, []understand.Bare{{Value: x}}
		if want == "lead" {
			k.s.Fish[0].Query.DepthM = nil
		}
		m := k.hear(r)
		require.Len(t, m.Keep, 1, x)
		f := m.Keep[0].Fish
		switch want {
		case "lead":
			assert.Equal(t, []float64{x}, f.Done.WeightsOz)
		case "":
			assert.Empty(t, f.Done.WeightsOz)
			assert.NotEqual(t, x, *f.Query.DepthM)
		default:
			require.NotNil(t, *f.Figure(want), x)
			assert.Equal(t, x, **f.Figure(want), want)
		}
	}
}

// A fate that is told right after one that is over is that of the fish that still waits, the
// last of them.
func TestAFateAfterOneThatIsOverIsOfTheFishThatWaits(t *testing.T) {
	floated := report(went(fish("", 0, 0), advisor.FloatedOff))
	k := newTalker(t)
	k.hear(question(fish(jack, 30, 5)))
	k.hear(question(fish(gag, 60, 3)))
	k.hear(report(done(fish(cod, 50, 2), advisor.Surface, advisor.SwamDown)))
	k.hear(floated)
	assert.Equal(t, []string{"Gad surface swam_down", "Myc  floated"}, k.rowsAs())

	k = newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(report(done(fish(cod, 50, 2), advisor.Surface, advisor.SwamDown)))
	k.hear(floated)
	assert.Equal(t, []string{"Gad surface swam_down", "Myc  floated"}, k.rowsAs(), "the only one")

	k = newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(report(done(fish(cod, 50, 2), advisor.Surface, "")))
	k.hear(floated)
	assert.Equal(t, []string{"Gad surface floated"}, k.rowsAs(), "it was not told yet how that one went")

	k = newTalker(t)
	k.hear(report(done(fish(cod, 50, 2), advisor.Surface, advisor.SwamDown)))
	k.hear(floated)
	assert.Equal(t, []string{"Gad surface floated"}, k.rowsAs(), "none waits")
}

// "Same again for the gag and the cod" of two that were asked about: both went as the one
// before did, but the tag is its own.
func TestTheSameAgainOfFishThatWereAskedAbout(t *testing.T) {
	both := report(fish(gag, 0, 0), fish(cod, 0, 0))
	both.Again.All = true
	talk := func() *talker {
		k := newTalker(t)
		first := done(fish(jack, 30, 5), advisor.Recompressed, advisor.SwamDown)
		first.Done.Tag, first.Done.Recapture = "A1", true
		k.hear(report(first))
		k.hear(question(fish(gag, 60, 3)))
		k.hear(question(fish(cod, 50, 2)))
		return k
	}
	k := talk()
	k.hear(both)
	assert.Equal(t, []string{"Ser recompressed swam_down", "Myc recompressed swam_down", "Gad recompressed swam_down"}, k.rowsAs())
	for _, r := range k.s.Standing()[1:] {
		assert.Empty(t, r.Fish.Done.Tag)
		assert.False(t, r.Fish.Done.Recapture)
	}
	k = talk()
	told := both
	told.Fish = []understand.Fish{done(fish(gag, 0, 0), advisor.Surface, ""), fish(cod, 0, 0)}
	k.hear(told)
	assert.Equal(t, "Myc surface ", k.rowsAs()[1], "what is told stands")

	k = newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	k.hear(question(fish(cod, 50, 2)))
	k.hear(both)
	assert.Equal(t, []string{"Myc  ", "Gad  "}, k.rowsAs(), "nothing was reported before")
}

// Of a number that was asked about, a report of several fish tells of as many as it says.
func TestOneOfACountBesideAnotherFish(t *testing.T) {
	k := newTalker(t)
	k.hear(question(counted(fish(gag, 40, 0), 3)))
	k.hear(question(fish(cod, 50, 2)))
	k.hear(report(went(fish(gag, 0, 0), advisor.SwamDown), went(fish(cod, 0, 0), advisor.FloatedOff)))
	assert.Equal(t, []string{"Myc recompressed swam_down", "Gad  floated"}, k.rowsAs())
	for _, r := range k.s.Standing() {
		assert.Equal(t, 1, r.Fish.Query.Count, "a report is of one fish")
		assert.False(t, r.Fish.Counted)
	}
}

// "One gag, sent down, a 3 kg one": the size is told of that gag, and how it was let go stays.
func TestSizeToldAfterTheDeed(t *testing.T) {
	k := newTalker(t)
	k.hear(report(counted(done(fish(gag, 40, 0), advisor.Recompressed, ""), 1), fish("", 0, 3)))
	row := k.only()
	assert.Equal(t, advisor.Recompressed, row.Fish.Done.Method)
	assert.Equal(t, 3.0, *row.Fish.Query.WeightKg)
}

// A report is of the fish that is there where it tells neither name nor depth nor day, and of
// no second fish.
func TestReportsOfTheFishThatIsThere(t *testing.T) {
	bare := fish("", 0, 0)
	for name, c := range map[string]struct {
		r    understand.Reading
		want bool
	}{
		"no fish told": {report(), true}, "one": {report(bare), true}, "two": {report(bare, bare), false},
		"its name": {report(fish(gag, 0, 0)), false}, "its depth": {report(fish("", 40, 0)), false},
	} {
		assert.Equal(t, c.want, (&teller{r: c.r}).isHere(), name)
		c.r.Day = &understand.Day{Ago: 1}
		assert.False(t, (&teller{r: c.r}).isHere(), "%s, another day", name)
	}
}

// Where nobody says how a fish went down that was asked about, it went as advised, if it swam
// down or came back and there is something aboard to send it down with.
func TestAFishThatWentDownWasSentAsAdvised(t *testing.T) {
	lead := understand.Aboard{None: true, LeadG: []float64{1000}}
	for name, c := range map[string]struct {
		end    advisor.Outcome
		again  understand.Again
		aboard understand.Aboard
		want   advisor.Method
	}{
		"swam down":                 {advisor.SwamDown, understand.Again{}, noWeights, advisor.Recompressed},
		"came back up":              {advisor.FloatedOff, understand.Again{Returned: true}, noWeights, advisor.Recompressed},
		"floated":                   {advisor.FloatedOff, understand.Again{}, noWeights, ""},
		"died":                      {advisor.Died, understand.Again{Returned: true}, noWeights, ""},
		"nothing aboard":            {advisor.SwamDown, understand.Again{}, understand.Aboard{None: true}, ""},
		"one lead aboard":           {advisor.SwamDown, understand.Again{}, lead, advisor.Recompressed},
		"done, as told":             {"", understand.Again{AsTold: true}, noWeights, advisor.Recompressed},
		"with the heavy one":        {"", understand.Again{Pick: understand.PickHeaviest}, noWeights, advisor.Recompressed},
		"done, by itself":           {"", understand.Again{AsTold: true, Alone: true}, noWeights, advisor.Surface},
		"nothing is said of it yet": {"", understand.Again{}, noWeights, ""},
	} {
		p := part{fish: went(fish(gag, 60, 3), c.end), at: 0}
		(&teller{s: State{Aboard: c.aboard}, r: understand.Reading{Again: c.again}}).followedAdvice(&p)
		assert.Equal(t, c.want, p.fish.Done.Method, name)
		p = part{fish: went(fish(gag, 60, 3), c.end), at: none}
		(&teller{s: State{Aboard: c.aboard}, r: understand.Reading{Again: c.again}}).followedAdvice(&p)
		assert.Empty(t, p.fish.Done.Method, "%s: nobody asked", name)
	}
}

// The weight that was told is the one; of one aboard a word for a size says nothing of how the
// fish was let go.
func TestWeightThatWasUsed(t *testing.T) {
	told := done(fish(gag, 60, 3), advisor.Recompressed, "")
	told.Done.WeightsOz = []float64{16}
	one := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: []float64{20}}}}
	one.useAboard(&told)
	assert.Equal(t, []float64{16}, told.Done.WeightsOz)

	f := fish(gag, 60, 3)
	f.Pick = understand.PickHeaviest
	one.useAboard(&f)
	assert.Empty(t, f.Done.Method)
	two := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: []float64{40, 20}}}}
	two.useAboard(&f)
	assert.Equal(t, advisor.Recompressed, f.Done.Method, "with the big one of two")
	assert.Equal(t, []float64{40}, f.Done.WeightsOz)
}

// A figure too small for ounces is told in the person's unit: 2 lb are 32 oz, half a kilogram
// 17.637 (28.349523125 g each).
func TestSmallFiguresAreInThePersonsUnit(t *testing.T) {
	for name, c := range map[string]struct{ used, kilograms, want float64 }{
		"2 lb": {2, pounds, 32}, "half a kilogram": {0.5, 1, 17.637}, "4 oz": {4, pounds, 4},
	} {
		got := likely(nil, []float64{c.used}, c.kilograms)
		require.Len(t, got, 1, name)
		assert.InDelta(t, c.want, got[0], 1e-3, name)
	}
	assert.Empty(t, likely(nil, []float64{2}, 0), "nobody knows the unit")
}

// How it went is told of the reports that lack it, else of those that came back up, else of
// the newest.
func TestWhichReportsAnEndCompletes(t *testing.T) {
	const up, down, sharks = advisor.FloatedOff, advisor.SwamDown, advisor.Died
	for name, c := range map[string]struct{ ends, want []advisor.Outcome }{
		"one lacks it":     {[]advisor.Outcome{"", up, down}, []advisor.Outcome{sharks, up, down}},
		"one came back up": {[]advisor.Outcome{up, down, down}, []advisor.Outcome{sharks, down, down}},
		"all are over":     {[]advisor.Outcome{down, down, down}, []advisor.Outcome{down, down, sharks}},
	} {
		rows := make([]Row, len(c.ends))
		for i, end := range c.ends {
			rows[i] = Row{No: uint64(i + 1), Fish: done(fish(gag, 40, 2), advisor.Surface, end)}
		}
		got := map[uint64]advisor.Outcome{1: c.ends[0], 2: c.ends[1], 3: c.ends[2]}
		for _, r := range (&teller{}).complete(part{fish: went(fish("", 0, 0), sharks), rows: rows}) {
			got[r.No] = r.Fish.Done.Outcome
		}
		assert.Equal(t, c.want, []advisor.Outcome{got[1], got[2], got[3]}, name)
	}
}

// What completes a report does not change the weight that was told, unless it tells one or
// picks one; a weight in pounds is the one aboard.
func TestWeightOfACompletedReport(t *testing.T) {
	picked := done(fish("", 0, 0), advisor.Recompressed, "")
	picked.Pick = understand.PickHeaviest
	pounds5 := fish("", 0, 0)
	pounds5.Done.WeightsOz = []float64{5}
	for name, c := range map[string]struct {
		was    []float64
		aboard []float64
		told   understand.Fish
		want   []float64
	}{
		"none was told":  {nil, []float64{20}, done(fish("", 0, 0), advisor.Recompressed, ""), []float64{20}},
		"one was told":   {[]float64{16}, []float64{20}, done(fish("", 0, 0), advisor.Recompressed, ""), []float64{16}},
		"another picked": {[]float64{16}, []float64{16, 40}, picked, []float64{40}},
		"the 5 lb one":   {[]float64{16}, []float64{80}, pounds5, []float64{80}},
	} {
		known := done(fish(gag, 40, 2), advisor.Recompressed, "")
		known.Done.WeightsOz = c.was
		teller := &teller{s: State{Aboard: understand.Aboard{ReleaseOz: c.aboard}}}
		rows := teller.complete(part{fish: c.told, rows: []Row{{No: 1, Fish: known}}})
		assert.Equal(t, c.want, rows[0].Fish.Done.WeightsOz, name)
	}
}

// What completed a report can be taken back alone, until a new one is kept.
func TestUndoOfWhatCompletedAReport(t *testing.T) {
	k := newTalker(t)
	k.hear(report(done(fish(gag, 60, 3), advisor.Recompressed, "")))
	m := k.hear(report(went(fish("", 0, 0), advisor.FloatedOff)))
	require.Len(t, m.Fish, 1)
	assert.Equal(t, advisor.Floating, m.Fish[0].Query.Behaviour, "it is there, at the surface")
	m = k.hear(undo)
	require.Len(t, m.Change, 1)
	assert.Empty(t, m.TakeBack)
	assert.Empty(t, k.only().Fish.Done.Outcome)

	k.hear(correction(fish("", 55, 0)))
	k.hear(report(done(fish(cod, 50, 2), advisor.Surface, advisor.SwamDown)))
	assert.Empty(t, k.s.Before)
}

// A fish that is talked of is one to ask about before its report; one told first in what may
// be a report may be aboard.
func TestFishThatWasAskedAboutIsNotAnsweredAgain(t *testing.T) {
	k := newTalker(t)
	k.hear(question(fish(gag, 60, 3)))
	r := report(fish(cod, 40, 2))
	r.Sure = 0.5
	assert.False(t, k.hear(r).Aboard)
}
