package bot

import (
	"slices"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// Heard is one message as it was understood, for `chat --json` and `ask --json`: the
// keys are those of the JSON contract.
type Heard struct {
	Act        understand.Act  `json:"act"`
	Want       understand.Want `json:"want"`
	Fish       []HeardFish     `json:"fish"`
	AboardOz   []float64       `json:"aboard_oz"`
	AboardLead []float64       `json:"aboard_lead_g"`
	AboardNone bool            `json:"aboard_none"`
	Predators  bool            `json:"predators"`
	Hurt       bool            `json:"hurt,omitempty"`
	Asks       string          `json:"asks"`
	Unread     []string        `json:"unread"`
	Said       []string        `json:"said"`
	Advice     []*AnswerAdvice `json:"advice"`
}

// HeardFish is a group of like fish, or a row of the log; what is not known is left out.
type HeardFish struct {
	No            uint64            `json:"no,omitempty"`
	Name          string            `json:"name,omitempty"`
	Species       string            `json:"species"`
	Sure          bool              `json:"species_sure"`
	Count         int               `json:"count,omitempty"`
	DepthM        *float64          `json:"depth_m,omitempty"`
	WeightKg      *float64          `json:"weight_kg,omitempty"`
	LengthCm      *float64          `json:"length_cm,omitempty"`
	LengthType    string            `json:"length_type,omitempty"`
	Signs         []advisor.Sign    `json:"signs,omitempty"`
	NoSigns       bool              `json:"no_signs,omitempty"`
	Hook          advisor.Hook      `json:"hook,omitempty"`
	Bleeding      bool              `json:"bleeding,omitempty"`
	Minutes       *float64          `json:"minutes_on_deck,omitempty"`
	Behaviour     advisor.Behaviour `json:"behaviour,omitempty"`
	Method        advisor.Method    `json:"method,omitempty"`
	WeightsUsedOz []float64         `json:"weights_used_oz,omitempty"`
	ReleaseDepthM *float64          `json:"release_depth_m,omitempty"`
	Outcome       advisor.Outcome   `json:"outcome,omitempty"`
	Tag           string            `json:"tag,omitempty"`
	Recapture     bool              `json:"recapture,omitempty"`
}

// HearFish words a fish of a reading in the keys of the contract.
func HearFish(f understand.Fish) HeardFish {
	q, d := f.Query, f.Done
	return HeardFish{
		Name: f.Name, Species: q.Species, Sure: q.Species != "" && !q.Ambiguous, Count: q.Count, DepthM: q.DepthM, WeightKg: q.WeightKg,
		LengthCm: q.LengthCm, LengthType: string(q.LengthType), Signs: q.Signs, NoSigns: f.NoSigns, Hook: q.Hook, Bleeding: q.Bleeding,
		Minutes: q.MinutesOnDeck, Behaviour: q.Behaviour, Method: d.Method, WeightsUsedOz: d.WeightsOz, ReleaseDepthM: d.ReleaseDepthM,
		Outcome: d.Outcome, Tag: d.Tag, Recapture: d.Recapture,
	}
}

// watch tells whoever asked how the message was understood.
func (t *turn) watch(move talk.Move, next talk.State, r understand.Reading) {
	h := Heard{
		Act: r.Act, Want: r.Want, AboardOz: next.Aboard.ReleaseOz, AboardLead: next.Aboard.LeadG, AboardNone: next.Aboard.None,
		Predators: r.Predators, Hurt: r.Hurt, Asks: next.Asked.What, Unread: r.Unread,
		Fish: []HeardFish{}, Said: []string{}, Advice: []*AnswerAdvice{},
	}
	list := r.Fish
	if move.Do == talk.Answer && len(move.Fish) > 0 {
		list = move.Fish
	}
	for _, f := range list {
		h.Fish = append(h.Fish, HearFish(f))
	}
	if move.Do == talk.Answer {
		fish := queriesOf(move.Fish)
		t.equip(fish)
		for _, q := range fish {
			a := advisor.Advise(q)
			h.Advice = append(h.Advice, answerAdvice(t.voice, a))
			h.Said = append(h.Said, t.saidOf(q, a, r)...)
		}
	}
	for _, p := range r.Problems {
		h.Said = append(h.Said, sayNote(t.voice, p.Why))
	}
	for _, list := range []*[]float64{&h.AboardOz, &h.AboardLead} {
		if *list == nil {
			*list = []float64{}
		}
	}
	if h.Unread == nil {
		h.Unread = []string{}
	}
	t.Watch(h)
}

// saidOf are the lines in which an answer tells what it lacked or assumed of the fish,
// but for the usual size of one.
func (t *turn) saidOf(q advisor.Query, a advisor.Advice, r understand.Reading) []string {
	var lines []string
	for _, n := range a.Assumed {
		if !slices.Contains([]advisor.NoteCode{advisor.AssumedTypicalSize, advisor.AssumedWeights, advisor.AssumedDeepEnd}, n.Code) {
			lines = append(lines, sayNote(t.voice, n))
		}
	}
	m := r.Meaning()
	m.Query, m.Missing = q, understand.Missing(q)
	if ask := askFor(t.voice, m, a); ask != "" && ask != t.voice.Say("line.tell_size") {
		lines = append(lines, ask)
	}
	return lines
}

// HearReport words a kept report in the keys of the contract.
func HearReport(r *catch.Report) HeardFish {
	h := HearFish(fishOf(r))
	h.No, h.Count = r.Number, 0
	return h
}
