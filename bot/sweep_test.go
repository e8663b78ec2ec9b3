package bot

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// Every answer can be read on a phone: at most six lines, ten rows of 38 characters, in every
// language and both systems of units; the most urgent caution is told, and the first line has
// the weights and the depth that the figures have.
func TestAnswersFitAPhone(t *testing.T) {
	for i, s := range advisor.Catalogue() {
		for j, q := range sweptQueries(s, i) {
			a := advisor.Advise(q)
			m := understand.Meaning{Query: q, Missing: understand.Missing(q)}
			for _, tag := range words.Languages {
				v := words.For(tag.String(), (i+j)%2 == 0)
				fitsAPhone(t, v, m, a)
			}
		}
	}
}

// A name that many fish have is asked about within the ten rows.
func TestAnswersToAmbiguousNamesFitAPhone(t *testing.T) {
	mixed := []string{"Epinephelus morio", "Sebastes paucispinis", "Parapercis colias"}
	for i, state := range sweptStates() {
		for _, depth := range []float64{15, 45, 200} {
			q := state
			q.Species, q.SpeciesName, q.Candidates, q.Ambiguous = mixed[i%2], "grouper", mixed[:2+i%2], true
			q.DepthM, q.WeightKg, q.Count = &depth, new(7.0), 1
			for _, tag := range words.Languages {
				fitsAPhone(t, words.For(tag.String(), i%2 == 0), understand.Meaning{Query: q, Named: "grouper"}, advisor.Advise(q))
			}
		}
	}
}

func fitsAPhone(t *testing.T, v words.Voice, m understand.Meaning, a advisor.Advice) {
	t.Helper()
	text := wordAdvice(v, m, a)
	lines, rows := strings.Split(text, "\n"), 0
	for _, line := range lines {
		rows += rowsOf(line)
	}
	v = voiceFor(v, m.Query)
	first, _ := cares(v, a)
	switch {
	case len(lines) > 6 || rows > phoneRows:
		require.Fail(t, "too long", "%d lines, %d rows:\n%s", len(lines), rows, text)
	case strings.Contains(text, "%!"):
		require.Fail(t, "a sentence lacks a figure", text)
	case len(first) > 0 && a.Action != advisor.ActNone && !strings.Contains(text, first[0]):
		require.Fail(t, "the caution is missing", "%s\n%s", first[0], text)
	}
	if a.Action == advisor.ActRecompress {
		agrees(t, v, lines[0], a)
	}
}

// sweptQueries are a species by depth, state and size; which states are asked at which depth
// takes turns with the species, i, so that each pair of them is asked of many.
func sweptQueries(s *advisor.Species, i int) []advisor.Query {
	var list []advisor.Query
	for d, depth := range []float64{8, 15, 25, 45, 90, 200} {
		for k, state := range sweptStates() {
			for z, size := range []advisor.Query{{}, {Capture: advisor.Capture{WeightKg: new(0.5)}}, {Capture: advisor.Capture{WeightKg: new(3.0)}}, {Capture: advisor.Capture{WeightKg: new(11.0)}}, {Capture: advisor.Capture{WeightKg: new(60.0)}}, {Capture: advisor.Capture{LengthCm: new(75.0)}}} {
				if (i+d+k+z)%5 != 0 {
					continue
				}
				q := state
				q.Species, q.SpeciesName, q.Count = s.ScientificName, s.EnglishName, max(1, q.Count)
				q.DepthM, q.WeightKg, q.LengthCm = &depth, size.WeightKg, size.LengthCm
				list = append(list, q)
			}
		}
	}
	return list
}

