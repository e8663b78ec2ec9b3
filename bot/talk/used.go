package talk

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

// used sorts out what a message says of the weight that a fish was sent down with, where its
// words alone do not: the same as before, another than was told, one that is aboard.
func (t *teller) used() {
	t.aboardByFigure()
	switch t.r.Act {
	case understand.ActReport:
		t.leadNotFish()
		t.pickAlone()
		t.nameAboard()
	case understand.ActCorrection:
		t.replaceDenied()
		if known, ok := t.corrected(); ok {
			t.denyUsed(known)
			t.otherLead(known)
			t.otherPick()
		}
		t.pickNow()
		t.nameAboard()
	}
}

// aboardByFigure takes a figure without a unit for the weight aboard that it names: "I used the 5"
// where one of 5 lb is aboard.
func (t *teller) aboardByFigure() {
	if !t.r.BareUsed || t.r.Act != understand.ActReport && t.r.Act != understand.ActCorrection {
		return
	}
	for i := range t.r.Fish {
		if d := &t.r.Fish[i].Done; len(d.WeightsOz) == 1 {
			d.WeightsOz = []float64{asAboard(t.aboardOz(), d.WeightsOz[0])}
		}
	}
}

// leadNotFish takes the weights in a report of fish that are talked of for those they were sent
// down with, where each is one that is aboard: "the red 3 kg, gone, the gag 1 kg, came up".
func (t *teller) leadNotFish() {
	aboard := t.aboardOz()
	weighs := func(f understand.Fish) bool { return f.Query.WeightKg != nil }
	if !slices.ContainsFunc(t.r.Fish, weighs) {
		return
	}
	for _, f := range t.r.Fish {
		if !weighs(f) {
			continue
		}
		i := t.subject(f)
		known := i != none && len(t.s.Fish[i].Rows) == 0 && t.s.Fish[i].Query.DepthM != nil
		if !known || !slices.Contains(aboard, ounces(*f.Query.WeightKg)) || f.Query.DepthM != nil || f.Done.Method == advisor.Surface || !isDone(f) || len(f.Done.WeightsOz) > 0 {
			return
		}
	}
	for k := range t.r.Fish {
		f := &t.r.Fish[k]
		if weighs(*f) {
			f.Done.Method, f.Done.WeightsOz, f.Query.WeightKg = advisor.Recompressed, []float64{ounces(*f.Query.WeightKg)}, nil
		}
	}
}

// replaceDenied reads a correction of two bare figures of which one is what is known: the other
// one comes in its place, whatever it is of: "not 50, 80" after a fish was freed at 50 m.
func (t *teller) replaceDenied() {
	bare := slices.Concat(t.r.Bare, t.r.Loose)
	if len(bare) != 2 || len(t.r.Fish) > 1 || len(t.figures()) > 0 {
		return
	}
	rows := t.pointedAt(t.s.Standing(), t.first(), true)
	if len(rows) == 0 {
		rows = t.meant(t.first())
	}
	if len(rows) == 0 {
		return
	}
	row := rows[len(rows)-1]
	denied := slices.IndexFunc(bare, func(b understand.Bare) bool { return t.isDenied(b) })
	if denied >= 0 {
		row = t.withFigure(row, bare[denied].Value)
	}
	known := row.Fish
	for k, b := range bare {
		if denied >= 0 && k != denied {
			continue // "38, not 35": the 38 is new
		}
		other := bare[1-k].Value
		for _, field := range figureFields {
			u, x := t.units().of(field), *known.Figure(field)
			if u != 0 && x != nil && !differs(x, new(b.Value*u)) {
				t.r.Bare, t.r.Loose = nil, nil
				if row.No != rows[len(rows)-1].No {
					t.r.Number = cmp.Or(row.Told, row.No)
				}
				t.set(field, other*u)
				return
			}
		}
		if len(known.Done.WeightsOz) == 1 {
			was := known.Done.WeightsOz[0]
			if asAboard(known.Done.WeightsOz, b.Value) == was {
				t.r.Bare, t.r.Loose = nil, nil
				t.putUsed(other * was / b.Value)
				return
			}
		}
	}
}

// nots stand before a figure that is denied.
var nots = []string{"not", "no", "nao", "pas", "non", "instead of", "rather than", "en vez de", "em vez de"}

