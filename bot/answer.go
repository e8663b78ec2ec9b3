package bot

import (
	"fmt"
	"math"
	"strings"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
	"deepward/bot/words"
)

// Answer is one message answered outside any chat: the JSON contract of
// `deepward ask --json`. A figure that does not apply is null.
type Answer struct {
	Text     string          `json:"text"`
	Kind     understand.Kind `json:"kind"`
	Query    advisor.Query   `json:"query"`
	Missing  []string        `json:"missing"`
	Problems []AnswerProblem `json:"problems"`
	Advice   *AnswerAdvice   `json:"advice"`
	Reply    string          `json:"reply"`
	// Act, Want, Fish and Unread are as `chat --json` has them.
	Act    understand.Act  `json:"act"`
	Want   understand.Want `json:"want"`
	Fish   []HeardFish     `json:"fish"`
	Unread []string        `json:"unread"`
}

// AnswerProblem is one refused value, and why.
type AnswerProblem struct {
	Field string `json:"field"`
	Says  string `json:"says"`
}

// AnswerAdvice is the advice in the units of its names; null where none applies.
type AnswerAdvice struct {
	Action           advisor.Action  `json:"action"`
	ReleaseWeightOz  *float64        `json:"release_weight_oz"`
	ReleaseWeightsOz []float64       `json:"release_weights_oz"`
	ReleaseDepthM    *float64        `json:"release_depth_m"`
	LiftGf           *float64        `json:"lift_gf"`
	LiftRangeGf      []float64       `json:"lift_range_gf"`
	NeededOz         *float64        `json:"needed_oz"`
	PushDownDepthM   *float64        `json:"push_down_depth_m"`
	NeutralDepthM    *float64        `json:"neutral_depth_m"`
	DescentS         *float64        `json:"descent_s"`
	Survival         *AnswerSurvival `json:"survival"`
	Gain             *advisor.Gain   `json:"gain"`
	Evidence         string          `json:"evidence"`
	Reasons          []string        `json:"reasons"`
	Cautions         []string        `json:"cautions"`
	Assumed          []string        `json:"assumed"`
}

// AnswerSurvival is the chance to live by method, each with its 80 % range.
type AnswerSurvival struct {
	Surface      advisor.Estimate `json:"surface"`
	Vented       advisor.Estimate `json:"vented"`
	Recompressed advisor.Estimate `json:"recompressed"`
}

// Respond understands and answers one message that belongs to no chat.
func Respond(reader *understand.Reader, text string, s understand.Setting, v words.Voice) Answer {
	r := reader.Read(text, s, learned.Context{})
	m := meaningAlone(r)
	answer := Answer{
		Text: text, Kind: m.Kind, Query: m.Query,
		Missing: []string{}, Problems: answerProblems(v, m.Problems),
		Act: r.Act, Want: r.Want, Fish: []HeardFish{}, Unread: append([]string{}, r.Unread...),
	}
	for _, f := range r.Fish {
		answer.Fish = append(answer.Fish, heardFish(f))
	}
	switch m.Kind {
	case understand.Question:
		answer.Missing = append(answer.Missing, m.Missing...)
		a := advisor.Advise(m.Query)
		answer.Advice = answerAdvice(v, a)
		answer.Reply = respondText(v, m, a, r.Unread...)
	case understand.Report:
		answer.Reply = v.Say("ask.report")
	case understand.Command:
		answer.Reply = v.Say("ask.command")
	}
	return answer
}

// meaningAlone is what a message means that nothing came before: as a talk that begins with
// it would take it.
func meaningAlone(r understand.Reading) understand.Meaning {
	m := r.Meaning()
	move, state := talk.Next(talk.State{}, r, talk.Now{})
	if move.Do != talk.Answer || len(move.Fish) == 0 {
		return m
	}
	fish := queriesOf(move.Fish)
	for i := range fish {
		if carry(&fish[i], state.Aboard) {
			fish[i].WeightUnit, _ = unitTold(r.Text, pieces(fish[i]))
		}
	}
	m.Query, m.More = fish[0], fish[1:]
	m.Query.CameBack = move.Again
	m.Missing = understand.Missing(m.Query)
	if m.Query.Signs == nil {
		m.Query.Signs = []advisor.Sign{}
	}
	if m.Query.Candidates == nil {
		m.Query.Candidates = []string{}
	}
	return m
}

func respondText(v words.Voice, m understand.Meaning, a advisor.Advice, unread ...string) string {
	if len(m.More) > 0 {
		return wordSeveral(v, append([]advisor.Query{m.Query}, m.More...), m, unread...)
	}
	return wordAdvice(v, m, a, unread...)
}

func answerProblems(v words.Voice, problems []understand.Problem) []AnswerProblem {
	list := make([]AnswerProblem, len(problems))
	for i, p := range problems {
		list[i] = AnswerProblem{p.Field, sayNote(v, p.Why)}
	}
	return list
}

func answerAdvice(v words.Voice, a advisor.Advice) *AnswerAdvice {
	out := &AnswerAdvice{
		Action: a.Action, ReleaseWeightOz: a.ReleaseWeightOz, ReleaseWeightsOz: a.ReleaseWeightsOz,
		ReleaseDepthM: a.ReleaseDepthM, LiftGf: rounded(a.LiftGf, 1), NeededOz: rounded(a.NeededOz, 10),
		PushDownDepthM: rounded(a.PushDownDepthM, 10), NeutralDepthM: rounded(a.NeutralDepthM, 10),
		DescentS: rounded(a.DescentS, 1),
		Reasons:  sayNotes(v, a.Reasons), Cautions: sayNotes(v, a.Cautions), Assumed: sayNotes(v, a.Assumed),
	}
	if out.ReleaseWeightsOz == nil {
		out.ReleaseWeightsOz = []float64{}
	}
	for _, x := range a.LiftRangeGf {
		out.LiftRangeGf = append(out.LiftRangeGf, *rounded(&x, 1))
	}
	if s := a.Survival; s != nil {
		out.Survival = &AnswerSurvival{roundedEstimate(s.Surface), roundedEstimate(s.Vented), roundedEstimate(s.Recompressed)}
		out.Evidence = sayEvidence(s.Basis)
	}
	if g := a.Gain; g != nil {
		out.Gain = new(advisor.Gain(roundedEstimate(advisor.Estimate(*g))))
	}
	return out
}

// sayEvidence is the contract's one phrase: the level, the studies, the fish.
func sayEvidence(b advisor.Basis) string {
	studies := "studies"
	if b.Studies == 1 {
		studies = "study"
	}
	text := fmt.Sprintf("%s: %d %s, %d fish", b.Level, b.Studies, studies, b.Fish)
	if b.Dives > 0 {
		text += fmt.Sprintf(" followed, %d seen to get down or not", b.Dives)
	}
	if b.DeeperThanSeen {
		text += ", outside the depths studied"
	}
	if len(b.Sources) > 0 {
		text += " (" + strings.Join(b.Sources[:min(3, len(b.Sources))], "; ") + ")"
	}
	return text
}

// rounded cuts a figure to what it is worth: one part in steps.
func rounded(x *float64, steps float64) *float64 {
	if x == nil {
		return nil
	}
	return new(math.Round(*x*steps) / steps)
}

func roundedEstimate(e advisor.Estimate) advisor.Estimate {
	const thousandths = 1000
	return advisor.Estimate{P: *rounded(&e.P, thousandths), Low: *rounded(&e.Low, thousandths), High: *rounded(&e.High, thousandths)}
}
