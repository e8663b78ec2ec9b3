package talk

import (
	"math"
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// reweigh takes word of what a thing that serves as a weight really weighs: "the jug is more like
// 15", of one told to weigh 12 lb. It changes what is aboard and every report that it was used
// for; false where the message tells something else.
func (t *teller) reweigh() (Move, bool) {
	if t.r.Thing == "" || t.r.Act == understand.ActQuestion || t.r.Number > 0 || len(t.r.Fish) > 1 || isNamed(t.first()) || t.first().Done.Outcome != "" {
		return Move{}, false
	}
	was := t.thingWas()
	now, ok := t.thingIs(was)
	if !ok {
		return Move{}, false
	}
	m := Move{Do: Change}
	for _, r := range t.s.Standing() {
		if t.now.At.Sub(r.At) > CorrectionLasts {
			continue
		}
		d := &r.Fish.Done
		switch i := slices.Index(d.WeightsOz, was); {
		case i >= 0:
			d.WeightsOz = slices.Clone(d.WeightsOz)
			d.WeightsOz[i] = now
		case was == 0 && d.Method == advisor.Recompressed && len(d.WeightsOz) == 0:
			d.WeightsOz = []float64{now}
		default:
			continue
		}
		m.Change = append(m.Change, r)
	}
	t.weighAboard(was, now)
	if len(m.Change) == 0 {
		return Move{}, false
	}
	t.change(m.Change)
	t.s.Asked = Ask{}
	return m, true
}

// thingWas is what the thing was told to weigh, in ounces: the weight used last, or the only one
// aboard; 0 for none.
func (t *teller) thingWas() float64 {
	if aboard := t.aboardOz(); len(aboard) == 1 {
		return aboard[0]
	}
	for _, r := range slices.Backward(t.s.Standing()) {
		if d := r.Fish.Done; d.Method == advisor.Recompressed {
			if len(d.WeightsOz) == 1 {
				return d.WeightsOz[0]
			}
			return 0
		}
	}
	return 0
}

// thingIs is the only weight that the message tells, in ounces. Without a unit it is told in that
// in which it is nearest to what the thing was told to weigh.
func (t *teller) thingIs(was float64) (float64, bool) {
	f := t.first()
	told := slices.Concat(f.Done.WeightsOz, t.r.Aboard.ReleaseOz)
	for _, g := range t.r.Aboard.LeadG {
		told = append(told, ounces(g/1000))
	}
	if f.Query.WeightKg != nil {
		told = append(told, ounces(*f.Query.WeightKg))
	}
	bare := slices.Concat(t.r.Bare, t.r.Loose)
	if t.r.BareUsed && len(told) == 1 {
		bare, told = append(bare, understand.Bare{Value: told[0]}), nil
	}
	switch {
	case len(told) == 1:
		return told[0], true
	case len(told) == 0 && len(bare) == 1 && was > 0:
		return nearestWeight(bare[0].Value, was)
	}
	return 0, false
}

// nearestWeight is a bare figure in ounces, pounds, kilograms or grams, in ounces: in the unit in
// which it is nearest to a known weight; false where it is far from it in each.
func nearestWeight(x, known float64) (float64, bool) {
	const far = 3.0
	best, least := 0.0, math.Log(far)
	for _, kilograms := range []float64{advisor.GramsPerOunce / 1000, pounds, 1, 0.001} {
		oz := ounces(x * kilograms)
		if d := math.Abs(math.Log(oz / known)); d < least {
			best, least = oz, d
		}
	}
	return best, best > 0
}

// weighAboard puts what a thing weighs in the place of what it was told to, where it is aboard.
func (t *teller) weighAboard(was, now float64) {
	aboard := &t.s.Aboard
	if i := slices.Index(aboard.ReleaseOz, was); i >= 0 {
		aboard.ReleaseOz = slices.Clone(aboard.ReleaseOz)
		aboard.ReleaseOz[i] = now
		return
	}
	const kilogram = 1000
	for i, g := range aboard.LeadG {
		if ounces(g/kilogram) == was {
			aboard.LeadG = slices.Clone(aboard.LeadG)
			aboard.LeadG[i] = now * advisor.GramsPerOunce
		}
	}
}
