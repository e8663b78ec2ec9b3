package understand

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// line is one message of the corpus and what must be understood of it; a field
// that is absent is not checked.
type line struct {
	Text   string `json:"text"`
	Lang   string `json:"lang"`
	Region string `json:"region"`
	Expect map[string]any
}

func readCorpus(t testing.TB, path string) []line {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	var list []line
	for s := bufio.NewScanner(f); s.Scan(); {
		if len(s.Bytes()) == 0 {
			continue
		}
		var l line
		require.NoError(t, json.Unmarshal(s.Bytes(), &l), "%s", s.Text())
		list = append(list, l)
	}
	return list
}

// wrong lists the fields that came out other than expected.
func (l line) wrong(m Meaning) []string {
	var list []string
	for field, want := range l.Expect {
		if !understood(m, field, want) {
			list = append(list, field)
		}
	}
	slices.Sort(list)
	return list
}

func understood(m Meaning, field string, want any) bool {
	q := m.Query
	switch field {
	case "species":
		return q.Species == want
	case "depth_m":
		if ends, ok := want.([]any); ok {
			return len(q.DepthRangeM) == 2 && figureNear(&q.DepthRangeM[0], ends[0]) && figureNear(&q.DepthRangeM[1], ends[1]) && figureNear(q.DepthM, ends[1])
		}
		return figureNear(q.DepthM, want)
	case "weight_kg":
		return figureNear(q.WeightKg, want)
	case "length_cm":
		return figureNear(q.LengthCm, want)
	case "length_type":
		return string(q.LengthType) == text(want)
	case "minutes_on_deck":
		return figureNear(q.MinutesOnDeck, want)
	case "count":
		return float64(q.Count) == want
	case "signs":
		return sameSet(signNames(q.Signs), want)
	case "hook":
		return string(q.Hook) == want
	case "behaviour":
		return string(q.Behaviour) == want
	case "bleeding":
		return q.Bleeding == want
	case "predators":
		return q.Predators == want
	case "ambiguous":
		return q.Ambiguous == want
	case "missing":
		return sameSet(m.Missing, want)
	case "problem":
		return (len(m.Problems) > 0) == want
	case "not_a_question":
		return (m.Kind == Other) == want
	case "kind":
		return string(m.Kind) == want
	case "follow_up":
		return m.FollowUp == want
	case "more":
		return float64(len(m.More)) == want
	case "method":
		return string(m.Done.Method) == want
	case "outcome":
		return string(m.Done.Outcome) == want
	case "tag":
		return m.Done.Tag == want
	case "recapture":
		return m.Done.Recapture == want
	case "weights_oz":
		return sameFigures(m.Done.WeightsOz, want)
	case "aboard_oz":
		return sameFigures(q.WeightsAboardOz, want)
	case "day":
		return dayText(m.Done.Day) == want
	case "species_name":
		return q.SpeciesName == want
	case "verb":
		return m.Verb == want
	case "rest":
		return m.Rest == want
	}
	return false
}

// dayText is a told day as the corpus has it: "-1" for yesterday, "04-12", "2026-04-12",
// and with "?" where the figures may have changed places.
func dayText(d *Day) string {
	switch {
	case d == nil:
		return ""
	case d.Ago > 0:
		return fmt.Sprintf("-%d", d.Ago)
	}
	text := fmt.Sprintf("%02d-%02d", d.Month, d.DayOfMonth)
	if d.Year > 0 {
		text = fmt.Sprintf("%d-%s", d.Year, text)
	}
	if d.Swapped {
		text += "?"
	}
	return text
}

func text(want any) string { s, _ := want.(string); return s }

// figureNear allows for a figure rounded in the corpus.
func figureNear(x *float64, want any) bool {
	w, ok := want.(float64)
	if !ok {
		return x == nil && want == nil
	}
	return x != nil && math.Abs(*x-w) <= 0.006*math.Max(1, math.Abs(w))
}

func signNames(signs []advisor.Sign) []string {
	list := make([]string, len(signs))
	for i, s := range signs {
		list[i] = string(s)
	}
	return list
}

func sameSet(got []string, want any) bool {
	list, _ := want.([]any)
	if len(list) != len(got) {
		return false
	}
	for _, w := range list {
		if !slices.Contains(got, text(w)) {
			return false
		}
	}
	return true
}

func sameFigures(got []float64, want any) bool {
	list, _ := want.([]any)
	return slices.EqualFunc(got, list, func(g float64, w any) bool { return g == w })
}

func TestCorpusIsUnderstood(t *testing.T) {
	r := NewReader()
	lines := readCorpus(t, "../../testdata/messages.jsonl")
	right := 0
	for _, l := range lines {
		m := r.Understand(l.Text, Setting{Region: l.Region, Language: l.Lang})
		if wrong := l.wrong(m); len(wrong) > 0 {
			t.Logf("%q: wrong %v, got %+v %+v %v", l.Text, wrong, m.Query, m.Done, m.Kind)
			continue
		}
		right++
	}
	share := float64(right) / float64(len(lines))
	t.Logf("understood %d of %d messages, %.1f %%", right, len(lines), 100*share)
	require.GreaterOrEqual(t, len(lines), 200, "messages in the corpus")
	require.GreaterOrEqual(t, share, 0.98)
}

// Fish whose gas is not trapped must not be taken for bottom fish only because the
// species was not named; a shark beside another fish is its hunter.
func TestWholeGroupsWithoutTrappedGasAreKnown(t *testing.T) {
	r := NewReader()
	for text, want := range map[string]string{
		"shark 60m 20kg":            "Selachimorpha",
		"blue shark 60m":            "Selachimorpha",
		"school shark 40m":          "Galeorhinus galeus",
		"stingray 40m":              "Batoidea",
		"thornback ray 30m":         "Raja clavata",
		"2 sole 40m":                "Pleuronectiformes",
		"catfish 20m":               "Siluriformes",
		"shark ate my gag at 30m":   "Mycteroperca microlepis",
		"gag 30m 2kg sharks around": "Mycteroperca microlepis",
	} {
		m := r.Understand(text, Setting{})
		assert.Equal(t, want, m.Query.Species, text)
		assert.Empty(t, m.More, text)
	}
}

func TestRegionIsFoundByItsWords(t *testing.T) {
	for text, want := range map[string]string{
		"us gulf": "US Gulf of Mexico", "the Gulf": "US Gulf of Mexico", "NSW": "Australia east", "new zealand": "New Zealand",
		"el Caribe": "Caribbean", "Méditerranée": "Mediterranean", "África do Sul": "South Africa", "golfo de México": "US Gulf of Mexico",
		"of": "", "us": "", "atlantic": "", "": "", "moon": "",
	} {
		got, ok := FindRegion(text)
		assert.Equal(t, want, got, text)
		assert.Equal(t, want != "", ok, text)
	}
}
