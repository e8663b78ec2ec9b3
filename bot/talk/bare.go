package talk

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

// lend gives bare figures a unit: the one asked for and told now, that of the person, or
// that of the figure they put right. What is left is asked.
func (t *teller) lend() {
	if u := t.r.Unit; t.s.Asked.What == AskUnit && u.Field != "" && (u.Field == t.s.Asked.Field || u.Field == t.s.Asked.Other) && len(t.r.Bare) == 0 {
		t.set(u.Field, t.s.Asked.Value*u.Factor)
		if u.Field == "depth_m" {
			t.r.Told.Depth = u.Factor // no other unit is asked for
		}
		return
	}
	t.doubtUsed()
	for _, b := range t.r.Bare {
		t.lendOne(b)
	}
	t.lendLoose()
}

// doubtUsed takes a bare figure of a correction that seems the weight used for the figure
// that it is nearest to, where no weight like it was told or is aboard: "30 más bien".
func (t *teller) doubtUsed() {
	if t.r.Act != understand.ActCorrection || !t.r.BareUsed || t.r.Lead || len(t.r.Fish) != 1 || len(t.r.Fish[0].Done.WeightsOz) != 1 {
		return
	}
	x := t.r.Fish[0].Done.WeightsOz[0]
	if slices.Contains(t.aboardOz(), x) {
		return
	}
	if field := t.nearestField(x); field != "" {
		t.r.Fish[0].Done.WeightsOz, t.r.Fish[0].Done.Method = nil, ""
		t.r.Bare = append(slices.Clone(t.r.Bare), understand.Bare{Value: x, Role: field, Words: strconv.FormatFloat(x, 'g', -1, 64)})
	}
}

// lendLoose takes a figure that nothing claims for the weight that was used, for the
// answer to what was asked, or for one of the fish that is talked of.
func (t *teller) lendLoose() {
	if len(t.r.Loose) == 0 {
		return
	}
	b := t.r.Loose[0]
	switch t.r.Act {
	case understand.ActReport:
		if b.Role = t.nearestAlike(b.Value); b.Role != "" {
			t.lendOne(b)
			return
		}
		t.lendWeight(b.Value)
	case understand.ActCorrection:
		if b.Value != float64(t.r.Number) {
			t.lendOne(b)
		}
	case understand.ActQuestion, understand.ActOther:
		if t.lendPair() {
			return
		}
		if t.lacksDepth() {
			t.lendDepth(b)
			return
		}
		if t.r.Act == understand.ActOther && t.s.Asked.What == "" || len(t.r.Loose) > 1 || len(t.r.Fish) > 0 && t.s.Asked.What == "" || t.r.Aboard.None || len(t.r.Aboard.ReleaseOz) > 0 {
			return
		}
		if b.Role = t.fieldFor(b.Value); b.Role == "" && t.r.Want == understand.WantRelease && len(strings.Fields(t.r.Text)) <= fewBeside {
			b.Role = t.nearestField(b.Value)
			if t.s.focus() < 0 {
				b.Role = "depth_m"
			}
		}
		t.lendOne(b)
	}
}

// fewBeside is how many words a question has at most of which a figure that nothing claims
// may be one of the fish: "and at 60?"; in more words it is beside the point.
const fewBeside = 5

// lendPair takes two figures that nothing claims, of a fish of which neither depth nor size
// is known, for these, the larger one first: "imperador 410 1,6".
func (t *teller) lendPair() bool {
	if len(t.r.Loose) != 2 || len(t.r.Fish) > 1 || t.has("depth_m") || t.has("weight_kg") || t.has("length_cm") {
		return false
	}
	q, known := advisor.Query{}, len(t.r.Fish) == 1 && isNamed(t.r.Fish[0])
	if !known {
		q, known = t.lastQuery()
	}
	deep, heavy := t.r.Loose[0], t.r.Loose[1]
	u := t.units()
	if !known || q.DepthM != nil || hasSize(q) || u.Depth == 0 || u.Weight == 0 || deep.Value < pairApart*heavy.Value {
		return false
	}
	deep.Role, heavy.Role = "depth_m", "weight_kg"
	t.lendOne(deep)
	t.lendOne(heavy)
	return true
}

// pairApart is how many times a depth without a unit is the weight beside it at least, to
// be told from it.
const pairApart = 3

// lacksDepth is true for a question about one fish with one figure that nothing claims,
// and no depth: "gag 45 3kg". It may be the depth: in the person's own unit, said so, and
// where nobody knows that it is asked.
func (t *teller) lacksDepth() bool {
	return t.r.Act == understand.ActQuestion && t.r.Want == understand.WantRelease && !t.answersWhatWasAsked() &&
		len(t.r.Loose) == 1 && len(t.r.Fish) == 1 && isNamed(t.r.Fish[0]) && t.r.Fish[0].Query.DepthM == nil &&
		len(t.r.Aboard.ReleaseOz) == 0 && !t.r.Aboard.None
}

