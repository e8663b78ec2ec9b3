package bot

import (
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// kit says which release weights to carry for a trip, in the chat: "/kit 80m 10kg".
func (t *turn) kit(rest string) error {
	q := understand.Measures(firstOf(rest, t.m.Text)) // the trip may be told around the word
	if q.DepthM == nil || q.WeightKg == nil {
		t.tell("kit.how")
		return nil
	}
	var species []*advisor.Species
	if region := t.region(); region != "" {
		species = advisor.SpeciesIn(region)
	}
	t.reply(Reply{Headline: true, Text: KitText(t.voice.In(systems(talk.Told(q))), advisor.KitFor(*q.DepthM, *q.WeightKg, species))})
	return nil
}

// KitText words a kit: the weights first, then what each is for, then where it stays
// short and what to do there.
func KitText(v words.Voice, k advisor.Kit) string {
	var weights []string
	for i, oz := range k.WeightsOz {
		switch n := alike(k.WeightsOz[i:]); {
		case i > 0 && k.WeightsOz[i-1] == oz: // counted already
		case n > 1:
			weights = append(weights, v.Say("line.several", n, v.Ounces(oz)))
		default:
			weights = append(weights, v.Ounces(oz))
		}
	}
	lines := []string{
		v.Say("kit.head", strings.Join(weights, ", ")),
		v.Say("kit.covered", k.Covered, k.Cases, v.Mass(k.MaxWeightKg), v.Depth(k.MaxDepthM)),
	}
	for _, u := range k.Uses {
		share := v.Percent(u.Share)
		if u.Share < 0.01 {
			share = v.Say("kit.rarely", v.Percent(0.01))
		}
		lines = append(lines, v.Say("kit.use", v.OuncesTogether(u.WeightsOz), share, v.Mass(u.ToKg)))
	}
	for _, s := range k.Short {
		lines = append(lines, shortLine(v, s))
	}
	return strings.Join(append(lines, v.Say("kit.foot", v.Ounces(k.PracticeOz))), "\n")
}

// alike counts how many of a list, from its first on, are the same.
func alike(list []float64) int {
	n := slices.IndexFunc(list, func(x float64) bool { return x != list[0] })
	if n < 0 {
		return len(list)
	}
	return n
}

// shortLine says for which fish a kit is too light, and what to do there.
func shortLine(v words.Voice, s advisor.KitCorner) string {
	push := v.Say("kit.push_under")
	switch {
	case s.PushDownM > advisor.MostPushM:
		push = v.Say("kit.add_lead")
	case s.PushDownM > 0:
		push = v.Say("kit.push_to", v.Depth(s.PushDownM))
	}
	return v.Say("kit.short", v.Say("kind."+s.Kind), v.Mass(s.FromKg), v.Ounces(s.NeededOz), v.Ounces(s.CarriedOz), push)
}

// KitCase reads the depth and the fish of a kit, "80m" and "10kg"; ok is false
// unless each has its unit.
func KitCase(depth, fish string) (m, kg float64, ok bool) {
	q := understand.Measures(depth + ", " + fish)
	if q.DepthM == nil || q.WeightKg == nil {
		return 0, 0, false
	}
	return *q.DepthM, *q.WeightKg, true
}