// isDenied is true for a figure that the words say is not so: "38, not 35".
func (t *teller) isDenied(b understand.Bare) bool {
	before, _, found := strings.Cut(understand.Plain(t.r.Text)+" ", " "+b.Words+" ")
	return found && slices.ContainsFunc(nots, func(not string) bool { return strings.HasSuffix(" "+before, " "+not) })
}

// withFigure is a report, or where it has no figure of that value the newest that has.
func (t *teller) withFigure(row Row, x float64) Row {
	has := func(r Row) bool {
		f := r.Fish
		return slices.ContainsFunc(captureFields, func(field string) bool {
			u, known := t.units().of(field), *f.Figure(field)
			return u != 0 && known != nil && !differs(known, new(x*u))
		})
	}
	if has(row) {
		return row
	}
	for _, r := range slices.Backward(t.s.Standing()) {
		if has(r) {
			return r
		}
	}
	return row
}

// putUsed gives the fish of the message the weight in ounces that it was sent down with.
func (t *teller) putUsed(oz float64) {
	const kilograms = advisor.GramsPerOunce / 1000
	t.one().Done.WeightsOz = []float64{ounces(oz * kilograms)}
}

// sameWeight gives a fish the weight of the report before it, where the words say that it was
// the same, and its end where they say that too: "same lead, same result".
func (t *teller) sameWeight(f *understand.Fish) {
	d := &f.Done
	if d.Method != "" && d.Method != advisor.Recompressed {
		return
	}
	rows := t.s.Standing()
	if len(rows) == 0 {
		return
	}
	if t.r.Again.Result && d.Outcome == "" {
		d.Outcome = rows[len(rows)-1].Fish.Done.Outcome
	}
	if !t.r.Again.Deed || len(d.WeightsOz) > 0 {
		return
	}
	for _, r := range slices.Backward(rows) {
		if len(r.Fish.Done.WeightsOz) > 0 {
			d.Method, d.WeightsOz = advisor.Recompressed, r.Fish.Done.WeightsOz
			return
		}
	}
}

// corrected is the fish that a correction is about, where it tells of one that was sent down
// with a weight.
func (t *teller) corrected() (known understand.Fish, ok bool) {
	if len(t.r.Fish) > 1 {
		return known, false
	}
	if rows := t.meant(t.first()); len(rows) > 0 {
		known = rows[len(rows)-1].Fish
	}
	return known, len(known.Done.WeightsOz) > 0
}

// denyUsed drops a bare figure of a correction that is the weight that was used, where another
// one is told: of "not the 800, the kilo" the first is taken back.
func (t *teller) denyUsed(known understand.Fish) {
	if len(t.r.Fish) == 0 || t.r.Fish[0].Query.WeightKg == nil && len(t.r.Fish[0].Done.WeightsOz) == 0 {
		return
	}
	isUsed := func(b understand.Bare) bool {
		return slices.Contains(known.Done.WeightsOz, asAboard(known.Done.WeightsOz, b.Value))
	}
	before := len(t.r.Bare) + len(t.r.Loose)
	t.r.Bare = slices.DeleteFunc(slices.Clone(t.r.Bare), isUsed)
	t.r.Loose = slices.DeleteFunc(slices.Clone(t.r.Loose), isUsed)
	if len(t.r.Bare)+len(t.r.Loose) < before {
		t.takeForUsed()
	}
}

// otherLead takes a weight told in a correction for that which was used, where the words name
// a lead, or the fish was never weighed: "and the sinker, 2 kilos".
func (t *teller) otherLead(known understand.Fish) {
	if !t.has("weight_kg") {
		return
	}
	x := ounces(*t.r.Fish[0].Query.WeightKg)
	unnamed := !isNamed(t.r.Fish[0])
	if t.r.Lead || slices.Contains(t.aboardOz(), x) || unnamed && (known.Query.WeightKg == nil || t.toldUsed(x, known)) {
		t.takeForUsed()
	}
}

// usedField is the field of the weight that was used, by the JSON contract.
const usedField = "weights_used_oz"

