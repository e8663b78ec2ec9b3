package bot

import (
	"math"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// why gives the reckoning behind the last answer.
func (t *turn) why(rest string) error {
	asked, ok := t.lastAsked()
	if !ok {
		t.tell("why.nothing")
		return nil
	}
	text := t.whyText(asked.Fish[0])
	if strings.Contains(strings.ToLower(rest), "more") {
		text = t.sourcesText(asked.Fish[0])
	}
	t.reply(Reply{Headline: true, Text: text})
	return nil
}

// how gives the steps, for the last answer if there is one.
func (t *turn) how(string) error {
	q := advisor.Query{}
	if asked, ok := t.lastAsked(); ok {
		q = asked.Fish[0]
	}
	t.reply(t.howReply(q))
	return nil
}

// howReply gives the steps, with a drawing of where the hook goes if one is used.
func (t *turn) howReply(q advisor.Query) Reply {
	r := Reply{Headline: true, Text: t.howText(q)}
	if q.Species == "" || advisor.Advise(q).Action == advisor.ActRecompress {
		r.Attach = t.drawing("hook")
	}
	return r
}

// whyText is the reckoning: the reasons, the gas, the weight and the evidence.
func (t *turn) whyText(q advisor.Query) string {
	v := voiceFor(t.voice, q)
	a := advisor.Advise(q)
	lines := []string{v.Say("why.head", headline(v, a))}
	for _, n := range a.Reasons {
		lines = append(lines, "• "+words.SentenceCase(sayNote(v, n)))
	}
	if a.NeededOz != nil {
		gas := a.Species.Gas()
		lines = append(lines,
			v.Say("why.gas", v.Percent(gas.F), v.Number(advisor.PressureRatio(*q.DepthM), 1), v.Number(gas.Expansion(advisor.PressureRatio(*q.DepthM)), 1)),
			v.Say("why.lead", v.Pull(*a.LiftGf), v.PullRange(a.LiftRangeGf[0], a.LiftRangeGf[1]), v.Ounces(*a.NeededOz), v.Ounces(*a.PracticeOz)),
			v.Say("why.neutral", v.Depth(*a.NeutralDepthM)),
		)
	}
	if a.Survival != nil {
		lines = append(lines, evidenceLines(v, a)...)
	}
	return strings.Join(lines, "\n")
}

// evidenceLines say on what the odds rest.
func evidenceLines(v words.Voice, a advisor.Advice) []string {
	s := a.Survival
	evidence := advisor.EvidenceFor(a.Species)
	fish := v.Say("count.fish", s.Basis.Fish)
	if s.Basis.Dives > 0 {
		fish += ", " + v.Say("count.dives", s.Basis.Dives)
	}
	lines := []string{v.Say("why.evidence", v.Say("evidence."+s.Basis.Level, callFish(v, a.Species.EnglishName)), v.Say("count.studies", s.Basis.Studies), fish,
		v.Depth(evidence.SeenMinM), v.Depth(evidence.SeenMaxM))}
	if names := studied(v, evidence); s.Basis.Level != advisor.LevelSpecies && names != "" {
		lines = append(lines, v.Say("why.studied", names))
	}
	if a.Species.TrapsGas() {
		lines = append(lines, v.Say("why.benefit", v.Number(math.Round(100*s.Gain.P)+0, 0), v.Number(math.Round(100*s.Gain.Low)+0, 0), v.Number(math.Round(100*s.Gain.High)+0, 0)))
		lines = append(lines, v.Say("why.vented", v.InTen(s.Vented.P), v.InTenRange(s.Vented.Low, s.Vented.High)))
	}
	if len(s.Basis.Sources) > 0 {
		lines = append(lines, v.Say("why.sources", v.Clauses(s.Basis.Sources[:min(3, len(s.Basis.Sources))]...)))
	}
	if s.Basis.DeeperThanSeen {
		lines = append(lines, v.Say("why.extrapolated"))
	}
	return append(lines, v.Say("why.more"))
}

// studied names the first few fish that the studies were of.
func studied(v words.Voice, e advisor.Evidence) string {
	var names []string
	for _, scientific := range e.SpeciesSeen[:min(4, len(e.SpeciesSeen))] {
		name := scientific
		if s := advisor.LookUp(scientific); s != nil {
			name = understand.InSentence(nameOf(v, s))
		}
		names = append(names, name)
	}
	if len(e.SpeciesSeen) > len(names) {
		names = append(names, "…")
	}
	return strings.Join(names, ", ")
}

// howText gives the steps for what was advised: how deep is deep enough, how a big fish is
// started down, and what else will do where there is no release weight.
func (t *turn) howText(q advisor.Query) string {
	v := voiceFor(t.voice, q)
	a := advisor.Advise(q)
	switch {
	case hasNote(a.Reasons, advisor.ReasonNeverTouch):
		return headline(v, a) + "\n" + v.Say("line.danger", graveDanger(v, a))
	case q.Species != "" && hasNote(a.Cautions, advisor.CautionWatch):
		return v.Say("how.top_watch")
	case q.Species != "" && a.Action == advisor.ActSurface:
		return v.Say("how.top")
	}
	parts := []string{v.Say("how.down")}
	if a.EnoughDepthM != nil {
		parts = append(parts, v.Say("how.depth", v.Depth(*a.ReleaseDepthM), v.DepthAbout(*a.EnoughDepthM)))
	}
	if hard := a.MayHang || a.PushDownDepthM != nil || hasNote(a.Reasons, advisor.ReasonTooLight) || hasNote(a.Cautions, advisor.CautionTwoPeople); hard {
		parts = append(parts, v.Say("how.big"))
	}
	if improvised := q.NoWeight && len(a.ReleaseWeightsOz) == 0 || hasNote(a.Reasons, advisor.ReasonLead) || hasNote(a.Reasons, advisor.ReasonTooLight); improvised {
		parts = append(parts, v.Say("how.anything", v.Depth(leastRopeM)))
	}
	for _, n := range a.Cautions {
		switch n.Code {
		case advisor.CautionCutLine, advisor.CautionStomach:
			parts = append(parts, words.SentenceCase(sayNote(v, n)))
		}
	}
	return strings.Join(parts, "\n")
}

// leastRopeM is the rope on a crate in metres: 60 ft or more (California Department of Fish
// and Wildlife, Rockfish barotrauma and descending devices).
const leastRopeM = 60 * advisor.MetresPerFoot

// sourcesText lists every study behind the odds, in full.
func (t *turn) sourcesText(q advisor.Query) string {
	a := advisor.Advise(q)
	evidence := advisor.EvidenceFor(a.Species)
	var list []string
	for _, f := range evidence.Findings {
		if !contains(list, f.Citation) {
			list = append(list, f.Citation)
		}
	}
	for _, p := range evidence.Pairs {
		if p.Use != advisor.UseContext && !contains(list, p.Citation) {
			list = append(list, p.Citation)
		}
	}
	if len(list) == 0 {
		return t.voice.Say("why.no_sources")
	}
	return t.voice.Say("why.all_sources") + "\n• " + strings.Join(list, "\n• ")
}
