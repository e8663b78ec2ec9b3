package understand

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

var (
	compareAll = flag.Bool("compare", false, "compare rules and net on all sets that only judge")
	otherNet   = flag.String("net", "", "another file of weights to compare")
)

// readers are the halves of the reader, and the whole.
var readers = map[string]func(text string, s Setting) Reading{
	"rules alone":   rulesAlone,
	"learned alone": learnedAlone,
	"both":          func(text string, s Setting) Reading { return NewReader().Read(text, s, learned.Context{}) },
}

// TestRulesAndNetTogetherBeatEither compares them on sets that nothing was learned from; it
// tells sums only.
func TestRulesAndNetTogetherBeatEither(t *testing.T) {
	names := []string{"written_100", "written_101", "written_102", "written_103"}
	if *compareAll {
		names = nil
		for name := range judges {
			names = append(names, name)
		}
	}
	if *otherNet != "" {
		file, err := os.ReadFile(*otherNet)
		require.NoError(t, err)
		net, err := learned.Load(file)
		require.NoError(t, err)
		usual := learned.Trained
		learned.Trained = func() *learned.Net { return net }
		defer func() { learned.Trained = usual }()
	}
	wholly := map[string]int{}
	for how, read := range readers {
		acts, figures, all := 0, 0, 0
		for _, name := range names {
			for _, m := range readSet(t, filepath.Join("../../testdata/texts", name+".jsonl")) {
				region, _ := FindRegion(m.Place)
				r := read(m.Text, Setting{Region: region, Language: m.Lang})
				bad := m.wrong(r)
				all++
				acts += count(r.Act == m.Act)
				figures += count(!slices.ContainsFunc(bad, func(s string) bool { return !strings.HasPrefix(s, "act ") && !strings.HasPrefix(s, "want ") }))
				wholly[how] += count(len(bad) == 0)
			}
		}
		t.Logf("%s, %d messages: act %.1f %%, figures, names and states %.1f %%, wholly %.1f %%", how, all, percent(acts, all), percent(figures, all), percent(wholly[how], all))
	}
	assert.Greater(t, wholly["both"], wholly["learned alone"])
	assert.Greater(t, wholly["learned alone"], wholly["rules alone"])
}

func count(is bool) int {
	if is {
		return 1
	}
	return 0
}

func percent(n, of int) float64 { return 100 * float64(n) / float64(of) }

// rulesAlone reads with units, word lists and names, and no net: each figure has the role
// that its unit has most, each listed phrase says what it is listed for.
func rulesAlone(text string, s Setting) Reading {
	f := foldPlaced(text)
	if r, ok := typedCommand(text, strings.TrimSpace(f.text)); ok {
		return r
	}
	h := &hearing{text: text, folded: f, tokens: scan(f.text), setting: s}
	h.scores.Follow, h.scores.Further = 0, 0
	for layer := range h.scores.Tags {
		h.scores.Tags[layer] = slices.Repeat([]string{"O"}, len(h.tokens))
		h.scores.Chances[layer] = slices.Repeat([]float32{1}, len(h.tokens))
	}
	h.act, h.want, h.sure = ActOther, "", 1
	h.tagNames()
	h.tagQuantities()
	told := h.tagPhrases()
	figures := slices.ContainsFunc(h.scores.Tags[learned.Figures], func(tag string) bool { return tag != "O" })
	switch {
	case told["correction"] && figures:
		h.act = ActCorrection
	case told["log"], told["released"], told["method"], told["outcome"]:
		h.act = ActReport
	case figures || told["ask"] || told["sign"]:
		h.act, h.want = ActQuestion, WantRelease
	}
	h.obey()
	return h.reading()
}

// put tags the tokens from to to, where they have no tag of that layer.
func (h *hearing) put(layer learned.Layer, from, to int, tag string) {
	tags := h.scores.Tags[layer]
	if slices.ContainsFunc(tags[from:to], func(t string) bool { return t != "O" }) {
		return
	}
	for i := from; i < to; i++ {
		tags[i] = "I-" + tag
	}
	tags[from] = "B-" + tag
	for i := from; i < to; i++ {
		h.scores.Tags[learned.Whose][i] = "0"
	}
}

// tagNames tags the longest names.
func (h *hearing) tagNames() {
	const longest = 4
	for i := 0; i < len(h.tokens); i++ {
		for n := min(longest, len(h.tokens)-i); n > 0; n-- {
			if h.tokens[i].kind == tokenWord && nameMark(h.phrase(i, i+n)) == markPlain {
				h.put(learned.Figures, i, i+n, "name")
				i += n - 1
				break
			}
		}
	}
}

// tagQuantities tags figures by their units.
func (h *hearing) tagQuantities() {
	roles := map[dimension]string{depth: "depth_m", weight: "weight_kg", length: "length_cm", minutes: "minutes_on_deck", ounces: "aboard_oz"}
	for _, q := range h.everyQuantity() {
		if role := roles[q.dim]; role != "" {
			h.put(learned.Figures, q.from, q.to, role)
		}
	}
}