// toldUsed is true where the last message told the weight that was used and not that of the
// fish, and a weight in ounces is not much nearer to the fish's.
func (t *teller) toldUsed(x float64, known understand.Fish) bool {
	if !slices.Contains(t.s.Told, usedField) || slices.Contains(t.s.Told, "weight_kg") {
		return false
	}
	apart := func(y float64) float64 { return math.Abs(math.Log(x / y)) }
	return apart(known.Done.WeightsOz[0])/toldLast < apart(ounces(*known.Query.WeightKg))
}

// takeForUsed takes the weight of the one fish of the message for the one that was used.
func (t *teller) takeForUsed() {
	f := &t.r.Fish[0]
	if x := f.Query.WeightKg; x != nil && len(f.Done.WeightsOz) == 0 {
		f.Done.WeightsOz, f.Query.WeightKg = []float64{ounces(*x)}, nil
	}
}

// ounces are kilograms in ounces, to a ten-thousandth: 2 lb are 32.
func ounces(kg float64) float64 {
	const exact = 1e4
	return math.Round(kg*1000/advisor.GramsPerOunce*exact) / exact
}

// otherPick takes a word for a size in a correction, after one fish alone was reported, for
// another of the weights aboard: "it was the little one".
func (t *teller) otherPick() {
	size := t.which().Size
	if size == "" || len(t.aboardOz()) < 2 || len(t.s.Fish) > 1 || len(t.s.Standing()) > 1 {
		return
	}
	f := t.one()
	if !saysNothingElse(*f) {
		return
	}
	f.Which = understand.Which{}
	t.r.Again.Pick = size.Pick()
	f.Done.Method = advisor.Recompressed
	t.useAboard(f)
}

// pickAlone takes a word for a size in a report of the only fish that is talked of for one of the
// weights aboard: "the little one. off he went".
func (t *teller) pickAlone() {
	size := t.which().Size
	if size == "" || len(t.aboardOz()) < 2 || len(t.r.Fish) != 1 || len(t.open()) != 1 || len(t.s.Fish) > 1 {
		return
	}
	f := &t.r.Fish[0]
	known := t.s.Fish[t.open()[0]]
	if isNamed(*f) || known.Query.Count > 1 || f.Pick != "" || len(f.Done.WeightsOz) > 0 || f.Query.DepthM != nil || hasSize(f.Query) {
		return
	}
	f.Which, f.Pick = understand.Which{}, size.Pick()
	if f.Done.Method == "" {
		f.Done.Method = advisor.Recompressed
	}
}

// pickNow gives the fish of a correction the weight that its words pick of several aboard: "the
// gag went with the big one too".
func (t *teller) pickNow() {
	if len(t.aboardOz()) < 2 {
		return
	}
	for i := range t.r.Fish {
		if f := &t.r.Fish[i]; t.picked(f) != "" && len(f.Done.WeightsOz) == 0 && (f.Done.Method == "" || f.Done.Method == advisor.Recompressed) {
			f.Done.Method = advisor.Recompressed
			t.useAboard(f)
		}
	}
}

// nameAboard takes a bare figure for the weight that was used, where one aboard is of that
// figure and the depth that the fish came from is another: "then the 48 and off it went".
func (t *teller) nameAboard() {
	if len(t.r.Fish) != 1 || len(t.r.Bare) != 1 || len(t.r.Loose) > 0 {
		return
	}
	d, b := &t.r.Fish[0].Done, t.r.Bare[0]
	q, known := t.lastQuery()
	if len(d.WeightsOz) > 0 || d.Method != "" && d.Method != advisor.Recompressed || !known || q.DepthM == nil {
		return
	}
	near := b.Role == "depth_m" && t.nearestAlikeTo(b.Value, q.DepthM)
	x := asAboard(t.aboardOz(), b.Value)
	if b.Role == "weight_kg" || b.Role == "length_cm" || near || !slices.Contains(t.aboardOz(), x) {
		return
	}
	d.Method, d.WeightsOz, t.r.Bare = advisor.Recompressed, []float64{x}, nil
}

// nearestAlikeTo is true for a bare depth that is like a known one, in the person's unit.
func (t *teller) nearestAlikeTo(x float64, known *float64) bool {
	const apart = 1.2
	u := t.units().Depth
	ratio := x * u / *known
	return u != 0 && ratio < apart && ratio > 1/apart
}