// answersWhatWasAsked is false where nothing was, or the size that was is told with its unit.
func (t *teller) answersWhatWasAsked() bool {
	return t.s.Asked.What != "" && !(t.s.Asked.What == AskSize && (t.has("weight_kg") || t.has("length_cm")))
}

// usual are the release weights that most have, in ounces.
var usual = []float64{20, 40}

// lendWeight takes a bare figure in a report for the weight aboard that has it.
func (t *teller) lendWeight(x float64) {
	aboard := t.aboardOz()
	if len(aboard) == 0 {
		aboard = usual
	}
	x = asAboard(aboard, x)
	if len(t.r.Fish) != 1 || !slices.Contains(aboard, x) || len(t.r.Fish[0].Done.WeightsOz) > 0 {
		return
	}
	d := &t.r.Fish[0].Done
	if d.Method == "" || d.Method == advisor.Recompressed {
		d.Method, d.WeightsOz = advisor.Recompressed, []float64{x}
	}
}

func (t *teller) lendOne(b understand.Bare) {
	if t.lendUsed(b) {
		return
	}
	field := b.Role
	if field == "" {
		field = t.fieldFor(b.Value)
	} else if t.s.Asked.What == AskDepth && t.r.Act == understand.ActQuestion && t.knowsSize(field) {
		field = "depth_m"
	} else if near := t.nearestAlike(b.Value); near != "" && b.Sure < surelyRole {
		field = near
	} else if t.r.Act == understand.ActCorrection && field != "release_depth_m" {
		field = t.likelier(field, b)
	}
	switch field {
	case "depth_m", "release_depth_m", "weight_kg", "length_cm":
	default:
		return
	}
	if t.has(field) {
		return
	}
	if t.doubts(field, b) {
		return
	}
	if u := t.units().of(field); u != 0 {
		t.set(field, b.Value*u)
		t.assumed = append(t.assumed, Lent{Field: field, Value: b.Value, Unit: UnitName(field, u), Habit: t.isHabit(field)})
		return
	}
	if field == "depth_m" {
		t.unsure = Ask{What: AskUnit, Field: field, Value: b.Value}
	}
}

// likelier is the field that a bare figure of a correction puts right: the nearest one where the
// words are not sure, or where theirs would stay as it is or change beyond belief.
func (t *teller) likelier(field string, b understand.Bare) string {
	near := t.nearestField(b.Value)
	if near == "" {
		return field
	}
	d := t.offBy(field, b.Value)
	if b.Sure < surelyRole || d < unchanged || d > beyondBelief && t.offBy(near, b.Value) < slip {
		return near
	}
	return field
}

// The logarithms of a figure and of the one that puts it right are a slip apart as a rule, and
// hardly ever so far.
const (
	slip         = 0.5
	beyondBelief = 1.1
)

// offBy is how far apart the logarithms are of a bare figure and of a field of the fish that is
// put right; infinite where that is not known.
func (t *teller) offBy(field string, x float64) float64 {
	q, ok := t.lastQuery()
	f := understand.Fish{Query: q}
	at, u := f.Figure(field), t.units().of(field)
	if !ok || at == nil || *at == nil || u == 0 {
		return math.Inf(1)
	}
	return math.Abs(math.Log(x * u / **at))
}

// lendUsed takes a bare figure of a correction that names no fish for the weight that was used,
// where it is a slip from that and far from all that is known of the fish.
func (t *teller) lendUsed(b understand.Bare) bool {
	others := len(t.r.Bare)+len(t.r.Loose) > 1 || len(t.figures()) > 0
	if t.r.Act != understand.ActCorrection || others || isNamed(t.first()) || b.Role != "" && b.Sure >= surelyRole && !t.r.Lead {
		return false
	}
	known, ok := t.corrected()
	if !ok || len(known.Done.WeightsOz) != 1 {
		return false
	}
	was := known.Done.WeightsOz[0]
	oz, ok := nearestWeight(b.Value, was)
	d := math.Abs(math.Log(oz / was))
	if !ok || d < unchanged || d > slip {
		return false
	}
	for _, field := range captureFields {
		if a := t.offBy(field, b.Value); a > unchanged && a < 2*d && !t.r.Lead {
			return false
		}
	}
	t.putUsed(oz)
	return true
}

// surelyRole is the chance from which the role that the words give a bare figure stands.
const surelyRole = 0.6

// knowsSize is true where a field is the size, and that of the fish that is talked of was
// told: what is asked is its depth.
func (t *teller) knowsSize(field string) bool {
	i := t.s.focus()
	return i >= 0 && (field == "weight_kg" || field == "length_cm") && hasSize(t.s.Fish[i].Query) && t.s.Fish[i].Query.DepthM == nil
}

