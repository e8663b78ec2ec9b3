package understand

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

var misses = flag.String("misses", "", "print what is read wrong in the sets whose names begin so")

// labelled is one message of a set, as far as it is judged.
type labelled struct {
	Text, Lang, Place string
	Act               Act
	Want              Want
	Fish              []labelledFish
	Unsure            []string
	AboardOz          []float64       `json:"aboard_oz"`
	AboardLead        json.RawMessage `json:"aboard_lead_g"`
	AboardNone        bool            `json:"aboard_none"`
	Predators         bool
	Follow            bool `json:"follow_up"`
}

type labelledFish struct {
	Name, Species *string
	Count         *int
	Depth         *float64 `json:"depth_m"`
	Weight        *float64 `json:"weight_kg"`
	Length        *float64 `json:"length_cm"`
	Minutes       *float64 `json:"minutes_on_deck"`
	Signs         []advisor.Sign
	Hook          *advisor.Hook
	Behaviour     *advisor.Behaviour
	Bleeding      *bool
	Method        *advisor.Method
	Outcome       *advisor.Outcome
	Tag           *string
	Recapture     *bool
	Used          []float64 `json:"weights_used_oz"`
	ReleaseDepth  *float64  `json:"release_depth_m"`
}

// near is the closeness that is asked of a figure.
func near(a *float64, b float64) bool {
	return a != nil && math.Abs(*a-b) <= math.Max(0.01*math.Abs(b), 0.02)
}

func alikeFigures(a, b []float64) bool {
	a, b = slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.EqualFunc(a, b, func(x, y float64) bool { return near(&x, y) })
}

// wrong lists what a reading has otherwise than its label.
func (m labelled) wrong(r Reading) (bad []string) {
	miss := func(what string, want, got any) { bad = append(bad, fmt.Sprintf("%s %v/%v", what, want, got)) }
	if r.Act != m.Act {
		miss("act", m.Act, r.Act)
	}
	if want := m.Want; m.Act == ActQuestion || m.Act == ActCommand {
		if want == "" {
			want = WantRelease
		}
		if r.Want != want {
			miss("want", want, r.Want)
		}
	}
	if m.Act == ActQuestion || m.Act == ActReport || m.Act == ActCorrection {
		if len(m.Fish) > 1 && len(r.Fish) != len(m.Fish) {
			miss("groups", len(m.Fish), len(r.Fish))
		}
		for i, f := range m.Fish {
			if i < len(r.Fish) {
				f.wrong(r.Fish[i], m, miss)
			} else if i == 0 {
				f.wrong(Fish{Query: blankQuery()}, m, miss)
			}
		}
	}
	if m.Act == ActOther {
		return bad
	}
	if m.Predators && !r.Predators {
		miss("predators", true, false)
	}
	if len(m.AboardOz) > 0 && !alikeFigures(r.Aboard.ReleaseOz, m.AboardOz) {
		miss("aboard_oz", m.AboardOz, r.Aboard.ReleaseOz)
	}
	if m.AboardNone && !r.Aboard.None {
		miss("aboard_none", true, false)
	}
	if lead := m.lead(); len(lead) > 0 && !alikeFigures(r.Aboard.LeadG, lead) {
		miss("aboard_lead", lead, r.Aboard.LeadG)
	}
	return bad
}

func (m labelled) lead() []float64 {
	var several []float64
	if json.Unmarshal(m.AboardLead, &several) == nil {
		return several
	}
	var one float64
	if json.Unmarshal(m.AboardLead, &one) == nil && one > 0 {
		return []float64{one}
	}
	return nil
}

// synonyms are two scientific names of one fish.
var synonyms = map[string]string{"Pagrus auratus": "Chrysophrys auratus", "Epinephelus niveatus": "Hyporthodus niveatus"}

func synonym(s string) string {
	if other, ok := synonyms[s]; ok {
		return other
	}
	return s
}

