package bot

import (
	"context"
	"log/slog"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store"
	"deepward/store/catch"
)

// Heard is one message of a talk as it was taken and answered: the JSON contract of
// `deepward chat --json`.
type Heard struct {
	Talk       string          `json:"talk"`
	Act        understand.Act  `json:"act"`
	Want       understand.Want `json:"want"`
	Fish       []HeardFish     `json:"fish"`
	AboardOz   []float64       `json:"aboard_oz"`
	AboardLead []float64       `json:"aboard_lead_g"`
	AboardNone bool            `json:"aboard_none"`
	Predators  bool            `json:"predators"`
	Asks       string          `json:"asks"`
	Unread     []string        `json:"unread"`
	Said       []string        `json:"said"`
	Advice     []*HeardAdvice  `json:"advice"`
	Log        []HeardFish     `json:"log"`
	Silent     bool            `json:"silent"`
	Reply      string          `json:"reply"`
	// Trace is how it was taken.
	Trace Trace `json:"-"`
}

// HeardAdvice is the advice as `ask --json` gives it, with the weights to use.
type HeardAdvice struct {
	*AnswerAdvice
	WeightsOz []float64 `json:"weights_oz"`
}

// HeardFish is one fish as understood, or one report; null where it is not known.
type HeardFish struct {
	No         uint64   `json:"no,omitempty"`
	Name       string   `json:"name"`
	Species    string   `json:"species"`
	Candidates []string `json:"candidates,omitempty"`
	Count      int      `json:"count"`
	advisor.Capture
	advisor.Release
}

func heardFish(f understand.Fish) HeardFish {
	q := f.Query
	h := HeardFish{
		Name: f.Name, Species: q.Species, Candidates: q.Candidates, Count: max(1, q.Count), Capture: q.Capture, Release: f.Done.Release,
	}
	if h.Signs == nil {
		h.Signs = []advisor.Sign{}
	}
	if h.WeightsOz == nil {
		h.WeightsOz = []float64{}
	}
	return h
}

// called is how the bot is named in a group, in front of what is said to it or after.
var called = regexp.MustCompile(`(?i)(^|[\s,.!?])@?bot\b[,:.]?\s*`)

// Spoken is a text of a group without the name of the bot, and whether it names it.
func Spoken(text string) (string, bool) {
	if !called.MatchString(text) {
		return text, false
	}
	return strings.TrimSpace(called.ReplaceAllString(text, "$1")), true
}

// HearAlone plays one message of a talk of its own over a store that is only for it;
// begun is set when the chat has been set up. place is where they fish, in any words.
// maker makes what is only written when it is sent, such as a summary.
func HearAlone(ctx context.Context, s *store.Store, maker Maker, m Message, place string, begun *bool) (Heard, error) {
	var trace Trace
	engine := NewEngine()
	engine.Heard = func(t Trace) { trace = t }
	desk := &Desk{Store: s, Engine: engine, Maker: maker, Log: slog.New(slog.DiscardHandler)}
	if !*begun {
		if err := s.Update(func(tx *store.Tx) error { return setUp(tx, m, place) }); err != nil {
			return Heard{}, err
		}
		*begun = true
	}
	sendings, err := desk.Take(ctx, []Message{m})
	if err != nil {
		return Heard{}, err
	}
	h := heard(trace)
	var replies []string
	for _, sending := range sendings {
		text, err := desk.textOf(ctx, sending.Reply)
		if err != nil {
			return Heard{}, err
		}
		if text != "" {
			replies = append(replies, text)
		}
		if err := desk.Settle(ctx, []Settled{{Sending: sending, Message: 1_000_000 + int(sending.ID)}}); err != nil {
			return Heard{}, err
		}
	}
	h.Silent, h.Reply = len(sendings) == 0, strings.Join(replies, "\n\n")
	err = s.View(func(tx *store.Tx) error { h.Log, err = logOf(tx); return err })
	return h, err
}

// textOf is what a reply says, that of its file where it has no other.
func (d *Desk) textOf(ctx context.Context, r Reply) (string, error) {
	if r.Text != "" || r.Attach == nil {
		return r.Text, nil
	}
	f, err := d.Make(ctx, *r.Attach)
	if err != nil {
		return "", err
	}
	f.Done()
	return f.Caption, nil
}

// setUp sets a talk's region, and the topic of a group.
func setUp(tx *store.Tx, m Message, place string) error {
	chat, err := tx.ChatNumber(m.Chat.ID)
	if err != nil {
		return err
	}
	region, _ := understand.FindRegion(place)
	c := Club{Region: region, Group: m.Chat.Group, Title: m.Chat.Title}
	if m.Chat.Thread != 0 {
		c.TopicSet, c.ReportTopic = true, m.Chat.Thread
	}
	return tx.Put(kindClub, key(chat), c)
}

// logOf are all reports of a store that were not taken back, in the order kept.
func logOf(tx *store.Tx) ([]HeardFish, error) {
	list := []HeardFish{}
	for n := uint64(1); ; n++ {
		r, err := tx.Report(n)
		if err != nil {
			return list, ignoreMissing(err)
		}
		if r.Undone {
			continue
		}
		list = append(list, logged(r))
	}
}

func logged(r *catch.Report) HeardFish {
	h := heardFish(rowOf(r).Fish)
	h.No = r.Told()
	return h
}

// heard is a trace in the form of the contract.
func heard(t Trace) Heard {
	r := t.Reading
	h := Heard{
		Act: r.Act, Want: r.Want, Fish: []HeardFish{}, AboardOz: t.State.Aboard.ReleaseOz, AboardLead: t.State.Aboard.LeadG,
		AboardNone: t.State.Aboard.None, Trace: t, Predators: r.Predators, Asks: t.State.Asked.What, Unread: r.Unread, Said: t.Said, Advice: []*HeardAdvice{},
	}
	for _, list := range []*[]float64{&h.AboardOz, &h.AboardLead} {
		if *list == nil {
			*list = []float64{}
		}
	}
	for _, list := range []*[]string{&h.Unread, &h.Said} {
		if *list == nil {
			*list = []string{}
		}
	}
	for _, f := range heardOf(t) {
		h.Fish = append(h.Fish, heardFish(f))
	}
	for _, q := range t.Answered {
		a := answerAdvice(voiceOf("en"), advisor.Advise(q))
		h.Advice = append(h.Advice, &HeardAdvice{a, a.ReleaseWeightsOz})
	}
	return h
}

// heardOf are the fish that a message is about, as now understood.
func heardOf(t Trace) []understand.Fish {
	switch t.Move.Do {
	case talk.Answer, talk.Keep, talk.Change:
	default:
		return t.Reading.Fish
	}
	if len(t.Move.Fish) > 0 {
		return t.Move.Fish
	}
	var list []understand.Fish
	for _, row := range slices.Concat(t.Move.Change, t.Move.Keep) {
		if n := len(list); n > 0 && alikeHeard(list[n-1], row.Fish) {
			list[n-1].Query.Count++
			continue
		}
		one := row.Fish
		one.Query.Count = 1
		list = append(list, one)
	}
	return list
}

// alikeHeard is true for two fish of one group: all that is known of them is the same.
func alikeHeard(a, b understand.Fish) bool {
	a.Query.Count, b.Query.Count = 1, 1
	return reflect.DeepEqual(a, b)
}