// tagPhrases tags what the word lists know, and returns the kinds of what was told.
func (h *hearing) tagPhrases() map[string]bool {
	told := map[string]bool{}
	layers := map[string]learned.Layer{"sign": learned.States, "hook": learned.States, "behaviour": learned.States, "method": learned.Deeds, "outcome": learned.Ends}
	lone := map[string]string{"bleeding": "bleeding", "nosigns": "no_signs"}
	const longest = 5
	for i := range h.tokens {
		for n := min(longest, len(h.tokens)-i); n > 0; n-- {
			found := lexicon().Phrases[h.phrase(i, i+n)]
			if found == nil {
				continue
			}
			for _, c := range found {
				kind, value, _ := strings.Cut(lexicon().Concepts[c], ":")
				told[kind] = true
				if layer, ok := layers[kind]; ok {
					h.put(layer, i, i+n, kind+"."+value)
				}
				if tag := lone[kind]; tag != "" {
					h.put(learned.States, i, i+n, tag)
				}
				if kind == "predators" {
					h.put(learned.Deeds, i, i+n, kind)
				}
			}
			break
		}
	}
	return told
}

// learnedAlone takes what the net says with the plainest conversion: the first number of a
// run of words times the first unit in it, a name that stands in a table as typed, and no
// rule besides.
func learnedAlone(text string, s Setting) Reading {
	f := foldPlaced(text)
	h := &hearing{text: text, folded: f, tokens: scan(f.text), setting: s}
	h.score(learned.Context{})
	r := Reading{Text: text, Act: h.act, Want: h.want, Sure: h.sure}
	figures, states, deeds, ends := h.spans(learned.Figures), h.spans(learned.States), h.spans(learned.Deeds), h.spans(learned.Ends)
	h.group(slices.Concat(figures, states, deeds, ends))
	for _, x := range figures {
		h.plainFigure(x)
	}
	for _, x := range slices.Concat(states, deeds, ends) {
		h.plainState(x)
	}
	r.Fish, r.Aboard, r.Predators = h.groups, h.aboard, h.around
	return r
}

func (h *hearing) plainFigure(s span) {
	typed, value, factor, in := h.typed(s.from, s.to), 0.0, 1.0, ounces
	for _, t := range h.tokens[s.from:s.to] {
		u, isUnit := units()[t.text]
		switch {
		case t.kind == tokenNumber && value == 0:
			value = t.value
		case isUnit && factor == 1:
			factor, in = u.factor, u.dim
		}
	}
	x := value * factor
	if lead := strings.HasPrefix(s.tag, "aboard") || s.tag == "weights_used_oz"; lead && in == weight {
		x /= kgPerOunce
	}
	switch s.tag {
	case "aboard_oz":
		h.aboard.ReleaseOz = append(h.aboard.ReleaseOz, x)
	case "aboard_lead_g":
		h.aboard.LeadG = append(h.aboard.LeadG, x*advisor.GramsPerOunce)
	}
	h.each(s, func(f *Fish) {
		switch at := f.Figure(s.tag); {
		case s.tag == "name":
			f.Name = typed
			if n := names().entries[fold(typed)]; n != nil && len(n.claims) > 0 {
				f.Query.Species = n.claims[0].species.ScientificName
			} else if list := advisor.GazetteerNamed(joinedKey(typed)); len(list) > 0 {
				f.Query.Species = list[0].Taxon
			}
		case value == 0:
		case at != nil:
			*at = &x
		case s.tag == "minutes_on_deck":
			f.Query.MinutesOnDeck = &x
		case s.tag == "count":
			f.Query.Count = int(value)
		case s.tag == "weights_used_oz":
			f.Done.WeightsOz = append(f.Done.WeightsOz, x)
		case s.tag == "tag":
			f.Done.Tag = strings.ToUpper(strings.ReplaceAll(typed, " ", ""))
		}
	})
}

func (h *hearing) plainState(s span) {
	kind, value, _ := strings.Cut(s.tag, ".")
	h.aboard.None = h.aboard.None || kind == "aboard_none"
	h.around = h.around || kind == "predators"
	h.each(s, func(f *Fish) {
		switch kind {
		case "sign":
			f.Query.Signs = append(f.Query.Signs, advisor.Sign(value))
		case "hook":
			f.Query.Hook = advisor.Hook(value)
		case "behaviour":
			f.Query.Behaviour = advisor.Behaviour(value)
		case "bleeding":
			f.Query.Bleeding = true
		case "method":
			f.Done.Method = advisor.Method(value)
		case "recapture":
			f.Done.Recapture = true
		case "outcome":
			f.Done.Outcome = advisor.Outcome(value)
		}
	})
}