func (f labelledFish) wrong(g Fish, m labelled, miss func(string, any, any)) {
	q, d := g.Query, g.Done
	sure := func(key string) bool { return !slices.Contains(m.Unsure, key) }
	figure := func(key string, want, got *float64) {
		switch {
		case !sure(key):
		case want == nil && got != nil:
			miss("extra "+key, nil, *got)
		case want != nil && !near(got, *want):
			miss(key, *want, shown(got))
		}
	}
	if f.Species != nil && *f.Species != "" && sure("species") && synonym(q.Species) != synonym(*f.Species) {
		miss("species", *f.Species, q.Species+" of "+g.Name)
	}
	figure("depth_m", f.Depth, q.DepthM)
	figure("weight_kg", f.Weight, q.WeightKg)
	figure("length_cm", f.Length, q.LengthCm)
	if f.Minutes != nil && sure("minutes_on_deck") && !near(q.MinutesOnDeck, *f.Minutes) {
		miss("minutes", *f.Minutes, shown(q.MinutesOnDeck))
	}
	if f.Signs != nil && sure("signs") && !alikeSigns(f.Signs, q.Signs) {
		miss("signs", f.Signs, q.Signs)
	}
	judge(f.Hook, q.Hook, sure("hook"), "hook", miss)
	judge(f.Behaviour, q.Behaviour, sure("behaviour"), "behaviour", miss)
	judge(f.Bleeding, q.Bleeding, sure("bleeding"), "bleeding", miss)
	judge(f.Method, d.Method, sure("method"), "method", miss)
	judge(f.Outcome, d.Outcome, sure("outcome"), "outcome", miss)
	judge(f.Recapture, d.Recapture, sure("recapture"), "recapture", miss)
	if m.Act != ActQuestion {
		judge(f.Count, q.Count, sure("count"), "count", miss)
	}
	if f.Tag != nil && sure("tag") && d.Tag != strings.ToUpper(strings.ReplaceAll(*f.Tag, " ", "")) {
		miss("tag", *f.Tag, d.Tag)
	}
	if f.Used != nil && sure("weights_used_oz") && !alikeFigures(d.WeightsOz, f.Used) {
		miss("weights_used_oz", f.Used, d.WeightsOz)
	}
	if f.ReleaseDepth != nil && sure("release_depth_m") && !near(d.ReleaseDepthM, *f.ReleaseDepth) {
		miss("release_depth_m", *f.ReleaseDepth, shown(d.ReleaseDepthM))
	}
}

func judge[T comparable](want *T, got T, sure bool, key string, miss func(string, any, any)) {
	if want != nil && sure && *want != got {
		miss(key, *want, got)
	}
}

func alikeSigns(a, b []advisor.Sign) bool {
	a, b = slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.Equal(slices.Compact(a), slices.Compact(b))
}

func readSet(t testing.TB, file string) (list []labelled) {
	in, err := os.Open(file)
	require.NoError(t, err)
	defer in.Close()
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		var m labelled
		require.NoError(t, json.Unmarshal(lines.Bytes(), &m), lines.Text())
		list = append(list, m)
	}
	return list
}

// judges are the sets that nothing was learned from, with the share of messages that was
// wholly right when it was last written down, less some: a change that costs more fails.
var judges = map[string]float64{
	"written_29": 0.62, "written_100": 0.72, "written_101": 0.72, "written_102": 0.76, "written_103": 0.76,
	"written_70": 0.72, "written_71": 0.71, "written_72": 0.69, "written_73": 0.70, "written_80": 0.75,
	"written_140": 0.76, "written_141": 0.74, "written_142": 0.68, "written_143": 0.74,
	"written_200": 0.85, "written_203": 0.70, "written_210": 0.83, "written_212": 0.75, "written_220": 0.86, "written_224": 0.72, "written_234": 0.74,
}

// TestSets reads the sets that only judge; with -misses any other too, and prints what is
// read wrong.
func TestSets(t *testing.T) {
	files, err := filepath.Glob("../../testdata/texts/written_*.jsonl")
	require.NoError(t, err)
	reader := NewReader()
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".jsonl")
		floor, judged := judges[name]
		if *misses == "" && !judged || *misses != "" && !strings.HasPrefix(name, *misses) {
			continue
		}
		right, list := 0, readSet(t, file)
		for _, m := range list {
			region, _ := FindRegion(m.Place)
			bad := m.wrong(reader.Read(m.Text, Setting{Region: region, Language: m.Lang}, learned.Context{}))
			if len(bad) == 0 {
				right++
			} else if *misses != "" {
				fmt.Printf("%q %q\n", m.Text, bad)
			}
		}
		share := float64(right) / float64(len(list))
		t.Logf("%s: %d of %d wholly right, %.1f %%", name, right, len(list), 100*share)
		require.Greater(t, share, floor, name)
	}
}

// shown is a figure for the log.
func shown(x *float64) any {
	if x == nil {
		return nil
	}
	return *x
}
