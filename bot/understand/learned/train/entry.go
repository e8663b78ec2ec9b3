package main

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"deepward/bot/understand"
	"deepward/bot/understand/learned"
)

// entry is one line of a set: a message, or a talk with its turns.
type entry struct {
	message
	Group bool      `json:"group"`
	Turns []message `json:"turns"`
}

// message is a labelled message or turn, as far as the reader learns from it.
type message struct {
	Text   string                     `json:"text"`
	Say    string                     `json:"say"`
	From   string                     `json:"from"`
	Lang   string                     `json:"lang"`
	Act    string                     `json:"act"`
	Want   string                     `json:"want"`
	Follow bool                       `json:"follow_up"`
	Silent bool                       `json:"silent"`
	Fish   []fish                     `json:"fish"`
	Log    []fish                     `json:"log"`
	Said   map[string]json.RawMessage `json:"said"`
}

// fish is what tells the name of a tag, and what is known of the fish that is open. A row
// of a log has a number, and only that where it stands as it stood.
type fish struct {
	No        int      `json:"no"`
	Species   string   `json:"species"`
	Name      string   `json:"name"`
	Depth     *float64 `json:"depth_m"`
	Weight    *float64 `json:"weight_kg"`
	Length    *float64 `json:"length_cm"`
	Hook      string   `json:"hook"`
	Behaviour string   `json:"behaviour"`
	Method    string   `json:"method"`
	Outcome   string   `json:"outcome"`
	Bleeding  *bool    `json:"bleeding"`
}

// example is a text as train.py reads it.
type example struct {
	understand.Example
	Set     string    `json:"set"`
	Text    string    `json:"text"`
	Lang    string    `json:"lang"`
	Act     string    `json:"act"`
	Want    string    `json:"want"`
	Follow  bool      `json:"follow"`
	Context []float32 `json:"c"`
	// Further is 1 for a report of one more fish where no fish was open, 0 for one that tells
	// of a fish that was reported before, -1 where that is no question.
	Further int `json:"further"`
	// Tagged is false where the labels do not say by which words they are said.
	Tagged bool `json:"tagged"`
}

func (e entry) examples(set string) []example {
	if len(e.Turns) == 0 {
		return []example{e.message.example(set, e.Lang, learned.Context{}, true)}
	}
	var list []example
	open := map[string]learned.Context{} // of each person
	tagged := false
	for _, turn := range e.Turns {
		tagged = tagged || len(turn.Said) > 0
	}
	var before []fish
	for _, turn := range e.Turns {
		if turn.Act == "" {
			turn.Act = "other"
		}
		if len(turn.Fish) == 0 {
			turn.Fish = turn.told(before)
		}
		c := open[turn.From]
		c.Group = e.Group
		x := turn.example(set, e.Lang, c, tagged)
		x.Further = turn.further(c, before)
		list = append(list, x)
		if len(turn.Log) > 0 {
			before = turn.Log
		}
		open[turn.From] = turn.after(c)
	}
	return list
}

// further says whether a report makes rows that were not there before.
func (m message) further(c learned.Context, before []fish) int {
	if m.Act != "report" || len(before) == 0 || c.Open || len(m.Log) == 0 {
		return -1
	}
	for _, row := range m.Log {
		if !slices.ContainsFunc(before, func(b fish) bool { return b.No == row.No }) {
			return 1
		}
	}
	return 0
}

// told are the rows that a turn made or changed: it tells of these.
func (m message) told(before []fish) (list []fish) {
	for _, row := range m.Log {
		bare := row == fish{No: row.No}
		if stood := slices.ContainsFunc(before, func(b fish) bool { return b.same(row) }); !bare && !stood {
			list = append(list, row)
		}
	}
	return list
}

// same is true for rows of one number that say the same of what makes a tag.
func (f fish) same(o fish) bool {
	return f.No == o.No && f.Hook == o.Hook && f.Behaviour == o.Behaviour && f.Method == o.Method && f.Outcome == o.Outcome
}