// nearestAlike is the figure of the fish reported last that a bare one of a further fish of
// its kind is like; "" for none.
func (t *teller) nearestAlike(x float64) string {
	const apart = 1.5
	if !t.goesOn(t.first()) {
		return ""
	}
	field := t.nearestField(x)
	last := understand.Fish{Query: t.s.Fish[t.s.focus()].Query}
	if field == "" {
		return ""
	}
	if ratio := x * t.units().of(field) / **last.Figure(field); ratio > apart || ratio < 1/apart {
		return ""
	}
	return field
}

// units are those of the person: set, told before, of habit, or usual where they fish.
func (t *teller) units() Units { return t.now.Units.Or(t.s.Units).Or(t.now.Habit).Or(t.now.Usual) }

// knowsUnit is true where the person's habit tells in what unit a bare depth is, or all
// tell one where they fish and the person told no other, and it can be a depth in it.
func (t *teller) knowsUnit(x float64) bool {
	usual := t.now.Usual.Depth
	alone := usual != 0 && (t.now.Units.Depth == 0 || t.now.Units.Depth == usual) && (t.s.Units.Depth == 0 || t.s.Units.Depth == usual)
	return (t.now.Habit.Depth != 0 || alone) && x*t.units().Depth <= advisor.DeepestM
}

// lendDepth takes a figure for a depth where its unit is known, and asks where it is not.
func (t *teller) lendDepth(b understand.Bare) {
	b.Role = "depth_m"
	if !t.knowsUnit(b.Value) {
		t.unsure = Ask{What: AskUnit, Field: b.Role, Value: b.Value}
		return
	}
	t.lendOne(b)
}

// isHabit is true where nothing but habit tells the unit of a figure.
func (t *teller) isHabit(field string) bool {
	return t.now.Units.of(field) == 0 && t.now.Habit.of(field) != 0 && t.units().of(field) == t.now.Habit.of(field)
}

// fieldFor is what a bare figure without a role means: what was asked, or what it puts
// right.
func (t *teller) fieldFor(x float64) string {
	switch {
	case t.s.Asked.What == AskUnit:
		return t.s.Asked.Field
	case t.s.Asked.What == AskDepth:
		return "depth_m"
	case t.s.Asked.What == AskSize:
		return t.sizeField(x)
	case t.r.Corrects || t.r.Act == understand.ActCorrection:
		return t.nearestField(x)
	}
	return ""
}

// sizeField is the size that a bare figure tells, by which of the two the fish can have.
func (t *teller) sizeField(x float64) string {
	u := t.units()
	i := t.s.focus()
	if i < 0 || u.Weight == 0 && u.Length == 0 {
		return ""
	}
	q := t.s.Fish[i].Query
	q.WeightKg, q.LengthCm = new(x*u.Weight), nil
	if u.Weight == 0 || len(understand.CheckSize(&q)) > 0 {
		return "length_cm"
	}
	return "weight_kg"
}

// toldLast is how much nearer a figure counts that was told last.
const toldLast = 3

// unchanged is how far apart the logarithms of a figure and of one that puts it right are at least.
const unchanged = 0.005

// nearestField is the figure of the fish that is put right that a bare one is nearest to.
func (t *teller) nearestField(x float64) string {
	q, ok := t.lastQuery()
	if !ok {
		return ""
	}
	u := t.units()
	best, least := "", math.Inf(1)
	f := understand.Fish{Query: q}
	for _, field := range captureFields {
		factor, value := u.of(field), *f.Figure(field)
		if value == nil || factor == 0 {
			continue
		}
		d := math.Abs(math.Log(x * factor / *value))
		if t.r.Act == understand.ActCorrection && d < unchanged {
			if t.has(field) || len(t.r.Bare)+len(t.r.Loose) > 1 {
				return "" // it is the one that is taken back
			}
			continue // that figure is right already
		}
		if slices.Contains(t.s.Told, field) {
			d /= toldLast
		}
		if d < least {
			best, least = field, d
		}
	}
	return best
}

// lastQuery is the fish that is talked of, or that of the last report.
func (t *teller) lastQuery() (advisor.Query, bool) {
	if t.r.Act == understand.ActCorrection {
		if rows := t.pointedAt(t.s.Standing(), t.first(), true); len(rows) > 0 {
			return rows[0].Fish.Query, true
		}
	}
	if i := t.s.focus(); i >= 0 {
		return t.s.Fish[i].Query, true
	}
	if rows := t.s.Standing(); len(rows) > 0 {
		return rows[len(rows)-1].Fish.Query, true
	}
	return advisor.Query{}, false
}

// has is true when the first fish of the message has that figure with a unit.
func (t *teller) has(field string) bool {
	if len(t.r.Fish) == 0 {
		return false
	}
	at := t.r.Fish[0].Figure(field)
	return at != nil && *at != nil
}

// set gives the first fish of the message a figure.
func (t *teller) set(field string, x float64) {
	f := t.one()
	if at := f.Figure(field); at != nil {
		*at = &x
	}
	if field == "depth_m" {
		f.Query.DepthRangeM = nil
	}
}