// sweptStates are the states, and what is aboard, in which answers differ most.
func sweptStates() []advisor.Query {
	return []advisor.Query{
		{}, {Capture: advisor.Capture{Behaviour: advisor.Floating}}, {Capture: advisor.Capture{Behaviour: advisor.Strong}}, {Capture: advisor.Capture{Behaviour: advisor.Dead}}, {Capture: advisor.Capture{Signs: []advisor.Sign{advisor.BulgingEyes}}},
		{Capture: advisor.Capture{Signs: []advisor.Sign{advisor.EvertedStomach}, Hook: advisor.HookGut, MinutesOnDeck: new(6.0)}, Count: 14, Predators: true},
		{Capture: advisor.Capture{Signs: []advisor.Sign{advisor.ProlapsedIntestine}, Hook: advisor.HookGill, Bleeding: true}},
		{NoWeight: true}, {LeadAboardOz: []float64{8, 8}, NoWeight: true}, {WeightsAboardOz: []float64{17.6, 35.3}},
		{WeightsAboardOz: []float64{32, 48}, WeightUnit: unitPounds}, {CameBack: true, WeightsAboardOz: []float64{20}},
		{CameBack: true, Capture: advisor.Capture{Behaviour: advisor.Floating, Signs: []advisor.Sign{advisor.EvertedStomach}}},
		{Practice: advisor.Practices()[0].Key},
	}
}

// agrees checks that the first line says what the figures say.
func agrees(t *testing.T, v words.Voice, head string, a advisor.Advice) {
	t.Helper()
	require.Contains(t, head, v.Depth(*a.ReleaseDepthM), fmt.Sprint(a.Species.EnglishName))
	if len(a.ReleaseWeightsOz) > 0 {
		require.Contains(t, head, v.OuncesTogether(a.ReleaseWeightsOz))
	} else {
		require.Contains(t, head, v.Ounces(math.Ceil(*a.NeededOz)))
	}
	if a.PushDownDepthM != nil {
		require.Contains(t, head, v.Depth(math.Ceil(*a.PushDownDepthM)))
	}
}

// Several fish of one message keep to ten rows as well, whatever they are: each has its line,
// and what can hurt badly is told of each.
func TestTwoAndThreeFishFitAPhone(t *testing.T) {
	catalogue, states := advisor.Catalogue(), sweptStates()
	depths, sizes := []float64{8, 15, 45, 90, 200}, []float64{0.5, 3, 11}
	for i := range catalogue {
		for n := 2; n <= 3; n++ {
			var fish []advisor.Query
			for k := range n {
				s, q := catalogue[(i+k*(1+i%7))%len(catalogue)], states[(i+k*(i%3))%len(states)]
				q.Species, q.SpeciesName, q.Count = s.ScientificName, s.EnglishName, max(1, q.Count)
				q.DepthM, q.WeightKg = &depths[(i/3+k*(i%2))%len(depths)], &sizes[(i+k)%len(sizes)]
				aboard(&q, states[i%len(states)])
				fish = append(fish, q)
			}
			for _, tag := range words.Languages {
				severalFitAPhone(t, words.For(tag.String(), i%2 == 0), fish)
			}
		}
	}
}

// aboard puts what one boat has, and the practice of its club, into a question.
func aboard(q *advisor.Query, boat advisor.Query) {
	q.WeightsAboardOz, q.LeadAboardOz, q.NoWeight = boat.WeightsAboardOz, boat.LeadAboardOz, boat.NoWeight
	q.WeightUnit, q.Practice = boat.WeightUnit, boat.Practice
}

func severalFitAPhone(t *testing.T, v words.Voice, fish []advisor.Query) {
	t.Helper()
	text := wordSeveral(v, fish, understand.Meaning{})
	rows := 0
	for _, line := range strings.Split(text, "\n") {
		rows += rowsOf(line)
	}
	require.LessOrEqual(t, rows, phoneRows, text)
	require.NotContains(t, text, "%!")
	for i, q := range fish {
		a := advisor.Advise(q)
		require.Regexp(t, fmt.Sprintf(`(?m)^(\d, )*%d(, \d)*\. `, i+1), text)
		act, rest, _ := strings.Cut(headline(voiceFor(v, q), a), ":")
		require.Contains(t, text, strings.TrimSpace(act))
		require.Contains(t, text, strings.TrimSpace(rest))
		require.Contains(t, text, graveDanger(v, a))
	}
}
