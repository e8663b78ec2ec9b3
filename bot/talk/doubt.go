package talk

import (
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// openRole is the chance from which another role of a figure without a unit is not out of
// the question.
const openRole = 0.2

// doubts asks in what unit a bare figure of a question was told, or which of two figures of
// the fish it is, where what is known cannot tell and the advice would not be the same.
func (t *teller) doubts(field string, b understand.Bare) bool {
	if t.r.Act != understand.ActQuestion || t.r.Want != understand.WantRelease || len(t.r.Fish) > 1 || t.unsure.What != "" {
		return false
	}
	ask := Ask{What: AskUnit, Field: field, Value: b.Value}
	if b.OtherSure >= openRole && b.Other != field && unitsOf[b.Other] != nil && b.Other != "release_depth_m" && !t.has(b.Other) {
		ask.Other = b.Other
	}
	if ask.Other == "" && (field == "depth_m" || t.units().of(field) != 0) || !t.partsAdvice(ask) {
		return false
	}
	t.unsure = ask
	return true
}

// partsAdvice is true where the readings of a figure lead to different advice on the fish.
func (t *teller) partsAdvice(ask Ask) bool {
	var first *advisor.Advice
	for _, r := range ask.Readings() {
		q, ok := t.queryWith(r)
		if !ok {
			continue
		}
		a := advisor.Advise(q)
		if first == nil {
			first = &a
		} else if a.Action != first.Action || !slices.Equal(a.ReleaseWeightsOz, first.ReleaseWeightsOz) {
			return true
		}
	}
	return false
}

// queryWith is the fish that is asked about with one reading of a figure; false where it
// cannot be so.
func (t *teller) queryWith(r Lent) (advisor.Query, bool) {
	f := understand.Fish{Query: advisor.Query{Count: 1}}
	if q, ok := t.lastQuery(); ok && !isNamed(t.first()) && !t.isAnother() {
		f.Query = q
	}
	if len(t.r.Fish) > 0 {
		f = mergeFish(f, t.r.Fish[0])
	}
	f.Query.WeightsAboardOz = t.s.Aboard.ReleaseOz
	x := r.Value * r.Factor()
	*f.Figure(r.Field) = &x
	plausible := len(understand.CheckSize(&f.Query)) == 0
	return f.Query, plausible && f.Query.DepthM != nil && *f.Query.DepthM <= advisor.DeepestM
}

// Readings are what the figure that is asked about can be: of which field, in which unit.
func (a Ask) Readings() (list []Lent) {
	for _, field := range []string{a.Field, a.Other} {
		for _, u := range unitsOf[field] {
			list = append(list, Lent{Field: field, Value: a.Value, Unit: u.Name})
		}
	}
	return list
}

// Factor makes metres, kilograms or centimetres of the figure; 0 where it has no unit.
func (l Lent) Factor() float64 {
	for _, u := range unitsOf[l.Field] {
		if u.Name == l.Unit {
			return u.Factor
		}
	}
	return 0
}
