package understand

import (
	"math"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// Draft is a message labelled as the reader hears it, in the form of the labelled texts: for
// somebody to put right, so that the next reader learns from it.
type Draft struct {
	Text      string            `json:"text"`
	Lang      string            `json:"lang"`
	Place     string            `json:"place,omitempty"`
	Act       Act               `json:"act"`
	FollowUp  bool              `json:"follow_up,omitempty"`
	Want      Want              `json:"want,omitempty"`
	Fish      []DraftFish       `json:"fish,omitempty"`
	AboardOz  []float64         `json:"aboard_oz,omitempty"`
	LeadG     []float64         `json:"aboard_lead_g,omitempty"`
	None      bool              `json:"aboard_none,omitempty"`
	Predators bool              `json:"predators,omitempty"`
	Day       string            `json:"day,omitempty"`
	Unsure    []string          `json:"unsure,omitempty"`
	Said      map[string]string `json:"said,omitempty"`
	// Note says why it is a draft.
	Note string `json:"note,omitempty"`
}

// DraftFish is one group of like fish in a draft; figures have four digits.
type DraftFish struct {
	Name          string             `json:"name,omitempty"`
	Species       *string            `json:"species,omitempty"`
	Count         int                `json:"count,omitempty"`
	DepthM        float64            `json:"depth_m,omitempty"`
	WeightKg      float64            `json:"weight_kg,omitempty"`
	LengthCm      float64            `json:"length_cm,omitempty"`
	LengthType    advisor.LengthType `json:"length_type,omitempty"`
	Signs         []advisor.Sign     `json:"signs,omitempty"`
	NoSigns       bool               `json:"no_signs,omitempty"`
	Hook          advisor.Hook       `json:"hook,omitempty"`
	Bleeding      *bool              `json:"bleeding,omitempty"`
	MinutesOnDeck float64            `json:"minutes_on_deck,omitempty"`
	Behaviour     advisor.Behaviour  `json:"behaviour,omitempty"`
	Method        advisor.Method     `json:"method,omitempty"`
	WeightsUsedOz []float64          `json:"weights_used_oz,omitempty"`
	ReleaseDepthM float64            `json:"release_depth_m,omitempty"`
	Outcome       advisor.Outcome    `json:"outcome,omitempty"`
	Tag           string             `json:"tag,omitempty"`
	Recapture     bool               `json:"recapture,omitempty"`
}

// Draft labels a message as it is heard by itself.
func (r *Reader) Draft(text string, s Setting) Draft {
	h := newHearing(text, s, learned.Context{})
	reading := h.reading()
	d := Draft{
		Text: text, Lang: s.Language, Place: s.Region, Act: reading.Act, Want: reading.Want, FollowUp: reading.FollowUp,
		AboardOz: fourDigits(reading.Aboard.ReleaseOz), LeadG: fourDigits(reading.Aboard.LeadG), None: reading.Aboard.None,
		Predators: reading.Predators, Said: h.said(),
	}
	d.Day = d.Said["day"]
	if d.Want == WantFirstAid || d.Want == WantPutBack {
		d.Want = "" // the labelled texts do not tell them apart
	}
	for _, f := range reading.Fish {
		d.Fish = append(d.Fish, draftFish(f))
		if f.Query.Ambiguous {
			d.Unsure = append(d.Unsure, "species")
		}
	}
	for _, b := range reading.Bare {
		if b.Role != "" {
			d.Unsure = append(d.Unsure, b.Role)
		}
	}
	return d
}

func draftFish(f Fish) DraftFish {
	q, done := f.Query, f.Done
	d := DraftFish{
		Name: f.Name, DepthM: digits(q.DepthM), WeightKg: digits(q.WeightKg), LengthCm: digits(q.LengthCm), LengthType: q.LengthType,
		Signs: q.Signs, NoSigns: f.NoSigns, Hook: q.Hook, MinutesOnDeck: digits(q.MinutesOnDeck), Behaviour: q.Behaviour,
		Method: done.Method, WeightsUsedOz: fourDigits(done.WeightsOz), ReleaseDepthM: digits(done.ReleaseDepthM),
		Outcome: done.Outcome, Tag: done.Tag, Recapture: done.Recapture,
	}
	if f.Name != "" {
		species := q.Species
		if q.Ambiguous || !strings.Contains(species, " ") {
			species = "" // nobody can tell
		}
		d.Species = &species
	}
	if f.Counted {
		d.Count = q.Count
	}
	if q.Bleeding || f.NotBleeding {
		d.Bleeding = new(q.Bleeding)
	}
	return d
}

// digits is a figure with four digits behind the point, 0 for none.
func digits(x *float64) float64 {
	if x == nil {
		return 0
	}
	return math.Round(*x*1e4) / 1e4
}

func fourDigits(list []float64) (out []float64) {
	for _, x := range list {
		out = append(out, digits(&x))
	}
	return out
}

// said are the pieces that say the labels, as typed, by their keys.
func (h *hearing) said() map[string]string {
	said := map[string]string{}
	for layer := learned.Figures; layer < learned.Whose; layer++ {
		for _, s := range h.spans(layer) {
			for _, key := range h.keysOf(s) {
				piece := h.typed(s.from, s.to)
				if said[key] == "" || !hasDigit(said[key]) && hasDigit(piece) {
					said[key] = piece
				}
			}
		}
	}
	return said
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789") }

// keysOf are the keys of a label: one a fish that it is said of.
func (h *hearing) keysOf(s span) []string {
	kind, value, _ := strings.Cut(s.tag, ".")
	switch kind {
	case "sign":
		kind = "signs." + value
	case "not_bleeding":
		kind = "bleeding"
	}
	if messageWide[kind] {
		return []string{kind}
	}
	fish := s.fish
	if fish == nil { // of all of them
		for i := range h.groups {
			fish = append(fish, i)
		}
	}
	var keys []string
	for _, i := range fish {
		if i < len(h.groups) {
			keys = append(keys, "fish."+strconv.Itoa(i)+"."+kind)
		}
	}
	return keys
}