func (m message) example(set, lang string, c learned.Context, tagged bool) example {
	text := m.Text
	if text == "" {
		text = m.Say
	}
	want := "-"
	if m.Act == "question" || m.Act == "command" {
		want = m.Want
		if want == "" {
			want = "release"
		}
	}
	return example{
		Example: understand.NewExample(text, m.labels()), Set: set, Text: text, Lang: lang, Act: m.Act, Want: want,
		Follow: m.Follow, Context: c.Vector(), Tagged: tagged, Further: -1,
	}
}

// after is what is open when a turn is done: what an answer would ask is reckoned from
// what it lacks.
func (m message) after(c learned.Context) learned.Context {
	c.Begun, c.Last, c.Asks = true, m.Act, ""
	switch m.Act {
	case "question":
		if len(m.Fish) > 0 {
			f := m.Fish[0]
			c.Open, c.Species, c.Depth, c.Size = true, f.Species != "", f.Depth != nil, f.Weight != nil || f.Length != nil
		}
		if c.Open && !c.Depth && (m.Want == "" || m.Want == "release") {
			c.Asks = "depth"
		}
	case "report":
		c.Kept = true
		c.Open, c.Species, c.Depth, c.Size = false, false, false, false
	}
	return c
}

// labels are the tags of the pieces that say them, in the order of their keys.
func (m message) labels() []understand.Label {
	var list []understand.Label
	for _, key := range sortedKeys(m.Said) {
		for _, piece := range pieces(m.Said[key]) {
			if l, ok := m.label(key); ok && piece != "" {
				l.Piece = piece
				list = append(list, l)
			}
		}
	}
	return list
}

func pieces(raw json.RawMessage) []string {
	var one string
	if json.Unmarshal(raw, &one) == nil {
		return []string{one}
	}
	var several []string
	if json.Unmarshal(raw, &several) == nil {
		return several
	}
	return nil
}

// label turns a key such as fish.1.signs.bulging_eyes into a tag.
func (m message) label(key string) (understand.Label, bool) {
	parts := strings.Split(key, ".")
	l := understand.Label{Fish: -1}
	var of fish
	if parts[0] == "fish" && len(parts) >= 3 {
		n, err := strconv.Atoi(parts[1])
		if err != nil {
			n = 0
		}
		if n < len(m.Fish) {
			of = m.Fish[n]
		}
		l.Fish, parts = n, parts[2:]
	}
	value := ""
	if len(parts) > 1 {
		value = parts[1]
	}
	switch name := parts[0]; name {
	case "signs":
		l.Layer, l.Tag = learned.States, "sign."+value
		return l, value != ""
	case "hook", "behaviour", "method", "outcome":
		l.Layer, l.Tag = layerOf[name], name+"."+firstOf(value, m.value(name, of))
		return l, !strings.HasSuffix(l.Tag, ".")
	case "bleeding":
		l.Layer, l.Tag = learned.States, "bleeding"
		if of.Bleeding != nil && !*of.Bleeding {
			l.Tag = "not_bleeding"
		}
		return l, true
	case "predators", "aboard_none", "no_signs", "recapture":
		l.Layer, l.Tag = layerOf[name], name
		return l, true
	default:
		l.Layer, l.Tag = learned.Figures, name
		return l, learned.IsFigure(name)
	}
}

// value is what a fish has for a field that makes a tag, or what the only fish has that
// has any: pieces of a talk are numbered as its rows are, or as its fish.
func (m message) value(name string, of fish) string {
	pick := func(f fish) string {
		return map[string]string{"hook": f.Hook, "behaviour": f.Behaviour, "method": f.Method, "outcome": f.Outcome}[name]
	}
	if v := pick(of); v != "" {
		return v
	}
	found := ""
	for _, f := range m.Fish {
		if v := pick(f); v != "" && found != "" && v != found {
			return ""
		} else if v != "" {
			found = v
		}
	}
	return found
}

// layerOf are the layers of the labels that are no figures.
var layerOf = map[string]learned.Layer{
	"hook": learned.States, "behaviour": learned.States, "no_signs": learned.States, "aboard_none": learned.States,
	"method": learned.Deeds, "recapture": learned.Deeds, "predators": learned.Deeds, "outcome": learned.Ends,
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
